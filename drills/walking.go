package drills

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
	"surefret/drills/walking"
)

// A walkingBar is what one item asks: a change over so many beats, or an approach, over
// any of the first changes.
type walkingBar struct {
	Change
	time int // 4: 4/4; 3: 3/4; 6: 6/8; 2: half a bar of 4/4
	into int // half steps of the last step; 0 for any
}

// The changes that are walked, the first ones first; what the player's songs have besides
// comes behind. Common practice, no source.
var (
	firstWalked = changesOf(theory.Major, "1-4 4-1 5-1 1-5 4-5")
	moreWalked  = changesOf(theory.Major, "1-6 6-2 2-5 6-4 5-6 3-6")
	minorWalked = changesOf(theory.Minor, "1-4 4-1 5-1 1-b6 b7-1 b6-b7")
)

// approaches names the ways into a root by their half steps.
var approaches = map[int]string{1: "half step below", -1: "half step above", -2: "whole step above", 2: "whole step below"}

// approachOrder is the order in which they are met.
var approachOrder = []int{1, -1, -2, 2}

func changesOf(mode theory.Mode, list string) (all []Change) {
	for pair := range strings.FieldsSeq(list) {
		from, to, _ := strings.Cut(pair, "-")
		all = append(all, Change{from, to, mode})
	}
	return all
}

// walkingItems ask a bassist for a walking line over one bar, from the root of a chord
// to that of the next. Any line that keeps the rules is right: see [walking.Broken].
//
// What is remembered is the change, from one number of a key to another, in a time; or
// the way into the next root. The key and the chords are drawn afresh, from the gigs that
// have the change first. An id names them and the strings:
// "walking/1-4/4@E1-A1-D2-G2", "walking/into/half step above@E1-A1-D2-G2".
func (s Setup) walkingItems() []Item {
	if !s.Neck.Tuning.Bass() {
		return nil
	}
	var items []Item
	add := func(stage int, group string, bars ...walkingBar) {
		for _, b := range bars {
			if it := s.walkingItem(b, group, stage); !slices.ContainsFunc(items, func(other Item) bool { return other.ID == it.ID }) && s.walkable(b) {
				items = append(items, it)
			}
		}
	}
	over := func(changes []Change, times ...int) (bars []walkingBar) {
		for _, time := range times {
			for _, c := range changes {
				bars = append(bars, walkingBar{Change: c, time: time})
			}
		}
		return bars
	}
	add(stageWalks, "walking bars between 1, 4 and 5", over(firstWalked, 4)...)
	for _, by := range approachOrder {
		add(stageWalks, "the last note before a chord", walkingBar{time: 4, into: by})
	}
	add(stageFourth, "walking bars to and from 2, 3 and 6", over(moreWalked, 4)...)
	add(stageThird, "half bars, 3/4 and 6/8", over(firstWalked[:3], 2, 3, 6)...)
	add(stageSecond, "walking bars in minor", over(minorWalked, 4)...)
	add(stageFourth, "walking bars of your songs", over(s.Changes, 4)...)
	for i := range items {
		items[i].Kin = slices.DeleteFunc(items[i].Kin, func(k Kin) bool {
			return !slices.ContainsFunc(items, func(it Item) bool { return it.ID == k.ID })
		})
	}
	return items
}

func (s Setup) walkingItem(b walkingBar, group string, stage int) Item {
	it := Item{ID: s.walkingID(b), Title: "walking " + b.say(), Group: group, topic: group, Aim: 3 * s.Aim, Stage: stage, Strings: lowFirst(s.Neck.Tuning), bass: true}
	if b.into == 0 {
		back := b
		back.from, back.to = b.to, b.from
		it.Kin = append(it.Kin, Kin{s.walkingID(back), 0.4})
		if b.time != 4 {
			b.time = 4
			it.Kin = append(it.Kin, Kin{s.walkingID(b), 0.5})
		}
	}
	return it
}

