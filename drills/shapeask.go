package drills

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// What is asked of a shape, once its root and key are drawn, and how an answer is
// judged.

// placeRoot wants the fret of the root on the shape's root string.
func (s Setup) placeRoot(r fretboard.Recipe, c call) Question {
	root := "root"
	if r.Family == "held tones" { // the root of the shape is not the chord's
		root = s.Names.Note(c.root)
	}
	q := Question{
		Text:   fmt.Sprintf("%s: %s at which fret of string %d?", sentence(s.said(r, c.root)), root, r.Root),
		Expect: ExpectFret, String: r.Root,
	}
	return s.wantRoot(q, r, c.root, s.placements(r, c.root), func(fretboard.Placement) string { return "" },
		func(given fretboard.Position) string {
			return s.isRoot(r, given, c.root.Alter < 0 || c.root.Alter == 0 && s.Flats)
		})
}

// moveShape shows a shape in one key and wants its root in another.
func (s Setup) moveShape(r fretboard.Recipe, c, to call) Question {
	shown := s.placements(r, c.root)[0]
	from := fretboard.Position{String: r.Root, Fret: shown.Fret}
	sits := "sits at"
	if r.Tones[0].String != r.Root {
		sits = "has its root at"
	}
	if r.Family == "held tones" {
		sits = "has its keynote at"
	}
	where := fmt.Sprintf("Your %s %s %s, in %s.", kind(r), sits, say(from), s.inKey(c.key))
	if !c.root.Enharmonic(c.key.Tonic) { // or the key is heard as the chord
		where = fmt.Sprintf("The song is in %s, and your %s %s %s.", s.inKey(c.key), kind(r), sits, say(from))
	}
	q := Question{
		Text:   where + fmt.Sprintf(" The singer calls %s: where now?", s.inKey(to.key)),
		Expect: ExpectFret, String: r.Root, Marks: s.drawn(shown, false),
	}
	told := s.placements(r, to.root)
	slices.SortStableFunc(told, func(a, b fretboard.Placement) int { // the nearest first
		return cmp.Compare(abs(a.Fret-shown.Fret), abs(b.Fret-shown.Fret))
	})
	by := func(p fretboard.Placement) string {
		return fmt.Sprintf("From %s to %s: %s on the same strings", s.inKey(c.key), s.inKey(to.key), sayUp(p.Fret-shown.Fret))
	}
	q = s.wantRoot(q, r, to.root, told, func(p fretboard.Placement) string { return by(p) + "; " },
		func(given fretboard.Position) string { return s.isKey(to, given, to.key.Signature() < 0) })
	q.lesson = func() Lesson {
		l := s.shapeLesson(told[0])
		l.Here = by(told[0]) + ". " + l.Here
		return l
	}
	return q
}

// wantRoot completes a question for the fret of the root, in any octave where
// the shape can be held. Of those told the first is shown after a mistake. What
// because says of the placement comes first in the feedback.
func (s Setup) wantRoot(q Question, r fretboard.Recipe, root theory.Note, told []fretboard.Placement, because func(fretboard.Placement) string, is func(fretboard.Position) string) Question {
	var wanted []fretboard.Position
	for _, p := range told {
		wanted = append(wanted, fretboard.Position{String: r.Root, Fret: p.Fret})
	}
	slices.SortFunc(wanted, func(a, b fretboard.Position) int { return cmp.Compare(a.Fret, b.Fret) })
	q.Target = s.sounding(told[0])
	q.lesson = func() Lesson { return s.shapeLesson(told[0]) }
	q.playing = func() *Playing {
		var roots []fretboard.Position
		for _, p := range s.playable(r, root) {
			roots = append(roots, fretboard.Position{String: q.String, Fret: p.Fret})
		}
		return s.playOneOf(roots, fmt.Sprintf("Play that one note, on string %d.", q.String))
	}
	q.judge = judgement(s.fretOn(q.String), func(given fretboard.Position) Verdict {
		right := s.playable(r, root)
		shown := told[0]
		i := slices.IndexFunc(right, func(p fretboard.Placement) bool { return p.Fret == given.Fret })
		if i >= 0 {
			shown = right[i]
		}
		v := Verdict{
			Right: i >= 0,
			Given: "fret " + strconv.Itoa(given.Fret),
			Want:  sayFrets(wanted),
			Why:   because(shown) + s.whereNote(fretboard.Position{String: q.String, Fret: shown.Fret}, root),
			Marks: s.drawn(shown, true),
		}
		switch {
		case v.Right:
		case s.Neck.MIDI(given)%12 == root.PitchClass(): // at the nut, or at the end of the neck
			v.is = s.gives(given, root) + ", but the shape cannot be played there"
		default:
			v.is = is(given)
		}
		return v
	})
	return q
}

