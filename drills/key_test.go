package drills

import (
	"math/rand/v2"
	"strings"
	"testing"

	"surefret/drills/theory"
)

// posings asks an item until it has been put in every way it knows.
func posings(t *testing.T, c *Catalogue, id string) map[Expect]Question {
	t.Helper()
	ways := map[Expect]Question{}
	for seed := range uint64(64) {
		q, err := c.Ask(id, rand.New(rand.NewPCG(seed, 0)))
		if err != nil {
			t.Fatal(err)
		}
		ways[q.Expect] = q
	}
	return ways
}

func parseKey(t *testing.T, s string) theory.Key {
	t.Helper()
	k, err := theory.ParseKey(s)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// Handbook facts (the same as in the tests of theory), each both ways round. An
// answer that sounds the same is spelled wrong, and told so.
func TestKeysAreAskedBothWaysRound(t *testing.T) {
	c := whole()
	for _, v := range []struct {
		id           string
		expect       Expect
		right, wrong []string
		alike        string // sounds the same, and is wrong
	}{
		{"key/Eb major/signature", ExpectSignature, []string{"3b", "3 flats"}, []string{"2b", "4b", "3#", "0"}, ""},
		{"key/Eb major/signature", ExpectKey, []string{"Eb", "Eb major"}, []string{"E", "Bb", "Cm", "Eb minor"}, "D#"},
		{"key/C major/signature", ExpectSignature, []string{"0", "none"}, []string{"1#", "1b"}, ""},
		{"key/C# minor/signature", ExpectSignature, []string{"4#"}, []string{"4b", "5#", "3#"}, ""},
		{"key/F# major/signature", ExpectKey, []string{"F#"}, []string{"B", "C#", "F"}, "Gb"},
		{"key/Eb major/4", ExpectChord, []string{"Ab"}, []string{"Abm", "A", "Eb", "Bb"}, "G#"},
		{"key/Eb major/4", ExpectNumber, []string{"4", "IV"}, []string{"5", "4-", "iv", "b4", "#4"}, ""},
		{"key/D major/6-", ExpectChord, []string{"Bm"}, []string{"B", "Bm7", "F#m"}, "Cbm"},
		{"key/D major/6-", ExpectNumber, []string{"6-", "6m", "vi", "6"}, []string{"b6", "2-", "3-", "1-"}, ""},
		{"key/C minor/b6", ExpectNumber, []string{"b6", "6", "bVI", "VI"}, []string{"b6-", "5", "b7", "7"}, ""},
		{"key/C minor/b6", ExpectChord, []string{"Ab"}, []string{"A", "Abm"}, "G#"},
	} {
		q, ok := posings(t, c, v.id)[v.expect]
		if !ok {
			t.Errorf("%s is never asked that way", v.id)
			continue
		}
		for _, answer := range v.right {
			if verdict, err := q.Judge(answer); err != nil || !verdict.Right || verdict.Note != "" {
				t.Errorf("%s answered %s: %+v, %v", q.Text, answer, verdict, err)
			}
		}
		for _, answer := range v.wrong {
			if verdict, err := q.Judge(answer); err != nil || verdict.Right || verdict.Note != "" {
				t.Errorf("%s answered %s: %+v, %v", q.Text, answer, verdict, err)
			}
		}
		if v.alike == "" {
			continue
		}
		if verdict, err := q.Judge(v.alike); err != nil || verdict.Right || verdict.Note == "" {
			t.Errorf("%s answered %s, which sounds the same: %+v, %v", q.Text, v.alike, verdict, err)
		}
	}
}

func TestRelativesAreAskedFromEitherSide(t *testing.T) {
	c := whole()
	s := c.setup
	for _, v := range []struct {
		back   bool
		answer string
		right  bool
	}{
		{false, "Cm", true}, {false, "c", true}, {false, "C major", false}, {false, "Eb", false}, {false, "Fm", false},
		{true, "Eb", true}, {true, "Eb major", true}, {true, "Cm", false}, {true, "E", false},
	} {
		q := s.relativeOf(parseKey(t, "Eb"), v.back)
		if verdict, err := q.Judge(v.answer); err != nil || verdict.Right != v.right {
			t.Errorf("%s answered %s: %+v, %v", q.Text, v.answer, verdict, err)
		}
	}
	texts := map[string]bool{}
	for seed := range uint64(16) {
		q, err := c.Ask("key/Eb major/relative", rand.New(rand.NewPCG(seed, 0)))
		if err != nil {
			t.Fatal(err)
		}
		texts[q.Text] = true
	}
	if len(texts) != 2 {
		t.Errorf("asked as %v", texts)
	}
}

// Common practice, no source: the seed of many songs, called in two keys.
func TestProgressionsAreSaidInTheKeyThatIsCalled(t *testing.T) {
	for _, v := range []struct {
		numbers, key string
		right        []string
		wrong        []string
	}{
		{"1 5 6- 4", "Eb", []string{"Eb Bb Cm Ab", "Eb, Bb, Cm, Ab", "| Eb | Bb | Cm | Ab |"}, []string{"Eb Bb C Ab", "D# Bb Cm Ab", "Bb Eb Cm Ab"}},
		{"1 b7 4 1", "A", []string{"A G D A"}, []string{"A G# D A", "A G D E"}},
		{"2- 5 1", "Gb", []string{"Abm Db Gb"}, []string{"G#m C# F#"}},
	} {
		q, err := standard().sayProgression(v.numbers, parseKey(t, v.key))
		if err != nil {
			t.Fatal(err)
		}
		for _, answer := range v.right {
			if verdict, err := q.Judge(answer); err != nil || !verdict.Right {
				t.Errorf("%s answered %s: %+v, %v", q.Text, answer, verdict, err)
			}
		}
		for _, answer := range v.wrong {
			if verdict, err := q.Judge(answer); err != nil || verdict.Right {
				t.Errorf("%s answered %s: %+v, %v", q.Text, answer, verdict, err)
			}
		}
		for _, answer := range []string{"", "Eb", "Eb Bb Cm Ab Ab", "Eb Bb Cm X"} {
			if verdict, err := q.Judge(answer); err == nil {
				t.Errorf("%s answered %q: %+v", q.Text, answer, verdict)
			}
		}
	}
}

// Common practice, no source: numerals all in capitals, and a minor key counted from
// its relative major, are ways of other bands. They are right, and told.
func TestOtherTrueNumbersCountWithANote(t *testing.T) {
	for _, v := range []struct {
		number, key string
		answers     map[string]string // what the note says of it, "" for none
	}{
		{"5-", "A minor", map[string]string{"5-": "", "v": "", "5": "", "V": "written small: v", "3-": "counts from C; from A it is the 5-", "iii": "counts from C", "3": "counts from C", "4-": "wrong", "5-7": "wrong"}},
		{"b3", "A minor", map[string]string{"b3": "", "3": "", "III": "", "1": "counts from C", "I": "counts from C", "1-": "wrong", "iii": "wrong"}},
		{"6-", "D", map[string]string{"VI": "written small: vi", "b6": "wrong", "1-": "wrong"}},
		{"4", "D", map[string]string{"IV": "", "iv": "wrong"}},
	} {
		q := standard().numberOf(parseKey(t, v.key), must(theory.ParseNumeral(v.number)))
		for answer, note := range v.answers {
			got, err := q.Judge(answer)
			if err != nil || got.Right == (note == "wrong") || got.Right && (note == "") != (got.Note == "") || got.Right && !strings.Contains(got.Note, note) {
				t.Errorf("%s answered %s: %+v, %v, want %q", q.Text, answer, got, err, note)
			}
		}
	}
}
