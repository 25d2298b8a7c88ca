package drills

import (
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// noteFamily asks for the note at a place, and for the place of a note.
//
// What is remembered as one thing is a string and a note name; the octave, fret
// 3 or 15, is drawn afresh. So an id is the open string, the frets above it
// within one octave, and the way it is asked: "note/E2+3/name" shows fret 3 or
// 15 and wants G, "note/E2+3/find" says G and takes either fret.
type noteFamily struct{}

func (noteFamily) name() Family { return "note" }

func (noteFamily) items(s Setup) []Item {
	var items []Item
	for rank, str := range lowFirst(s.Neck.Tuning) {
		for _, dir := range []string{"name", "find"} {
			for up := range 12 {
				if len(s.window(str, up)) == 0 {
					continue
				}
				open := s.Neck.Tuning.Open[str-1]
				note := s.note(s.Neck.Pitch(fretboard.Position{String: str, Fret: up}, s.Flats).Note)
				items = append(items, Item{
					ID:      noteID(open, up, dir),
					Family:  "note",
					Title:   fmt.Sprintf("%s on string %d, %s it", note, str, map[string]string{"name": "naming", "find": "finding"}[dir]),
					Group:   "string " + strconv.Itoa(str),
					Aim:     s.Aim,
					Stage:   noteStage(rank, natural(open.MIDI()+up)),
					Strings: []int{str},
					Kin:     noteKin(s, open, up, dir),
				})
			}
		}
	}
	return items
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

func (noteFamily) ask(s Setup, ref string, rng *rand.Rand) (Question, error) {
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
	at := places[rng.IntN(len(places))]
	if dir == "name" {
		return s.nameQuestion(at), nil
	}
	return s.findQuestion(at, places, rng.IntN(2) == 0), nil
}

// nameQuestion shows a place and wants the note there, in any spelling.
func (s Setup) nameQuestion(at fretboard.Position) Question {
	want := s.Neck.Pitch(at, s.Flats)
	q := Question{
		Text:   "Which note is at " + say(at) + "?",
		Expect: ExpectNote,
		Marks:  []Mark{{at, "?"}},
		Target: single(s.Neck.MIDI(at)),
	}
	q.judge = func(answer string) (Verdict, error) {
		given, err := s.Names.Parse(answer)
		if err != nil {
			return Verdict{}, err
		}
		v := Verdict{
			Right: given.Enharmonic(want.Note),
			Given: s.note(given),
			Want:  s.note(want.Note),
			Why:   s.landmark(at),
			Marks: []Mark{{at, s.note(want.Note)}},
		}
		if other := s.Neck.Pitch(at, !s.Flats).Note; other != want.Note {
			v.Note = "also " + s.note(other)
		}
		return v, nil
	}
	return q
}

// findQuestion says a note and wants any of its places on one string.
func (s Setup) findQuestion(at fretboard.Position, places []fretboard.Position, flats bool) Question {
	note := s.note(s.Neck.Pitch(at, flats).Note)
	q := Question{
		Text:   fmt.Sprintf("At which fret of string %d is %s?", at.String, note),
		Expect: ExpectFret,
		String: at.String,
		Target: single(s.Neck.MIDI(at)),
	}
	q.judge = func(answer string) (Verdict, error) {
		given, err := s.parseFret(answer, at.String)
		if err != nil {
			return Verdict{}, err
		}
		v := Verdict{Given: "fret " + strconv.Itoa(given.Fret), Want: sayFrets(places)}
		shown := places[0]
		for _, p := range places {
			v.Marks = append(v.Marks, Mark{p, note})
			if p == given {
				v.Right, shown = true, p
			}
		}
		v.Why = s.landmark(shown)
		return v, nil
	}
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

// parseFret reads one fret number on a string, with or without the word.
func (s Setup) parseFret(answer string, str int) (fretboard.Position, error) {
	text := strings.TrimSpace(strings.TrimPrefix(strings.ToLower(answer), "fret"))
	if text == "open" {
		text = "0"
	}
	fret, err := strconv.Atoi(text)
	p := fretboard.Position{String: str, Fret: fret}
	if err != nil || !s.Neck.Has(p) {
		return p, fmt.Errorf("%q is not a fret: expected a number from 0 to %d", answer, s.Neck.Last())
	}
	return p, nil
}

// note prints n in the player's language.
func (s Setup) note(n theory.Note) string { return s.Names.Note(n) }

// landmark tells where a place lies from the nearest thing that a player sees
// on the neck: an inlay, the nut, or the octave fret.
func (s Setup) landmark(at fretboard.Position) string {
	here := s.note(s.Neck.Pitch(at, s.Flats).Note)
	if at.Fret == 0 {
		return fmt.Sprintf("The open string %d is %s", at.String, here)
	}
	for _, away := range []int{0, -1, 1, -2, 2} {
		mark := fretboard.Position{String: at.String, Fret: at.Fret + away}
		if mark.Fret == 0 && away == -1 || mark.Fret > 0 && s.Neck.Has(mark) && s.Neck.Inlays(mark.Fret) > 0 {
			return here + s.fromMark(mark, -away) + s.octaveOf(at)
		}
	}
	return fmt.Sprintf("%s is at fret %d", here, at.Fret) + s.octaveOf(at)
}

// fromMark says where the place lies that is some frets above a landmark.
func (s Setup) fromMark(mark fretboard.Position, above int) string {
	name := s.note(s.Neck.Pitch(mark, s.Flats).Note)
	where := fmt.Sprintf("the inlay at fret %d", mark.Fret)
	switch {
	case mark.Fret == 0:
		where = "the open string"
	case mark.Fret%12 == 0:
		where = "the double inlay at fret " + strconv.Itoa(mark.Fret)
	}
	switch {
	case above == 0 && mark.Fret%12 == 0:
		return fmt.Sprintf(" is on %s, where the open string's name comes again", where)
	case above == 0:
		return " is on " + where
	case above > 0:
		return fmt.Sprintf(" is %s above %s, %s", frets(above), name, where)
	default:
		return fmt.Sprintf(" is %s below %s, %s", frets(-above), name, where)
	}
}

// octaveOf points at the octave two strings over, the shape that most players
// know first. It says nothing where the neck ends before it.
func (s Setup) octaveOf(at fretboard.Position) string {
	for _, p := range s.Neck.Places(s.Neck.MIDI(at) + 12) {
		if p.String == at.String-2 && p.Fret > at.Fret {
			return fmt.Sprintf("; its octave is at %s", say(p))
		}
	}
	return ""
}

func frets(n int) string {
	if n == 1 {
		return "one fret"
	}
	return [...]string{"no", "one", "two", "three", "four"}[n] + " frets"
}

// say names a place as players do; the open string has no fret.
func say(p fretboard.Position) string {
	if p.Fret == 0 {
		return fmt.Sprintf("string %d, open", p.String)
	}
	return p.Say()
}

// sayFrets joins the frets of places on one string: "fret 3 or 15".
func sayFrets(places []fretboard.Position) string {
	var words []string
	for _, p := range places {
		words = append(words, strconv.Itoa(p.Fret))
	}
	return "fret " + strings.Join(words, " or ")
}

// single is the cue of one note, left to ring for a second and a half.
func single(midi int) []Sounding { return []Sounding{{MIDI: midi, For: noteLength}} }
