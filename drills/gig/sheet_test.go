package gig

import (
	"regexp"
	"slices"
	"strconv"
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
	if want := []string{"No longer open: D, now Bb; A, now F"}; !slices.Equal(sh.Breaks, want) {
		t.Errorf("%q, want %q", sh.Breaks, want)
	}
	// The bass of a slash chord is what rings: D/A loses string 5, not string 4.
	sh = sheetOf(t, song("D", "C", "D/A"), standard())
	if want := []string{"No longer open: A, now G"}; !slices.Equal(sh.Breaks, want) {
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
		{"as high as a capo goes", "E", "B", fretboard.Standard, 0, []string{
			"put the capo at fret 4 and play the chords of G major", "put the capo at fret 7 and play it as learned, in E major"}},
		{"nothing broken, nothing to save", "Db", "Eb", fretboard.Standard, 0, nil},
		// Tuned a half step down the hand plays D for D flat.
		{"tuned down", "Db", "Eb", fretboard.HalfStepDown, 0, []string{
			"put the capo at fret 2 and play it as learned, in D major"}},
		{"tuned down, and lower", "Db", "C", fretboard.HalfStepDown, 0, []string{
			"tune every string down a half step more and play it as learned, in D major", "put the capo at fret 1 and play the chords of C major"}},
		{"no lower than a whole step below standard", "Db", "B", fretboard.HalfStepDown, 0, nil},
		// With a capo at fret 2 the hand plays C for D.
		{"the capo goes", "D", "C", fretboard.Standard, 2, []string{"take the capo off and play it as learned, in C major"}},
		{"the capo goes and more", "D", "B", fretboard.Standard, 2, []string{
			"take the capo off, tune every string down a half step and play it as learned, in C major", "put the capo at fret 4 and play the chords of G major"}},
		{"drones as it is in a home key", "D", "G", fretboard.DADGAD, 0, []string{"put the capo at fret 5 and play it as learned, in D major"}},
		{"drones behind a capo", "D", "Bb", fretboard.DADGAD, 0, []string{"put the capo at fret 3 and play the chords of G major"}},
		{"drones of the learned key", "D", "E", fretboard.DADGAD, 0, []string{"put the capo at fret 2 and play it as learned, in D major"}},
		{"drones of another key", "D", "A", fretboard.DADGAD, 0, []string{
			"put the capo at fret 2 and play the chords of G major", "put the capo at fret 7 and play it as learned, in D major"}},
		{"drones as it is, or of the learned key", "D", "F", fretboard.DADGAD, 0, []string{"put the capo at fret 3 and play it as learned, in D major"}},
		{"drones as it is, or of another key", "D", "C", fretboard.DADGAD, 0, []string{"put the capo at fret 5 and play the chords of G major"}},
	} {
		sh := sheetOf(t, song(c.learned, c.called, "1 5 6- 4 1 5"), fretboard.Fretboard{Tuning: c.tuning, Frets: 22, Capo: c.capo})
		var got []string
		for _, w := range sh.Ways {
			got = append(got, w.Words)
		}
		for _, w := range sh.Ways { // what the hand plays is what sounds
			lower, _ := c.tuning.Below()
			if len(w.Chords) != len(sh.Chords) {
				t.Errorf("%s: %d chords for %d", w.Words, len(w.Chords), len(sh.Chords))
				continue
			}
			for i, name := range w.Chords {
				hand, err := theory.ParseChord(name)
				sounding, err2 := theory.ParseChord(sh.Chords[i].Chord)
				if err != nil || err2 != nil || (hand.Root.PitchClass()+w.Capo-w.Detuned-lower-sounding.Root.PitchClass())%12 != 0 {
					t.Errorf("%s: %s sounds no %s when you %s", c.name, name, sh.Chords[i].Chord, w.Words)
				}
			}
		}
		if sh.Rings != strings.Contains(c.name, "as it is") {
			t.Errorf("%s: drones ring as it is: %v", c.name, sh.Rings)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s, %s to %s: %q, want %q", c.name, c.learned, c.called, got, c.want)
		}
	}
}

