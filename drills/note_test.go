package drills

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// The solver knows only what a book of theory says: the open strings and the
// twelve semitones. It is right on every note of a string, every time it is posed,
// and an item never has two right answers, whatever the tuning.
func TestASolverFromTheTextbookIsAlwaysRight(t *testing.T) {
	wants := map[string]string{}
	for _, tuning := range []fretboard.Tuning{fretboard.Standard, fretboard.DropD} {
		s := standard()
		s.Neck.Tuning = tuning
		c := NewCatalogue(s)
		for i, it := range c.Items() {
			if it.Family != "note" || strings.HasPrefix(it.ID, "note/all") {
				continue
			}
			for seed := range 6 {
				q := must(c.Ask(it.ID, seeded(seed+i)))
				v, err := q.Judge(solveNote(q.Text, tuning))
				if err != nil || !v.Right {
					t.Fatalf("%s: %s answered %s: %+v, %v", tuning.Name, q.Text, solveNote(q.Text, tuning), v, err)
				}
				if old, ok := wants[it.ID]; ok && old != v.Want {
					t.Errorf("%s wants %s and %s", it.ID, old, v.Want)
				}
				wants[it.ID] = v.Want
			}
		}
	}
}

// solveNote answers a question from its sentence alone.
func solveNote(text string, tuning fretboard.Tuning) string {
	open := []string{"E", "B", "G", "D", "A", map[bool]string{true: "D", false: "E"}[tuning.Name == fretboard.DropD.Name]} // string 1 first
	chromatic := []string{"C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"}
	semitone := func(name string) int { return must(theory.ParseNote(name)).PitchClass() }
	var str, fret int
	var note string
	if _, err := fmt.Sscanf(text, "String %d, fret %d: which note?", &str, &fret); err == nil {
		return chromatic[(semitone(open[str-1])+fret)%12]
	}
	if _, err := fmt.Sscanf(text, "String %d, open: which note?", &str); err == nil {
		return open[str-1]
	}
	if _, err := fmt.Sscanf(text, "%s on string %d: which fret?", &note, &str); err == nil {
		return fmt.Sprint((semitone(note) - semitone(open[str-1]) + 12) % 12)
	}
	panic("a question that the solver does not know: " + text)
}

func TestTheLowerPlaceIsAskedFourTimesInFive(t *testing.T) {
	c, low, rng := NewCatalogue(standard()), 0, seeded(1)
	const n = 2000
	for range n {
		if q := must(c.Ask("note/E2+5/name", rng)); q.Marks[0].At.Fret == 5 {
			low++
		}
	}
	// Five standard deviations of the binomial distribution to each side.
	if d := math.Abs(float64(low) - 0.8*n); d > 5*math.Sqrt(n*0.8*0.2) {
		t.Errorf("fret 5 was asked %d times of %d, want four in five", low, n)
	}
}