func (s Setup) walkingID(b walkingBar) string {
	what := fmt.Sprintf("%s-%s/%d", b.from, b.to, b.time)
	if b.into != 0 {
		what = "into/" + b.approach()
	}
	if b.mode == theory.Minor {
		what += "-minor"
	}
	return fmt.Sprintf("walking/%s@%s", what, s.on(lowFirst(s.Neck.Tuning)))
}

func (b walkingBar) approach() string { return approaches[b.into] }

// say names what is asked: "a bar of 3/4 from 1 to 4".
func (b walkingBar) say() string {
	if b.into != 0 {
		return "into a chord from a " + b.approach()
	}
	return b.length() + " from " + b.from + " to " + b.to + inMode(b.mode)
}

func (b walkingBar) length() string {
	return map[int]string{2: "half a bar", 3: "a bar of 3/4", 4: "a bar", 6: "a bar of 6/8"}[b.time]
}

// beats lays two chords out over the bar, up to the first beat of the second.
func (b walkingBar) beats(k theory.Key, from, to theory.Chord) (all []walking.Beat) {
	pulses := walking.Pulses(b.time, 4)
	if b.time == 6 {
		pulses = walking.Pulses(6, 8)
	}
	for i, p := range pulses {
		all = append(all, walking.Beat{At: p.At, Length: p.Length, Chord: from, Key: k, Enters: i == 0, Strong: p.Strong})
	}
	return append(all, walking.Beat{Chord: to, Key: k, Enters: true, Strong: true})
}

// A walked change is one in a key, with its chords.
type walkedChange struct {
	key      theory.Key
	from, to theory.Chord
}

// chordAt is the chord that a number of k stands for: that of its scale; the 5 of a minor
// key is major, and so is what has no place in the scale.
func chordAt(k theory.Key, number string) (theory.Chord, error) {
	n, err := theory.ParseNumeral(number)
	if err != nil {
		return theory.Chord{}, err
	}
	chord := k.Chord(n)
	for i, t := range k.Triads() {
		if t.Root == chord.Root && !(k.Mode == theory.Minor && i == 4) {
			return t, nil
		}
	}
	return chord, nil
}

// walkedChanges lists how a bar can be drawn: as the needs have its change, or in the
// keys that are called.
func (s Setup) walkedChanges(b walkingBar, needed bool) (all []walkedChange) {
	changes := []Change{b.Change}
	if b.into != 0 {
		changes = slices.Concat(firstWalked, moreWalked)
	}
	if needed {
		for _, n := range s.needs {
			for i, chord := range n.Chords {
				next := n.Chords[(i+1)%len(n.Chords)]
				if w := (walkedChange{n.Key, chord, next}); slices.Contains(changes, n.change(chord, next)) && !chord.Slashed() && !next.Slashed() && !slices.Contains(all, w) {
					all = append(all, w)
				}
			}
		}
		return all
	}
	for _, k := range s.drawnKeys(b.mode) {
		for _, c := range changes {
			from, err := chordAt(k, c.from)
			to, bad := chordAt(k, c.to)
			if err == nil && bad == nil {
				all = append(all, walkedChange{k, from, to})
			}
		}
	}
	return all
}

// walkable reports whether the neck has room for a bar in some key: it has where eight
// frets are asked.
func (s Setup) walkable(b walkingBar) bool {
	drawn := s.walkedChanges(b, false)
	if s.Frets[1]-s.Frets[0] >= 7 {
		return len(drawn) > 0
	}
	for _, w := range drawn {
		if _, err := s.walkingLine(b, w, nil); err == nil {
			return true
		}
	}
	return false
}

func (s Setup) walkingLine(b walkingBar, w walkedChange, rng *rand.Rand) (fretboard.Line, error) {
	return walking.Line(s.Neck, b.beats(w.key, w.from, w.to), walking.Wish{Frets: s.Frets, Into: b.into, Rand: rng})
}

