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

// What must be read before a player can think is short: people read about four
// words a second (238 a minute in silence: Brysbaert 2019, Journal of Memory and
// Language 109, 104047), and the words that do not change from one posing to the
// next are known by sight. So those that do change take half of the aim at most.
func TestReadingLeavesTimeToThink(t *testing.T) {
	changes := regexp.MustCompile(`\d+|\b[A-G](#|b)*(m|\d|maj|sus|add)*\b|(?i)(minor|major|perfect|augmented|diminished) \w+|above|below`)
	c := whole()
	rng := rand.New(rand.NewPCG(5, 6))
	for range 6 {
		for _, it := range c.Items() {
			q, err := c.Ask(it.ID, rng)
			if err != nil {
				t.Fatal(err)
			}
			head := q.Head
			if head == "" {
				head = q.Text
			}
			if n := len(strings.Fields(head)); n > 16 {
				t.Errorf("%d words to read first: %s", n, head)
			}
			// The frets of a drawn chord are read off the neck at a glance.
			if n := len(changes.FindAllString(head, -1)); float64(n)/4 > it.Aim.Seconds()/2 && !strings.HasPrefix(head, "Frets ") {
				t.Errorf("%d things to read in %v: %s", n, it.Aim, head)
			}
			if !strings.HasPrefix(q.Text, strings.TrimSuffix(head, "?")) || !strings.HasSuffix(head, "?") || !strings.HasSuffix(q.Text, strings.TrimSuffix(q.Detail, "?")+"?") {
				t.Errorf("head %q and detail %q are not the text %q", q.Head, q.Detail, q.Text)
			}
		}
	}
}

func TestAMoveIsToldAsTheHandMakesIt(t *testing.T) {
	c := whole()
	id := "shape/tenth-6-major@E2-G3/place"
	seen := 0
	for seed := range uint64(400) {
		q, err := c.Ask(id, rand.New(rand.NewPCG(seed, 1)))
		if err != nil {
			t.Fatal(err)
		}
		var from, to string
		var was int
		if n, _ := fmt.Sscanf(strings.ReplaceAll(q.Text, ",", " "), "In %s at string 6  fret %d  in %s at which fret", &from, &was, &to); n != 3 {
			continue
		}
		seen++
		up := must(theory.ParseNote(to)).PitchClass() - must(theory.ParseNote(from)).PitchClass()
		for fret := range 20 {
			v, err := q.Judge(fmt.Sprint(fret))
			if err != nil {
				t.Fatal(err)
			}
			if right := (fret-was-up+48)%12 == 0; v.Right != right {
				t.Fatalf("%s answered %d: %+v", q.Text, fret, v)
			}
			words := map[string]int{"one": 1, "two": 2, "three": 3, "four": 4}
			m := regexp.MustCompile(`^(\S+) to (\S+) is (up|down) (\S+) frets?, toward the (bridge|nut), on the same strings; `).FindStringSubmatch(v.Why)
			if m == nil || m[1] != from || m[2] != to || (m[3] == "up") != (m[5] == "bridge") {
				t.Fatalf("%s: %s", q.Text, v.Why)
			}
			by := words[m[4]]
			if by == 0 {
				fmt.Sscan(m[4], &by)
			}
			if m[3] == "down" {
				by = -by
			}
			if v.Right && (was+by-fret)%12 != 0 || (by-up)%12 != 0 || !v.Right && (by > 6 && was+by >= 12 || by < -6 && was+by+12 <= 20) {
				t.Errorf("%s answered %d: %s", q.Text, fret, v.Why)
			}
		}
	}
	if seen < 20 {
		t.Errorf("asked %d times to be moved", seen)
	}
}