// What the hand sees of a song of slash chords: the bass on the low strings, and
// each chord, walk and place of a shape once.
func TestASheetShowsEachThingOnce(t *testing.T) {
	s := song("D", "C", "D A/C# Bm D A D")
	s.Shapes = []string{"e-form-major", "tenth-6-minor", "held-1-over-6"}
	sh := sheetOf(t, s, standard())
	var chords, was, walks, shapes []string
	for _, c := range sh.Chords {
		chords, was = append(chords, c.Chord), append(was, c.Was)
	}
	for _, w := range sh.Walks {
		walks = append(walks, w.From+" "+w.To+": "+strings.Join(w.Notes, " "))
	}
	for _, p := range sh.Shapes {
		shapes = append(shapes, p.Shape+" "+p.Chord+": "+p.Frets)
	}
	// Common practice, no source: two frets down from D, and E form barres, a minor
	// tenth and the keynote of C held over its sixth.
	for what, c := range map[string]struct{ got, want []string }{
		"chords": {chords, []string{"C", "G/B", "Am", "G"}},
		"was":    {was, []string{"D", "A/C#", "Bm", "A"}},
		"walks":  {walks, []string{"Am C: A B C", "C G: C B A G", "G C: G A B C"}},
		"shapes": {shapes, []string{"e-form-major C: 8 10 10 9 8 8", "e-form-major G: 3 5 5 4 3 3", "tenth-6-minor Am: 5 x x 5 x x", "held-1-over-6 Am: x 0 2 2 1 x"}},
	} {
		if !slices.Equal(c.got, c.want) {
			t.Errorf("%s: %q, want %q", what, c.got, c.want)
		}
	}
	if want := []fretboard.Position{{String: 6, Fret: 7}, {String: 5, Fret: 2}}; !slices.Equal(sh.Chords[1].Roots, want) {
		t.Errorf("the bass of G/B lies at %v, want %v", sh.Chords[1].Roots, want)
	}
	if got := sheetOf(t, song("C", "C", "E7 Am"), standard()).Walks; len(got) != 2 || strings.Join(got[0].Notes, " ") != "E F# G# A" {
		t.Errorf("the walks of E7 Am are %v: under E7 the third is G#", got)
	}
	if got := sheetOf(t, song("C", "C", "C F C F C F# C"), standard()).Walks; len(got) != 2 {
		t.Errorf("%d walks, want C to F and F to C once each, and none over a tritone: %v", len(got), got)
	}
	if got := sheetOf(t, song("C", "F#", "1"), standard()).Semitones; got != 6 {
		t.Errorf("C to F sharp is %d half steps, want 6", got)
	}
	if got := sheetOf(t, song("C", "G", "1"), standard()).Semitones; got != -5 {
		t.Errorf("C to G is %d half steps, want -5", got)
	}
}

func TestAPartSaysWhatItCosts(t *testing.T) {
	s := song("D", "C", "1")
	s.Parts = []Part{
		NewPart("low.txt", "e|-----|\nB|-----|\nG|-----|\nD|-0-0-|\nA|-----|\nE|-----|"),
		NewPart("open.txt", "e|-----|\nB|-3---|\nG|-2---|\nD|-----|\nA|-----|\nE|-----|"),
		NewPart("prose.txt", "no tablature"),
	}
	sh := sheetOf(t, s, standard())
	for i, want := range []struct {
		breaks, problems int
		moved            string
	}{{0, 1, "a whole step down one string lower: 2 open strings lost"}, {0, 0, "a whole step down on the same strings: nothing breaks"}, {0, 0, ""}} {
		p := sh.Parts[i]
		if p.Breaks != want.breaks || len(p.Problems) != want.problems || !strings.Contains(p.Moved, want.moved) {
			t.Errorf("%+v, want %+v", p, want)
		}
	}
	if sh.Parts[2].Fault == "" || !strings.HasPrefix(sh.Parts[2].Fault, "prose.txt: ") {
		t.Errorf("prose is told as %q", sh.Parts[2].Fault)
	}
	wide := song("E", "F", "1")
	wide.Parts = []Part{NewPart("wide.txt", "e|-7p0---|\nB|-------|\nG|-------|\nD|-------|\nA|-------|\nE|-------|")}
	sh = sheetOf(t, wide, standard())
	if sh.Parts[0].Breaks != 1 || len(sh.Breaks) == 0 || !strings.Contains(strings.Join(sh.Breaks, "\n"), "The part wide.txt cannot be played as it is written") {
		t.Errorf("breaks %d, %q", sh.Parts[0].Breaks, sh.Breaks)
	}
}

