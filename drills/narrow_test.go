package drills

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// rightAnswers lists, from the fretboard alone, what is right on a whole neck where
// place, an answer that is told, is: the note in every octave of its string, the
// shape wherever a hand holds it over that root.
func rightAnswers(t *testing.T, s Setup, q Question, place fretboard.Position) []string {
	var answers []string
	switch {
	case (q.Family == "note" || q.Family == "change") && q.Expect == ExpectFret:
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
		rng := seeded(limit[0])
		shown, beyond := map[Family]int{}, map[Family]int{}
		for _, it := range c.Items() {
			q, err := c.Ask(it.ID, rng)
			if err != nil {
				t.Fatal(err)
			}
			v, ok := mistake(q, s.Names)
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
				if err != nil || !v.Right || v.Given != "fret "+answer && q.Expect != ExpectPlaces {
					t.Errorf("frets %v: %s answered %s: %+v, %v", limit, q.Text, answer, v, err)
				}
				if !inside(wantedPlaces(q, answer)[0]) {
					beyond[it.Family]++
				}
			}
		}
		for _, f := range []Family{"note", "shape", "interval", "walkup", "change", "ear"} {
			if shown[f] == 0 && !((f == "walkup" || f == "change") && limit[0] == 12) { // both go between the roots that lie lower
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
			places = append(places, must(standard().parsePlaces(one, q.On))...)
		}
	}
	return places
}

// Where nothing but two keys is asked, so it is: notes and titles are of their
// scales, both ends of an interval of one of them, and no other key is named.
func TestKeysNarrowWhatIsAsked(t *testing.T) {
	s := standard()
	s.OnlyKeys, s.Sound = true, true
	s.Keys = []theory.Key{must(theory.ParseKey("Eb")), must(theory.ParseKey("E"))}
	inOne := func(marks []Mark) bool {
		return slices.ContainsFunc(s.Keys, func(k theory.Key) bool {
			return !slices.ContainsFunc(marks, func(m Mark) bool {
				return !k.Contains(must(theory.ParseNote(m.Label)))
			})
		})
	}
	c, rng := NewCatalogue(s), seeded(4)
	seen := map[Family]int{}
	named := regexp.MustCompile(`(?:[ ,]in|^In|calls) ([A-G][#b]?)\b(?: minor)?`)
	for _, it := range c.Items() {
		seen[it.Family]++
		q := must(c.Ask(it.ID, rng))
		v, _ := mistake(q, s.Names)
		if (it.Family == "note" || it.Family == "interval") && !inOne(v.Marks) {
			t.Errorf("%s: %s shows %v", it.ID, q.Text, v.Marks)
		}
		name := strings.Fields(strings.TrimPrefix(strings.TrimPrefix(it.Title, "naming "), "finding "))[0]
		if it.Family == "note" && !inOne([]Mark{{Label: name}}) {
			t.Errorf("%s is called %q", it.ID, it.Title)
		}
		for _, m := range named.FindAllStringSubmatch(q.Text, -1) {
			if name := m[1]; name != "Eb" && name != "E" && !strings.Contains(q.Text, "relative") {
				t.Errorf("%s names %s", q.Text, name)
			}
		}
		if it.Family == "ear" && it.ID != "ear/walkup" {
			t.Errorf("%s has no key", it.ID)
		}
	}
	for _, f := range Families() {
		if seen[f] == 0 && f != "walking" { // which only a bass has
			t.Errorf("%s: nothing in those keys", f)
		}
	}
}
