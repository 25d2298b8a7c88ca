package theory

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func anyNote(t *rapid.T, label string) Note {
	return Note{Letter(rapid.IntRange(0, 6).Draw(t, label+" letter")), rapid.IntRange(-2, 2).Draw(t, label+" alter")}
}

func anyPitch(t *rapid.T, label string) Pitch {
	return Pitch{anyNote(t, label), rapid.IntRange(-1, 9).Draw(t, label+" octave")}
}

func anyKey(t *rapid.T, label string) Key {
	keys := KeysOf(Mode(rapid.IntRange(0, len(modes)-1).Draw(t, label+" mode")))
	return rapid.SampledFrom(keys).Draw(t, label)
}

var someSuffixes = append(strings.Fields(`m 7 m7 maj7 mM7 m7b5 dim dim7 aug 7#5 sus2 sus4 7sus4 5 6 m6 69 9 m9 maj9 11 m11 13 m13
	add9 madd9 7b9 7#9 7#11 7b5 7alt 13b9 (b5) no5 m7no5 9sus4 7sus4b9 dim9 mM9 sus24 5add#11 maj7#11`), "")

func anyChord(t *rapid.T) Chord {
	c, err := ParseChord("C" + rapid.SampledFrom(someSuffixes).Draw(t, "suffix"))
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
		p, q, r := anyPitch(t, "p"), anyPitch(t, "q"), anyPitch(t, "r")
		iv := Between(p, q)
		if p.Add(iv) != q || q.Add(iv.Neg()) != p || q.MIDI()-p.MIDI() != iv.Semitones {
			t.Fatalf("%v by %v is %v, and back %v", p, iv, p.Add(iv), q.Add(iv.Neg()))
		}
		if iv.Plus(Between(q, r)) != Between(p, r) {
			t.Fatalf("from %v over %v to %v the intervals don't add up", p, q, r)
		}
		if s := iv.Simple(); abs(s.Steps) > 7 || s.Simple() != s || (iv.Steps-s.Steps)%7 != 0 || 12*(iv.Steps-s.Steps) != 7*(iv.Semitones-s.Semitones) {
			t.Fatalf("the simple form of %v is %v", iv, s)
		}
	})
}

// What is printed reads back as itself, whatever the names.
func TestWhatIsPrintedReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		names := Names{System(rapid.IntRange(int(English), int(German)).Draw(t, "system"))}
		n, k, c, p := anyNote(t, "note"), anyKey(t, "key"), anyChord(t), anyPitch(t, "pitch")
		readBack(t, names.Note(n), n, names.Parse)
		readBack(t, names.Key(k), k, names.ParseKey)
		readBack(t, names.Chord(c), c, names.ParseChord)
		readBack(t, p.String(), p, ParsePitch)
		readBack(t, k.Short(), k, ParseKey)
		iv := Between(p, anyPitch(t, "q"))
		if iv.number() <= 22 && abs(iv.over()) <= 2 {
			readBack(t, iv.String(), iv, ParseInterval)
			readBack(t, iv.Name(), iv, ParseInterval)
		}
		numeral := k.Numeral(c)
		if k.Chord(numeral) != c {
			t.Fatalf("%v in %v is %s, which is %v", c, k, numeral.Roman(), k.Chord(numeral))
		}
		if abs(numeral.Alter) <= 2 && abs(numeral.bass().Alter) <= 2 { // past double accidentals there is nothing to read
			readBack(t, numeral.Number(), numeral, ParseNumeral)
			readBack(t, numeral.Roman(), numeral, ParseNumeral)
		}
	})
}

func readBack[T comparable](t rapid.TB, s string, v T, read func(string) (T, error)) {
	if back, err := read(s); err != nil || back != v {
		t.Fatalf("%v prints as %q, which reads as %v, %v", v, s, back, err)
	}
}

func TestMovingAProgressionKeepsItsNumbers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := anyKey(t, "from")
		to := rapid.SampledFrom(KeysOf(from.Mode)).Draw(t, "to")
		p := Progression(from.Triads())
		for i, c := range p.Move(from, to) {
			if to.Numeral(c) != from.Numeral(p[i]) {
				t.Fatalf("%v in %v became %v in %v", p[i], from, c, to)
			}
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
		if p.MIDI() != midi || abs(p.Alter) > 2 {
			t.Fatalf("key %d in %v is spelled %v, key %d", midi, k, p, p.MIDI())
		}
		for _, n := range k.Scale() {
			if n.PitchClass() == p.PitchClass() && n != p.Note {
				t.Fatalf("%v has %v, spelled %v", k, n, p)
			}
		}
		for i, way := range []int{0, 1, 2, 1, 0, -1, 0} {
			if got := SpellLine([]int{midi, midi + 1, midi + 2, midi + 1, midi, midi - 1, midi}, k)[i]; got.MIDI() != midi+way {
				t.Fatalf("note %d of a line in %v is %v", i, k, got)
			}
		}
	})
}
