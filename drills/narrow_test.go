package drills

import (
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// askAll poses every item some times and hands each question with the places of
// its right answer to look.
func askAll(t *testing.T, s Setup, look func(it Item, q Question, v Verdict)) *Catalogue {
	t.Helper()
	c := NewCatalogue(s)
	rng := rand.New(rand.NewPCG(12, 5))
	for range 5 {
		for _, it := range c.Items() {
			q, err := c.Ask(it.ID, rng)
			if err != nil {
				t.Fatal(err)
			}
			var v Verdict
			for _, try := range []string{"0", "7", "C", "P5", "1/7", "6/5 3/6", strings.Repeat("6/5 ", q.Count), "2#", "4", strings.Repeat("C ", q.Count), "1"} {
				if v, err = q.Judge(try); err == nil {
					break
				}
			}
			look(it, q, v)
		}
	}
	return c
}

// rightAnswers lists, from the fretboard alone, what is right on a whole neck where
// place, an answer that is told, is: the note in every octave of its string, the
// shape wherever a hand holds it over that root.
func rightAnswers(t *testing.T, s Setup, q Question, place fretboard.Position) []string {
	var answers []string
	switch {
	case q.Family == "note" && q.Expect == ExpectFret:
		for _, p := range s.Neck.Find(s.Neck.Pitch(place, true).Note, place.String) {
			answers = append(answers, strconv.Itoa(p.Fret))
		}
	case q.Family == "shape" && q.Expect != ExpectNote && q.Expect != ExpectChord:
		name, _, _ := strings.Cut(strings.TrimPrefix(q.Item, "shape/"), "@")
		r := must(fretboard.Shape(name))
		root := s.Neck.Pitch(place, true).Note
		if q.Expect == ExpectPlaces { // the lowest tone is told first
			root = root.Add(r.Tones[0].Above.Neg())
		}
		for _, p := range r.On(s.Neck, root) {
			switch {
			case !p.Playable():
			case q.Expect == ExpectFret:
				answers = append(answers, strconv.Itoa(p.Fret))
			default:
				answers = append(answers, fretboard.WritePlaces(p.Positions()))
			}
		}
	}
	return answers
}

// A limit of frets narrows what is asked, shown and told, and nothing that is right
// on the whole neck becomes wrong by it.
func TestAFretLimitNarrowsWhatIsAskedNotWhatIsRight(t *testing.T) {
	for _, limit := range [][2]int{{1, 12}, {5, 9}, {0, 4}, {12, 22}} {
		s := standard()
		s.Frets, s.Sound = limit, true
		inside := func(p fretboard.Position) bool { return p.Fret >= limit[0] && p.Fret <= limit[1] }
		c := NewCatalogue(s)
		rng := rand.New(rand.NewPCG(12, uint64(limit[0])))
		shown, beyond := map[Family]int{}, map[Family]int{}
		for _, it := range c.Items() {
			q, err := c.Ask(it.ID, rng)
			if err != nil {
				t.Fatal(err)
			}
			v, ok := mistake(q)
			if !ok {
				t.Fatalf("%s: no candidate was judged wrong", q.Text)
			}
			told := wantedPlaces(q, v.Want)
			for _, p := range told {
				shown[it.Family]++
				if !inside(p) {
					t.Errorf("frets %v: %s wants %s", limit, q.Text, v.Want)
				}
			}
			for _, m := range append(slices.Clone(q.Marks), v.Marks...) {
				shown[it.Family]++
				if !inside(m.At) && !(strings.HasPrefix(it.ID, "ear/fret/") && m.At.Fret == 0) { // the open string, to compare with
					t.Errorf("frets %v: %s shows fret %d", limit, q.Text, m.At.Fret)
				}
			}
			if len(told) == 0 {
				continue
			}
			for _, answer := range rightAnswers(t, s, q, told[0]) {
				v, err := q.Judge(answer)
				if err != nil || !v.Right || v.Given != answer && v.Given != "fret "+answer {
					t.Errorf("frets %v: %s answered %s: %+v, %v", limit, q.Text, answer, v, err)
				}
				if !inside(wantedPlaces(q, answer)[0]) {
					beyond[it.Family]++
				}
			}
		}
		for _, f := range []Family{"note", "shape", "interval", "walkup", "ear"} {
			if shown[f] == 0 && !(f == "walkup" && limit[0] == 12) { // a walk begins lower
				t.Errorf("frets %v: nothing of %s is asked there", limit, f)
			}
		}
		if beyond["note"] == 0 || beyond["shape"] == 0 {
			t.Errorf("frets %v: no answer beyond them was tried: %v", limit, beyond)
		}
	}
}

// wantedPlaces reads the places of a right answer as it is told; none where it is
// no place.
func wantedPlaces(q Question, want string) []fretboard.Position {
	var places []fretboard.Position
	for _, one := range strings.Split(strings.TrimPrefix(want, "fret "), " or ") {
		switch q.Expect {
		case ExpectFret:
			places = append(places, fretboard.Position{String: q.String, Fret: must(strconv.Atoi(one))})
		case ExpectPlaces, ExpectPath:
			places = append(places, must(standard().parsePlaces(one, nil))...)
		}
	}
	return places
}

func TestKeysNarrowWhatHasNotesOfThem(t *testing.T) {
	s := standard()
	s.OnlyKeys, s.Sound = true, true
	eb := must(theory.ParseKey("Eb"))
	s.Keys = []theory.Key{eb, must(theory.ParseKey("Cm"))}
	own := map[string]bool{}
	for _, n := range eb.Scale() { // Eb major and C minor share seven notes
		own[n.String()] = true
	}
	if len(own) != 7 || !own["Ab"] || own["G#"] || own["A"] {
		t.Fatalf("the scale %v", own)
	}
	seen := map[Family]int{}
	c := askAll(t, s, func(it Item, q Question, v Verdict) {
		seen[it.Family]++
		if it.Family == "note" || it.Family == "interval" {
			for _, m := range v.Marks {
				if !own[m.Label] {
					t.Errorf("%s: %s shows %s", it.ID, q.Text, m.Label)
				}
			}
		}
		if it.Family == "note" && !own[strings.Fields(it.Title)[0]] {
			t.Errorf("%s is called %q", it.ID, it.Title)
		}
	})
	for _, f := range Families() {
		if seen[f] == 0 {
			t.Errorf("%s: nothing in E flat", f)
		}
	}
	// Seven notes of twelve: 14 a string to name and to find, and each everywhere.
	notes := 0
	for _, it := range c.Items() {
		if it.Family == "note" {
			notes++
		}
		if it.Family == "ear" && it.ID != "ear/walkup" {
			t.Errorf("%s has no key", it.ID)
		}
	}
	if notes != 6*14+7 {
		t.Errorf("%d notes, want %d", notes, 6*14+7)
	}
}

// Two keys at once: both notes of an interval are in one of them, not one in each.
func TestAnIntervalLiesInOneOfTheKeys(t *testing.T) {
	s := standard()
	s.OnlyKeys = true
	s.Keys = []theory.Key{must(theory.ParseKey("C")), must(theory.ParseKey("F#"))}
	askAll(t, s, func(it Item, q Question, v Verdict) {
		if it.Family != "interval" {
			return
		}
		for _, k := range s.Keys {
			in := 0
			for _, m := range v.Marks {
				for _, n := range k.Scale() {
					if n.PitchClass() == s.Neck.MIDI(m.At)%12 {
						in++
					}
				}
			}
			if in == len(v.Marks) {
				return
			}
		}
		t.Errorf("%s: %v are in no key together", q.Text, v.Marks)
	})
}
