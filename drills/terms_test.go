package drills

import (
	"strings"
	"testing"
)

// What a figure means: Open Music Theory (lead-sheet symbols, triads and seventh chords,
// intervals); numbers as bands count, common practice, no source.
func TestFiguresAndWordsAreExplained(t *testing.T) {
	for text, want := range map[string]string{
		"The 2- in C: which chord?":                                     "2-: the minor chord on the 2 of the key",
		"1 5 6- 4 in Eb: which chords?":                                 "6-: the minor chord on the 6 of the key",
		"1 b7 4 1 in D: which chords?":                                  "b7: the 7, a half step lower",
		"The b3 in A minor: which chord?":                               "b3: the 3, a half step lower|minor: the narrower",
		"In D#, which number is C#m?":                                   "",
		"Bm7 in the A form: root at which fret of string 5?":            "m7: a minor triad and|A form: the shape of the open A chord|root: the note that",
		"F7sus4 in the E form: which frets?":                            "7sus4: a seventh chord with the fourth|E form",
		"C#7 in the E form: which frets?":                               "7: a major triad and|E form",
		"Esus4 with G held on string 2: which frets?":                   "sus4: the 4 of the scale in place of the third|held",
		"x 3 2 0 1 0: which chord?":                                     "x 3 2 0 1 0: the frets from the lowest string",
		"C5/G, strings 6 and 5: which frets?":                           "C5/G: the chord C5 with G in the bass|5: a power chord",
		"Minor tenth on G, strings 6 and 3: which frets?":               "tenth: an octave and a third",
		"G minor triad, first inversion, strings 3 2 1: which frets?":   "minor: the narrower kind|triad: a chord of three|first inversion: the order with the third",
		"G triad, second inversion: which frets?":                       "triad: a chord of three|second inversion: the order with the fifth",
		"In Ab, walk up from 1 to 4: which 4 notes, root to root?":      "walk up: to go from one root|from 1 to 4: counted in the notes|root: the note that",
		"String 6, fret 3: which note?":                                 "",
		"Which key is the relative minor of Eb major?":                  "relative minor: the key with the same|minor: the narrower|major: the wider",
		"Became sure: E; F. Not sure: G.":                               "sure: asked on two days",
		"Si 7 in the E form: which frets, Sol7 in the A form: or what?": "E form|7: a major triad|A form",
	} {
		var got []string
		for _, term := range TermsIn(text) {
			got = append(got, term.Word+": "+term.Means)
		}
		parts := strings.Split(want, "|")
		if want == "" {
			parts = nil
		}
		ok := len(got) == len(parts)
		for i := range parts {
			ok = ok && strings.HasPrefix(got[i], parts[i])
		}
		if !ok {
			t.Errorf("%s explains %q, want %q", text, got, parts)
		}
	}
	if q := must(whole().Ask("key/progression/2- 5 1", seeded(1))); len(q.Terms()) != 1 || q.Terms()[0].Word != "2-" {
		t.Errorf("%s comes with %v", q.Text, q.Terms())
	}
}
