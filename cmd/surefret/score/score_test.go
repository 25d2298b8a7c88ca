package score_test

import (
	"testing"

	"surefret/cmd/surefret/score"
	"surefret/drills/fretboard"
	"surefret/drills/fretboard/tablature"
)

// An x is a short dull stroke on its string, and no note of a MIDI file; with the palm
// on the strings all of a part is dull.
func TestADampedStringIsADullStroke(t *testing.T) {
	tab, err := tablature.Parse("E|--------|\nB|--------|\nG|--------|\nD|--------|\nA|--x-----|\nE|3---x-3-|\n", fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22})
	if err != nil {
		t.Fatal(err)
	}
	open, palm := score.Part(tab.Part(), false, 90, 440), score.Part(tab.Part(), true, 90, 440)
	for i, want := range []struct {
		key    int
		damped bool
	}{{43, false}, {45, true}, {40, true}, {43, false}} {
		e := open[i]
		if e.Hz != score.Hz(want.key, 440) || e.Muted != want.damped || (e.For < 100e6) != want.damped {
			t.Errorf("stroke %d is %+v, want %+v", i+1, e.Pluck, want)
		}
		if !palm[i].Muted || palm[i].For != e.For {
			t.Errorf("with the palm on the strings stroke %d is %+v", i+1, palm[i].Pluck)
		}
	}
	if got := len(score.MIDI(open, fretboard.Standard, 90, 440).Events); got != 2 {
		t.Errorf("the MIDI file has %d notes, want the two that have a pitch", got)
	}
}

// What is tuned by has exact partials.
func TestTheTuningIsOfPerfectStrings(t *testing.T) {
	for i, e := range score.Tuning(fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}, 440) {
		if !e.Perfect {
			t.Errorf("sound %d is of a string as a guitar has it", i+1)
		}
	}
}
