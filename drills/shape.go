package drills

import (
	"fmt"
	"iter"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// shapeItems ask where a movable shape lands, and what a drawn shape is.
//
// What is remembered is the shape; its key is drawn afresh each time. Placing it
// is asked three ways: where its root goes, all of its frets, and where it goes
// when the singer asks for another key. An id names the shape and the open
// strings it lies on, since another tuning makes it another shape:
// "shape/tenth-6-minor@E2-G3/place".
func (s Setup) shapeItems() []Item {
	var items []Item
	shapes := slices.DeleteFunc(fretboard.ShapesOn(s.Neck), func(r fretboard.Recipe) bool { return !s.callable(r) })
	for _, r := range shapes {
		for _, dir := range []string{"place", "read"} {
			if dir == "read" && !readable(r) {
				continue
			}
			items = append(items, Item{
				ID:      s.shapeID(r, dir),
				Title:   fmt.Sprintf("%s the %s", map[string]string{"place": "placing", "read": "reading"}[dir], r.Words),
				Group:   r.Family,
				topic:   shapeTopic(r),
				Aim:     s.Aim * 3 / 2,
				Stage:   shapeStage(s.Neck.Tuning, r, dir == "read"),
				Strings: stringsOf(r),
				Kin:     s.shapeKin(r, dir, shapes),
				bass:    r.Bass,
			})
		}
	}
	return append(items, s.keptItems()...)
}

// readable reports whether a drawn shape says by itself which chord or note it
// stands for. A sixth does not say which of its ends is the root, and of a line on a bass
// only its first note would be asked.
func readable(r fretboard.Recipe) bool {
	return r.Family != "sixths" && r.Family != "held tones" && r.Kind != fretboard.KindTones && !(r.Bass && r.Kind == fretboard.KindScale)
}

func (s Setup) shapeID(r fretboard.Recipe, dir string) string {
	name := r.Name
	if r.Family == fretboard.OwnFamily { // edited, it is another thing to remember
		for i, t := range r.Tones {
			name += []string{"=", ","}[min(i, 1)] + strconv.Itoa(t.Above.Semitones)
		}
	}
	return fmt.Sprintf("shape/%s@%s/%s", name, s.on(stringsOf(r)), dir)
}

// shapeKin lists the same shape asked the other way, and shapes of the same family
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

// stringsOf lists the strings of a shape, the lowest first.
func stringsOf(r fretboard.Recipe) []int {
	var strs []int
	for _, t := range r.Tones {
		if !slices.Contains(strs, t.String) {
			strs = append(strs, t.String)
		}
	}
	return append(strs, r.Ringing...)
}

// playable lists where on the neck a hand can hold the shape over a root: these
// are right.
func (s Setup) playable(r fretboard.Recipe, root theory.Note) []fretboard.Placement {
	return slices.DeleteFunc(r.On(s.Neck, root), func(p fretboard.Placement) bool { return !p.Playable() })
}

// placements lists those of them between the frets asked: these are asked and told.
func (s Setup) placements(r fretboard.Recipe, root theory.Note) []fretboard.Placement {
	return slices.DeleteFunc(s.playable(r, root), s.leavesFrets)
}

// placedBySound returns whether the shape has a placement over a root. It looks
// once for each of the twelve sounds: eighty-four roots have those.
func (s Setup) placedBySound(r fretboard.Recipe) func(root theory.Note) bool {
	var looked, found [12]bool
	return func(root theory.Note) bool {
		pc := root.PitchClass()
		if !looked[pc] {
			looked[pc], found[pc] = true, len(s.placements(r, root)) > 0
		}
		return found[pc]
	}
}

// leavesFrets reports whether a placement has a note outside of the frets asked.
func (s Setup) leavesFrets(p fretboard.Placement) bool {
	return slices.ContainsFunc(p.Notes, func(n fretboard.Held) bool {
		return n.Fret < s.Frets[0] || n.Fret > s.Frets[1]
	})
}

// A call is a root with the key in which it is called.
type call struct {
	key     theory.Key
	root    theory.Note
	learned theory.Key // of what a gig needs
}

// from is the same number of the key that a needed call was learned in.
func (c call) from() call {
	up := theory.Between(theory.Pitch{Note: c.key.Tonic, Octave: 4}, theory.Pitch{Note: c.root, Octave: 4})
	return call{key: c.learned, root: c.learned.Tonic.Add(up)}
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
		placed := s.placedBySound(r)
		for _, fits := range []func(fretboard.Recipe, theory.Note, theory.Key) bool{s.fitsKey, s.fitsThird} {
			found := false
			for _, k := range s.calledKeys() {
				for _, n := range k.Scale() {
					if !fits(r, n, k) || !placed(n) || s.Naturals && n.Alter != 0 {
						continue
					}
					if found = true; !yield(call{key: k, root: s.writable(r, n)}) {
						return
					}
				}
			}
			if found {
				return
			}
		}
	}
}