func (s Setup) askWalking(ref string, rng *rand.Rand) (Question, error) {
	b, ok := s.walkingBar("walking/" + ref)
	if !ok || !s.Neck.Tuning.Bass() {
		return Question{}, fmt.Errorf("no such walking line on this neck: %s", ref)
	}
	for _, needed := range []bool{true, false} {
		drawn := s.walkedChanges(b, needed)
		for _, i := range rng.Perm(len(drawn)) {
			if line, err := s.walkingLine(b, drawn[i], rng); err == nil {
				return s.walkingQuestion(b, drawn[i], line, rng.IntN(2) == 0), nil
			}
		}
	}
	return Question{}, errors.New("no room for it between the frets that are asked")
}

// walkingBar finds what an id stands for.
func (s Setup) walkingBar(id string) (walkingBar, bool) {
	for _, c := range slices.Concat(firstWalked, moreWalked, minorWalked, s.Changes) {
		for _, time := range []int{4, 2, 3, 6} {
			if b := (walkingBar{Change: c, time: time}); s.walkingID(b) == id {
				return b, true
			}
		}
	}
	for _, by := range approachOrder {
		if b := (walkingBar{time: 4, into: by}); s.walkingID(b) == id {
			return b, true
		}
	}
	return walkingBar{}, false
}

// walkingQuestion wants the notes of a line, or its places from a given one.
func (s Setup) walkingQuestion(b walkingBar, w walkedChange, line fretboard.Line, byNotes bool) Question {
	start := line.Path[0]
	at, what, to := "", "notes", "to "+s.Names.Chord(w.to)
	if !byNotes {
		at, what = " at "+say(start)+",", "places"
	}
	if b.into != 0 {
		to = fmt.Sprintf("into %s from a %s", s.Names.Chord(w.to), b.approach())
	}
	q := Question{
		Text:   fmt.Sprintf("In %s, walk %s from %s%s %s: which %d %s, root to root?", s.inKey(w.key), b.length(), s.Names.Chord(w.from), at, to, len(line.Path), what),
		Expect: ExpectNotes,
		Count:  len(line.Path),
		Walk:   line.Path,
		Target: row(s.midis(line.Path)),
	}
	beats := b.beats(w.key, w.from, w.to)
	q.lesson = func() Lesson { return s.walkingLesson(b, w, line) }
	q.playing = func() *Playing {
		return s.playAny(s.midis(line.Path), func(heard []int) string {
			if byNotes {
				return s.sayNotes(fretboard.Line{Pitches: walking.Spelled(beats, heard)}.Notes())
			}
			return fretboard.WritePlaces(s.heardPath(heard, line.Path))
		})
	}
	q.judge = judgement(s.notesOf(len(line.Path)), func(notes []theory.Note) Verdict {
		given := make([]int, len(notes))
		for i, n := range notes {
			given[i] = n.PitchClass()
		}
		v := Verdict{Given: s.sayNotes(notes), Want: s.sayNotes(line.Notes()), Marks: s.walked(line, line.Path)}
		return s.judgeWalking(v, b, w, given, notes, false)
	})
	if byNotes {
		return q
	}
	q.Expect, q.Marks = ExpectPath, []Mark{{start, ""}}
	q.judge = judgement(s.pathOf(len(line.Path)), func(places []fretboard.Position) Verdict {
		v := Verdict{Given: fretboard.WritePlaces(places), Want: fretboard.WritePlaces(line.Path), Marks: s.walked(line, line.Path)}
		own := fretboard.Line{Path: places, Pitches: walking.Spelled(beats, s.midis(places))}
		if v = s.judgeWalking(v, b, w, s.midis(places), own.Notes(), true); v.Right { // his own way
			v.Marks = s.walked(own, places)
		}
		return v
	})
	return q
}

