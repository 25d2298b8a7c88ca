package drills

import (
	"fmt"
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
	shape := regexp.MustCompile(`^[x\d ]+[:,]|,? (on )?strings [\d toand]+|-form \S+`) // its frets are read off the neck, and its strings are known with it
	c, rng := whole(), seeded(5)
	for i := range 3 * len(c.Items()) {
		it := c.Items()[i%len(c.Items())]
		q := must(c.Ask(it.ID, rng))
		if n := len(strings.Fields(shape.ReplaceAllString(q.Text, ""))); n > 26 {
			t.Errorf("%d words to read: %s", n, q.Text)
		}
		if n := len(changes.FindAllString(shape.ReplaceAllString(q.Text, ""), -1)); float64(n)/4 > it.Aim.Seconds()/2 {
			t.Errorf("%d things to read in %v: %s", n, it.Aim, q.Text)
		}
	}
}

// A move is told as the hand makes it: from the fret that is shown by as many frets as
// the keys lie apart, to the nearest place there is.
func TestAMoveIsToldAsTheHandMakesIt(t *testing.T) {
	told := regexp.MustCompile(`^From (\S+) to (\S+): (?:(\S+) frets? (up|down)|the same fret) on the same strings; `)
	count := map[string]int{"one": 1, "two": 2, "three": 3, "four": 4}
	c, seen := whole(), 0
	for seed := range 400 {
		q := must(c.Ask("shape/tenth-6-major@E2-G3/place", seeded(seed)))
		var from, to string
		var was int
		if n, _ := fmt.Sscanf(strings.NewReplacer(",", "", ":", "").Replace(q.Text), "Your major tenth sits at string 6 fret %d in %s The singer calls %s where now", &was, &from, &to); n != 3 {
			continue
		}
		seen++
		from = strings.TrimSuffix(from, ".")
		up := must(theory.ParseNote(to)).PitchClass() - must(theory.ParseNote(from)).PitchClass()
		for fret := range 20 {
			v, err := q.Judge(fmt.Sprint(fret))
			if right := (fret-was-up+48)%12 == 0; err != nil || v.Right != right {
				t.Fatalf("%s answered %d: %+v, %v", q.Text, fret, v, err)
			}
			m := told.FindStringSubmatch(v.Why)
			if m == nil || m[1] != from || m[2] != to {
				t.Fatalf("%s: %s", q.Text, v.Why)
			}
			by := count[m[3]]
			if by == 0 {
				fmt.Sscan(m[3], &by)
			}
			if m[4] == "down" {
				by = -by
			}
			if (by-up)%12 != 0 || v.Right && by != fret-was {
				t.Errorf("%s answered %d: %s", q.Text, fret, v.Why)
			}
			// The nearest place is told, unless the neck ends before it.
			if !v.Right && (by > 6 && was+by >= 12 || by < -6 && was+by+12 <= 20) {
				t.Errorf("%s answered %d: %s", q.Text, fret, v.Why)
			}
		}
	}
	if seen < 20 {
		t.Errorf("asked %d times to be moved", seen)
	}
}

func TestIntervalFeedbackSaysTheWayOfTheHand(t *testing.T) {
	s := standard()
	at := func(str, fret int) fretboard.Position { return fretboard.Position{String: str, Fret: fret} }
	low, high := at(5, 7), at(4, 4)
	for _, c := range []struct {
		q            Question
		answer, want string
	}{
		{s.intervalName(low, high), "P5", "A major second up: one string over, three frets down; from string 3, two"},
		{s.intervalPlace(low, high, "above"), "9", "A major second up: one string over, three frets down; from string 3, two"},
		{s.intervalPlace(high, low, "below"), "9", "A major second down: one string back, three frets up; from string 2, two"},
		{s.intervalName(low, at(3, 7)), "P5", "A minor seventh up: two strings over, the same fret; from string 4 or 3, one fret up"},
		{s.intervalName(low, at(3, 9)), "P5", "An octave up: two strings over, two frets up; from string 4 or 3, three"},
		{s.intervalName(low, at(4, 2)), "P5", "The same note: one string over, 5 frets down; from string 3, four"},
	} {
		if v, err := c.q.Judge(c.answer); err != nil || v.Why != c.want {
			t.Errorf("%s: %q, %v; want %q", c.q.Text, v.Why, err, c.want)
		}
	}
	// On some tunings the higher string holds the lower note; the interval is the same.
	s.Neck.Tuning = fretboard.DADGAD
	verdicts(t, s.intervalName(at(3, 7), at(2, 3)), map[string]bool{"M2": true, "2": true, "m2": false})
	// Without a key a tritone has two names, and a tenth may go by its simple one.
	verdicts(t, standard().intervalName(at(6, 7), at(3, 7)), map[string]bool{"m10": true, "minor 3rd": true, "b10": true, "b3": true, "third": false, "10": false})
	verdicts(t, standard().intervalName(at(6, 1), at(5, 2)), map[string]bool{"tritone": true, "d5": true, "A4": true, "b5": true, "perfect 5th": false})
}

// A note goes by one name in a question and its feedback.
func TestFeedbackSpellsAsTheQuestionDoes(t *testing.T) {
	flat, sharp := regexp.MustCompile(`\b[A-G]b\b`), regexp.MustCompile(`\b[A-G]#`)
	landmarks := regexp.MustCompile(`(above|below) [A-G].*|; its octave.*`) // they have names of their own
	c, rng := whole(), seeded(8)
	for i := range 3 * len(c.Items()) {
		it := c.Items()[i%len(c.Items())]
		if it.Family != "shape" && !strings.HasSuffix(it.ID, "/find") {
			continue
		}
		q := must(c.Ask(it.ID, rng))
		v, _ := mistake(q, c.setup.Names)
		said := landmarks.ReplaceAllString(v.Why, "")
		// Two keys may be spelled either way, and an augmented chord has both.
		if both := strings.Contains(q.Text, "The singer calls") || strings.Contains(q.Text, "aug"); !both && (flat.MatchString(q.Text) && sharp.MatchString(said) || sharp.MatchString(q.Text) && flat.MatchString(said)) {
			t.Errorf("%s: %s", q.Text, v.Why)
		}
	}
}

// Whoever is off by octaves alone knows the rule: he is told the octave's pattern, and
// nothing else.
func TestAWrongOctaveIsAnsweredWithItsPattern(t *testing.T) {
	s := standard()
	at := func(str, fret int) fretboard.Position { return fretboard.Position{String: str, Fret: fret} }
	a := must(theory.ParseKey("A"))
	r := must(fretboard.Shape("a-form-major"))
	for answer, q := range map[string]Question{
		"19":                 s.intervalPlace(at(2, 4), at(5, 7), "below"),
		"P12":                s.intervalName(at(5, 7), at(4, 9)),
		"5/12 4/9 4/11 4/12": s.walkPlaces(motions[0], a, must(s.line(motions[0], a))),
		"x 10 0 12 12 10":    s.placeTones(r, call{root: theory.Note{Letter: theory.G}}),
	} {
		v, err := q.Judge(answer)
		if err != nil || v.Right || !strings.Contains(v.is, "octave") || v.Why != "The octave: two strings over, two frets up; from string 4 or 3, three" {
			t.Errorf("%s answered %s: %q, %q, %v", q.Text, answer, v.is, v.Why, err)
		}
	}
}
