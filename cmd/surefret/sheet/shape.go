package sheet

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/neck"
	"surefret/cmd/surefret/report"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// A listedShape is a movable shape and whether it lies under the hand.
type listedShape struct {
	Name     string `json:"name"`
	Family   string `json:"family"`
	Words    string `json:"words"`
	Playable bool   `json:"playable"`
	Why      string `json:"why,omitempty"` // not playable
}

// Shapes are the movable shapes as an instrument has them.
type Shapes []listedShape

// ShapesOn lists every shape for an instrument.
func ShapesOn(fb fretboard.Fretboard) (all Shapes) {
	for _, r := range fb.AllShapes() {
		if r.Bass && slices.ContainsFunc(r.Tones, func(t fretboard.Tone) bool { return t.String > fb.Tuning.Strings() }) {
			continue // of a bass with more strings
		}
		shape := listedShape{Name: r.Name, Family: r.Family, Words: r.Words, Playable: true}
		if err := r.Fits(fb); err != nil {
			shape.Playable, shape.Why = false, err.Error()
		}
		all = append(all, shape)
	}
	return all
}

// Called returns those that a word means, as [fretboard.Recipe.Called] has it.
func (all Shapes) Called(word string) (some Shapes) {
	for _, s := range all {
		if (fretboard.Recipe{Name: s.Name, Family: s.Family}).Called(word) {
			some = append(some, s)
		}
	}
	return some
}

// Text writes the names by family, and how many the tuning rules out. Flags are those by
// which 'shape show' is asked for the same neck, "" for none.
func (all Shapes) Text(w io.Writer, width int, tuning, flags string, look ink.Look) error {
	t := text{width: width, look: look}
	var families []string // in the order in which players meet them
	names, on, first := map[string][]string{}, 0, ""
	for _, s := range all {
		if !s.Playable {
			continue
		}
		if first == "" || s.Name == "tenth-6-minor" {
			first = s.Name
		}
		if names[s.Family] == nil {
			families = append(families, s.Family)
		}
		names[s.Family] = append(names[s.Family], s.Name)
		on++
	}
	for _, family := range families {
		t.head("", family)
		for _, line := range evenly(names[family], width-2) {
			t.line("  %s", line)
		}
	}
	t.line("\n%s can be played in %s tuning. One in detail:\n  surefret shape show %s --root B%s", report.Many(on, "shape"), tuning, first, flags)
	if off := len(all) - on; off > 0 {
		t.folded("", fmt.Sprintf("%d more cannot: 'surefret shape show' says why of each by its name, --json of all.", off))
	}
	_, err := io.WriteString(w, t.String())
	return err
}

// A Shape is a movable shape over a root, with every place that it has.
type Shape struct {
	Name   string       `json:"name"`
	Family string       `json:"family"`
	Words  string       `json:"words"`
	Root   string       `json:"root"`
	Sounds string       `json:"sounds"` // "Bm7", or an interval or scale
	Tuning string       `json:"tuning"`
	Places []ShapePlace `json:"places"`
	Why    string       `json:"why,omitempty"` // there are no places, or 'shape list' leaves it out

	recipe fretboard.Recipe
	placed []fretboard.Placement
}

// A ShapePlace is one place of a shape.
type ShapePlace struct {
	Fret     int         `json:"fret"`
	Frets    string      `json:"frets"`
	Notes    []ShapeNote `json:"notes"`
	Muted    []int       `json:"muted"`
	Span     int         `json:"span"`
	Barres   []Barre     `json:"barres"`
	Playable bool        `json:"playable"`
	Why      string      `json:"why,omitempty"`
}

// A ShapeNote is a note of a shape, with the finger that stops it.
type ShapeNote struct {
	String int    `json:"string"`
	Fret   int    `json:"fret"`
	Pitch  string `json:"pitch"`
	Degree string `json:"degree"`
	Finger int    `json:"finger"`
}

// A Barre is one finger across several strings.
type Barre struct {
	Fret int `json:"fret"`
	From int `json:"from"`
	To   int `json:"to"`
}

// ShapeOf works out where a shape lies over a root.
func ShapeOf(shape fretboard.Recipe, root theory.Note, fb fretboard.Fretboard, names theory.Names) Shape {
	page := Shape{Name: shape.Name, Family: shape.Family, Words: shape.Words, Root: names.Note(root), Sounds: sounds(names, shape, root),
		Tuning: fb.Tuning.In(names), Places: []ShapePlace{}, recipe: shape, placed: shape.On(fb, root)}
	for _, at := range page.placed {
		place := ShapePlace{Fret: at.Fret, Frets: at.String(), Span: at.Span, Playable: at.Playable(), Why: at.Why,
			Muted: slices.Concat([]int{}, at.Muted), Barres: []Barre{}}
		for _, n := range at.Notes {
			place.Notes = append(place.Notes, ShapeNote{n.String, n.Fret, names.Pitch(n.Pitch), theory.DegreeOf(n.Above).String(), n.Finger})
		}
		for _, b := range at.Barres {
			place.Barres = append(place.Barres, Barre{b.Fret, b.From, b.To})
		}
		page.Places = append(page.Places, place)
	}
	if err := shape.Fits(fb); err != nil && (len(page.Places) == 0 || slices.ContainsFunc(page.placed, fretboard.Placement.Playable)) {
		page.Why = err.Error()
	}
	return page
}

