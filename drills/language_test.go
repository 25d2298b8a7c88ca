package drills

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// foreign matches note names of another language in a text. Degrees (b3), the
// names of forms (E form), scientific pitches and the article are no names.
var foreign = map[theory.System]*regexp.Regexp{
	theory.Solfege: regexp.MustCompile(`\b([B-H]|A[#b])(#|b|is|es)*(m|maj|dim|aug|sus|add|\d)*\b|\bH\b`),
	theory.German:  regexp.MustCompile(`\b[A-GH](#|b)|\b(Do|Re|Mi|Fa|Sol|La|Si)\b`),
	theory.English: regexp.MustCompile(`\bH\b|\b[A-H](is|es)\b|\b(Do|Re|Mi|Fa|Sol|La|Si)[#b]?\b`),
}

var noNames = regexp.MustCompile(`\b[ACDEG] form\b|\bA (a|m|p|d|o)|\bD form on`)

// wrongAnswers are answers of each kind in the player's names.
func wrongAnswers(q Question, names theory.Names, strs int) []string {
	c, f := names.Note(theory.Note{}), names.Note(theory.Note{Letter: theory.F, Alter: 1})
	n := max(q.Count, 1)
	switch q.Expect {
	case ExpectNote, ExpectKey:
		return []string{c, f}
	case ExpectNotes:
		return []string{strings.Repeat(c+" ", n), strings.Repeat(f+" ", n)}
	case ExpectChord:
		return []string{strings.Repeat(c+"7 ", n), strings.Repeat(f+"m7 ", n)}
	}
	return candidates(q, strs)
}

// In each language, on each tuning, whatever is asked: what is told after a wrong
// answer is right when it is typed back, and nothing that is said mixes languages.
func TestEveryLanguageIsReadAndWrittenAsOne(t *testing.T) {
	for _, system := range []theory.System{theory.English, theory.Solfege, theory.German} {
		names := theory.Names{System: system}
		rng := rand.New(rand.NewPCG(uint64(system), 9))
		for _, tuning := range fretboard.Tunings {
			neck := fretboard.Fretboard{Tuning: tuning, Frets: 22}
			c := NewCatalogue(Setup{Neck: neck, Names: names, Sound: true, Flats: rng.IntN(2) == 0})
			seen := map[string]bool{} // kinds of questions, each of which is sampled
			for i, it := range c.Items() {
				q, err := c.Ask(it.ID, rng)
				if err != nil {
					t.Fatal(err)
				}
				kind := fmt.Sprint(q.Family, q.Expect, q.Head != "", len(q.Marks))
				if seen[kind] && i%19 != 0 {
					continue
				}
				seen[kind] = true
				for _, answer := range wrongAnswers(q, names, tuning.Strings()) {
					v, err := q.Judge(answer)
					if err != nil && q.Expect == ExpectSignature {
						continue // a degree is no signature, nor the other way round
					}
					if err != nil {
						t.Errorf("%d, %s: %s: %q: %v", system, tuning.Name, q.Text, answer, err)
						continue
					}
					told := []string{v.Want}
					if _, err := q.Judge(v.Want); err != nil {
						told = strings.Split(v.Want, " or ")
					}
					for _, want := range told {
						if again, err := q.Judge(want); err != nil || !again.Right {
							t.Errorf("%d, %s: %s: told %q, which is judged %+v, %v", system, tuning.Name, q.Text, want, again, err)
						}
						if again, err := q.Judge(strings.ToLower(want)); err != nil || !again.Right && q.Expect != ExpectNumber {
							t.Errorf("%d, %s: %s: told %q, which is judged %+v in small letters, %v", system, tuning.Name, q.Text, want, again, err)
						}
					}
					for _, text := range []string{it.Title, q.Text, v.Given, v.Want, v.Note, v.Why, strings.Join(q.Choices, " ")} {
						if bad := foreign[system].FindString(noNames.ReplaceAllString(text, "")); bad != "" {
							t.Errorf("%d, %s: %q in %q of %s", system, tuning.Name, bad, text, it.ID)
						}
					}
					for _, m := range v.Marks { // a name on the neck is that of what sounds there
						if n, err := names.Parse(m.Label); err != nil || n.PitchClass() != neck.MIDI(m.At)%12 {
							t.Errorf("%d, %s: %s shows %q at %v, %v", system, tuning.Name, q.Text, m.Label, m.At, err)
						}
					}
				}
			}
		}
	}
}

// The trap of German: B is the B flat of others, H their B.
func TestGermanHasItsHAndB(t *testing.T) {
	s := standard()
	s.Names = theory.Names{System: theory.German}
	c := NewCatalogue(s)
	for id, answers := range map[string]map[string]bool{
		"note/E2+7/name": {"H": true, "h": true, "Ces": true, "B": false, "b": false, "Ais": false},
		"note/E2+6/name": {"B": true, "b": true, "Ais": true, "ais": true, "H": false, "Hes": true},
		"note/E2+2/name": {"Fis": true, "fis": true, "Ges": true, "F": false, "F#": true},
		"note/A2+6/name": {"Es": true, "es": true, "Dis": true, "E": false},
		"note/E2+4/name": {"As": true, "as": true, "Gis": true, "A": false},
	} {
		q, err := c.Ask(id, rand.New(rand.NewPCG(1, 1)))
		if err != nil {
			t.Fatal(err)
		}
		for answer, right := range answers {
			if v, err := q.Judge(answer); err != nil || v.Right != right {
				t.Errorf("%s answered %q: %+v, %v", q.Text, answer, v, err)
			}
		}
	}
	for key, want := range map[string]string{"key/B major/signature": "H major", "key/Bb major/signature": "B major", "key/B minor/signature": "H minor"} {
		it, ok := c.Item(key)
		if !ok || it.Title != "the signature of "+want {
			t.Errorf("%s is called %q", key, it.Title)
		}
	}
	q := c.setup.chordOn(must(theory.ParseKey("F")), must(theory.ParseNumeral("4")))
	for answer, right := range map[string]bool{"B": true, "Bb": true, "H": false} {
		if v, err := q.Judge(answer); err == nil && v.Right != right {
			t.Errorf("%s answered %q: %+v", q.Text, answer, v)
		}
	}
}
