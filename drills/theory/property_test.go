package theory_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	. "surefret/drills/theory"
)

func anyNote(t *rapid.T, label string) Note {
	return Note{
		Letter: Letter(rapid.IntRange(0, 6).Draw(t, label+" letter")),
		Alter:  rapid.IntRange(-2, 2).Draw(t, label+" alter"),
	}
}

func anyPitch(t *rapid.T, label string) Pitch {
	return Pitch{Note: anyNote(t, label), Octave: rapid.IntRange(-1, 9).Draw(t, label+" octave")}
}

func anyKey(t *rapid.T, label string) Key {
	keys := KeysOf(rapid.SampledFrom(Modes()).Draw(t, label+" mode"))
	return rapid.SampledFrom(keys).Draw(t, label)
}

func anyNames(t *rapid.T) Names {
	return Names{
		System: System(rapid.IntRange(int(English), int(German)).Draw(t, "system")),
		Signs:  rapid.Bool().Draw(t, "signs"),
	}
}

var someSuffixes = strings.Fields(`m 7 m7 maj7 mM7 m7b5 dim dim7 aug 7#5 sus2 sus4 7sus4 5 6 m6 69 9 m9 maj9 11 m11 13 m13
	add9 madd9 7b9 7#9 7#11 7b5 7alt 13b9 (b5) no5 m7no5 9sus4 7sus4b9 dim9 mM9 sus24 5add#11 maj7#11`)

func anyChord(t *rapid.T) Chord {
	suffix := rapid.SampledFrom(append(someSuffixes, "")).Draw(t, "suffix")
	c, err := ParseChord("C" + suffix)
	if err != nil {
		t.Fatal(err)
	}
	c.Root = anyNote(t, "root")
	if rapid.Bool().Draw(t, "slashed") {
		c = c.WithBass(anyNote(t, "bass"))
	}
	return c
}

func TestTransposingAndBackIsHome(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, q := anyPitch(t, "p"), anyPitch(t, "q")
		iv := Between(p, q)
		if p.Add(iv) != q || q.Add(iv.Neg()) != p {
			t.Fatalf("%v by %v is %v, and back %v", p, iv, p.Add(iv), q.Add(iv.Neg()))
		}
		if r := anyPitch(t, "r"); Between(p, q).Plus(Between(q, r)) != Between(p, r) {
			t.Fatalf("from %v over %v to %v the intervals don't add up", p, q, r)
		}
		if got := p.Add(iv).MIDI() - p.MIDI(); got != iv.Semitones {
			t.Fatalf("%v sounds %d semitones away, not %d", p.Add(iv), got, iv.Semitones)
		}
	})
}

func TestIntervalAndInversionMakeAnOctave(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		iv := Between(anyPitch(t, "p"), anyPitch(t, "q"))
		octave := Interval{Steps: 7, Semitones: 12}
		if iv.Steps < 0 || iv.Steps == 0 && iv.Semitones < 0 {
			octave = octave.Neg()
		}
		if sum := iv.Simple().Plus(iv.Invert()); sum != octave {
			t.Fatalf("%v and its inversion %v make %v", iv.Simple(), iv.Invert(), sum)
		}
		if iv.Simple().Compound() || iv.Simple().Simple() != iv.Simple() {
			t.Fatalf("the simple form of %v is %v", iv, iv.Simple())
		}
	})
}

func TestIntervalsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		iv := Between(anyPitch(t, "p"), anyPitch(t, "q"))
		if q := strings.TrimLeft(iv.String(), "-"); iv.Number() > 22 || strings.HasPrefix(q, "AAA") || strings.HasPrefix(q, "ddd") {
			t.Skip("past what is named")
		}
		for _, s := range []string{iv.String(), iv.Name()} {
			if back, err := ParseInterval(s); err != nil || back != iv {
				t.Fatalf("%q reads as %v, %v", s, back, err)
			}
		}
	})
}

func TestNotesKeysAndChordsReadBackInEverySystem(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		names := anyNames(t)
		n, k, c := anyNote(t, "note"), anyKey(t, "key"), anyChord(t)
		if back, err := names.Parse(names.Note(n)); err != nil || back != n {
			t.Fatalf("%q reads as %v, %v", names.Note(n), back, err)
		}
		if back, err := names.ParseKey(names.Key(k)); err != nil || back != k {
			t.Fatalf("%q reads as %v, %v", names.Key(k), back, err)
		}
		if back, err := names.ParseChord(names.Chord(c)); err != nil || back != c {
			t.Fatalf("%q reads as %v, %v", names.Chord(c), back, err)
		}
		p := anyPitch(t, "pitch")
		if back, err := ParsePitch(p.String()); err != nil || back != p {
			t.Fatalf("%q reads as %v, %v", p, back, err)
		}
		if back, err := ParseKey(k.Short()); err != nil || back != k {
			t.Fatalf("%q reads as %v, %v", k.Short(), back, err)
		}
	})
}

func TestNumeralsReadBackAndMeanTheChord(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k, c := anyKey(t, "key"), anyChord(t)
		n := k.Numeral(c)
		if k.Chord(n) != c {
			t.Fatalf("%v in %v is %v, which is %v", c, k, n, k.Chord(n))
		}
		if d, bass := n.Degree, n.Bass(); d.Alter < -2 || d.Alter > 2 || bass.Alter < -2 || bass.Alter > 2 {
			t.Skip("past double accidentals")
		}
		for _, s := range []string{n.Number(), n.Roman()} {
			if back, err := ParseNumeral(s); err != nil || back != n {
				t.Fatalf("%v in %v prints as %q, which reads as %v, %v", c, k, s, back, err)
			}
		}
	})
}