// placeTones wants every fret of the shape.
func (s Setup) placeTones(r fretboard.Recipe, c call) Question {
	told := s.placements(r, c.root)
	strs, said := stringsOf(r), s.said(r, c.root)
	switch {
	case r.Family == "held tones":
		said += ", " + sayStrings(strs) + " in all"
	case slices.Contains(byBass, r.Family): // the lowest of the strings is that of the bass
		tone, _, _ := strings.Cut(r.Family, " ")
		said = strings.Replace(strings.Replace(said, fmt.Sprintf(", the %s on string %d and", tone, strs[0]), ",", 1), fmt.Sprintf(", the %s on string %d", tone, strs[0]), "", 1)
		said += ", " + sayStrings(strs)
	case !strings.Contains(said, "strings "):
		said += ", " + sayStrings(strs)
	}
	q := Question{
		Text:   sentence(said) + ": which frets?",
		Expect: ExpectPlaces,
		Count:  len(strs),
		On:     strs,
		Target: s.sounding(told[0]),
	}
	q.lesson = func() Lesson { return s.shapeLesson(told[0]) }
	if len(told[0].Notes) <= mostRolled && !slices.Contains(byBass, r.Family) {
		q.playing = func() *Playing { return s.rollShape(s.playable(r, c.root)) }
	}
	q.judge = judgement(s.placesOn(strs), func(given []fretboard.Position) Verdict {
		v := Verdict{Given: s.writeShape(given), Why: s.shapePattern(r), Marks: s.drawn(told[0], true)}
		var wants []string
		for _, p := range told {
			wants = append(wants, p.String())
		}
		for _, p := range s.playable(r, c.root) {
			if sameSet(given, p.Positions()) {
				v.Right, v.Marks = true, s.drawn(p, true)
			}
		}
		if !v.Right && s.otherVoicing(r, told[0], given) {
			v.Right, v.Note, v.Marks = true, "another voicing", s.told(given...)
		}
		if v.Right && v.Note != "" {
			v.Want = v.Given
			return v
		}
		if !v.Right {
			var octave bool
			if v.is, octave = s.isShape(given, told); octave {
				v.Why = sentence(s.octaves())
			}
		}
		v.Want = strings.Join(wants, " or ")
		return v
	})
	return q
}

// otherVoicing reports whether places on the strings of a shape are its chord with its
// bass, within the hand's reach: what names the chord and its bass alone has several.
func (s Setup) otherVoicing(r fretboard.Recipe, p fretboard.Placement, given []fretboard.Position) bool {
	if !slices.Contains(byBass, r.Family) || len(given) != len(p.Notes) {
		return false
	}
	var wanted, has, fretted []int
	for _, n := range p.Notes {
		wanted = append(wanted, n.Pitch.PitchClass())
	}
	strs := stringsOf(r)
	for _, str := range strs {
		i := slices.IndexFunc(given, func(at fretboard.Position) bool { return at.String == str })
		if i < 0 {
			return false
		}
		if has = append(has, s.Neck.MIDI(given[i])%12); given[i].Fret > 0 {
			fretted = append(fretted, given[i].Fret)
		}
	}
	return sameSet(has, wanted) && has[0] == wanted[0] && (len(fretted) == 0 || slices.Max(fretted)-slices.Min(fretted) <= s.Neck.Reach())
}

