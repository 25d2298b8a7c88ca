package drills

import (
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// A chord that is asked or wanted without a key has the root of fewest accidentals,
// and of two such the one whose tones have fewer; none has two.
func TestChordsWithoutAKeyAreSpelledPlainly(t *testing.T) {
	c := whole()
	rng := seeded(6)
	signs := func(c theory.Chord) (n int) {
		for _, note := range c.Notes() {
			n += abs(note.Alter)
			if abs(note.Alter) > 1 {
				n += 100
			}
		}
		return n
	}
	seen := 0
	for _, it := range c.Items() {
		if it.Family != "shape" || strings.HasPrefix(it.ID, "shape/held") || strings.HasPrefix(it.ID, "shape/kept") { // spelled from the note that is held
			continue
		}
		name, _, _ := strings.Cut(strings.TrimPrefix(it.ID, "shape/"), "@")
		isChord := must(fretboard.Shape(name)).Kind == fretboard.KindChord
		for range 4 {
			q, err := c.Ask(it.ID, rng)
			if err != nil {
				t.Fatal(err)
			}
			name, _, _ := strings.Cut(q.Text, ":")
			if q.Expect == ExpectChord {
				v, _ := mistake(q, c.setup.Names)
				name = v.Want
			}
			chord, err := theory.ParseChord(name)
			if err != nil || !isChord && q.Expect != ExpectChord {
				continue // a move between two keys, or a root alone
			}
			seen++
			for _, flats := range []bool{false, true} {
				other := theory.Chord{Root: theory.FromMIDI(60+chord.Root.PitchClass(), flats).Note, Quality: chord.Quality, Over: chord.Over}
				if abs(chord.Root.Alter) > abs(other.Root.Alter) || signs(chord) > signs(other) {
					t.Errorf("%s: %s, which is %s", q.Text, chord, other)
				}
			}
		}
	}
	if seen < 500 {
		t.Errorf("only %d chords were seen", seen)
	}
}

// Common practice, no source: a chart that wants C in the bass writes F/A otherwise
// than F.
func TestAToneInTheBassIsTheChordsName(t *testing.T) {
	c := whole()
	for name, tone := range map[string]string{
		"over-third-6-major@E2-D3-G3-B3": "third", "over-third-5-minor@A2-D3-G3-B3": "third", "over-fifth-5-minor@A2-D3-G3-B3-E4": "fifth",
	} {
		q, err := c.Ask("shape/"+name+"/read", seeded(1))
		if err != nil {
			t.Fatal(err)
		}
		v, _ := mistake(q, c.setup.Names)
		plain, bass, slashed := strings.Cut(v.Want, "/")
		if !slashed {
			t.Fatalf("%s wants %s", q.Text, v.Want)
		}
		if v, err := q.Judge(plain); err != nil || v.Right || v.Note != "not quite: its "+tone+", "+bass+", is in the bass" {
			t.Errorf("%s answered %s: %+v, %v", q.Text, plain, v, err)
		}
		if v, err := q.Judge(v.Want); err != nil || !v.Right || v.Note != "" {
			t.Errorf("%s answered %s: %+v, %v", q.Text, v.Want, v, err)
		}
	}
	q, err := c.Ask("shape/triad-321-major-first@G3-B3-E4/read", seeded(1))
	if err != nil {
		t.Fatal(err)
	}
	v, _ := mistake(q, c.setup.Names)
	if plain, _, _ := strings.Cut(v.Want, "/"); !judged(t, q, plain) {
		t.Errorf("%s: a triad goes by %s whatever its inversion", q.Text, plain)
	}
}

// A shape is asked on the numbers of a key that have all its tones: a minor chord on 2 3
// and 6, a minor tenth on 7 too, a dominant seventh on 5 alone (Open Music Theory, Roman
// numerals and seventh chords). A diminished triad stands on 7; an augmented one, of which
// no major key has all tones, where its third is in the key. Held tones are those of the key.
func TestAShapeStandsWhereItsTonesAreInTheKey(t *testing.T) {
	s := standard()
	s.OnlyKeys, s.Keys = true, []theory.Key{must(theory.ParseKey("G"))}
	for id, roots := range map[string]string{
		"e-form-minor@E2-A2-D3-G3-B3-E4": "Am Bm Em", "tenth-6-minor@E2-G3": "A B E F#", "tenth-6-major@E2-G3": "C D G",
		"e-form-7@E2-A2-D3-G3-B3-E4": "D7", "a-form-maj7@A2-D3-G3-B3-E4": "Cmaj7 Gmaj7", "a-form-m7@A2-D3-G3-B3-E4": "Am7 Bm7 Em7",
	} {
		seen := map[string]bool{}
		for text := range asked(t, NewCatalogue(s), "shape/"+id+"/place") {
			root, _, _ := strings.Cut(text, " in the")
			if _, on, ok := strings.Cut(text, " on "); ok {
				root, _, _ = strings.Cut(on, ",")
			}
			seen[root] = true
		}
		if got := strings.Join(slices.Sorted(maps.Keys(seen)), " "); got != roots {
			t.Errorf("%s stands on %s, want %s", id, got, roots)
		}
	}
}

// Held tones are those of the key: the shape moves with its keynote.
func TestHeldTonesAreThoseOfTheKey(t *testing.T) {
	moved := regexp.MustCompile(`keynote at string (\d), fret (\d+), in (\S+)\. `)
	seen := 0
	for _, it := range whole().Items() {
		if !strings.HasPrefix(it.ID, "shape/held") {
			continue
		}
		for text := range asked(t, whole(), it.ID) {
			if m := moved.FindStringSubmatch(text); m != nil {
				seen++
				at := fretboard.Position{String: must(strconv.Atoi(m[1])), Fret: must(strconv.Atoi(m[2]))}
				if standard().Neck.MIDI(at)%12 != must(theory.ParseNote(m[3])).PitchClass() {
					t.Errorf("%s: %s", it.ID, text)
				}
			}
		}
	}
	if seen < 50 {
		t.Errorf("only %d moves were seen", seen)
	}
}

// Common practice, no source: a band says F for E#, and Abm for G#m where it must but
// never Gbm/Bbb. Not even where nothing but F# is asked.
func TestNobodyIsAskedForAChordThatNobodySays(t *testing.T) {
	odd := regexp.MustCompile(`\b([EB]#|[CF]b|[A-G](##|x|bb))`)
	s := standard()
	s.OnlyKeys, s.Keys = true, []theory.Key{must(theory.ParseKey("F#")), must(theory.ParseKey("Gb"))}
	for _, c := range []*Catalogue{whole(), NewCatalogue(s)} {
		rng := seeded(5)
		for i := range 4 * len(c.Items()) {
			it := c.Items()[i%len(c.Items())]
			if it.Family != "shape" {
				continue
			}
			q := must(c.Ask(it.ID, rng))
			v, _ := mistake(q, theory.Names{})
			name, _, _ := strings.Cut(q.Text, ": ")
			root := regexp.MustCompile(`^[A-G]\S*|on [A-G]\S*,`).FindString(name)
			if q.Expect == ExpectChord {
				root = v.Want
			}
			if odd.MatchString(root) {
				t.Errorf("%s wants %s", q.Text, v.Want)
			}
		}
	}
}

// Where the right note is no answer, since the shape would leave the neck, that is said:
// not that it is the chord, or the key, that was asked for. And no other chord is said
// to be where it cannot be held.
func TestARootWithoutRoomForItsShapeIsSaidToBeOne(t *testing.T) {
	s, c := standard(), theory.Note{Letter: theory.A}
	r := must(fretboard.Shape("triad-543-diminished-root"))
	in := func(root string, key string) call {
		return call{root: must(theory.ParseNote(root)), key: must(theory.ParseKey(key))}
	}
	for _, v := range []struct {
		q        Question
		fret, is string
	}{
		{s.placeRoot(r, call{root: c}), "0", "the open string 5 is A, but the shape cannot be played there"},
		{s.placeRoot(r, call{root: c}), "1", "fret 1 is A#"},
		{s.placeRoot(r, call{root: c}), "4", "fret 4 is C#: the shape there is C#dim"},
		{s.moveShape(r, in("E", "F"), in("A", "Bb")), "0", "the open string 5 is A, but the shape cannot be played there"},
		{s.moveShape(r, in("E", "F"), in("A", "Bb")), "11", "fret 11 would be the key of A"},
	} {
		if got, err := v.q.Judge(v.fret); err != nil || got.Right || got.is != v.is {
			t.Errorf("%s answered %s: %q, %v, want %q", v.q.Text, v.fret, got.is, err, v.is)
		}
	}
}