func TestIntervalFeedbackSaysTheWayOfTheHand(t *testing.T) {
	s := whole().setup
	low, high := fretboard.Position{String: 5, Fret: 7}, fretboard.Position{String: 4, Fret: 4}
	for _, c := range []struct {
		q      Question
		answer string
		want   string
	}{
		{s.intervalName(low, high), "P5", "From string 5 to string 4 a major second above is three frets toward the nut"},
		{s.intervalPlace(low, high, "above"), "9", "From string 5 to string 4 a major second above is three frets toward the nut"},
		{s.intervalPlace(high, low, "below"), "9", "From string 4 to string 5 a major second below is three frets toward the bridge"},
		{s.intervalName(low, fretboard.Position{String: 3, Fret: 7}), "P5", "From string 5 to string 3 a minor seventh above is on the same fret"},
		{s.intervalName(low, fretboard.Position{String: 3, Fret: 9}), "P5", "From string 5 to string 3 a octave above is two frets toward the bridge"},
		{s.intervalName(low, fretboard.Position{String: 4, Fret: 2}), "P5", "From string 5 to string 4 a unison is 5 frets toward the nut"},
	} {
		v, err := c.q.Judge(c.answer)
		if err != nil || strings.ReplaceAll(v.Why, "perfect ", "") != c.want {
			t.Errorf("%s: %q, %v; want %q", c.q.Text, v.Why, err, c.want)
		}
	}
}

// Numbers of minor keys are called in two ways: b6 from the major scale, as bands
// do, or plain 6 from the minor one. The question says which, and both are taken.
func TestMinorKeysSayHowTheyCount(t *testing.T) {
	s := whole().setup
	k := must(theory.ParseKey("Cm"))
	for _, c := range []struct{ number, chord, plain string }{{"b3", "Eb", "3"}, {"b6", "Ab", "6"}, {"b7", "Bb", "7"}} {
		n := must(theory.ParseNumeral(c.number))
		for _, q := range []Question{s.chordOn(k, n), s.numberOf(k, n)} {
			if !strings.HasSuffix(q.Text, ", counted from the major scale?") {
				t.Errorf("%s does not say how it counts", q.Text)
			}
			v, err := q.Judge(map[Expect]string{ExpectChord: "C", ExpectNumber: "1"}[q.Expect])
			if want := fmt.Sprintf("; it is the %s of the minor scale, and %s as bands count, from the major scale", c.plain, c.number); err != nil || !strings.HasSuffix(v.Why, want) {
				t.Errorf("%s: %q, %v", q.Text, v.Why, err)
			}
		}
		for _, answer := range []string{c.number, c.plain} {
			if v, err := s.numberOf(k, n).Judge(answer); err != nil || !v.Right {
				t.Errorf("%s answered %s: %+v, %v", c.chord, answer, v, err)
			}
		}
	}
	four := must(theory.ParseNumeral("4-"))
	if v, _ := s.chordOn(k, four).Judge("C"); strings.Contains(v.Why, "as bands count") {
		t.Errorf("the 4 is the 4 either way: %s", v.Why)
	}
	if q := s.chordOn(must(theory.ParseKey("C")), four); strings.Contains(q.Text, "counted") {
		t.Errorf("%s: there is one way to count in major", q.Text)
	}
}

// A note goes by one name in a question and its feedback.
func TestFeedbackSpellsAsTheQuestionDoes(t *testing.T) {
	c := whole()
	flat, sharp := regexp.MustCompile(`\b[A-G]b\b`), regexp.MustCompile(`\b[A-G]#`)
	rng := rand.New(rand.NewPCG(8, 1))
	for range 4 {
		for _, it := range c.Items() {
			if it.Family != "shape" && !strings.HasSuffix(it.ID, "/find") {
				continue
			}
			q, err := c.Ask(it.ID, rng)
			if err != nil {
				t.Fatal(err)
			}
			if strings.Contains(q.Text, " at which fret") {
				continue // two keys, which may be spelled either way
			}
			for _, answer := range []string{"1", "C"} {
				v, err := q.Judge(answer)
				said := regexp.MustCompile(`(above|below) [A-G].*|; its octave.*`).ReplaceAllString(v.Why, "") // landmarks have names of their own
				if err == nil && (flat.MatchString(q.Text) && sharp.MatchString(said) || sharp.MatchString(q.Text) && flat.MatchString(said)) {
					t.Errorf("%s: %s", q.Text, v.Why)
				}
			}
		}
	}
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}
