package gig

import (
	"slices"
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

func standard() fretboard.Fretboard {
	return fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}
}

func sheetOf(t *testing.T, s Song, fb fretboard.Fretboard) Sheet {
	t.Helper()
	if err := s.Check(); err != nil {
		t.Fatal(err)
	}
	sh, err := s.Sheet(fb, theory.Names{})
	if err != nil {
		t.Fatal(err)
	}
	return sh
}

// song is one of few chords, for a sheet.
func song(learned, called, chords string) Song {
	return Song{Title: "Cockle Row", Learned: learned, Called: called, Sections: []Section{{Chords: chords}}}
}

func TestWhatBreaksIsSaidOnceWithItsPlaces(t *testing.T) {
	// Each chord comes twice. A's root stays open: it is E's fourth degree now.
	sh := sheetOf(t, song("D", "Bb", "D A D G A D"), standard())
	if want := []string{"Roots that rang open must be fretted: D on string 4 is now Bb, A on string 5 is now F"}; !slices.Equal(sh.Breaks, want) {
		t.Errorf("%q, want %q", sh.Breaks, want)
	}
	// The bass of a slash chord is what rings: D/A loses string 5, not string 4.
	sh = sheetOf(t, song("D", "C", "D/A"), standard())
	if want := []string{"Roots that rang open must be fretted: A on string 5 is now G"}; !slices.Equal(sh.Breaks, want) {
		t.Errorf("%q, want %q", sh.Breaks, want)
	}
	// Open before and after: nothing is lost.
	if sh = sheetOf(t, song("A", "D", "1"), standard()); len(sh.Breaks) != 0 {
		t.Errorf("%q, want nothing", sh.Breaks)
	}
	// One shape that fits nowhere on a bass, and one that a short neck has no room for.
	s := song("C", "B", "1 4")
	s.Shapes = []string{"e-form-major"}
	sh = sheetOf(t, s, fretboard.Fretboard{Tuning: fretboard.Bass, Frets: 20})
	if len(sh.Breaks) != 1 || !strings.HasPrefix(sh.Breaks[0], "e-form-major needs string 6") {
		t.Errorf("%q", sh.Breaks)
	}
	s = song("F", "Eb", "1 4")
	s.Shapes = []string{"g-form-major"}
	sh = sheetOf(t, s, fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 12, Stretch: 2})
	if len(sh.Breaks) != 1 || !strings.Contains(sh.Breaks[0], "g-form-major cannot be played in standard: ") {
		t.Errorf("%q", sh.Breaks)
	}
}

func TestWaysOutFollowTheGuitarAsItIs(t *testing.T) {
	for _, c := range []struct {
		name, learned, called string
		tuning                fretboard.Tuning
		capo                  int
		want                  []string
	}{
		// Common practice, no source.
		{"capo for the learned key", "D", "Eb", fretboard.Standard, 0, []string{
			"put the capo at fret 1 and play it as learned, in D major"}},
		{"lower", "D", "C#", fretboard.Standard, 0, []string{
			"tune every string down a half step and play it as learned, in D major", "put the capo at fret 1 and play the chords of C major"}},
		{"too far for the learned key", "D", "Bb", fretboard.Standard, 0, []string{"put the capo at fret 3 and play the chords of G major"}},
		// Tuned a half step down the hand plays D for D flat.
		{"tuned down", "Db", "Eb", fretboard.HalfStepDown, 0, []string{
			"put the capo at fret 2 and play it as learned, in D major"}},
		{"tuned down, and lower", "Db", "C", fretboard.HalfStepDown, 0, []string{
			"tune every string down a half step and play it as learned, in D major", "put the capo at fret 1 and play the chords of C major"}},
		{"no lower than a whole step below standard", "Db", "B", fretboard.HalfStepDown, 0, nil},
		// With a capo at fret 2 the hand plays C for D.
		{"the capo goes", "D", "C", fretboard.Standard, 2, []string{"take the capo off and play it as learned, in C major"}},
		{"the capo goes and more", "D", "B", fretboard.Standard, 2, []string{
			"take the capo off, tune every string down a half step and play it as learned, in C major", "put the capo at fret 4 and play the chords of G major"}},
	} {
		sh := sheetOf(t, song(c.learned, c.called, "1 5 6- 4"), fretboard.Fretboard{Tuning: c.tuning, Frets: 22, Capo: c.capo})
		var got []string
		for _, w := range sh.Ways {
			got = append(got, w.Words)
		}
		for _, w := range sh.Ways { // what the hand plays is what sounds
			lower, _ := c.tuning.Below()
			for i, name := range w.Chords {
				hand, err := theory.ParseChord(name)
				sounding, err2 := theory.ParseChord(sh.Chords[i].Chord)
				if err != nil || err2 != nil || (hand.Root.PitchClass()+w.Capo-w.Detuned-lower-sounding.Root.PitchClass())%12 != 0 {
					t.Errorf("%s: %s sounds no %s when you %s", c.name, name, sh.Chords[i].Chord, w.Words)
				}
			}
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s, %s to %s: %q, want %q", c.name, c.learned, c.called, got, c.want)
		}
	}
}
