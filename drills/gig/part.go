package gig

import (
	"fmt"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// A Part is what the player has written down of a song, in tablature. The text
// itself is kept, so that a file that was moved or lost takes nothing along.
type Part struct {
	Name string `json:"name"` // of the file it came from: "intro.txt"
	Tab  string `json:"tab"`  // ASCII tablature in the song's learned key
}

// The bounds of a part.
const (
	longestPart = 20_000 // bytes
	mostParts   = 12     // of a song
	tabStop     = 8
)

// NewPart returns a part with its text made plain: one kind of line end, and
// tab characters spread to the columns that they stand for.
func NewPart(name, text string) Part {
	lines := strings.Split(strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n"), "\n")
	for i, line := range lines {
		var b strings.Builder
		column := 0
		for _, r := range line {
			wide := 1
			if r == '\t' {
				r, wide = ' ', tabStop-column%tabStop
			}
			b.WriteString(strings.Repeat(string(r), wide))
			column += wide
		}
		lines[i] = strings.TrimRight(b.String(), " ")
	}
	return Part{Name: name, Tab: strings.TrimRight(strings.Join(lines, "\n"), "\n")}
}

// Check returns an error, one sentence, for the first thing in p that cannot be
// used. Whether its tablature reads depends on the instrument: see [Part.On].
func (p Part) Check() error {
	if err := checkName("the name of a part", p.Name); err != nil {
		return err
	}
	switch {
	case strings.TrimSpace(p.Tab) == "":
		return fmt.Errorf("the part %s is empty: give its tablature", p.Name)
	case len(p.Tab) > longestPart:
		return fmt.Errorf("the part %s is too long: at most %d letters, so split it", p.Name, longestPart)
	case strings.ContainsFunc(p.Tab, func(r rune) bool { return r != '\n' && control(r) }):
		return fmt.Errorf("the part %s holds a control character: leave it out", p.Name)
	}
	return nil
}

// On reads p on a neck. The error says what is not tablature, and in which line.
func (p Part) On(fb fretboard.Fretboard) (*fretboard.Tab, error) {
	tab, err := fretboard.ParseTab(p.Tab, fb)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", p.Name, err)
	}
	return tab, nil
}

// A SheetPart is a part moved to tonight's key.
type SheetPart struct {
	Name     string   `json:"name"`
	Moved    string   `json:"moved"`    // how far, and what it costs, in a sentence
	Tab      string   `json:"tab"`      // the tablature as it is played tonight, its chord names moved too
	Breaks   int      `json:"breaks"`   // how many places cannot be played as they are
	Problems []string `json:"problems"` // a sentence each, with the bars
	Ways     []string `json:"ways"`     // ways out, the best first; none when nothing is better
	Fault    string   `json:"fault,omitempty"`
}

// addParts moves each part to tonight's key, the same way as its song unless that
// cannot be played. One that this neck cannot read says so and leaves the others
// alone.
func (sh *Sheet) addParts(parts []Part, learned, called theory.Key, fb fretboard.Fretboard) {
	for _, p := range parts {
		sp := SheetPart{Name: p.Name, Problems: []string{}, Ways: []string{}}
		if err := sp.move(p, fb.ShapeKey(learned), fb.ShapeKey(called), sh.Semitones, fb); err != nil {
			sp.Fault = err.Error()
		} else if fb.ShapeKey(learned) != learned {
			sp.Moved = "in shapes, " + sp.Moved
		}
		sh.Parts = append(sh.Parts, sp)
	}
}

// move fills in how a part goes from one key to another, on a song that goes so many
// half steps.
func (sp *SheetPart) move(p Part, from, to theory.Key, semitones int, fb fretboard.Fretboard) error {
	tab, err := p.On(fb)
	if err != nil {
		return err
	}
	offers, err := tab.Part().Move(from, to, fretboard.Asked{Up: semitones > 0, Down: semitones < 0})
	if err != nil || offers[0].Broken() > 0 {
		if offers, err = tab.Part().Move(from, to, fretboard.Asked{}); err != nil {
			return err
		}
	}
	m := offers[0]
	if sp.Tab, err = tab.WriteMoved(m.Events, from, to); err != nil {
		return err
	}
	sp.Moved, sp.Breaks = m.Say(), m.Broken()
	sp.Problems = append(sp.Problems, m.Told()...)
	for _, w := range m.Ways {
		sp.Ways = append(sp.Ways, w.Message)
	}
	return nil
}
