// Package report tells a player what the log shows: the map of the neck, and
// progress over time, as text, SVG, HTML and JSON.
//
// Every figure is a plain fold of the review log and of what the scheduler
// predicts from it; nothing is kept here. Text fits forty columns and says
// everything that a picture says.
package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/scheduler"
)

// Knowledge is what the scheduler knows of a player.
type Knowledge interface {
	Fluency(item string, at time.Time) float64
	State(item string) (scheduler.State, bool)
}

// How sure a place is.
const (
	Sure   = "sure"   // predicted fluent at least as often as SureFrom
	Unsure = "unsure" // asked, and below
	Unmet  = "never asked"
)

// SureFrom is the predicted share of fluent answers from which a place counts
// as sure.
const SureFrom = 0.8

// A Map is the neck with how sure each place is today.
type Map struct {
	Day     string   `json:"day"`
	Frets   [2]int   `json:"frets"` // the lowest and highest fret shown
	Places  []Place  `json:"places"`
	Drills  []Drill  `json:"drills"`
	Weakest []Region `json:"weakest"` // the weakest first
}

// A Place is one place on the neck.
type Place struct {
	String  int     `json:"string"` // 1 is the highest
	Fret    int     `json:"fret"`
	Note    string  `json:"note"`
	Fluency float64 `json:"fluency"` // 0 to 1: right within the aim, were it asked now
	Level   string  `json:"level"`   // Sure, Unsure or Unmet
}

// A Drill is a family of items, or a part of one, and how sure it is.
type Drill struct {
	Name    string  `json:"name"`
	Items   int     `json:"items"`
	Met     int     `json:"met"`
	Fluency float64 `json:"fluency"` // mean over the items met, 0 where none is
}

// A Region is a stretch of one string with one kind of note.
type Region struct {
	Words   string  `json:"words"` // "string 5, frets 6 to 9, sharps and flats"
	Fluency float64 `json:"fluency"`
	Command string  `json:"command"` // to practise just that
}

// NeckMap draws up the map at an instant, between two frets and on the strings
// given; no strings means all.
func NeckMap(c *drills.Catalogue, know Knowledge, s drills.Setup, strs []int, frets [2]int, now time.Time, day string) Map {
	m := Map{Day: day, Frets: frets}
	for str := s.Neck.Tuning.Strings(); str >= 1; str-- {
		if len(strs) > 0 && !slices.Contains(strs, str) {
			continue
		}
		for fret := frets[0]; fret <= frets[1]; fret++ {
			at := fretboard.Position{String: str, Fret: fret}
			p := Place{String: str, Fret: fret, Note: s.Names.Note(s.Neck.Pitch(at, s.Flats).Note), Level: Unmet}
			p.Fluency, p.Level = sureness(know, c.NotesAt(at), now)
			m.Places = append(m.Places, p)
		}
	}
	m.Drills = drillsOf(c, know, now)
	m.Weakest = weakest(m.Places, s)
	return m
}

// sureness is the mean fluency of items and their level: unmet where none of
// them was ever asked.
func sureness(know Knowledge, items []string, now time.Time) (float64, string) {
	sum, met := 0.0, 0
	for _, id := range items {
		if st, ok := know.State(id); ok && st.Asked > 0 {
			sum += know.Fluency(id, now)
			met++
		}
	}
	switch mean := sum / float64(max(met, 1)); {
	case met == 0:
		return 0, Unmet
	case mean >= SureFrom && met == len(items):
		return mean, Sure
	default:
		return mean, Unsure
	}
}

// drillsOf sums up the drill families, and within them what players ask about:
// the roots of tenths and octaves, and each pair of strings.
func drillsOf(c *drills.Catalogue, know Knowledge, now time.Time) []Drill {
	byName := map[string]*Drill{}
	var order []string
	add := func(name string, it drills.Item) {
		d := byName[name]
		if d == nil {
			d = &Drill{Name: name}
			byName[name] = d
			order = append(order, name)
		}
		d.Items++
		if st, ok := know.State(it.ID); ok && st.Asked > 0 {
			d.Met++
			d.Fluency += know.Fluency(it.ID, now)
		}
	}
	for _, it := range c.Items() {
		add(string(it.Family), it)
		if it.Family == "shape" || it.Family == "interval" {
			add(string(it.Family)+": "+it.Group, it)
		}
	}
	var all []Drill
	for _, name := range order {
		d := *byName[name]
		if d.Met > 0 {
			d.Fluency /= float64(d.Met)
		}
		if d.Met > 0 || !strings.Contains(name, ":") {
			all = append(all, d)
		}
	}
	return all
}

