package drills

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// whole is the catalogue of a guitar of 22 frets with sound.
func whole() *Catalogue {
	return NewCatalogue(Setup{Neck: fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}, Sound: true})
}

// byFamily groups the items of a catalogue.
func byFamily(c *Catalogue) map[Family][]Item {
	m := map[Family][]Item{}
	for _, it := range c.Items() {
		m[it.Family] = append(m[it.Family], it)
	}
	return m
}

// candidates are answers of each kind, some of which are wrong to any question.
func candidates(q Question, strs int) []string {
	var all []string
	switch q.Expect {
	case ExpectNote:
		all = []string{"C", "F#", "Bb"}
	case ExpectFret:
		all = []string{"1", "2", "6", "10"}
	case ExpectInterval:
		all = []string{"m2", "P4", "M6"}
	case ExpectChord:
		all = []string{"Cdim7", "C#13", "F7sus4"}
		if q.Count > 0 {
			for i, c := range all {
				all[i] = strings.TrimSpace(strings.Repeat(c+" ", q.Count))
			}
		}
	case ExpectKey:
		all = []string{"C", "F#", "B"}
	case ExpectNumber:
		all = []string{"2", "4", "b7"}
	case ExpectSignature:
		all = []string{"5b", "1#"}
	case ExpectChoice:
		all = []string{"1", "2"}
	case ExpectNotes:
		all = []string{strings.TrimSpace(strings.Repeat("C ", q.Count)), strings.TrimSpace(strings.Repeat("F ", q.Count))}
	case ExpectPlaces, ExpectPath:
		for _, fret := range []int{1, 5} {
			var places []string
			for i := range q.Count {
				str := strs - i%strs
				if len(q.On) > 0 {
					str = q.On[i]
				}
				places = append(places, fmt.Sprintf("%d/%d", str, fret))
			}
			all = append(all, strings.Join(places, " "))
		}
	}
	return all
}

// A player who answers wrong is told the right answer, how to find it, and
// which places it is: 500 times in each family.
func TestTheAnswerToldAfterAMistakeIsRight(t *testing.T) {
	c := whole()
	rng := rand.New(rand.NewPCG(5, 6))
	for family, items := range byFamily(c) {
		for n := range 500 {
			q, err := c.Ask(items[n%len(items)].ID, rng)
			if err != nil {
				t.Fatal(err)
			}
			v, ok := mistake(q)
			if !ok {
				t.Fatalf("%s: %s: no candidate was judged wrong", family, q.Text)
			}
			if v.Why == "" || v.Given == "" {
				t.Errorf("%s: the feedback teaches nothing: %+v", q.Text, v)
			}
			told := []string{v.Want}
			if _, err := q.Judge(v.Want); err != nil {
				told = strings.Split(v.Want, " or ")
			}
			for _, answer := range told {
				if again, err := q.Judge(answer); err != nil || !again.Right {
					t.Errorf("%s: told %q, and %q is judged %+v, %v", q.Text, v.Want, answer, again, err)
				}
			}
		}
	}
}

// mistake finds a wrong answer to q.
func mistake(q Question) (Verdict, bool) {
	for _, answer := range candidates(q, 6) {
		if v, err := q.Judge(answer); err == nil && !v.Right {
			return v, true
		}
	}
	return Verdict{}, false
}

func TestEveryQuestionStandsAlone(t *testing.T) {
	c := whole()
	rng := rand.New(rand.NewPCG(7, 8))
	for _, it := range c.Items() {
		q, err := c.Ask(it.ID, rng)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.HasSuffix(q.Text, "?") || strings.Contains(q.Text, "\n") || strings.Contains(q.Text, "  ") {
			t.Errorf("%s asks %q: want one sentence that ends in a question mark", it.ID, q.Text)
		}
		if q.Item != it.ID || q.Family != it.Family {
			t.Errorf("%s asks as %s of %s", it.ID, q.Item, q.Family)
		}
		if len(q.Target) == 0 && it.Family != "key" {
			t.Errorf("%s has nothing to hear afterwards", it.ID)
		}
		for _, m := range q.Marks {
			if !c.setup.Neck.Has(m.At) {
				t.Errorf("%s draws %s, off the neck", it.ID, m.At.Say())
			}
		}
	}
}

