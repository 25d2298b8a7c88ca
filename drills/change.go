package drills

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// A Change is a step from the bass of one chord to that of another, by the numbers of a
// key: "1" to "4".
type Change struct {
	from, to string
	mode     theory.Mode
}

// mostChanges is how many changes a player's songs open; the ones that come first.
const mostChanges = 60

// Changes lists the changes between the neighbouring chords of needs, songs going round,
// each once, in the order in which they come, up to sixty.
func Changes(needs ...Need) []Change {
	var all []Change
	for _, n := range needs {
		for i, chord := range n.Chords {
			c := n.change(chord, n.Chords[(i+1)%len(n.Chords)])
			if c.from != c.to && !slices.Contains(all, c) && len(all) < mostChanges {
				all = append(all, c)
			}
		}
	}
	return all
}

// change is the step between two chords of a need.
func (n Need) change(from, to theory.Chord) Change { return ChangeIn(n.Key, from, to) }

// ChangeIn is the step between the bass notes of two chords, by the numbers of a key.
func ChangeIn(k theory.Key, from, to theory.Chord) Change {
	return Change{sayDegree(k.Degree(from.Bass())), sayDegree(k.Degree(to.Bass())), k.Mode}
}

// changes reports whether n has the change.
func (n Need) changes(c Change) bool {
	for i, chord := range n.Chords {
		if n.change(chord, n.Chords[(i+1)%len(n.Chords)]) == c {
			return true
		}
	}
	return false
}

// changeItems ask for the root of the next chord, from that of the one before: what a
// hand does when a song changes.
//
// What is remembered is the change, from one number of the key to another; the key and
// the places are drawn afresh, and a rehearsal asks it at the beat where its song has it.
// There are as many as the player's own songs have, and none without a song. An id names
// the change and the strings that it may lie on: "change/1-4@E2-A2".
func (s Setup) changeItems() []Item {
	var items []Item
	for _, c := range s.Changes {
		if len(s.changeKeys(c)) == 0 {
			continue
		}
		items = append(items, Item{
			ID:      s.changeID(c),
			Title:   fmt.Sprintf("the change from %s to %s%s", c.from, c.to, inMode(c.mode)),
			Group:   "changes",
			topic:   "the changes of your songs",
			Aim:     s.Aim * 2,
			Stage:   stageWalks,
			Strings: lowFirst(s.Neck.Tuning)[:2],
			Kin:     s.changeKin(c),
		})
	}
	return items
}

// changeKin lists the same change the other way, and the walks that fill it. The weights
// are chosen, no source.
func (s Setup) changeKin(c Change) []Kin {
	var kin []Kin
	back := Change{c.to, c.from, c.mode}
	if slices.Contains(s.Changes, back) {
		kin = append(kin, Kin{s.changeID(back), 0.4})
	}
	for _, m := range motions {
		if m.from == c.from && m.to == c.to && m.mode == c.mode && s.walks(m) {
			kin = append(kin, Kin{s.motionID(m), 0.3})
		}
	}
	return kin
}

// changeID is the id of the item for a change.
func (s Setup) changeID(c Change) string {
	mode := ""
	if c.mode == theory.Minor {
		mode = "/minor"
	}
	return fmt.Sprintf("change/%s-%s%s@%s", c.from, c.to, mode, s.on(lowFirst(s.Neck.Tuning)[:2]))
}

// notes are the roots of a change in a key.
func (c Change) notes(k theory.Key) (from, to theory.Note, err error) {
	a, err := theory.ParseNumeral(c.from)
	if err != nil {
		return from, to, err
	}
	b, err := theory.ParseNumeral(c.to)
	if err != nil {
		return from, to, err
	}
	return k.Note(a.Degree), k.Note(b.Degree), nil
}