// blocks are the stretches of frets that a region covers.
var blocks = [][2]int{{0, 4}, {5, 9}, {10, 14}, {15, 19}, {20, 24}}

// weakest lists the three regions that were asked and are least sure.
func weakest(places []Place, s drills.Setup) []Region {
	type key struct {
		str, block int
		natural    bool
	}
	sum, met := map[key]float64{}, map[key]int{}
	for _, p := range places {
		if p.Level == Unmet {
			continue
		}
		b := slices.IndexFunc(blocks, func(b [2]int) bool { return p.Fret >= b[0] && p.Fret <= b[1] })
		if b < 0 {
			continue
		}
		at := fretboard.Position{String: p.String, Fret: p.Fret}
		k := key{p.String, b, s.Neck.Pitch(at, s.Flats).Alter == 0}
		sum[k] += p.Fluency
		met[k]++
	}
	var regions []Region
	var keys []key
	for k := range met {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b key) int {
		return cmp.Or(
			cmp.Compare(sum[a]/float64(met[a]), sum[b]/float64(met[b])),
			cmp.Compare(b.str, a.str), cmp.Compare(a.block, b.block), cmp.Compare(len(word(a.natural)), len(word(b.natural))),
		)
	})
	for _, k := range keys {
		mean := sum[k] / float64(met[k])
		if mean >= SureFrom || len(regions) == 3 {
			break
		}
		b := [2]int{blocks[k.block][0], min(blocks[k.block][1], s.Neck.Last())}
		regions = append(regions, Region{
			Words:   fmt.Sprintf("string %d, frets %d to %d, %s", k.str, b[0], b[1], word(k.natural)),
			Fluency: mean,
			Command: fmt.Sprintf("surefret practice --drill note --strings %d --frets %d-%d", k.str, b[0], b[1]),
		})
	}
	return regions
}

func word(natural bool) string {
	if natural {
		return "natural notes"
	}
	return "sharps and flats"
}

// level is the figure of a place on the map: the tenths of fluency.
func (p Place) figure() string {
	if p.Level == Unmet {
		return "."
	}
	return fmt.Sprint(min(9, int(p.Fluency*10)))
}

// Text prints the map in so many columns, 40 at least. Each place shows the
// tenths of its fluency, 0 to 9; a dot was never asked.
func (m Map) Text(columns int) string {
	var b strings.Builder
	count := m.Frets[1] - m.Frets[0] + 1
	wide := min(4, max(1, (columns-4)/count))
	fmt.Fprintf(&b, "The neck on %s, the lowest string first.\n0 to 9: tenths of your answers that would be\nright in time. A dot was never asked.\n\n", m.Day)
	at, str := 0, 0
	for _, p := range m.Places {
		if p.String != str {
			if str != 0 {
				b.WriteByte('\n')
			}
			str = p.String
			fmt.Fprintf(&b, "%2d  ", str)
		}
		fmt.Fprintf(&b, "%*s", wide, p.figure())
		at++
	}
	b.WriteString("\n    ")
	for f := m.Frets[0]; f <= m.Frets[1]; f++ {
		b.WriteString(fretLabel(f, wide))
	}
	b.WriteString("\n")
	fmt.Fprintf(&b, "\nBy drill:\n")
	for _, d := range m.Drills {
		fmt.Fprintf(&b, "  %s: %d of %d met", d.Name, d.Met, d.Items)
		if d.Met > 0 {
			fmt.Fprintf(&b, ", %.0f %% sure", 100*d.Fluency)
		}
		b.WriteByte('\n')
	}
	if len(m.Weakest) > 0 {
		b.WriteString("\nWeakest:\n")
		for _, r := range m.Weakest {
			fmt.Fprintf(&b, "  %s (%.0f %%)\n    %s\n", r.Words, 100*r.Fluency, r.Command)
		}
	}
	return b.String()
}

// fretLabel marks the inlays under the map; a narrow map has room for the last
// digit alone.
func fretLabel(fret, wide int) string {
	if !slices.Contains([]int{0, 3, 5, 7, 9, 12, 15, 17, 19, 21, 24}, fret) {
		return strings.Repeat(" ", wide)
	}
	text := fmt.Sprint(fret)
	if len(text) > wide {
		text = text[len(text)-wide:]
	}
	return fmt.Sprintf("%*s", wide, text)
}
