package drills

import (
	"math/rand/v2"
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// Whatever the instrument, every question has an answer that can be given: the
// one that is told is judged right. A sample of the items stands for all.
func TestEveryInstrumentCanBeAnswered(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	for _, tuning := range fretboard.Tunings {
		for _, neck := range []fretboard.Fretboard{{Frets: 12}, {Frets: 22, Capo: 3}, {Frets: 24, Capo: 12}, {Frets: 36}} {
			neck.Tuning = tuning
			c := NewCatalogue(Setup{Neck: neck, Sound: true})
			for i, it := range c.Items() {
				if i%7 != rng.IntN(7) {
					continue
				}
				q, err := c.Ask(it.ID, rng)
				if err != nil {
					t.Fatalf("%s, %d frets, capo %d: %s: %v", tuning.Name, neck.Frets, neck.Capo, it.ID, err)
				}
				want := told(q, tuning.Strings())
				if v, err := q.Judge(want); err != nil || !v.Right {
					t.Errorf("%s, %d frets, capo %d: %s: told %q, which is judged %+v, %v", tuning.Name, neck.Frets, neck.Capo, q.Text, want, v, err)
				}
			}
		}
	}
}

// told is the right answer that a question tells after a wrong one, or the
// candidate that happened to be right.
func told(q Question, strs int) string {
	for _, answer := range candidates(q, strs) {
		v, err := q.Judge(answer)
		if err != nil {
			continue
		}
		if v.Right {
			return answer
		}
		if _, err := q.Judge(v.Want); err == nil {
			return v.Want
		}
		first, _, _ := strings.Cut(v.Want, " or ")
		return first
	}
	return "no candidate can be read"
}

func TestWhatIsNoAnswerIsNotJudgedRight(t *testing.T) {
	s := standard()
	c := theory.Key{}
	q, err := s.sayProgression("1 5 6- 4", c)
	if err != nil {
		t.Fatal(err)
	}
	for _, copied := range []string{"1 5 6- 4", "I V vi IV"} {
		if v, err := q.Judge(copied); err == nil && v.Right {
			t.Errorf("%s: the question itself, %q, is judged right", q.Text, copied)
		}
	}
	if _, err := s.signatureOf(c).Judge("nonsense"); err == nil {
		t.Error("nonsense was taken for a signature")
	}
}

// On some tunings the higher string holds the lower note; the interval is the
// same.
func TestAnIntervalIsNamedWithoutItsDirection(t *testing.T) {
	s := NewCatalogue(Setup{Neck: fretboard.Fretboard{Tuning: fretboard.DADGAD, Frets: 22}}).setup
	q := s.intervalName(fretboard.Position{String: 3, Fret: 7}, fretboard.Position{String: 2, Fret: 3})
	if v, err := q.Judge("M2"); err != nil || !v.Right {
		t.Errorf("%s answered M2: %+v, %v", q.Text, v, err)
	}
}

func TestTheKeyOfSixSignsIsTheOneThatWasSet(t *testing.T) {
	for _, flats := range []bool{false, true} {
		s := standard()
		s.SixFlats = flats
		var six []string
		heard := map[int]bool{}
		for _, k := range s.calledKeys() {
			if abs(k.Signature()) == 6 {
				six = append(six, k.String())
			}
			heard[k.Tonic.PitchClass()] = true
		}
		want := map[bool]string{false: "F# major", true: "Gb major"}[flats]
		if len(six) != 1 || six[0] != want || len(heard) != 12 {
			t.Errorf("flats %v: %v among %d keys, want %s among 12", flats, six, len(heard), want)
		}
	}
}