// changeKeys lists the keys in which a change can be asked, those of the needs that have
// it first.
func (s Setup) changeKeys(c Change) []theory.Key {
	var keys []theory.Key
	add := func(k theory.Key) {
		from, to, err := c.notes(k)
		if err == nil && !slices.Contains(keys, k) && len(s.rootsAsked(from)) > 0 && len(s.rootsAsked(to)) > 0 {
			keys = append(keys, k)
		}
	}
	for _, n := range s.needs {
		if n.changes(c) {
			add(n.Key)
		}
	}
	if len(keys) > 0 {
		return keys
	}
	for _, k := range s.drawnKeys(c.mode) {
		add(k)
	}
	return keys
}

// rootsAsked are the places of a root on the two lowest strings, between the frets asked.
func (s Setup) rootsAsked(n theory.Note) []fretboard.Position {
	return slices.DeleteFunc(slices.Clone(s.Neck.Roots(n)), func(p fretboard.Position) bool { return p.Fret < s.Frets[0] || p.Fret > s.Frets[1] })
}

func (s Setup) askChange(ref string, rng *rand.Rand) (Question, error) {
	for _, c := range s.Changes {
		keys := s.changeKeys(c)
		if s.changeID(c) != "change/"+ref || len(keys) == 0 {
			continue
		}
		k := keys[rng.IntN(len(keys))]
		from, to, err := c.notes(k)
		if err != nil {
			return Question{}, err
		}
		start := s.rootsAsked(from)
		goal := s.rootsAsked(to)
		return s.changeQuestion(c, k, start[rng.IntN(len(start))], goal[rng.IntN(len(goal))], to), nil
	}
	return Question{}, fmt.Errorf("no such change in the player's songs: %s", ref)
}

// changeQuestion wants the fret of a root on the string of a place, from another place.
func (s Setup) changeQuestion(c Change, k theory.Key, from, to fretboard.Position, note theory.Note) Question {
	q := Question{
		Text:   fmt.Sprintf("In %s, you are on the %s at %s. The %s comes next: which fret on string %d?", s.inKey(k), c.from, say(from), c.to, to.String),
		Expect: ExpectFret,
		String: to.String,
		Marks:  []Mark{{from, ""}},
		Target: row(s.midis([]fretboard.Position{from, to})),
	}
	lesson := Lesson{
		Pattern: fmt.Sprintf("From %s to %s: %s", c.from, c.to, s.stepTo(from, to)),
		Here:    fmt.Sprintf("In %s: %s to %s", s.inKey(k), say(from), say(to)),
		Marks:   s.named(note, to),
	}
	q.lesson = func() Lesson { return lesson }
	q.judge = judgement(s.fretOn(to.String), func(given fretboard.Position) Verdict {
		v := Verdict{
			Right: s.Neck.MIDI(given)%12 == note.PitchClass(),
			Given: "fret " + strconv.Itoa(given.Fret), Want: "fret " + strconv.Itoa(to.Fret),
			Why:   fmt.Sprintf("The %s of %s is %s: %s", c.to, s.inKey(k), s.Names.Note(note), s.stepTo(from, to)),
			Marks: s.named(note, to),
		}
		if !v.Right {
			v.is = s.isNote(given, k.Signature() < 0)
		}
		return v
	})
	return q
}

// stepTo says how the hand gets from one place to another.
func (s Setup) stepTo(from, to fretboard.Position) string {
	if from.String == to.String {
		return sayUp(to.Fret-from.Fret) + " on the same string"
	}
	way := "the next higher string"
	if to.String > from.String {
		way = "the next lower string"
	}
	return way + ", " + sayUp(to.Fret-from.Fret)
}

// AskChange poses a change at the places where a song has it.
func (c *Catalogue) AskChange(ch Change, k theory.Key, from, to fretboard.Position, note theory.Note) (Question, bool) {
	it, ok := c.Item(c.setup.changeID(ch))
	if !ok {
		return Question{}, false
	}
	q := c.setup.changeQuestion(ch, k, from, to, note)
	q.Item, q.Family, q.title = it.ID, it.Family, it.Title
	return q, true
}
