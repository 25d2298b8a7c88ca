package main

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"surefret/cmd/schedulelab/learner"
	"surefret/cmd/surefret/demo"
	"surefret/drills"
	"surefret/scheduler"
)

// A habit is how a player of the demo practises for half a year.
type habit struct {
	name    string
	memory  string // of the simulated player
	seed    uint64
	skips   float64       // chance of a day without practice
	sitting time.Duration // on the others
	course  []stretch
}

// A stretch is what is practised from a day of the course on.
type stretch struct {
	from  int
	parts []part
}

// A part of the catalogue: some families on some strings, or some keys.
type part struct {
	families []drills.Family // nil is all
	strings  []int
	keys     []string
}

// Wren works her way up from the low strings, ten minutes on most days; Odile sits
// down now and then, for the next gig's keys and shapes.
var habits = []habit{
	{"Wren", "activation", 7, 0.2, 10 * time.Minute, []stretch{
		{0, []part{{families: []drills.Family{"note"}, strings: []int{6, 5}}}},
		{30, []part{
			{families: []drills.Family{"note"}, strings: []int{6, 5, 4}},
			{families: []drills.Family{"shape"}, strings: []int{6, 5, 3}},
			{keys: []string{"Bb", "Ab", "Eb", "F", "C", "G", "D"}}}},
		{75, []part{
			{families: []drills.Family{"note", "shape", "walkup", "ear"}, strings: []int{6, 5, 4, 3}},
			{families: []drills.Family{"interval"}, strings: []int{6, 5, 4}},
			{keys: []string{"Bb", "Ab", "Eb", "F", "C", "G", "D", "Db", "A", "E"}}}},
		{120, []part{
			{families: []drills.Family{"note", "shape", "walkup", "ear", "interval"}, strings: []int{6, 5, 4, 3, 2}},
			{keys: []string{"Bb", "Ab", "Eb", "F", "C", "G", "D", "Db", "A", "E", "B"}}}},
		{172, []part{
			{families: []drills.Family{"note", "shape", "walkup", "ear", "interval"}, strings: []int{6, 5, 4, 3, 2, 1}},
			{keys: []string{"Bb", "Ab", "Eb", "F", "C", "G", "D", "Db", "A", "E", "B"}}}},
	}},
	{"Odile", "half-life", 11, 0.6, 5 * time.Minute, []stretch{
		{0, []part{
			{families: []drills.Family{"note", "shape"}, strings: []int{6, 5}},
			{keys: []string{"G", "D", "A", "E", "C"}}}},
		{70, []part{
			{families: []drills.Family{"note", "walkup"}, strings: []int{6, 5, 4}},
			{families: []drills.Family{"shape"}, strings: []int{6, 5, 3}},
			{keys: []string{"G", "D", "A", "E", "C", "Bb", "Eb", "Db"}}}},
	}},
}

// has reports whether an item belongs to the part.
func (p part) has(it drills.Item) bool {
	if p.keys != nil {
		return slices.ContainsFunc(p.keys, func(key string) bool { return strings.HasPrefix(it.ID, "key/"+key+" major/") })
	}
	if !slices.Contains(p.families, it.Family) {
		return false
	}
	for _, str := range it.Strings {
		if !slices.Contains(p.strings, str) {
			return false
		}
	}
	return true
}

// wants reports whether the player practises an item on a day of the course.
func (h habit) wants(day int, it drills.Item) bool {
	var now []part
	for _, s := range h.course {
		if day >= s.from {
			now = s.parts
		}
	}
	return slices.ContainsFunc(now, func(p part) bool { return p.has(it) })
}

// practise lets a simulated learner sit down on the days of the habit and answer
// what the planner asks.
func (h habit) practise(c *drills.Catalogue) ([]demo.Row, error) {
	b := newBoard(c.Items())
	planner, err := scheduler.NewPlanner(b.Items, scheduler.Options{Daily: h.sitting})
	if err != nil {
		return nil, err
	}
	player, err := learner.New(learner.Traits{Memory: h.memory, Pace: 1, Rate: 1.2, Transfer: 0.6, Careless: 1.5, Interference: 0.1, Lapse: 0.01}, b, h.seed)
	if err != nil {
		return nil, err
	}
	index := map[string]int{}
	for i, it := range b.Items {
		index[it.ID] = i
	}
	rng := rand.New(rand.NewPCG(h.seed, 5))
	uniform := func() float64 { return max(rng.Float64(), 1e-9) }
	seconds := func(s float64) time.Duration { return time.Duration(s*1000) * time.Millisecond }
	first := scheduler.DayOf(start, nil)
	var rows []demo.Row
	for day := range demo.Days {
		if rng.Float64() < h.skips {
			continue
		}
		planner.Narrow(func(it scheduler.Item) bool {
			item, ok := c.Item(it.ID)
			return ok && h.wants(day, item)
		})
		morning := (first + scheduler.Day(day)).Start(nil)
		began := morning.Add(14*time.Hour + time.Duration(rng.IntN(180))*time.Minute)
		for at := began; at.Sub(began) < h.sitting; {
			choice, ok := planner.Next(at, h.sitting-at.Sub(began))
			if !ok {
				break
			}
			q, err := c.Ask(choice.Item, rng)
			if err != nil {
				return nil, err
			}
			now := at.Sub(start).Hours() / 24
			a := player.Answer(index[choice.Item], now, learner.Luck{Retrieve: uniform(), Time: uniform(), Error: uniform()})
			at = at.Add(seconds(a.Thinking + entrySeconds + feedbackSeconds))
			r := demo.Row{Day: day, Since: at.Sub(morning), Item: choice.Item, Question: q.Text, Right: a.Right, Thinking: seconds(a.Thinking)}
			rows = append(rows, r)
			planner.Learn(scheduler.Answer{Item: r.Item, At: at, Right: r.Right, Thinking: r.Thinking})
			if !a.Right {
				at = at.Add(seconds(missSeconds))
			}
		}
	}
	return rows, nil
}

// writeDemoLogs writes the practice of the demo's players into a folder.
func writeDemoLogs(folder string) error {
	c, err := newCatalogue(true)
	if err != nil {
		return err
	}
	for _, h := range habits {
		rows, err := h.practise(c)
		if err != nil {
			return fmt.Errorf("practise as %s: %w", h.name, err)
		}
		f, err := os.Create(filepath.Join(folder, strings.ToLower(h.name)+".csv.gz"))
		if err != nil {
			return err
		}
		if err := demo.WriteLog(f, rows); err != nil {
			f.Close()
			return err
		}
		if err := f.Close(); err != nil {
			return err
		}
	}
	return nil
}