// judgeWalking says whether a line is right, and else which rule it breaks first. A right
// one is told as it was given.
func (s Setup) judgeWalking(v Verdict, b walkingBar, w walkedChange, given []int, names []theory.Note, octaves bool) Verdict {
	beats := b.beats(w.key, w.from, w.to)
	i, rule := walking.Broken(beats, given, octaves)
	last := len(given) - 1
	v.Why = s.walkingRule(b, w)
	switch {
	case rule != walking.NoRule:
		v.is = s.brokenRule(beats, names, i, rule)
	case b.into != 0 && (given[last]-given[last-1]-b.into+24)%12 != 0:
		v.is = fmt.Sprintf("note %d, %s, is no %s %s", last, s.Names.Note(names[last-1]), b.approach(), s.Names.Note(w.to.Bass()))
	default:
		v.Right, v.Want = true, v.Given
	}
	return v
}

// brokenRule says what is wrong with note i, half a sentence.
func (s Setup) brokenRule(beats []walking.Beat, names []theory.Note, i int, rule walking.Rule) string {
	b, name := beats[i], s.Names.Note(names[i])
	switch rule {
	case walking.Begins:
		return fmt.Sprintf("note %d is %s, not %s", i+1, s.Names.Note(b.Chord.Bass()), name)
	case walking.Moves:
		return fmt.Sprintf("note %d is %s again, which is no tone of %s", i+1, name, s.Names.Chord(b.Chord))
	case walking.Leaps:
		return fmt.Sprintf("from note %d to note %d it is more than an octave", i, i+1)
	case walking.Leads:
		if off := (names[i].PitchClass() - beats[i+1].Chord.Bass().PitchClass() + 14) % 12; off <= 4 && off != 2 {
			return fmt.Sprintf("note %d is an octave off where note %d leads", i+2, i+1)
		}
		return fmt.Sprintf("note %d, %s, is no step from %s", i+1, name, s.Names.Note(beats[i+1].Chord.Bass()))
	case walking.Tone:
		return fmt.Sprintf("note %d, %s, is on a strong beat and no tone of %s", i+1, name, s.Names.Chord(b.Chord))
	}
	return fmt.Sprintf("note %d, %s, is neither of %s nor of the key, and no half step from note %d", i+1, name, s.Names.Chord(b.Chord), i+2)
}

// walkingRule says what the line is made of: the tones of its chord, and what leads into
// the next root.
func (s Setup) walkingRule(b walkingBar, w walkedChange) string {
	beats := b.beats(w.key, w.from, w.to)
	root := 48 + w.to.Bass().PitchClass()
	var lead []theory.Note
	for _, by := range approachOrder {
		if half := by*by == 1; (b.into == 0 || b.into == by) && (half || beats[len(beats)-2].Fits(root-by)) {
			lead = append(lead, walking.Spelled(beats[len(beats)-2:], []int{root - by, root})[0].Note)
		}
	}
	tones := s.sayNotes(w.from.Notes())
	if all := beats[0].Tones(); len(all) > len(w.from.Notes()) {
		tones += ", and the seventh " + s.Names.Note(all[len(all)-1])
	}
	return fmt.Sprintf("The root first, on strong beats tones of %s, which are %s; into %s lead %s", s.Names.Chord(w.from), tones, s.Names.Note(w.to.Bass()), s.sayNotes(lead))
}

func (s Setup) walkingLesson(b walkingBar, w walkedChange, line fretboard.Line) Lesson {
	into := "by a step or a half step"
	if b.into != 0 {
		into = "from a " + b.approach()
	}
	return Lesson{
		Pattern: fmt.Sprintf("The root first, chord tones on the strong beats, %s into the next root", into),
		Here:    fmt.Sprintf("In %s, %s to %s: %s, at %s", s.inKey(w.key), s.Names.Chord(w.from), s.Names.Chord(w.to), s.sayNotes(line.Notes()), fretboard.WritePlaces(line.Path)),
		Marks:   s.walked(line, line.Path),
	}
}