// fitsKey reports whether every tone of the shape belongs to the key, so that a minor
// shape is asked on the 2, 3 and 6, a dominant seventh on the 5 alone, and no Em7 in F.
// Tones that are held are those of the key: their root is its keynote.
func (s Setup) fitsKey(r fretboard.Recipe, root theory.Note, k theory.Key) bool {
	if r.Family == "held tones" {
		return root == k.Tonic
	}
	return !slices.ContainsFunc(r.Tones, func(t fretboard.Tone) bool { return !k.Contains(root.Add(t.Above)) }) &&
		!slices.ContainsFunc(r.Ringing, func(str int) bool { return !s.soundsIn(k, fretboard.Position{String: str}) })
}

// soundsIn reports whether what sounds at a place belongs to a key, however it is spelled.
func (s Setup) soundsIn(k theory.Key, at fretboard.Position) bool {
	return slices.ContainsFunc(k.Scale(), func(n theory.Note) bool { return n.PitchClass() == s.Neck.MIDI(at)%12 })
}

// fitsThird reports whether the shape's third, where it has one, belongs to the key: for
// shapes of which no key has all tones.
func (s Setup) fitsThird(r fretboard.Recipe, root theory.Note, k theory.Key) bool {
	return !slices.ContainsFunc(r.Tones, func(t fretboard.Tone) bool {
		third := t.Above.Simple()
		return third.Steps == 2 && !k.Contains(root.Add(third))
	})
}

func (s Setup) askShape(ref string, rng *rand.Rand) (Question, error) {
	name, rest, _ := strings.Cut(ref, "@")
	_, dir, _ := strings.Cut(rest, "/")
	name, _, _ = strings.Cut(name, "=")
	if what, ok := strings.CutPrefix(name, "kept-"); ok {
		return s.askKept(what, rng)
	}
	r, err := s.Neck.Shape(name)
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
	plain := c // for a question that does not name the key
	switch {
	case r.Family == "held tones": // its tones are those of the key
	case !needed && !s.OnlyKeys:
		plain.root = s.plainRoot(r, c.root)
	default:
		plain.root = s.writable(r, c.root)
	}
	if dir == "read" {
		all := s.placements(r, plain.root)
		return s.readShape(all[rng.IntN(len(all))]), nil
	}
	switch rng.IntN(3) {
	case 0:
		return s.placeRoot(r, plain), nil
	case 1:
		if from := c.from(); needed && !from.root.Enharmonic(c.root) && len(s.placements(r, from.root)) > 0 {
			return s.moveShape(r, from, c), nil // tonight's move
		}
		if moved := s.moveCalls(r, c); len(moved) > 0 {
			other := moved[rng.IntN(len(moved))]
			if needed { // to tonight's key, not away from it
				return s.moveShape(r, other, c), nil
			}
			return s.moveShape(r, c, other), nil
		}
	}
	if r.Kind == fretboard.KindScale {
		return s.placeRoot(r, plain), nil
	}
	return s.placeTones(r, plain), nil
}

// writable spells a root as it is, or plainly where it, its bass or a tone over it would
// have a name that nobody says.
func (s Setup) writable(r fretboard.Recipe, root theory.Note) theory.Note {
	if unsaid(root) || unsaid(root.Add(r.Tones[0].Above)) || slices.ContainsFunc(r.Tones, func(t fretboard.Tone) bool { return abs(root.Add(t.Above).Alter) > 1 }) {
		return s.plainRoot(r, root)
	}
	return root
}

// unsaid reports whether a note has a name that no band calls a chord by: E#, B#, Cb, Fb
// and what has two accidentals.
func unsaid(n theory.Note) bool { return n.Alter != 0 && natural(n.PitchClass()) || abs(n.Alter) > 1 }

// plainRoot spells the root of a shape where no key does: with the fewest accidentals
// in the root, or else in the tones over it; of two as good, as bands write it: with a
// flat, but F sharp unless the player writes six flats (common practice, no source).
func (s Setup) plainRoot(r fretboard.Recipe, root theory.Note) theory.Note {
	flats := root.PitchClass() != 6 || s.SixFlats
	plain, other := theory.FromMIDI(60+root.PitchClass(), flats).Note, theory.FromMIDI(60+root.PitchClass(), !flats).Note
	signs := func(root theory.Note) (n int) {
		if r.Kind == fretboard.KindInterval { // a third stands for its triad
			n = abs(root.Add(theory.Interval{Steps: 4, Semitones: 7}).Alter)
		}
		for _, t := range r.Tones {
			n += abs(root.Add(t.Above).Alter)
		}
		return n
	}
	if signs(other) < signs(plain) {
		return other
	}
	return plain
}

// moveCalls lists the other keys in which the same number of the key can be
// played.
func (s Setup) moveCalls(r fretboard.Recipe, c call) []call {
	var calls []call
	placed := s.placedBySound(r)
	up := theory.Between(theory.Pitch{Note: c.key.Tonic, Octave: 4}, theory.Pitch{Note: c.root, Octave: 4})
	for _, k := range s.calledKeys() {
		root := k.Tonic.Add(up)
		if k.Tonic.PitchClass() != c.key.Tonic.PitchClass() && placed(root) && !(s.Naturals && root.Alter != 0) {
			calls = append(calls, call{key: k, root: s.writable(r, root)})
		}
	}
	return calls
}
