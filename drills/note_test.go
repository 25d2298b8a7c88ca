package drills

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// standard is a guitar of 22 frets in standard tuning.
func standard() Setup {
	return NewCatalogue(Setup{Neck: fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}}).setup
}

// Common practice, no source: places that every player of the low strings
// knows, and the ones that players of triads on the top strings know.
var knownPlaces = []struct {
	str, fret int
	note      string
}{
	{6, 3, "G"}, {6, 5, "A"}, {6, 7, "B"}, {6, 10, "D"},
	{2, 15, "D"}, {2, 14, "C#"}, {2, 17, "E"}, {2, 19, "F#"}, {2, 20, "G"},
	{3, 16, "B"}, {3, 14, "A"},
	{1, 10, "D"}, {1, 12, "E"}, {1, 14, "F#"},
	{4, 9, "B"}, {4, 7, "A"}, {4, 5, "G"}, {4, 4, "F#"}, {4, 2, "E"},
}

func TestNamingTheKnownPlaces(t *testing.T) {
	s := standard()
	for _, p := range knownPlaces {
		q := s.nameQuestion(fretboard.Position{String: p.str, Fret: p.fret})
		v, err := q.Judge(p.note)
		if err != nil || !v.Right || v.Want != p.note {
			t.Errorf("string %d fret %d: judging %s gave %+v, %v; want it right", p.str, p.fret, p.note, v, err)
		}
	}
}

// The solver knows only what a book of theory says: the open strings and the
// twelve semitones. It must be right on every item, every time it is posed.
func TestASolverFromTheTextbookIsAlwaysRight(t *testing.T) {
	c := NewCatalogue(standard())
	rapid.Check(t, func(rt *rapid.T) {
		item := rapid.SampledFrom(noteItems(c)).Draw(rt, "item")
		q, err := c.Ask(item.ID, rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 0)))
		if err != nil {
			rt.Fatal(err)
		}
		v, err := q.Judge(solveNote(q.Text))
		if err != nil || !v.Right {
			rt.Fatalf("%s answered %s: %+v, %v", q.Text, solveNote(q.Text), v, err)
		}
	})
}

func TestAnItemNeverHasTwoRightAnswers(t *testing.T) {
	s := standard()
	dropD := standard()
	dropD.Neck.Tuning = fretboard.DropD
	answers := map[string]string{}
	for _, setup := range []Setup{s, dropD} {
		c := NewCatalogue(setup)
		for seed := range uint64(8) {
			for _, item := range noteItems(c) {
				q, err := c.Ask(item.ID, rand.New(rand.NewPCG(seed, 0)))
				if err != nil {
					t.Fatal(err)
				}
				v, err := q.Judge(map[Expect]string{ExpectNote: "C", ExpectFret: "0"}[q.Expect])
				if err != nil {
					t.Fatal(err)
				}
				if old, ok := answers[item.ID]; ok && old != v.Want {
					t.Errorf("%s wants %s and %s", item.ID, old, v.Want)
				}
				answers[item.ID] = v.Want
			}
		}
	}
}

func TestUnreadableAnswersDecideNothing(t *testing.T) {
	s := standard()
	q := s.nameQuestion(fretboard.Position{String: 6, Fret: 3})
	for _, text := range []string{"", "H", "G###", "7", "string 6"} {
		if _, err := q.Judge(text); err == nil {
			t.Errorf("%q was taken for a note", text)
		}
	}
	q, _ = NewCatalogue(s).Ask("note/E2+3/find", rand.New(rand.NewPCG(1, 1)))
	for _, text := range []string{"", "G", "23", "-1", "3.5"} {
		if _, err := q.Judge(text); err == nil {
			t.Errorf("%q was taken for a fret of a neck of 22", text)
		}
	}
}

func TestFretsNarrowWhatIsAsked(t *testing.T) {
	s := standard()
	s.Frets = [2]int{5, 9}
	c := NewCatalogue(s)
	for _, item := range noteItems(c) {
		q, err := c.Ask(item.ID, rand.New(rand.NewPCG(3, 3)))
		if err != nil {
			t.Fatal(err)
		}
		if f := q.fretAsked(); f >= 0 && (f < 5 || f > 9) {
			t.Errorf("%s asks outside frets 5 to 9", q.Text)
		}
	}
}

// fretAsked is the fret shown by a question, -1 where none is.
func (q Question) fretAsked() int {
	if len(q.Marks) == 0 {
		return -1
	}
	return q.Marks[0].At.Fret
}

func noteItems(c *Catalogue) []Item {
	var items []Item
	for _, it := range c.Items() {
		if it.Family == "note" && (strings.HasSuffix(it.ID, "/name") || strings.HasSuffix(it.ID, "/find")) {
			items = append(items, it)
		}
	}
	return items
}

// solveNote answers a question from its sentence alone.
func solveNote(text string) string {
	open := map[int]string{6: "E", 5: "A", 4: "D", 3: "G", 2: "B", 1: "E"}
	chromatic := []string{"C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"}
	semitone := func(name string) int {
		n, err := theory.ParseNote(name)
		if err != nil {
			panic(err)
		}
		return n.PitchClass()
	}
	var str, fret int
	var note string
	if _, err := fmt.Sscanf(text, "String %d, fret %d: which note?", &str, &fret); err == nil {
		return chromatic[(semitone(open[str])+fret)%12]
	}
	if _, err := fmt.Sscanf(text, "String %d, open: which note?", &str); err == nil {
		return open[str]
	}
	if _, err := fmt.Sscanf(text, "%s on string %d: which fret?", &note, &str); err == nil {
		return fmt.Sprint((semitone(note) - semitone(open[str]) + 12) % 12)
	}
	panic("a question that the solver does not know: " + text)
}

func TestTheLowerPlaceIsAskedFourTimesInFive(t *testing.T) {
	c, low, rng := NewCatalogue(standard()), 0, rand.New(rand.NewPCG(1, 2))
	const n = 2000
	for range n {
		q, err := c.Ask("note/E2+5/name", rng)
		if err != nil {
			t.Fatal(err)
		}
		if q.Marks[0].At.Fret == 5 {
			low++
		}
	}
	// Five standard deviations of the binomial distribution to each side.
	if d := math.Abs(float64(low) - 0.8*n); d > 5*math.Sqrt(n*0.8*0.2) {
		t.Errorf("fret 5 was asked %d times of %d, want four in five", low, n)
	}
}
