package drills

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// walkupItems ask for the way of the bass from one chord's root to the next.
//
// What is remembered is the motion, from one number of the key to another, up or
// down, with a note left out or not; the key is drawn afresh. It is asked by the
// notes and by the places on the neck. An id names the motion and the strings
// that it may lie on: "walkup/4-1/up-skip1@E2-A2-D3".
func (s Setup) walkupItems() []Item {
	low := lowFirst(s.Neck.Tuning)[:3]
	possible := map[motion]bool{}
	for _, m := range motions {
		possible[m] = s.walks(m)
	}
	var items []Item
	for i, m := range motions {
		if !possible[m] {
			continue
		}
		items = append(items, Item{
			ID:      s.motionID(m),
			Title:   "the " + m.say() + inMode(m.mode),
			Group:   "walk-ups",
			topic:   m.topic(i),
			Aim:     s.Aim * 2,
			Stage:   m.stage(i, s.Neck.Tuning.Bass()),
			Strings: low,
			Kin:     s.motionKin(m, possible),
			bass:    s.Neck.Tuning.Bass(),
		})
	}
	return items
}

// motionKin lists the same motion the other way, or with a note left out. The
// weight is chosen, no source.
func (s Setup) motionKin(m motion, possible map[motion]bool) []Kin {
	var kin []Kin
	for _, n := range motions {
		same := n.from == m.from && n.to == m.to || n.from == m.to && n.to == m.from
		if n != m && same && n.mode == m.mode && possible[n] {
			kin = append(kin, Kin{s.motionID(n), 0.4})
		}
	}
	return kin
}

func (s Setup) motionID(m motion) string {
	how := "up"
	if m.walk.Down {
		how = "down"
	}
	if m.walk.Skip > 0 {
		how += "-skip" + strconv.Itoa(m.walk.Skip)
	}
	if m.walk.Chromatic {
		how += "-chromatic"
	}
	if m.mode == theory.Minor {
		how += "-minor"
	}
	return fmt.Sprintf("walkup/%s-%s/%s@%s", m.from, m.to, how, s.on(lowFirst(s.Neck.Tuning)[:3]))
}

// walkKeys lists the keys in which a motion is drawn.
func (s Setup) walkKeys(m motion) []theory.Key {
	keys := s.drawnKeys(m.mode)
	if !s.Naturals {
		return keys
	}
	plain := slices.DeleteFunc(slices.Clone(keys), func(k theory.Key) bool {
		line, err := s.line(m, k)
		return err != nil || slices.ContainsFunc(line.Notes(), func(n theory.Note) bool { return n.Alter != 0 })
	})
	if len(plain) == 0 { // some walks have no way by natural notes alone
		return keys
	}
	return plain
}

// walks reports whether the neck has room for a motion in some key.
func (s Setup) walks(m motion) bool {
	for _, k := range s.walkKeys(m) {
		if _, err := s.line(m, k); err == nil {
			return true
		}
	}
	return false
}

// line fingers a motion in a key.
func (s Setup) line(m motion, k theory.Key) (fretboard.Line, error) {
	from, err := theory.ParseNumeral(m.from)
	if err != nil {
		return fretboard.Line{}, err
	}
	to, err := theory.ParseNumeral(m.to)
	if err != nil {
		return fretboard.Line{}, err
	}
	// A number of a minor key stands for the note of its scale: its 6 is b6.
	line, err := m.walk.On(s.Neck, m.scale(k), k.Note(from.Degree), k.Note(to.Degree))
	for _, p := range line.Path {
		if err == nil && (p.Fret < s.Frets[0] || p.Fret > s.Frets[1]) {
			err = fmt.Errorf("it leaves frets %d to %d", s.Frets[0], s.Frets[1])
		}
	}
	return line, err
}

func (s Setup) askWalkup(ref string, rng *rand.Rand) (Question, error) {
	for _, m := range motions {
		if s.motionID(m) != "walkup/"+ref {
			continue
		}
		for _, keys := range [][]theory.Key{s.neededKeys(m), s.walkKeys(m)} {
			for _, i := range rng.Perm(len(keys)) {
				line, err := s.line(m, keys[i])
				if err != nil {
					continue // this key has no room on this neck
				}
				if rng.IntN(2) == 0 {
					return s.walkNotes(m, keys[i], line), nil
				}
				return s.walkPlaces(m, keys[i], line), nil
			}
		}
	}
	return Question{}, fmt.Errorf("no such walk on this neck: %s", ref)
}

// walkNotes wants the notes of a walk in order.
func (s Setup) walkNotes(m motion, k theory.Key, line fretboard.Line) Question {
	want := line.Notes()
	for i, n := range want {
		want[i] = plainly(n)
	}
	q := Question{
		Text:   fmt.Sprintf("%s: which %d notes, root to root?", m.asked(s.inKey(k), ""), len(want)),
		Expect: ExpectNotes,
		Count:  len(want),
		Walk:   line.Path,
		Target: row(s.midis(line.Path)),
	}
	q.lesson = func() Lesson { return s.walkLesson(m, k, line) }
	q.playing = func() *Playing {
		return s.playLine(s.midis(line.Path), true, func(heard []int) string {
			return s.sayNotes(s.heardNotes(heard, want))
		})
	}
	q.judge = judgement(s.notesOf(len(want)), func(given []theory.Note) Verdict {
		v := Verdict{Right: true, Given: s.sayNotes(given), Want: s.sayNotes(want), Why: fmt.Sprintf("By number: %s; on the neck: %s", s.degrees(k, want), fretboard.WritePlaces(line.Path)), Marks: s.walked(line, line.Path)}
		for i, n := range given {
			if v.Right && !n.Enharmonic(want[i]) {
				v.Right, v.is = false, fmt.Sprintf("note %d is %s, not %s", i+1, s.Names.Note(want[i]), s.Names.Note(n))
			}
			if n != want[i] && n.Enharmonic(want[i]) {
				v.Note = s.whySpelled(m.scale(k), want, i)
			}
		}
		return v
	})
	return q
}

