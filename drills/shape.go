package drills

import (
	"cmp"
	"fmt"
	"iter"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// shapeFamily asks where a movable shape lands, and what a drawn shape is.
//
// What is remembered is the shape; its key is drawn afresh each time. Placing it
// is asked three ways: where its root goes, all of its frets, and where it goes
// when the singer asks for another key. An id names the shape and the open
// strings it lies on, since another tuning makes it another shape:
// "shape/tenth-6-minor@E2-G3/place".
type shapeFamily struct{}

func (shapeFamily) name() Family { return "shape" }

func (shapeFamily) items(s Setup) []Item {
	var items []Item
	shapes := slices.DeleteFunc(fretboard.ShapesOn(s.Neck), func(r fretboard.Recipe) bool { return !s.callable(r) })
	for _, r := range shapes {
		for _, dir := range []string{"place", "read"} {
			if dir == "read" && !readable(r) {
				continue
			}
			items = append(items, Item{
				ID:      s.shapeID(r, dir),
				Family:  "shape",
				Title:   fmt.Sprintf("%s, %s it", r.Words, map[string]string{"place": "placing", "read": "reading"}[dir]),
				Group:   r.Family,
				Aim:     s.Aim * 3 / 2,
				Stage:   shapeStage(s.Neck.Tuning, r),
				Strings: stringsOf(r),
				Kin:     s.shapeKin(r, dir, shapes),
			})
		}
	}
	return items
}

// readable reports whether a drawn shape says by itself which chord or note it
// stands for. A sixth does not say which of its ends is the root.
func readable(r fretboard.Recipe) bool { return r.Family != "sixths" && r.Family != "held tones" }

func (s Setup) shapeID(r fretboard.Recipe, dir string) string {
	var open []string
	for _, str := range stringsOf(r) {
		open = append(open, s.Neck.Tuning.Open[str-1].String())
	}
	return fmt.Sprintf("shape/%s@%s/%s", r.Name, strings.Join(open, "-"), dir)
}

// shapeKin: the same shape asked the other way, and shapes of the same family
// with the root on the same string. The weights are chosen, no source.
func (s Setup) shapeKin(r fretboard.Recipe, dir string, shapes []fretboard.Recipe) []Kin {
	var kin []Kin
	if readable(r) {
		kin = append(kin, Kin{s.shapeID(r, map[string]string{"place": "read", "read": "place"}[dir]), 0.4})
	}
	for _, other := range shapes {
		if other.Name != r.Name && other.Family == r.Family && other.Root == r.Root && (dir == "place" || readable(other)) {
			kin = append(kin, Kin{s.shapeID(other, dir), 0.3})
		}
	}
	return kin
}

// sayStrings names strings as players do, the lowest first: "strings 6 to 1",
// "strings 6 and 3", "strings 5, 3 and 2".
func sayStrings(strs []int) string {
	last := len(strs) - 1
	if last > 1 && strs[0]-strs[last] == last {
		return fmt.Sprintf("strings %d to %d", strs[0], strs[last])
	}
	words := make([]string, len(strs))
	for i, str := range strs {
		words[i] = strconv.Itoa(str)
	}
	if last == 0 {
		return "string " + words[0]
	}
	return "strings " + strings.Join(words[:last], ", ") + " and " + words[last]
}

// stringsOf lists the strings of a shape, the lowest first.
func stringsOf(r fretboard.Recipe) []int {
	var strs []int
	for _, t := range r.Tones {
		if !slices.Contains(strs, t.String) {
			strs = append(strs, t.String)
		}
	}
	return strs
}

// placements lists where a hand can hold the shape over a root, between the
// frets asked.
func (s Setup) placements(r fretboard.Recipe, root theory.Note) []fretboard.Placement {
	return slices.DeleteFunc(r.On(s.Neck, root), func(p fretboard.Placement) bool {
		return !p.Playable() || slices.ContainsFunc(p.Notes, func(n fretboard.Held) bool {
			return n.Fret < s.Frets[0] || n.Fret > s.Frets[1]
		})
	})
}

// A call is a root with the key in which it is called.
type call struct {
	key     theory.Key
	root    theory.Note
	learned theory.Key // of what a gig needs
}

// callable reports whether there is a root over which a shape can be asked.
func (s Setup) callable(r fretboard.Recipe) bool {
	for range s.calls(r) {
		return true
	}
	return false
}

// calls yields the roots over which a shape can be asked.
func (s Setup) calls(r fretboard.Recipe) iter.Seq[call] {
	return func(yield func(call) bool) {
		for _, k := range s.calledKeys() {
			for _, n := range k.Scale() {
				if s.fitsKey(r, n, k) && len(s.placements(r, n)) > 0 && !yield(call{key: k, root: n}) {
					return
				}
			}
		}
	}
}

// fitsKey reports whether the shape's third, where it has one, belongs to the
// key, so that a minor shape is asked on the 2, 3 and 6 and not on the 1.
func (s Setup) fitsKey(r fretboard.Recipe, root theory.Note, k theory.Key) bool {
	for _, t := range r.Tones {
		if third := t.Above.Simple(); third.Steps == 2 && r.Over == (theory.Interval{}) && !k.Contains(root.Add(third)) {
			return false
		}
	}
	return true
}

func (shapeFamily) ask(s Setup, ref string, rng *rand.Rand) (Question, error) {
	name, rest, _ := strings.Cut(ref, "@")
	_, dir, _ := strings.Cut(rest, "/")
	r, err := fretboard.Shape(name)
	if err != nil {
		return Question{}, err
	}
	calls := s.neededCalls(r)
	needed := len(calls) > 0
	if !needed {
		calls = slices.Collect(s.calls(r))
	}
	if len(calls) == 0 {
		return Question{}, fmt.Errorf("no place for it between frets %d and %d", s.Frets[0], s.Frets[1])
	}
	c := calls[rng.IntN(len(calls))]
	if dir == "read" {
		all := s.placements(r, c.root)
		return s.readShape(all[rng.IntN(len(all))]), nil
	}
	switch rng.IntN(3) {
	case 0:
		return s.placeRoot(r, c), nil
	case 1:
		moved := s.moveCalls(r, c)
		if i := slices.IndexFunc(moved, func(m call) bool { return m.key.Tonic.Enharmonic(c.learned.Tonic) }); needed && i >= 0 {
			moved = moved[i : i+1]
		}
		if len(moved) > 0 {
			other := moved[rng.IntN(len(moved))]
			if needed { // to tonight's key, not away from it
				return s.moveShape(r, other, c), nil
			}
			return s.moveShape(r, c, other), nil
		}
	}
	if r.Kind == fretboard.KindScale {
		return s.placeRoot(r, c), nil
	}
	return s.placeTones(r, c), nil
}

// over says what a shape stands for over a root: "Bm7", "B".
func (s Setup) over(r fretboard.Recipe, root theory.Note) string {
	if c, ok := r.Chord(root); ok {
		return s.Names.Chord(c)
	}
	return s.Names.Note(root)
}

// placeRoot wants the fret of the root on the shape's root string.
func (s Setup) placeRoot(r fretboard.Recipe, c call) Question {
	over, root := s.over(r, c.root), "root"
	if r.Over != (theory.Interval{}) { // the root of the shape is not the chord's
		root = "keynote " + s.Names.Note(c.root)
	}
	q := Question{Expect: ExpectFret, String: r.Root}.asking(fmt.Sprintf("%s: %s on string %d, which fret?", over, root, r.Root), "for the "+r.Words)
	return s.wantRoot(q, c.root, s.placements(r, c.root), func(fretboard.Placement) string { return "" })
}

// moveShape shows a shape in one key and wants its root in another.
func (s Setup) moveShape(r fretboard.Recipe, c, to call) Question {
	shown := s.placements(r, c.root)[0]
	from := fretboard.Position{String: r.Root, Fret: shown.Fret}
	q := Question{Expect: ExpectFret, String: r.Root, Marks: s.drawn(shown, false)}.asking(
		fmt.Sprintf("%s to %s: %s to which fret?", s.Names.Note(c.key.Tonic), s.Names.Note(to.key.Tonic), say(from)), "for the "+r.Words)
	right := s.placements(r, to.root)
	slices.SortStableFunc(right, func(a, b fretboard.Placement) int { // the nearest is told
		return cmp.Compare(abs(a.Fret-shown.Fret), abs(b.Fret-shown.Fret))
	})
	return s.wantRoot(q, to.root, right, func(p fretboard.Placement) string {
		return fmt.Sprintf("%s to %s is %s; ", s.Names.Note(c.key.Tonic), s.Names.Note(to.key.Tonic), slide(p.Fret-shown.Fret))
	})
}

// slide says how a hand moves that keeps its shape.
func slide(by int) string {
	switch {
	case by > 0:
		return "up " + frets(by) + ", toward the bridge, on the same strings"
	case by < 0:
		return "down " + frets(-by) + ", toward the nut, on the same strings"
	}
	return "no move at all"
}

// moveCalls lists the other keys in which the same number of the key can be
// played.
func (s Setup) moveCalls(r fretboard.Recipe, c call) []call {
	var calls []call
	up := theory.Between(theory.Pitch{Note: c.key.Tonic, Octave: 4}, theory.Pitch{Note: c.root, Octave: 4})
	for _, k := range s.calledKeys() {
		root := k.Tonic.Add(up)
		if k.Tonic.PitchClass() != c.key.Tonic.PitchClass() && len(s.placements(r, root)) > 0 {
			calls = append(calls, call{key: k, root: root})
		}
	}
	return calls
}

// wantRoot completes a question for the fret of the root, in any octave where
// the shape can be held. What because says of the placement comes first in the
// feedback.
func (s Setup) wantRoot(q Question, root theory.Note, right []fretboard.Placement, because func(fretboard.Placement) string) Question {
	var roots []fretboard.Position
	for _, p := range right {
		roots = append(roots, fretboard.Position{String: p.Recipe.Root, Fret: p.Fret})
	}
	wanted := slices.Clone(roots)
	slices.SortFunc(wanted, func(a, b fretboard.Position) int { return cmp.Compare(a.Fret, b.Fret) })
	q.Target = s.sounding(right[0])
	q.judge = func(answer string) (Verdict, error) {
		given, err := s.parseFret(answer, q.String)
		if err != nil {
			return Verdict{}, err
		}
		shown := right[0]
		if i := slices.Index(roots, given); i >= 0 {
			shown = right[i]
		}
		return Verdict{
			Right: slices.Contains(roots, given),
			Given: "fret " + strconv.Itoa(given.Fret),
			Want:  sayFrets(wanted),
			Why:   because(shown) + s.landmark(fretboard.Position{String: q.String, Fret: shown.Fret}, root),
			Marks: s.drawn(shown, true),
		}, nil
	}
	return q
}

// placeTones wants every fret of the shape.
func (s Setup) placeTones(r fretboard.Recipe, c call) Question {
	right := s.placements(r, c.root)
	strs := stringsOf(r)
	where := " on " + sayStrings(strs)
	if r.Over == (theory.Interval{}) && strings.Contains(r.Words, " on strings ") {
		where = "" // the words of the shape say it
	}
	q := Question{
		Expect: ExpectPlaces,
		Count:  len(strs),
		Target: s.sounding(right[0]),
	}.asking(fmt.Sprintf("%s: which frets%s?", s.over(r, c.root), where), "for the "+r.Words)
	q.judge = func(answer string) (Verdict, error) {
		given, err := s.parsePlaces(answer, strs)
		if err != nil {
			return Verdict{}, err
		}
		v := Verdict{Given: writePlaces(given), Why: s.shapeRule(right[0]), Marks: s.drawn(right[0], true)}
		var wants []string
		for _, p := range right {
			wants = append(wants, writePlaces(p.Positions()))
			if sameSet(given, p.Positions()) {
				v.Right, v.Why, v.Marks = true, s.shapeRule(p), s.drawn(p, true)
			}
		}
		v.Want = strings.Join(wants, " or ")
		return v, nil
	}
	return q
}

// readShape draws a shape and wants what it is.
func (s Setup) readShape(p fretboard.Placement) Question {
	q := Question{
		Marks:  s.drawn(p, false),
		Target: s.sounding(p),
	}
	want, ask := s.meaning(p)
	if want == (theory.Chord{Root: p.Root, Quality: theory.MajorTriad}) && ask == ExpectNote {
		root := fretboard.Position{String: p.Recipe.Root, Fret: p.Fret}
		q = q.asking(sentence(say(root))+": which root?", "for the "+p.Recipe.Words)
		q.Expect = ExpectNote
		q.judge = func(answer string) (Verdict, error) {
			given, err := s.Names.Parse(answer)
			if err != nil {
				return Verdict{}, err
			}
			return Verdict{
				Right: given.Enharmonic(p.Root),
				Given: s.Names.Note(given), Want: s.Names.Note(p.Root),
				Why:   s.landmark(root, p.Root),
				Marks: s.drawn(p, true),
			}, nil
		}
		return q
	}
	tones := ""
	if p.Recipe.Kind == fretboard.KindInterval {
		tones = ", root and third"
	}
	var held []string
	for _, at := range p.Positions() {
		held = append(held, strconv.Itoa(at.Fret))
	}
	q.Text = fmt.Sprintf("Frets %s on %s%s: which chord?", strings.Join(held, " "), sayStrings(stringsOf(p.Recipe)), tones)
	q.Expect = ExpectChord
	q.judge = func(answer string) (Verdict, error) {
		given, err := s.Names.ParseChord(answer)
		if err != nil {
			return Verdict{}, err
		}
		v := Verdict{
			Right: means(given, want, p),
			Given: s.Names.Chord(given), Want: s.Names.Chord(want),
			Why: s.shapeRule(p), Marks: s.drawn(p, true),
		}
		if v.Right && given != want {
			v.Note = "also called " + s.Names.Chord(given)
		}
		return v, nil
	}
	return q
}

// meaning returns what a drawn shape stands for and how it is answered: a
// chord, or the root alone where it is no chord.
func (s Setup) meaning(p fretboard.Placement) (theory.Chord, Expect) {
	if c, ok := p.Recipe.Chord(p.Root); ok {
		return c, ExpectChord
	}
	if p.Recipe.Kind == fretboard.KindInterval {
		for _, n := range p.Notes {
			switch third := n.Above.Simple(); {
			case third.Steps == 2 && third.Semitones == 3:
				return theory.Chord{Root: p.Root, Quality: theory.MinorTriad}, ExpectChord
			case third.Steps == 2:
				return theory.Chord{Root: p.Root}, ExpectChord
			}
		}
	}
	return theory.Chord{Root: p.Root}, ExpectNote
}

// means reports whether a chord names the shape: the same root and quality,
// with or without its bass, or another name for just the notes that sound.
func means(given, want theory.Chord, p fretboard.Placement) bool {
	if given.Root.Enharmonic(want.Root) && given.Quality == want.Quality {
		return !given.Slashed() || given.Bass().Enharmonic(want.Bass())
	}
	var sounding []int
	for _, n := range p.Notes {
		sounding = append(sounding, n.Pitch.PitchClass())
	}
	var named []int
	for _, n := range given.Notes() {
		named = append(named, n.PitchClass())
	}
	return sameSet(sounding, named) && p.Recipe.Kind == fretboard.KindChord
}

// shapeRule says what lies where in the shape.
func (s Setup) shapeRule(p fretboard.Placement) string {
	var tones []string
	for _, n := range p.Notes {
		tones = append(tones, fmt.Sprintf("%s on string %d", s.Names.Note(n.Pitch.Note), n.String))
	}
	return fmt.Sprintf("Root %s at fret %d of string %d; %s", s.Names.Note(p.Root), p.Fret, p.Recipe.Root, strings.Join(tones, ", "))
}

// drawn marks a shape on the neck, with note names where they are told.
func (s Setup) drawn(p fretboard.Placement, told bool) []Mark {
	var marks []Mark
	for _, n := range p.Notes {
		m := Mark{At: n.Position}
		if told {
			m.Label = s.Names.Note(n.Pitch.Note)
		}
		marks = append(marks, m)
	}
	return marks
}

// sounding is the cue of a shape: a strum, or a scale note by note.
func (s Setup) sounding(p fretboard.Placement) []Sounding {
	var midis []int
	for _, pos := range p.Positions() {
		midis = append(midis, s.Neck.MIDI(pos))
	}
	if p.Recipe.Kind == fretboard.KindScale {
		return row(midis)
	}
	return strum(midis)
}
