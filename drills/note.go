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

// noteItems ask for the note at a place, and for the place of a note.
//
// What is remembered as one thing is a string and a note name. The octave, fret 3
// or 15, is drawn afresh: the lower four times in five, since it is met first and
// needed most. So an id is the open string, the frets above it within one octave,
// and the way it is asked: "note/E2+3/name" shows fret 3 or 15 and wants G,
// "note/E2+3/find" says G and takes either fret.
func (s Setup) noteItems() []Item {
	var items []Item
	for rank, str := range lowFirst(s.Neck.Tuning) {
		for _, dir := range []string{"name", "find"} {
			for up := range 12 {
				if len(s.window(str, up)) == 0 || !s.allowed(s.Neck.MIDI(fretboard.Position{String: str, Fret: up})) {
					continue
				}
				open := s.Neck.Tuning.Open[str-1]
				stage, kind := noteStage(rank, natural(open.MIDI()+up)), "sharps and flats"
				if natural(open.MIDI() + up) {
					kind = "naturals"
				}
				if s.amongFirst(str, up) {
					stage = stageFirstNotes
				}
				items = append(items, Item{
					ID:      noteID(open, up, dir),
					Title:   s.noteTitle(str, up, dir),
					Group:   "string " + strconv.Itoa(str),
					topic:   fmt.Sprintf("%s on string %d", kind, str),
					Aim:     s.Aim,
					Stage:   stage,
					Strings: []int{str},
					Kin:     noteKin(s, open, up, dir),
				})
			}
		}
	}
	return append(items, s.everywhereItems()...)
}

// noteTitle names a note in words, as the needs spell it where there are some.
func (s Setup) noteTitle(str, up int, dir string) string {
	note := s.Names.Note(s.noteAt(fretboard.Position{String: str, Fret: up}, s.Flats))
	return fmt.Sprintf("%s %s on string %d", map[string]string{"name": "naming", "find": "finding"}[dir], note, str)
}

func noteID(open theory.Pitch, up int, dir string) string {
	return fmt.Sprintf("note/%s+%d/%s", open, up, dir)
}

// noteKin lists what else helps with this note: the same question the other way
// round, and the same name on a string an octave or two away. The weights are
// chosen, no source.
func noteKin(s Setup, open theory.Pitch, up int, dir string) []Kin {
	other := map[string]string{"name": "find", "find": "name"}[dir]
	kin := []Kin{{noteID(open, up, other), 0.5}}
	for str, twin := range s.Neck.Tuning.Open {
		if twin != open && twin.Enharmonic(open.Note) && len(s.window(str+1, up)) > 0 {
			kin = append(kin, Kin{noteID(twin, up, dir), 0.8})
		}
	}
	return kin
}

func (s Setup) askNote(ref string, rng *rand.Rand) (Question, error) {
	if name, ok := strings.CutPrefix(ref, "all/"); ok {
		return s.everywhere(name, rng)
	}
	openName, rest, _ := strings.Cut(ref, "+")
	upText, dir, _ := strings.Cut(rest, "/")
	up, err := strconv.Atoi(upText)
	if err != nil {
		return Question{}, fmt.Errorf("%q has no fret", ref)
	}
	str := s.stringOpen(openName)
	places := s.window(str, up)
	if len(places) == 0 {
		return Question{}, fmt.Errorf("no place for it between frets %d and %d", s.Frets[0], s.Frets[1])
	}
	at := places[0]
	if n := rng.IntN(10); n >= 8 && len(places) > 1 && !s.Naturals {
		at = places[1+n%(len(places)-1)]
	}
	if dir == "name" {
		return s.nameQuestion(at), nil
	}
	return s.findQuestion(at, rng.IntN(2) == 0), nil
}

// OpenString reports whether an item is the name of an open string.
func (it Item) OpenString() bool {
	return it.Family == "note" && strings.HasSuffix(it.ID, "+0/name")
}

// nameQuestion shows a place and wants the note there, in any spelling.
func (s Setup) nameQuestion(at fretboard.Position) Question {
	want := s.noteAt(at, s.Flats)
	q := Question{
		Text:   sentence(say(at)) + ": which note?",
		Expect: ExpectNote,
		Marks:  []Mark{{at, "?"}},
		Target: single(s.Neck.MIDI(at)),
	}
	q.lesson = func() Lesson { return s.noteLesson(want, at) }
	q.playing = func() *Playing { return s.playElsewhere(at) }
	q.judge = judgement(s.Names.Parse, func(given theory.Note) Verdict {
		v := Verdict{
			Right: given.Enharmonic(want),
			Given: s.Names.Note(given),
			Want:  s.Names.Note(want),
			Why:   s.whereNote(at, want),
			Marks: s.named(want, at),
		}
		if !v.Right {
			v.is = s.instead(given, at)
		}
		if other := s.Neck.Pitch(at, want.Alter >= 0).Note; other != want {
			if given == other { // his own name for it comes first
				v.Want, other = v.Given, want
			}
			v.Note = "also " + s.Names.Note(other)
		}
		return v
	})
	return q
}