// readShape draws a shape and wants what it is.
func (s Setup) readShape(p fretboard.Placement) Question {
	q := Question{
		Marks:  s.drawn(p, false),
		Target: s.sounding(p),
	}
	q.lesson = func() Lesson { return s.shapeLesson(p) }
	want, ask := s.meaning(p)
	if want == (theory.Chord{Root: p.Root, Quality: theory.MajorTriad}) && ask == ExpectNote {
		root := fretboard.Position{String: p.Recipe.Root, Fret: p.Fret}
		q.Text = fmt.Sprintf("%s, root at %s: which note?", sentence(strings.ReplaceAll(p.Recipe.Words, ", two notes a string", "")), say(root))
		q.Expect = ExpectNote
		q.judge = judgement(s.Names.Parse, func(given theory.Note) Verdict {
			v := Verdict{
				Right: given.Enharmonic(p.Root),
				Given: s.Names.Note(given), Want: s.Names.Note(p.Root),
				Why:   s.whereNote(root, p.Root),
				Marks: s.drawn(p, true),
			}
			if !v.Right {
				v.is = s.instead(given, root)
			}
			return v
		})
		return q
	}
	tones := ""
	if p.Recipe.Kind == fretboard.KindInterval {
		tones = ", root and third"
	}
	q.Text = fmt.Sprintf("%s%s: which chord?", p, tones)
	q.Expect = ExpectChord
	q.judge = judgement(s.Names.ParseChord, func(given theory.Chord) Verdict {
		v := Verdict{
			Right: means(given, want, p),
			Given: s.Names.Chord(given), Want: s.Names.Chord(want),
			Why: s.readRule(p), Marks: s.drawn(p, true),
		}
		if !v.Right {
			v.is = s.spells(given)
		}
		switch {
		case v.Right && given != want:
			v.Note = "also called " + s.Names.Chord(given)
		case !v.Right && given.Root.Enharmonic(want.Root) && given.Quality == want.Quality && !given.Slashed():
			tone, _, _ := strings.Cut(p.Recipe.Family, " ") // one of byBass
			v.Note = fmt.Sprintf("not quite: its %s, %s, is in the bass", tone, s.Names.Note(want.Bass()))
		}
		return v
	})
	return q
}

// meaning returns what a drawn shape stands for and how it is answered: a
// chord, or the root alone where it is no chord.
func (s Setup) meaning(p fretboard.Placement) (theory.Chord, Expect) {
	if c, ok := chordOver(p.Recipe, p.Root); ok {
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

// byBass are the families of shapes that are told apart by their bass.
var byBass = []string{"third in the bass", "fifth in the bass"}

// means reports whether a chord names the shape: the same root and quality,
// with or without its bass where that does not make the shape, or another name for
// just the notes that sound.
func means(given, want theory.Chord, p fretboard.Placement) bool {
	if given.Root.Enharmonic(want.Root) && given.Quality == want.Quality {
		bassLess := !given.Slashed() && !slices.Contains(byBass, p.Recipe.Family)
		return bassLess || given.Bass().Enharmonic(want.Bass())
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

// readRule says how a drawn shape is read: its notes, and where its root is.
func (s Setup) readRule(p fretboard.Placement) string {
	var notes []theory.Note
	for _, n := range p.Notes {
		notes = append(notes, plainly(n.Pitch.Note))
	}
	return fmt.Sprintf("Its notes are %s; its root, %s, is on string %d", s.sayNotes(notes), s.Names.Note(p.Root), p.Recipe.Root)
}

// drawn marks a shape on the neck, with note names where they are told.
func (s Setup) drawn(p fretboard.Placement, told bool) []Mark {
	var marks []Mark
	for _, n := range p.Notes {
		m := Mark{At: n.Position}
		if told {
			m.Label = s.sayTold(n.Pitch.Note)
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