func TestMovingAProgressionKeepsItsNumbers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := anyKey(t, "from")
		to := rapid.SampledFrom(KeysOf(from.Mode)).Draw(t, "to")
		p := append(Progression(from.Triads()), from.Sevenths()...)
		moved := p.Move(from, to)
		if moved.Romans(to) != p.Romans(from) {
			t.Fatalf("%v in %v became %v in %v", p.Romans(from), from, moved.Romans(to), to)
		}
		if back := moved.Move(to, from); back.String() != p.String() {
			t.Fatalf("%v came back as %v", p, back)
		}
		for _, c := range moved {
			for _, n := range c.Notes() {
				if !to.Contains(n) {
					t.Fatalf("%v of %v is foreign to %v", n, c, to)
				}
			}
		}
	})
}

func TestSpellingKeepsTheSoundAndTheScale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k, midi := anyKey(t, "key"), rapid.IntRange(0, 127).Draw(t, "midi")
		p := Spell(midi, k)
		if p.MIDI() != midi || p.Alter < -2 || p.Alter > 2 {
			t.Fatalf("key %d in %v is spelled %v, key %d", midi, k, p, p.MIDI())
		}
		for _, n := range k.Scale() {
			if n.PitchClass() == p.PitchClass() && n != p.Note {
				t.Fatalf("%v has %v, spelled %v", k, n, p)
			}
		}
		for _, flats := range []bool{false, true} {
			if q := FromMIDI(midi, flats); q.MIDI() != midi || q.Alter > 1 || q.Alter < -1 || (q.Alter > 0) == flats && q.Alter != 0 {
				t.Fatalf("key %d is spelled %v", midi, q)
			}
		}
		line := SpellLine([]int{midi, midi + 1, midi + 2, midi + 1}, k)
		for i, want := range []int{midi, midi + 1, midi + 2, midi + 1} {
			if line[i].MIDI() != want {
				t.Fatalf("the line %v in %v does not sound as given", line, k)
			}
		}
	})
}

func TestKeysStandInTheirCircle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := anyKey(t, "key")
		if err := k.Check(); err != nil {
			t.Fatal(err)
		}
		below, above := k.Neighbours()
		for _, n := range []Key{below, above} {
			if n.Check() != nil || n.Mode != k.Mode {
				t.Fatalf("a neighbour of %v is %v", k, n)
			}
		}
		if !above.Tonic.Enharmonic(k.Tonic.Add(Interval{Steps: 4, Semitones: 7})) || !below.Tonic.Enharmonic(k.Tonic.Add(Interval{Steps: 3, Semitones: 5})) {
			t.Fatalf("the neighbours of %v are %v and %v", k, below, above)
		}
		if r := k.Relative(); r.Signature() != k.Signature() || (k.Mode == Major || k.Mode == Minor) && r.Relative() != k {
			t.Fatalf("the relative of %v is %v", k, r)
		}
		if len(k.Accidentals()) != max(k.Signature(), -k.Signature()) {
			t.Fatalf("%v has the signature %v", k, k.Accidentals())
		}
		if e, ok := k.Enharmonic(); ok && (!e.Tonic.Enharmonic(k.Tonic) || e == k || e.Check() != nil) {
			t.Fatalf("%v is enharmonic to %v", k, e)
		}
		flats := rapid.Bool().Draw(t, "flats")
		s := SimplestKey(k.Tonic.PitchClass(), k.Mode, flats)
		if !s.Tonic.Enharmonic(k.Tonic) || max(s.Signature(), -s.Signature()) > 6 {
			t.Fatalf("the simplest spelling of %v is %v", k, s)
		}
		if (s.Signature() == 6 && flats) || (s.Signature() == -6 && !flats) {
			t.Fatalf("%v stands against the choice, flats %t", s, flats)
		}
	})
}

func TestAChordIsAmongItsOwnNames(t *testing.T) {
	for _, suffix := range strings.Fields("m 7 m7 maj7 mM7 m7b5 dim dim7 aug sus4 7sus4 5 6 m6 9 m9 maj9 add9 7b9 7#9 m7no5 13") {
		for _, root := range strings.Fields("C Db D Eb E F F# G Ab A Bb B") {
			c := mustChord(t, root+suffix)
			if names := ChordsOf(c.Notes()...); len(names) == 0 || names[0] != c {
				t.Errorf("the notes of %v, %s, are named %v", c, words(c.Notes()), names)
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		var notes []Note
		for range rapid.IntRange(0, 8).Draw(t, "notes") {
			notes = append(notes, anyNote(t, "note"))
		}
		for _, c := range ChordsOf(notes...) {
			if !c.Bass().Enharmonic(notes[0]) {
				t.Fatalf("%v over %v", c, notes[0])
			}
			given := map[int]bool{}
			for _, n := range notes {
				given[n.PitchClass()] = true
			}
			for _, n := range c.Notes() {
				if !given[n.PitchClass()] {
					t.Fatalf("%v for %v sounds %v", c, notes, n)
				}
				delete(given, n.PitchClass())
			}
			if len(given) != 0 {
				t.Fatalf("%v leaves %v out of %v", c, given, notes)
			}
		}
	})
}
