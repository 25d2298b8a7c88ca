package drills

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"surefret/drills/theory"
)

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
		var q Question
		for _, posed := range asked(t, c, v.id) {
			if posed.Expect == v.expect {
				q = posed
			}
		}
		if q.Text == "" {
			t.Fatalf("%s is never asked that way", v.id)
		}
		for _, answer := range append(append(v.right, v.wrong...), strings.Fields(v.alike)...) {
			got, err := q.Judge(answer)
			if err != nil || got.Right != slices.Contains(v.right, answer) || (got.Note != "") != (answer == v.alike) {
				t.Errorf("%s answered %s: %+v, %v", q.Text, answer, got, err)
			}
		}
	}
}

func TestRelativesAreAskedFromEitherSide(t *testing.T) {
	c := whole()
	eb := must(theory.ParseKey("Eb"))
	verdicts(t, c.setup.relativeOf(eb, false), map[string]bool{"Cm": true, "c": true, "C major": false, "Eb": false, "Fm": false})
	verdicts(t, c.setup.relativeOf(eb, true), map[string]bool{"Eb": true, "E flat": true, "Eb major": true, "Cm": false, "E": false})
	if texts := asked(t, c, "key/Eb major/relative"); len(texts) != 2 {
		t.Errorf("asked as %v", texts)
	}
}

// Common practice, no source: the seed of many songs, called in two keys.
func TestProgressionsAreSaidInTheKeyThatIsCalled(t *testing.T) {
	for _, v := range []struct {
		numbers, key string
		answers      map[string]bool
	}{
		{"1 5 6- 4", "Eb", map[string]bool{"Eb Bb Cm Ab": true, "Eb, Bb, Cm, Ab": true, "| Eb | Bb | Cm | Ab |": true, "E flat, B flat, C minor, A flat": true, "Eb Bb C Ab": false, "D# Bb Cm Ab": false, "Bb Eb Cm Ab": false}},
		{"1 b7 4 1", "A", map[string]bool{"A G D A": true, "A G# D A": false, "A G D E": false}},
		{"2- 5 1", "Gb", map[string]bool{"Abm Db Gb": true, "G#m C# F#": false}},
	} {
		q := must(standard().sayProgression(v.numbers, must(theory.ParseKey(v.key))))
		verdicts(t, q, v.answers)
		for _, answer := range []string{"", "Eb", "Eb Bb Cm Ab Ab", "Eb Bb Cm X", v.numbers} { // the question itself is no answer
			if verdict, err := q.Judge(answer); err == nil {
				t.Errorf("%s answered %q: %+v", q.Text, answer, verdict)
			}
		}
	}
}

// Numbers of minor keys are called in two ways: b6 from the major scale, as bands
// do, or plain 6 from the minor one. Both are taken, and the figure is explained.
func TestMinorKeysSayHowTheyCount(t *testing.T) {
	s, k := standard(), must(theory.ParseKey("Cm"))
	for number, plain := range map[string]string{"b3": "3", "b6": "6", "b7": "7", "4-": ""} {
		n := must(theory.ParseNumeral(number))
		for _, q := range []Question{s.chordOn(k, n), s.numberOf(k, n)} {
			v, _ := mistake(q, s.Names)
			both := strings.HasSuffix(v.Why, fmt.Sprintf("; it is the %s of the minor scale, and bands call it %s since they count from the major scale", plain, number))
			if both != (plain != "") {
				t.Errorf("%s: %s", q.Text, v.Why)
			}
		}
		if plain != "" {
			verdicts(t, s.numberOf(k, n), map[string]bool{number: true, plain: true})
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
		q := standard().numberOf(must(theory.ParseKey(v.key)), must(theory.ParseNumeral(v.number)))
		for answer, note := range v.answers {
			got, err := q.Judge(answer)
			if err != nil || got.Right == (note == "wrong") || got.Right && (note == "") != (got.Note == "") || got.Right && !strings.Contains(got.Note, note) {
				t.Errorf("%s answered %s: %+v, %v, want %q", q.Text, answer, got, err, note)
			}
		}
	}
}