// findQuestion says a note and wants any of its places on one string. Those
// between the frets asked are told; one elsewhere on the neck is right as well.
func (s Setup) findQuestion(at fretboard.Position, flats bool) Question {
	said := s.noteAt(at, flats)
	note := s.Names.Note(said)
	places := s.window(at.String, at.Fret%12)
	q := Question{
		Text:   fmt.Sprintf("%s on string %d: which fret?", note, at.String),
		Expect: ExpectFret,
		String: at.String,
		Target: single(s.Neck.MIDI(at)),
	}
	q.title = fmt.Sprintf("finding %s on string %d", note, at.String)
	q.lesson = func() Lesson { return s.noteLesson(said, places...) }
	q.playing = func() *Playing { return s.playOn(at.String, said.PitchClass()) }
	q.judge = judgement(s.fretOn(at.String), func(given fretboard.Position) Verdict {
		v := Verdict{
			Right: s.Neck.MIDI(given)%12 == said.PitchClass(),
			Given: "fret " + strconv.Itoa(given.Fret), Want: sayFrets(places),
		}
		shown, told := places[0], places
		if v.Right {
			shown = given
		} else {
			v.is = s.isNote(given, flats)
		}
		if !slices.Contains(told, shown) {
			told = append(slices.Clone(told), shown)
		}
		v.Marks, v.Why = s.named(said, told...), s.whereNote(shown, said)
		return v
	})
	return q
}

// window lists the places of the note up frets above the open string, in all
// octaves that lie between the frets asked.
func (s Setup) window(str, up int) []fretboard.Position {
	var places []fretboard.Position
	if str == 0 {
		return nil
	}
	for fret := up; fret <= s.Frets[1]; fret += 12 {
		if p := (fretboard.Position{String: str, Fret: fret}); fret >= s.Frets[0] && s.Neck.Has(p) {
			places = append(places, p)
		}
	}
	return places
}

// stringOpen returns the string whose open pitch prints as name, 0 for none.
func (s Setup) stringOpen(name string) int {
	for i, p := range s.Neck.Tuning.Open {
		if p.String() == name {
			return i + 1
		}
	}
	return 0
}

// handful is how many frets a hand covers without moving.
const handful = 5

func (s Setup) everywhereItems() []Item {
	var items []Item
	for pc := range 12 {
		n := s.spelled(60+pc, s.Flats)
		if len(s.windowsOf(n)) == 0 || !s.allowed(60+pc) {
			continue
		}
		items = append(items, Item{
			ID:      "note/all/" + theory.FromMIDI(60+pc, false).Note.String() + "@" + s.on(lowFirst(s.Neck.Tuning)),
			Title:   s.Names.Note(n) + " on every string",
			Group:   "every string",
			topic:   "one note on every string",
			Aim:     s.Aim * 3 / 2,
			Stage:   stageTriads,
			Strings: lowFirst(s.Neck.Tuning),
		})
	}
	return items
}

// windowsOf lists the frets from which a handful holds the note at least twice.
func (s Setup) windowsOf(n theory.Note) []int {
	var starts []int
	for f := s.Frets[0]; f+handful-1 <= s.Frets[1]; f++ {
		if len(s.placesWithin(n, f)) >= 2 {
			starts = append(starts, f)
		}
	}
	return starts
}

// placesWithin lists the places of a note in the handful of frets from start.
func (s Setup) placesWithin(n theory.Note, start int) []fretboard.Position {
	var places []fretboard.Position
	for _, str := range lowFirst(s.Neck.Tuning) {
		for _, p := range s.Neck.Find(n, str) {
			if p.Fret >= start && p.Fret < start+handful {
				places = append(places, p)
			}
		}
	}
	return places
}

// everywhere wants every place of a note in a handful of frets.
func (s Setup) everywhere(ref string, rng *rand.Rand) (Question, error) {
	name, _, _ := strings.Cut(ref, "@")
	n, err := theory.ParseNote(name)
	if err != nil {
		return Question{}, err
	}
	starts := s.windowsOf(n)
	if len(starts) == 0 {
		return Question{}, fmt.Errorf("no %d frets that hold it twice between frets %d and %d", handful, s.Frets[0], s.Frets[1])
	}
	start := starts[rng.IntN(len(starts))]
	right := s.placesWithin(n, start)
	n = s.spelled(60+n.PitchClass(), rng.IntN(2) == 0)
	said := s.Names.Note(n)
	q := Question{
		Text:   fmt.Sprintf("Every %s from fret %d to fret %d: which %d places?", said, start, start+handful-1, len(right)),
		Expect: ExpectPlaces,
		Count:  len(right),
		Target: row(s.midis(right)),
	}
	q.title = said + " on every string"
	q.lesson = func() Lesson {
		return Lesson{Pattern: sentence(s.octaves()), Here: fmt.Sprintf("%s, frets %d to %d: %s", said, start, start+handful-1, fretboard.WritePlaces(right)), Marks: s.named(n, right...)}
	}
	q.playing = func() *Playing { return s.playEach(right, start, start+handful-1) }
	q.judge = judgement(s.placesOn(nil), func(given []fretboard.Position) Verdict {
		v := Verdict{
			Right: sameSet(given, right),
			Given: fretboard.WritePlaces(given), Want: fretboard.WritePlaces(right),
			Why:   sentence(s.octaves()),
			Marks: s.named(n, right...),
		}
		if !v.Right {
			v.is = s.whichNotWanted(given, right, n)
		}
		return v
	})
	return q, nil
}

// NotesAt lists the ids of the items that ask for the note at a place: naming it
// and finding it.
func (c *Catalogue) NotesAt(p fretboard.Position) []string {
	open := c.setup.Neck.Tuning.Open[p.String-1]
	return []string{noteID(open, p.Fret%12, "name"), noteID(open, p.Fret%12, "find")}
}
