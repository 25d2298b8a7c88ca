package gig

import (
	"cmp"
	"fmt"
	"path"
	"slices"
	"strings"

	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/fretboard/tablature"
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

// PartCalled returns the place of a part among those of a song, by its name in either case,
// or -1.
func (s Song) PartCalled(name string) int {
	return slices.IndexFunc(s.Parts, func(p Part) bool {
		return strings.EqualFold(p.Name, name) || strings.EqualFold(p.Plain(), name)
	})
}

// In returns p with a line that says which tuning it is for. The error, one sentence, is
// that it says another already.
func (p Part) In(t fretboard.Tuning) (Part, error) {
	tab, err := tablature.Parse(p.Tab, fretboard.Fretboard{Tuning: t, Frets: fretboard.MostFrets})
	if err != nil {
		return p, fmt.Errorf("%s: %w", p.Name, err)
	}
	if !tab.IsFor(t) {
		return p, fmt.Errorf("%s says that it is in the tuning %q: name that one, or change its line", p.Name, tab.Part().Neck.Tuning.Called(theory.Names{}))
	}
	if !tab.Says() {
		p.Tab = "Tuning: " + t.Written(theory.Names{}) + "\n" + p.Tab
	}
	return p, nil
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

// Plain is the name of a part as it is said: without the ending of a file.
func (p Part) Plain() string {
	if name := strings.TrimSuffix(p.Name, path.Ext(p.Name)); name != "" {
		return name
	}
	return p.Name
}

// OwnParts returns the parts of songs for the drills, each once; those that this neck
// cannot read are left out.
func OwnParts(fb fretboard.Fretboard, songs ...Song) (all []drills.OwnPart) {
	seen := map[string]bool{}
	for _, s := range songs {
		learned, _, err := s.Keys()
		if err != nil {
			continue
		}
		for i, id := range s.partIDs() {
			if tab, err := s.Parts[i].On(fb); err == nil && !seen[id] && tab.IsFor(fb.Tuning) {
				seen[id] = true
				all = append(all, drills.OwnPart{ID: id, Song: s.Title, Name: s.Parts[i].Plain(), Learned: learned, Tempo: s.Tempo, Part: tab.Part()})
			}
		}
	}
	return all
}

// partIDs returns the ids of the parts of a song.
func (s Song) partIDs() (ids []string) {
	for _, p := range s.Parts {
		ids = append(ids, cmp.Or(s.ID, strings.ToLower(s.Title))+"/"+p.Name)
	}
	return ids
}

// On reads p on a neck. The error says what is not tablature, and in which line.
func (p Part) On(fb fretboard.Fretboard) (*tablature.Tab, error) {
	tab, err := tablature.Parse(p.Tab, fb)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", p.Name, err)
	}
	return tab, nil
}

// A SheetPart is a part moved to tonight's key.
type SheetPart struct {
	Name     string   `json:"name"`
	Moved    string   `json:"moved"`    // how far, and what it costs, in a sentence
	Costs    string   `json:"costs"`    // what it costs alone: "2 open strings lost"
	Tab      string   `json:"tab"`      // the tablature as it is played tonight, its chord names moved too
	Breaks   int      `json:"breaks"`   // how many places cannot be played as they are
	Problems []string `json:"problems"` // a sentence each, with the bars
	Ways     []string `json:"ways"`     // ways out, the best first; none when nothing is better
	Fault    string   `json:"fault,omitempty"`

	Systems []tablature.System `json:"-"` // Tab, cut at its bars
	Events  []fretboard.Event  `json:"-"` // what it holds
}

// addParts moves each part to tonight's key, the same way as its song unless that
// cannot be played. One that this neck cannot read says so and leaves the others
// alone.
func (sh *Sheet) addParts(parts []Part, learned, called theory.Key, fb fretboard.Fretboard, names theory.Names) {
	for _, p := range parts {
		sp := SheetPart{Name: p.Name, Problems: []string{}, Ways: []string{}}
		if err := sp.move(p, learned, called, fb, names); err != nil {
			sp.Fault = err.Error()
		} else if fb.ShapeKey(learned) != learned {
			sp.Moved = "in shapes, " + sp.Moved
		}
		sh.Parts = append(sh.Parts, sp)
	}
}

// move fills in how a part goes from one key to another.
func (sp *SheetPart) move(p Part, learned, called theory.Key, fb fretboard.Fretboard, names theory.Names) error {
	tab, err := p.On(fb)
	if err != nil {
		return err
	}
	part := tab.Part()
	part.Names = names
	offers, err := drills.MovePart(part, learned, called)
	if err != nil {
		return err
	}
	m, neck := offers[0], tab.Part().Neck
	if sp.Tab, err = tab.WriteMoved(m.Events, neck.ShapeKey(learned), neck.ShapeKey(called), names); err != nil {
		return err
	}
	sp.Moved, sp.Costs, sp.Breaks = m.Say(), m.Costs(), m.Broken()
	sp.Systems, sp.Events = tab.Systems(sp.Tab, names), m.Events
	sp.Problems = append(sp.Problems, m.Told()...)
	for _, w := range m.Ways {
		sp.Ways = append(sp.Ways, w.Message)
	}
	return nil
}
