//go:build !windows

package main

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"surefret/cmd/surefret/hearing/input"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/practice/practicetest"
	"surefret/cmd/surefret/settings"
	"surefret/cmd/surefret/sound"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/synth/microphone"
)

// shownBy says for each setting another value than the default, and what it
// changes: commands of which the pages and sounds are compared, or the questions
// that there are, or the practice screen.
var shownBy = map[string]struct{ value, where string }{
	"tuning":      {"drop D", "key D"},
	"frets":       {"24", "neck --json"},
	"highest":     {"15", "questions"},
	"left_handed": {"left", "shape show e-form-major --root G"},
	"names":       {"german", "key Bb"},
	"flats":       {"flats", "neck --json"},
	"aim":         {"3", "questions"},
	"sound":       {"off", "practice --line --seed 1 --drill ear"},
	"volume":      {"-20", "play note A4"},
	"minutes":     {"20", "gig add Fair --day tomorrow; song add Buoy --learned C --chords 1,4,5,6- --shapes tenth-6-major,e-form-major; gig song Fair Buoy --called Eb; gig show Fair --json"},
	"times":       {"off", "judged"},
	"shown_first": {"everything", "practice --line --seed 1 --mute --drill note"},
	"move_on":     {"2", "screen"},
	"key_wait":    {"2", "screen"},
	"capo":        {"3", "key G"},
	"stretch":     {"3", "shape list"},
	"six_flats":   {"Gb", "questions"},
	"reference_a": {"442", "play note A4"},
	"guitar":      {"warm", "play note A4"},
	"speak":       {"on", "key Bb"},
	"drawing":     {"ascii", "screen"},
	"knows":       {"no", "questions"},
	"ring":        {"off", "screen"},
	"listen":      {"on", "listening"},
	"input":       {"interface", "listening"},
	"headphones":  {"on", "listening"},
	"delay":       {"150", "heard"},
	"sounded":     {"on", "sounded"},
}

// twoInputs is a machine with two inputs, of which one was opened.
type twoInputs struct{ opened string }

func (*twoInputs) Inputs() ([]microphone.Input, error) {
	return []microphone.Input{{Name: "Built-in", Default: true}, {Name: "USB Interface"}}, nil
}

func (m *twoInputs) Open(name string, heard func([]float32)) (microphone.Device, error) {
	m.opened = "input " + name
	heard([]float32{0.1})
	return m, nil
}

func (*twoInputs) Close() {}

func TestEverySettingChangesSomething(t *testing.T) {
	look := func(where string, with func(*settings.Settings)) string {
		path := saved(t, with)
		s := settings.Default()
		with(&s)
		p, e, out, errs := listening(path)
		env := p.Getenv
		p.Getenv = func(key string) string {
			if key == "SUREFRET_CLOCK" {
				return "2026-11-25T18:00:00Z"
			}
			return env(key)
		}
		switch where {
		case "questions":
			setup, err := s.Setup()
			if err != nil {
				t.Fatal(err)
			}
			var asked strings.Builder
			c, rng := drills.NewCatalogue(setup), rand.New(rand.NewPCG(1, 1))
			for _, it := range c.Items() {
				q, err := c.Ask(it.ID, rng)
				fmt.Fprintln(&asked, it.ID, it.Aim, it.Stage, q.Text, err)
			}
			return asked.String()
		case "judged":
			item, noon := "note/E2+3/name", time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)
			sitting := practicetest.Begin(new(practicetest.Log), s, func() time.Time { return noon }, item)
			sitting.Next(t.Context(), noon)
			result, err := sitting.Answer(t.Context(), noon, "G", 5*time.Second, drills.EntryKeys)
			return fmt.Sprint(result.Outcome, err)
		case "screen":
			o := p.screenOptions(&kept.Practice{Player: &practice.Player{Settings: s}}, drills.Setup{}, &practice.Sitting{}, &sound.Sound{})
			return fmt.Sprint(o.MoveOn, o.Grace, o.Look, o.Ring)
		case "heard":
			p.system = &twoInputs{}
			from, err := input.Open(t.Context(), p.inputs(), input.Options{Live: true}, s)
			if err != nil {
				t.Fatal(err)
			}
			defer from.Close()
			ear, err := from.Ear(fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}, s, nil)
			return fmt.Sprint(ear.Latency, err)
		case "sounded":
			var log practicetest.Log
			noon := func() time.Time { return time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC) }
			snd := sound.Open(e, s, func() string { return "" })
			defer snd.Close(t.Context())
			o := practiceOptions{hears: input.Options{Live: true}, seed: 1}
			sitting, err := o.begin(t.Context(), &kept.Practice{Player: practicetest.Open(&log, s, noon)}, practice.Selection{Drills: []drills.Family{"walkup"}, Played: true}, snd, false)
			if err != nil {
				t.Fatal(err)
			}
			for {
				if turn, _, err := sitting.Next(t.Context(), noon()); err != nil || turn.Lesson == nil {
					return fmt.Sprint(turn.Question.Heard, err)
				}
			}
		case "listening":
			var opened []any
			for _, asked := range []bool{false, true} {
				machine := &twoInputs{}
				p.system = machine
				o := practiceOptions{hears: input.Options{Live: asked}}
				from, err := p.openHeard(t.Context(), &kept.Practice{Player: &practice.Player{Settings: s}}, &o)
				opened = append(opened, machine.opened, from.Phones, from.Told, err)
				from.Close()
			}
			return fmt.Sprint(opened...)
		}
		for _, command := range strings.Split(where, "; ") {
			p.run(t.Context(), strings.Fields(command))
		}
		return fmt.Sprint(out, errs, e.sounds)
	}
	before := map[string]string{}
	for _, f := range settings.Fields {
		by, known := shownBy[f.Key]
		if !known {
			t.Errorf("nothing shows what the setting %q changes: add a row to shownBy", f.Key)
			continue
		}
		was, looked := before[by.where]
		if !looked {
			was = look(by.where, asTheyAre)
			if again := look(by.where, asTheyAre); again != was {
				t.Fatalf("%q says another thing each time", by.where)
			}
			before[by.where] = was
		}
		now := look(by.where, func(s *settings.Settings) {
			if err := f.Set(s, by.value); err != nil {
				t.Fatal(err)
			}
		})
		if was == now {
			t.Errorf("%s = %s changes nothing in %q", f.Key, by.value, by.where)
		}
	}
}
