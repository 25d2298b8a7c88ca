package screen

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"surefret/drills"
	"surefret/drills/fretboard"
)

// Answers that are places on the neck: typed, or pointed at with the arrows or the
// mouse.

// pick adds a place to those picked, or takes it out again where order does not
// matter. The answer is complete when as many are picked as were asked for.
func (e *entry) pick(at fretboard.Position) step {
	if e.question.Expect == drills.ExpectPlaces {
		for i, p := range e.picks {
			if p == at {
				e.picks = append(e.picks[:i], e.picks[i+1:]...)
				return edited
			}
		}
	}
	e.picks = append(e.picks, at)
	if len(e.picks) == max(e.question.Count, 1) {
		return commit
	}
	return edited
}

// move moves the pointer, up and down by strings as drawn, along by frets.
func (e *entry) move(down, along int, now time.Time) step {
	if !e.points() {
		return ignored
	}
	e.begin(now)
	e.text, e.by = "", drills.EntryPointer
	if e.pointer == nil {
		e.pointer = e.start()
		return edited
	}
	p := *e.pointer
	p.Fret += along
	if e.places() {
		p.String += down
	}
	if e.neck.Has(p) {
		*e.pointer = p
	}
	return edited
}

// start is where the pointer appears: where the question points, else at the
// middle of the first octave.
func (e *entry) start() *fretboard.Position {
	p := fretboard.Position{String: e.neck.Tuning.Strings(), Fret: min(5, e.neck.Last())}
	if e.question.String > 0 {
		p.String = e.question.String
	}
	if len(e.question.Marks) > 0 && e.places() {
		p = e.question.Marks[0].At
	}
	return &p
}

// click takes a place pointed at with the mouse.
func (e *entry) click(at fretboard.Position, now time.Time) step {
	switch {
	case e.places():
		e.begin(now)
		e.by, e.text = drills.EntryPointer, ""
		e.pointer = &at
		return e.pick(at)
	case e.question.Expect == drills.ExpectFret && at.String == e.question.String:
		e.begin(now)
		e.by, e.text = drills.EntryPointer, strconv.Itoa(at.Fret)
		return commit
	}
	return ignored
}

// place reads what was typed: "6/3", or the bare fret of the string whose turn it is.
func (e *entry) place() (fretboard.Position, bool) {
	fret, err := strconv.Atoi(e.text)
	if e.bare = err == nil; !e.bare {
		return parsePlace(e.text)
	}
	for _, str := range e.question.On {
		if !slices.ContainsFunc(e.picks, func(p fretboard.Position) bool { return p.String == str }) {
			return fretboard.Position{String: str, Fret: fret}, true
		}
	}
	return fretboard.Position{}, false
}

// parsePlace reads "6/3".
func parsePlace(s string) (fretboard.Position, bool) {
	str, fret, ok := strings.Cut(s, "/")
	a, err1 := strconv.Atoi(str)
	b, err2 := strconv.Atoi(fret)
	return fretboard.Position{String: a, Fret: b}, ok && err1 == nil && err2 == nil
}