func TestItemsAreDistinctAndTheirKinExist(t *testing.T) {
	for _, tuning := range fretboard.Tunings {
		c := NewCatalogue(Setup{Neck: fretboard.Fretboard{Tuning: tuning, Frets: 21}, Sound: true})
		seen := map[string]bool{}
		for _, it := range c.Items() {
			if seen[it.ID] {
				t.Errorf("%s: %s is there twice", tuning.Name, it.ID)
			}
			seen[it.ID] = true
			for _, k := range it.Kin {
				if _, ok := c.Item(k.ID); !ok || k.Weight <= 0 || k.Weight > 1 || k.ID == it.ID {
					t.Errorf("%s: %s has kin %+v", tuning.Name, it.ID, k)
				}
			}
		}
	}
}

func TestLowRootsAreMetFirst(t *testing.T) {
	for _, it := range whole().Items() {
		if it.Stage == 0 && (it.Family != "note" || it.Strings[0] < 5) {
			t.Errorf("%s is met at the very first", it.ID)
		}
		if it.Stage < 0 || it.Stage > stageTheRest {
			t.Errorf("%s is met at stage %d", it.ID, it.Stage)
		}
	}
}

func TestWithoutSoundNothingMustBeHeard(t *testing.T) {
	c := NewCatalogue(Setup{Neck: fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}})
	rng := rand.New(rand.NewPCG(9, 1))
	for _, it := range c.Items() {
		q, err := c.Ask(it.ID, rng)
		if err != nil || len(q.Heard) > 0 {
			t.Errorf("%s must be heard (%v)", it.ID, err)
		}
	}
}

// Where the fret varies, an item does not ask the same fret twice running.
func TestTheFretVaries(t *testing.T) {
	c := whole()
	rng := rand.New(rand.NewPCG(2, 3))
	for _, id := range []string{"note/E2+3/name", "interval/E2-G3+1", "shape/tenth-6-minor@E2-G3/place"} {
		texts := map[string]bool{}
		for range 40 {
			q, err := c.Ask(id, rng)
			if err != nil {
				t.Fatal(err)
			}
			texts[q.Text] = true
		}
		if len(texts) < 2 {
			t.Errorf("%s always asks %v", id, texts)
		}
	}
}

func TestKeysNarrowWhatIsAsked(t *testing.T) {
	s := standard()
	all := s.keysOf(theory.Major)
	s.OnlyKeys = true
	for _, k := range all {
		if k.String() == "Eb major" || k.String() == "Ab major" {
			s.Keys = append(s.Keys, k)
		}
	}
	c := NewCatalogue(s)
	rng := rand.New(rand.NewPCG(4, 4))
	for _, it := range c.Items() {
		q, err := c.Ask(it.ID, rng)
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Contains([]Family{"shape", "key", "walkup"}, it.Family) {
			continue
		}
		for _, k := range all {
			moved := k.Mode == theory.Major && strings.HasPrefix(q.Text, k.Tonic.String()+" to ") || strings.Contains(q.Text, " to "+k.Tonic.String()+":")
			if !slices.Contains(s.Keys, k) && (moved || strings.Contains(q.Text, " in "+k.String())) {
				t.Errorf("%s", q.Text)
			}
		}
	}
}

func TestUnknownItemsAreRefused(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	c := whole()
	for _, id := range []string{"", "note", "note/E2+99/name", "shape/nonsense@E2/place", "ear/", "walkup/1-4/sideways@E2"} {
		if _, err := c.Ask(id, rng); err == nil {
			t.Errorf("%q was asked", id)
		}
	}
}