// sounds says what a shape sounds over a root.
func sounds(names theory.Names, shape fretboard.Recipe, root theory.Note) string {
	if c, ok := shape.Chord(root); ok {
		return names.Chord(c)
	}
	if shape.Kind == fretboard.KindInterval {
		return shape.Symbol + " over " + names.Note(root)
	}
	return strings.TrimSpace(names.Note(root) + " " + shape.Symbol)
}

// Text writes every place with its diagram, for the hand that the player has.
func (page Shape) Text(w io.Writer, width int, fb fretboard.Fretboard, names theory.Names, leftHanded bool, look ink.Look) error {
	t := text{width: width, look: look}
	t.folded("", look.Paint(ink.Strong, page.Name)+": "+page.Words)
	var notes []string
	for _, n := range page.placed[0].Notes {
		notes = append(notes, names.Note(n.Pitch.Note))
	}
	t.folded("", fmt.Sprintf("%s, from the lowest string: %s", page.Sounds, strings.Join(notes, " ")))
	if page.Why != "" {
		t.folded("", "Not among your shapes: "+page.Why+".")
	}
	if slices.ContainsFunc(page.placed, fretboard.Placement.Playable) {
		legend := "Fingers: 1 index to 4 little finger; o open, x not played."
		if page.recipe.Kind == fretboard.KindScale {
			legend = "On the neck: degrees of the scale, 1 the root; any finger plays them."
		}
		t.folded("", legend)
	}
	for i, place := range page.placed {
		t.line("")
		if !place.Playable() {
			t.folded("", fmt.Sprintf("Root at string %d, fret %d: not playable, %s.", page.recipe.Root, place.Fret, place.Why))
			continue
		}
		said := look.Paint(ink.Strong, fmt.Sprintf("Root at string %d, fret %d", page.recipe.Root, place.Fret)) + ": " + place.String()
		open := slices.ContainsFunc(place.Positions(), func(p fretboard.Position) bool { return p.Fret == 0 }) // and stays where it is
		if !open && slices.ContainsFunc(page.placed[:i], func(p fretboard.Placement) bool { return p.Playable() && p.Fret == place.Fret-12 }) {
			t.folded("", said+", the same twelve frets up.")
			continue
		}
		t.folded("", said)
		n := onNeck(place, fb, names)
		n.LeftHanded, n.Look, n.Columns = leftHanded, look, min(width, widestShape)
		for _, line := range n.Draw().Lines {
			t.line("%s", line)
		}
		for _, b := range place.Barres {
			t.line("  one finger bars strings %d to %d at fret %d", b.From, b.To, b.Fret)
		}
	}
	_, err := io.WriteString(w, t.String())
	return err
}

// widestShape is how many columns the neck of a shape takes: the hand's frets need no
// more.
const widestShape = 52

// fewest is how many frets are drawn of the neck about a shape.
const fewest = 4

// onNeck is the stretch of the neck where a placement lies, with its fingers, or the
// degrees of a scale; the root stands out. Beside the open strings stands which of them
// rings and which must not. Near the nut it begins there.
func onNeck(p fretboard.Placement, fb fretboard.Fretboard, names theory.Names) neck.Neck {
	n := neck.Neck{Board: fb, Frets: [2]int{fb.Last(), 0}, Label: 3}
	for _, open := range fb.Tuning.Open {
		n.Names = append(n.Names, names.Note(open.Note))
	}
	for _, note := range p.Notes {
		label := fmt.Sprint(note.Finger)
		switch {
		case note.Fret == 0:
			n.Names[note.String-1] += " o"
			continue
		case p.Recipe.Kind == fretboard.KindScale:
			label = theory.DegreeOf(note.Above).String()
		case note.Finger == 0:
			label = "*"
		}
		kind := neck.Shown
		if note.Above.Semitones%12 == 0 {
			kind = neck.Told
		}
		n.Marks = append(n.Marks, neck.Mark{At: note.Position, Label: label, Kind: kind})
		n.Frets[0], n.Frets[1] = min(n.Frets[0], note.Fret), max(n.Frets[1], note.Fret)
	}
	if n.Frets[0] = min(n.Frets[0], max(1, fb.Last()-fewest+1)); n.Frets[1] <= fewest {
		n.Frets[0] = 1
	}
	n.Frets[1] = max(n.Frets[1], n.Frets[0]+fewest-1)
	for _, s := range p.Muted {
		n.Names[s-1] += " x"
	}
	return n
}

// evenly sets words in even columns, row by row, in lines of at most width.
func evenly(words []string, width int) []string {
	widest := 0
	for _, w := range words {
		widest = max(widest, len(w))
	}
	each := max(width/(widest+2), 1)
	var lines []string
	for chunk := range slices.Chunk(words, each) {
		line := ""
		for _, w := range chunk {
			line += fmt.Sprintf("%-*s", widest+2, w)
		}
		lines = append(lines, strings.TrimRight(line, " "))
	}
	return lines
}