// Whatever capo or tuning a page advises, the shapes that it names sound in the key
// that was called. What sounds is counted from the open strings of standard tuning.
func TestAdviceSoundsInTheKeyThatWasCalled(t *testing.T) {
	advice := regexp.MustCompile(`^(?:put a capo at fret (\d+)|tune every string down (a half|a whole) step) and play it (?:as written, )?in (.+) shapes:`)
	seen := map[string]int{} // pieces of advice, by where they stand
	for _, tuning := range []fretboard.Tuning{fretboard.Standard, fretboard.HalfStepDown, fretboard.WholeStepDown, fretboard.DropD} {
		for _, capo := range []int{0, 2, 5} {
			fb := fretboard.Fretboard{Tuning: tuning, Frets: 22, Capo: capo}
			strings1 := tuning.Open[0].MIDI() - 64 // E4
			for from := range 12 {
				for to := range 12 {
					learned, called := theory.SimplestKey(from, theory.Major, false), theory.SimplestKey(to, theory.Major, false)
					s := song(learned.Short(), called.Short(), "1 4 5")
					s.Parts = []Part{{Name: "lead.txt", Tab: "e|-0-|\nB|---|\nG|---|\nD|---|\nA|---|\nE|-7-|"}}
					check := func(where, what string, capo, detuned int, shapes string) {
						k, err := theory.ParseKey(shapes)
						if err != nil {
							t.Fatal(err)
						}
						seen[where]++
						if got := (k.Tonic.PitchClass() + capo + strings1 - detuned + 24) % 12; got != called.Tonic.PitchClass() {
							t.Errorf("%s, capo %d, %s called %s: %q sounds %d half steps above C", tuning.Name, fb.Capo, learned, called, what, got)
						}
					}
					sh := sheetOf(t, s, fb)
					for _, w := range sh.Ways {
						check("song", w.Words, w.Capo, w.Detuned, w.Shapes)
					}
					for _, w := range sh.Parts[0].Ways {
						if m := advice.FindStringSubmatch(w); m != nil {
							at, err := strconv.Atoi(m[1])
							if err != nil {
								at = fb.Capo
							}
							check("part", w, at, map[string]int{"": 0, "a half": 1, "a whole": 2}[m[2]], m[3])
						}
					}
				}
			}
		}
	}
	if seen["song"] == 0 || seen["part"] == 0 {
		t.Errorf("advice that was read: %v, want some of each", seen)
	}
}

// A bassist is offered no capo, and nothing breaks where an open root is stopped: it is
// damped as the line goes on.
func TestABassistGetsNoCapo(t *testing.T) {
	s := song("D", "Bb", "D A D G")
	s.Parts = []Part{NewPart("line.txt", "G|-----|\nD|-0-2-|\nA|-----|\nE|-----|")}
	bass := fretboard.Fretboard{Tuning: fretboard.Bass, Frets: 20}
	sh := sheetOf(t, s, bass)
	broken := s
	broken.Shapes = []string{"e-form-major"}
	if ways := sheetOf(t, broken, bass).Ways; len(ways) > 0 {
		t.Errorf("where a shape is not there: %v", ways)
	}
	if len(sh.Breaks)+len(sh.Ways)+len(sh.Parts[0].Ways)+len(sh.Parts[0].Problems) > 0 {
		t.Errorf("breaks %q, ways out %v, of the part %q %q", sh.Breaks, sh.Ways, sh.Parts[0].Problems, sh.Parts[0].Ways)
	}
}

// A song's page says which tones can stay over all its chords, in the key called tonight.
func TestASheetSaysWhichTonesStay(t *testing.T) {
	s := Song{Title: "Ropewalk", Learned: "E", Called: "G", Sections: []Section{{Chords: "1 5 6- 4"}}}
	sh, err := s.Sheet(fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}, theory.Names{})
	if err != nil || len(sh.Kept) != 2 {
		t.Fatal(sh.Kept, err)
	}
	if got := sh.Kept[1]; got.Words != "D and G stay on strings 2 and 1, at fret 3; no third in D" || len(got.Chords) != 4 || got.Chords[3] != (SheetKeptChord{"C", "x 3 2 0 3 3"}) {
		t.Errorf("%+v", got)
	}
	for _, c := range sh.Kept[0].Chords {
		if c.Frets[len(c.Frets)-1:] != "x" && c.Frets[len(c.Frets)-3:] != "0 0" {
			t.Errorf("%+v does not ring open", c)
		}
	}
}

// One chord that does not take the drones does not silence them under the rest: it is named.
func TestASheetNamesTheChordThatTakesNoDrones(t *testing.T) {
	s := Song{Title: "Tide", Learned: "D", Called: "D", Sections: []Section{{Chords: "1 2- 4 5 3-"}}}
	sh, err := s.Sheet(fretboard.Fretboard{Tuning: fretboard.DADGAD, Frets: 22}, theory.Names{})
	if err != nil || len(sh.Kept) == 0 {
		t.Fatal(sh.Kept, err)
	}
	if got := sh.Kept[0]; got.Words != "A and D ring open on strings 2 and 1; no third in A; not over F#m" || len(got.Chords) != 4 || got.Chords[1] != (SheetKeptChord{"Em", "2 2 2 0 0 0"}) {
		t.Errorf("%+v", got)
	}
}
