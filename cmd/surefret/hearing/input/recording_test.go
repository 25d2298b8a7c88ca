package input

import (
	"strings"
	"testing"

	"surefret/cmd/surefret/hearing"
	"surefret/drills/theory"
)

// A strummed chord is many strokes and no pitch: one line, and at the end what to do.
func TestStrokesWithoutAPitchAreOneLine(t *testing.T) {
	none := hearing.Note{At: 2, Level: -20, Heard: hearing.NoPitch}
	later := hearing.Note{At: 2.5, Level: -10, Heard: hearing.NoPitch, Clipped: true}
	half := hearing.Note{At: 1, MIDI: 46, Cents: -7, Level: -30, Heard: hearing.HalfClear}
	notes := []hearing.Note{half, none, none, later, half, none}
	got := strings.Join(Lines(notes, theory.Names{}, true), "\n") + "\n" + Summary(notes)
	want := "" +
		"    1.00 s  Bb2     -7 cents   -30 dB  half clear\n" +
		"    2.00 s  -                  -10 dB  no pitch, 3 strokes up to 2.50 s, too loud: turn the input down\n" +
		"    1.00 s  Bb2     -7 cents   -30 dB  half clear\n" +
		"    2.00 s  -                  -20 dB  no pitch\n" +
		"6 strokes: 2 half clear, 4 without a pitch. Chords are not told apart: roll them, one string after another, or play single notes."
	if got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}