// whySpelled says why a note of a walk goes by the name it has.
func (s Setup) whySpelled(k theory.Key, notes []theory.Note, i int) string {
	melodic := theory.Key{Tonic: k.Tonic, Mode: theory.MelodicMinor} // a bass rises by it
	if i == len(notes)-1 || k.Contains(notes[i]) || k.Mode == theory.HarmonicMinor && melodic.Contains(notes[i]) {
		return "the key spells it this way"
	}
	return fmt.Sprintf("on the way to %s it is called %s", s.Names.Note(notes[i+1]), s.Names.Note(notes[i]))
}

// walkPlaces wants the places of a walk in order, from a given start. Any
// fingering will do that sounds the right notes.
func (s Setup) walkPlaces(m motion, k theory.Key, line fretboard.Line) Question {
	start := line.Path[0]
	q := Question{
		Text:   fmt.Sprintf("%s: which %d places, root to root?", m.asked(s.inKey(k), say(start)), len(line.Path)),
		Expect: ExpectPath,
		Count:  len(line.Path),
		Marks:  []Mark{{start, ""}},
		Walk:   line.Path,
		Target: row(s.midis(line.Path)),
	}
	q.lesson = func() Lesson { return s.walkLesson(m, k, line) }
	q.playing = func() *Playing {
		return s.playLine(s.midis(line.Path), false, func(heard []int) string { return fretboard.WritePlaces(s.heardPath(heard, line.Path)) })
	}
	q.judge = judgement(s.pathOf(len(line.Path)), func(given []fretboard.Position) Verdict {
		v := Verdict{Right: true, Given: fretboard.WritePlaces(given), Want: fretboard.WritePlaces(line.Path), Why: s.walkRule(k, line), Marks: s.walked(line, line.Path)}
		for i, p := range given {
			if off := s.Neck.MIDI(p) - s.Neck.MIDI(line.Path[i]); v.Right && off != 0 {
				v.Right, v.is, v.Why = false, s.offBy(p, line.Notes()[i], off), s.orOctave(v.Why, off)
			}
		}
		if v.Right {
			v.Marks = s.walked(line, given) // his own way
			if v.Given != v.Want {
				v.Want, v.Note = v.Given, "or "+v.Want
			}
		}
		return v
	})
	return q
}

// walked marks a way along the notes of a walk, spelled as they are told.
func (s Setup) walked(line fretboard.Line, way []fretboard.Position) []Mark {
	marks := make([]Mark, len(way))
	for i, n := range line.Notes() {
		marks[i] = Mark{way[i], s.sayTold(n)}
	}
	return marks
}

// walkRule says the walk by the numbers of its key, which are the same in every key,
// and by its notes here.
func (s Setup) walkRule(k theory.Key, line fretboard.Line) string {
	return fmt.Sprintf("By number: %s; in %s: %s", s.degrees(k, line.Notes()), s.inKey(k), s.sayNotes(line.Notes()))
}

// rising are the half steps of a rising line as players say them, however a key spells
// them: flat 3, 3 and sharp 5, 6. Common practice, no source.
var rising = strings.NewReplacer("#2 3", "b3 3", "5 b6 6", "5 #5 6")

// degrees says notes by their numbers in a key.
func (s Setup) degrees(k theory.Key, notes []theory.Note) string {
	words := make([]string, len(notes))
	for i, n := range notes {
		words[i] = sayDegree(k.Degree(n))
	}
	return rising.Replace(strings.Join(words, " "))
}

// sayDegree names a degree by the figure that bands have for it: nobody says b1.
func sayDegree(d theory.Degree) string {
	if plain, odd := map[string]string{"b1": "7", "#3": "4", "b4": "3", "#7": "1"}[d.String()]; odd {
		return plain
	}
	return d.String()
}

func (s Setup) walkLesson(m motion, k theory.Key, line fretboard.Line) Lesson {
	return Lesson{
		Pattern: sentence(m.say()) + ": " + s.degrees(k, line.Notes()),
		Here:    fmt.Sprintf("In %s: %s, at %s", s.inKey(k), s.sayNotes(line.Notes()), fretboard.WritePlaces(line.Path)),
		Marks:   s.walked(line, line.Path),
	}
}

func (s Setup) sayNotes(notes []theory.Note) string {
	words := make([]string, len(notes))
	for i, n := range notes {
		words[i] = s.sayTold(n)
	}
	return strings.Join(words, " ")
}

func (s Setup) midis(places []fretboard.Position) []int {
	midis := make([]int, len(places))
	for i, p := range places {
		midis[i] = s.Neck.MIDI(p)
	}
	return midis
}
