package fretboard

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// The first way that a player would try. Common practice, no source.
func TestTheChoiceThatPlayersMakeComesFirst(t *testing.T) {
	for name, want := range map[string]string{
		"B": "capo 4 G", "Bb": "capo 3 G", "Ab": "capo 1 G", "F#m": "capo 2 Em", "G": "capo 0 G", "A": "capo 2 G", "D": "capo 0 D",
		"Eb": "capo 1 D", "F": "capo 3 D", "C#": "capo 1 C", "Db": "capo 1 C", "Cm": "capo 3 Am", "Fm": "capo 1 Em", "Bbm": "capo 1 Am",
		"C": "capo 0 C", "Am": "capo 0 Am", "Em": "capo 0 Em",
	} {
		c := guitar.Choices(key(t, name))[0]
		if got := fmt.Sprintf("capo %d %s", c.Capo, c.Shapes.Short()); got != want || c.Detuned != 0 {
			t.Errorf("%s: %s, tuned %d down, want %s", name, got, c.Detuned, want)
		}
	}
}

// On a guitar that is tuned down the hand plays higher for the same sound, and
// the strings are not slackened past a whole step below standard.
func TestChoicesFollowTheTuning(t *testing.T) {
	for _, c := range []struct {
		tuning Tuning
		lower  int
	}{{Standard, 0}, {HalfStepDown, 1}, {WholeStepDown, 2}, {DropD, 0}, {SevenStrings, 0}} {
		fb := Fretboard{Tuning: c.tuning, Frets: 22}
		for _, name := range []string{"Bb", "F#m", "D", "C#"} {
			k, slackest := key(t, name), 0
			for _, choice := range fb.Choices(k) {
				slackest = max(slackest, c.lower+choice.Detuned)
				// In standard tuning what the hand plays is what sounds.
				if sounds := choice.Shapes.Tonic.PitchClass() + choice.Capo - choice.Detuned - c.lower; (sounds-k.Tonic.PitchClass())%12 != 0 {
					t.Errorf("%s, %s: %s shapes with a capo at %d, tuned %d down, do not sound in it", c.tuning.Name, name, choice.Shapes, choice.Capo, choice.Detuned)
				}
			}
			if slackest != 2 {
				t.Errorf("%s, %s: tuned down to %d half steps below standard, want 2", c.tuning.Name, name, slackest)
			}
		}
	}
	for _, c := range []struct {
		tuning    Tuning
		key, want string
	}{{DADGAD, "D", "capo 0 D"}, {DADGAD, "E", "capo 2 D"}, {OpenG, "A", "capo 2 G"}, {OpenD, "D", "capo 0 D"}, {OpenD, "F", "capo 3 D"}, {Bass, "D", ""}} {
		got := ""
		for i, choice := range (Fretboard{Tuning: c.tuning, Frets: 22}).Choices(key(t, c.key)) {
			if i == 0 {
				got = fmt.Sprintf("capo %d %s", choice.Capo, choice.Shapes.Short())
			}
			if choice.Detuned > 0 {
				t.Errorf("%s: tuned down besides", c.tuning.Name)
			}
		}
		if got != c.want {
			t.Errorf("%s in %s: %q, want %q", c.key, c.tuning.Name, got, c.want)
		}
	}
	// A capo that is on high already is one of the choices.
	if got := (Fretboard{Tuning: Standard, Frets: 22, Capo: 9}).Choices(key(t, "D")); len(got) != 11 {
		t.Errorf("%d choices with a capo at fret 9, want 11", len(got))
	}
}

// Common practice, no source: how many of a key's common chords beginners know.
func TestOpenChordsOfAKey(t *testing.T) {
	for name, want := range map[string]int{"G": 5, "Em": 5, "C": 4, "D": 4, "Am": 4, "Bm": 4, "A": 3, "E": 2} {
		for _, c := range guitar.Choices(key(t, name)) {
			if c.Capo == 0 && c.Detuned == 0 && c.Open != want {
				t.Errorf("%s has %d open chords, want %d", name, c.Open, want)
			}
		}
	}
}

// The open chords that every player learns are those that ring open in standard tuning,
// and in drop D the one on its low string is among them but not the G with its own at
// fret 5: common practice, no source.
func TestOpenChordsAreThoseThatRing(t *testing.T) {
	for _, c := range []struct{ tuning, want string }{
		{"standard", "C A G E D Am Em Dm"}, {"half step down", "C A G E D Am Em Dm"}, {"seven strings", "C A G E D Am Em Dm"},
		{"drop D", "C A E D Am Em Dm"}, {"drop C", "C A E D Am Em Dm"},
	} {
		tuning, _ := ParseTuning(c.tuning)
		rings := tuning.openChords()
		for _, name := range strings.Fields("C Db D Eb E F F# G Ab A Bb B Cm C#m Dm Ebm Em Fm F#m Gm G#m Am Bbm Bm") {
			k := key(t, name)
			if got, want := rings(k.Triads()[0], k), slices.Contains(strings.Fields(c.want), name); got != want {
				t.Errorf("%s: %s rings open: %v, want %v", c.tuning, name, got, want)
			}
		}
	}
}
