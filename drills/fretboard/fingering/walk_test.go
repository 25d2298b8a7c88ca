package fingering

import (
	"fmt"
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// Common practice, no source.
func TestWalksThatBandsPlay(t *testing.T) {
	for _, c := range []struct {
		key, from, to string
		walk          Walk
		notes, path   string
	}{
		{"D", "G", "D", Walk{Skip: 1}, "G B C# D", "6/3 5/2 5/4 5/5"},
		{"D", "D", "G", Walk{Down: true}, "D C# B A G", "5/5 5/4 5/2 5/0 6/3"},
		{"G", "G", "C", Walk{}, "G A B C", "6/3 5/0 5/2 5/3"},
		{"C", "C", "F", Walk{}, "C D E F", "5/3 4/0 4/2 4/3"},
		{"G", "G", "E", Walk{Down: true}, "G F# E", "6/3 6/2 6/0"},
		{"C", "C", "A", Walk{Down: true}, "C B A", "5/3 5/2 5/0"},
		{"Bb", "Bb", "Eb", Walk{}, "Bb C D Eb", "5/1 5/3 4/0 4/1"},
		{"C", "F", "G", Walk{}, "F F# G", "6/1 6/2 6/3"},
		{"C", "G", "F", Walk{Down: true}, "G Gb F", "6/3 6/2 6/1"},
		{"A harmonic minor", "E", "A", Walk{}, "E F# G# A", "6/0 6/2 6/4 5/0"},
		{"A harmonic minor", "A", "F", Walk{Down: true}, "A G F", "5/0 6/3 6/1"},
		{"A harmonic minor", "G#", "E", Walk{Down: true}, "G# F# E", "6/4 6/2 6/0"},
		{"E", "E", "A", Walk{Chromatic: true, Notes: 2}, "E G G# A", ""}, // E major has no F##
		{"A melodic minor", "E", "A", Walk{}, "E F# G# A", "6/0 6/2 6/4 5/0"},
		{"G", "G", "C", Walk{Chromatic: true, Notes: 2}, "G A# B C", "6/3 5/1 5/2 5/3"},
		{"C", "C", "G", Walk{Notes: 2}, "C E F G", ""},
		{"Ab", "F", "Bb", Walk{Over: over("F7")}, "F G A Bb", "6/1 6/3 5/0 5/1"}, // the chord's third, not the key's
		{"Ab", "C", "F", Walk{Over: over("C7")}, "C D E F", "5/3 4/0 4/2 4/3"},   // and no step of three half steps
		{"C", "E", "A", Walk{Over: over("E7")}, "E F# G# A", "6/0 6/2 6/4 5/0"},
		{"C", "F", "Bb", Walk{Over: over("Fm")}, "F G Ab Bb", "6/1 6/3 6/4 5/1"},
		{"C", "F", "C", Walk{Down: true, Over: over("Fm7")}, "F Eb D C", ""},
	} {
		line, err := c.walk.On(guitar, key(t, c.key), note(t, c.from), note(t, c.to))
		if err != nil {
			t.Errorf("%s to %s in %s: %v", c.from, c.to, c.key, err)
			continue
		}
		if got := strings.Trim(fmt.Sprint(line.Notes()), "[]"); got != c.notes {
			t.Errorf("%s to %s in %s goes %s, want %s", c.from, c.to, c.key, got, c.notes)
		}
		if got := fretboard.WritePlaces(line.Path); c.path != "" && got != c.path {
			t.Errorf("%s to %s in %s lies at %s, want %s", c.from, c.to, c.key, got, c.path)
		}
	}
}

func TestWalksHoldInEveryKeyAndTuning(t *testing.T) {
	motions := [][2]string{{"1", "4"}, {"4", "1"}, {"1", "5"}, {"5", "1"}, {"1", "6"}, {"6", "4"}, {"4", "5"}, {"2", "5"}}
	for _, tuning := range fretboard.Tunings {
		fb := fretboard.Fretboard{Tuning: tuning, Frets: 20}
		for i, k := range theory.KeysOf(theory.Major) {
			if i%3 != 0 {
				continue // five keys of fifteen, round the circle
			}
			scale := k.Scale()
			for _, m := range motions {
				for _, w := range []Walk{{}, {Down: true}, {Chromatic: true}, {Down: true, Chromatic: true}} {
					from, to := scale[m[0][0]-'1'], scale[m[1][0]-'1']
					line, err := w.On(fb, k, from, to)
					if err != nil {
						t.Fatalf("%s to %s in %s, %s: %v", from, to, k, tuning.Name, err)
					}
					last := len(line.Path) - 1
					if line.Pitches[0].Note.PitchClass() != from.PitchClass() || line.Pitches[last].Note.PitchClass() != to.PitchClass() {
						t.Fatalf("%s to %s in %s ends on other roots: %v", from, to, k, line.Pitches)
					}
					for i, at := range line.Path {
						if fb.MIDI(at) != line.Pitches[i].MIDI() || at.String < tuning.Strings()-2 {
							t.Fatalf("%s to %s in %s, %s: %s is wrong for %s", from, to, k, tuning.Name, at.Say(), line.Pitches[i])
						}
						if i > 0 && (line.Pitches[i].MIDI() < line.Pitches[i-1].MIDI()) != w.Down {
							t.Fatalf("%s to %s in %s turns round: %v", from, to, k, line.Pitches)
						}
						if !w.Chromatic && len(line.Path) > 3 && !k.Contains(line.Pitches[i].Note) {
							t.Fatalf("%s is not in %s", line.Pitches[i], k)
						}
					}
				}
			}
		}
	}
}

func TestWalksThatCannotBeAreRefused(t *testing.T) {
	d := key(t, "D")
	_, err := Walk{}.On(guitar, d, note(t, "D"), note(t, "D"))
	oneSentence(t, err)
	_, err = Walk{Skip: 9}.On(guitar, d, note(t, "D"), note(t, "G"))
	oneSentence(t, err)
}

// A player looks for roots on the two lowest strings, and a walk sets out from
// there in every key; it is what he sees on the page of a song.
func TestWalksSetOutFromTheLowStrings(t *testing.T) {
	walks := 0
	for _, k := range theory.KeysOf(theory.Major) {
		scale := k.Scale()
		for from := range scale {
			for _, steps := range []int{2, 3, 4, 5} {
				for _, down := range []bool{false, true} {
					to := scale[(from+steps)%7]
					line, err := Walk{Down: down}.On(guitar, k, scale[from], to)
					if err != nil {
						t.Errorf("%s to %s in %s: %v", scale[from], to, k, err)
						continue
					}
					if walks++; line.Path[0].String < 5 {
						t.Errorf("%s to %s in %s begins at %s", scale[from], to, k, line.Path[0].Say())
					}
				}
			}
		}
	}
	if walks != 15*7*4*2 {
		t.Errorf("%d walks", walks)
	}
}

func over(symbol string) theory.Chord {
	c, err := theory.ParseChord(symbol)
	if err != nil {
		panic(err)
	}
	return c
}
