package fretboard

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"surefret/drills/theory"
)

// omitted names the shapes that leave a tone out: common practice, no source.
// Everything else must hold every tone of its chord.
var omitted = map[string]theory.Interval{"c-form-7": {Steps: 4, Semitones: 7}}

// checkTones compares what a shape sounds at one place, taken from the tuning
// alone, with what theory says its chord, interval or scale holds.
func checkTones(fb Fretboard, r Recipe, root theory.Note, fret int) error {
	p := r.At(fb, root, fret)
	lowest := p.Notes[0]
	rootSounds := false
	var sounding []int
	for _, n := range p.Notes {
		midi := fb.MIDI(n.Position)
		if n.Pitch.MIDI() != midi {
			return fmt.Errorf("string %d sounds %d, and is said to be %s", n.String, midi, n.Pitch)
		}
		if midi < fb.MIDI(lowest.Position) {
			return fmt.Errorf("string %d sounds below string %d", n.String, lowest.String)
		}
		rootSounds = rootSounds || n.Position == Position{String: r.Root, Fret: fret}
		sounding = append(sounding, midi%12)
	}
	if !rootSounds {
		return fmt.Errorf("string %d, fret %d does not sound its root", r.Root, fret)
	}
	var want []theory.Note
	switch r.Kind {
	case KindInterval:
		iv, err := theory.ParseInterval(r.Symbol)
		if err != nil {
			return err
		}
		got := theory.Between(p.Notes[0].Pitch, p.Notes[1].Pitch)
		if got != iv || fb.MIDI(p.Notes[1].Position)-fb.MIDI(p.Notes[0].Position) != iv.Semitones {
			return fmt.Errorf("it sounds %s", got)
		}
		return nil
	case KindScale:
		key, err := theory.ParseKey("C " + r.Symbol)
		if err != nil {
			return err
		}
		key.Tonic = root
		want = key.Scale()
		for i := 1; i < len(p.Notes); i++ {
			if step := fb.MIDI(p.Notes[i].Position) - fb.MIDI(p.Notes[i-1].Position); step < 2 || step > 3 {
				return fmt.Errorf("a step of %d semitones", step)
			}
		}
	case KindChord:
		c, ok := r.Chord(root)
		if !ok {
			return fmt.Errorf("no chord called %q", r.Symbol)
		}
		want = theory.Chord{Root: c.Root, Quality: c.Quality}.Notes()
		if bass := c.Bass().PitchClass(); bass != fb.MIDI(lowest.Position)%12 {
			return fmt.Errorf("%s has the wrong bass", c)
		}
		if c.Slashed() != overAnotherTone(r) {
			return fmt.Errorf("%s: the bass is not where this family has it", c)
		}
	}
	for _, n := range want {
		left, named := omitted[r.Name]
		if !slices.Contains(sounding, n.PitchClass()) && !(named && n == root.Add(left)) {
			return fmt.Errorf("%s is missing", n)
		}
	}
	for _, n := range p.Notes {
		if !slices.Contains(want, n.Pitch.Note) {
			return fmt.Errorf("%s is foreign to it", n.Pitch)
		}
	}
	return nil
}

// overAnotherTone tells the shapes whose lowest tone is not their root.
func overAnotherTone(r Recipe) bool {
	return r.Family == "triads" && !strings.HasSuffix(r.Name, "-root") ||
		r.Family == "third in the bass" || r.Family == "fifth in the bass" ||
		strings.HasSuffix(r.Name, "-inverted") || strings.HasPrefix(r.Name, "d-form-top")
}

func TestEveryShapeSoundsItsChordOnEveryRootInEveryTuning(t *testing.T) {
	roots := strings.Fields("C C# Db D Eb E F F# Gb G G# Ab A A# Bb B Cb")
	cases := 0
	for _, tuning := range Tunings {
		for _, capo := range []int{0, 3} {
			fb := Fretboard{Tuning: tuning, Frets: 22, Capo: capo}
			for _, r := range Shapes {
				if r.Tones[0].String > tuning.Strings() {
					if err := r.Fits(fb); err == nil {
						t.Errorf("%s is claimed for %s, which lacks its strings", r.Name, tuning.Name)
					}
					continue
				}
				for _, name := range roots {
					root := note(t, name)
					for _, p := range r.On(fb, root) {
						cases++
						if err := checkTones(fb, r, root, p.Fret); err != nil {
							t.Fatalf("%s in %s at fret %d in %s: %v", r.Name, name, p.Fret, tuning.Name, err)
						}
					}
				}
			}
		}
	}
	t.Logf("%d placements", cases)
	if cases < 50_000 {
		t.Errorf("only %d placements were checked", cases)
	}
}
