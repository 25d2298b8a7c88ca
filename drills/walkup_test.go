package drills

import (
	"slices"
	"strings"
	"testing"

	"surefret/drills/theory"
)

// walkIn asks for the notes of a motion in a key.
func walkIn(t *testing.T, id, key string) Question {
	t.Helper()
	s := standard()
	for _, m := range motions {
		if s.motionID(m) == "walkup/"+id+"@E2-A2-D3" {
			k := must(theory.ParseKey(key))
			return s.walkNotes(m, k, must(s.line(m, k)))
		}
	}
	t.Fatalf("no motion %s", id)
	return Question{}
}

// Common practice, no source. E major has no F##, and a bass goes round the
// augmented second of a harmonic minor.
func TestWalksAreSpelledAsTheyGo(t *testing.T) {
	for _, v := range []struct{ id, key, want, other, note string }{
		{"1-4/up-chromatic", "E", "E G G# A", "E Fx G# A", "on the way to G# it is called G"},
		{"1-4/up-chromatic", "E", "E G G# A", "E G Ab A", "the key spells it this way"},
		{"1-4/up-chromatic", "A", "A C C# D", "A B# C# D", "on the way to C# it is called C"},
		{"1-4/up-chromatic", "G", "G A# B C", "G Bb B C", "on the way to B it is called A#"},
		{"4-5/up", "C", "F F# G", "F Gb G", "on the way to G it is called F#"},
		{"5-6/up", "F#", "C# D D#", "C# Cx D#", "on the way to D# it is called D"},
		{"5-1/up-minor", "A minor", "E F# G# A", "E F# Ab A", "the key spells it this way"},
		{"1-6/down", "Eb", "Eb D C", "D# D C", "the key spells it this way"},
	} {
		q := walkIn(t, v.id, v.key)
		got, err := q.Judge(v.want)
		if err != nil || !got.Right || got.Want != v.want || got.Note != "" {
			t.Errorf("%s: %+v, %v, want %s", q.Text, got, err, v.want)
		}
		if got, err := q.Judge(v.other); err != nil || !got.Right || got.Note != v.note {
			t.Errorf("%s answered %s: %+v, %v, want the note %q", q.Text, v.other, got, err, v.note)
		}
	}
}

// Whatever is walked: no note has two accidentals that its scale does not have, and
// the key is said to spell those alone that are in it.
func TestTheNoteOnASpellingIsTrue(t *testing.T) {
	s := standard()
	rng := seeded(2)
	for _, m := range motions {
		for _, k := range s.keysOf(m.mode) {
			line, err := s.line(m, k)
			if err != nil {
				continue
			}
			scale := k.Scale()
			if m.leading() {
				scale = append(scale, theory.Key{Tonic: k.Tonic, Mode: theory.MelodicMinor}.Scale()...)
			}
			want := line.Notes()
			i := rng.IntN(len(want))
			if inKey := slices.Contains(scale, want[i]); !inKey && abs(want[i].Alter) > 1 {
				t.Errorf("%s in %s has %s", m.say(), k, want[i])
			} else if note := s.whySpelled(m.scale(k), want, i); i < len(want)-1 && strings.HasPrefix(note, "the key") != inKey {
				t.Errorf("%s in %s, %s: %s", m.say(), k, want[i], note)
			}
		}
	}
}

// Any fingering will do that sounds the right notes in their order.
func TestAWalkMayTakeOtherStrings(t *testing.T) {
	s, g := standard(), must(theory.ParseKey("G"))
	q := s.walkPlaces(motions[0], g, must(s.line(motions[0], g)))
	verdicts(t, q, map[string]bool{
		"6/3 5/0 5/2 5/3": true, "6/3 6/5 6/7 6/8": true, "5/3 5/2 5/0 6/3": false,
		"6/3 5/0 5/2 4/10": false, // an octave too high
	})
}

// The numbers of a walk are the same in every key, however the key spells its notes.
func TestAWalkHasTheSameNumbersInEveryKey(t *testing.T) {
	s := standard()
	for _, m := range motions {
		said := map[string]theory.Key{}
		for _, k := range s.walkKeys(m) {
			if line, err := s.line(m, k); err == nil {
				said[s.degrees(k, line.Notes())] = k
			}
		}
		if len(said) != 1 {
			t.Errorf("%s: %v", m.say(), said)
		}
	}
}
