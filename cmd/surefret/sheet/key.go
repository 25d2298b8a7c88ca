package sheet

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/neck"
	"surefret/drills/fretboard"
	"surefret/drills/fretboard/fingering"
	"surefret/drills/gig"
	"surefret/drills/theory"
)

// A Key is what is told of a key, on one page.
type Key struct {
	Key       string     `json:"key"`
	Mode      string     `json:"mode"`
	Signature string     `json:"signature"`
	Scale     []string   `json:"scale"`
	Chords    []KeyChord `json:"chords"`
	WalkUps   []KeyWalk  `json:"walkups"`
	Choices   []KeyWay   `json:"choices"`

	name  string // in words
	neck  fretboard.Fretboard
	names theory.Names
}

// A KeyChord is a chord of the key and where its root lies on the low strings.
type KeyChord struct {
	Number string               `json:"number"`
	Roman  string               `json:"roman"`
	Chord  string               `json:"chord"`
	Notes  []string             `json:"notes"`
	Roots  []fretboard.Position `json:"roots"`
}

// A KeyWalk is a walk between the roots of two chords.
type KeyWalk struct {
	From  string               `json:"from"` // numbers
	To    string               `json:"to"`
	Notes []string             `json:"notes"`
	Path  []fretboard.Position `json:"path"`
}

// A KeyWay is a capo or a lower tuning to play the key with.
type KeyWay struct {
	Capo    int    `json:"capo"`
	Detuned int    `json:"detuned"` // half steps down from now
	Shapes  string `json:"shapes"`
	Open    int    `json:"open"` // chords of the five common ones that have an open form
	Now     bool   `json:"now"`  // as the guitar is, with its capo and tuning
}

// keyMotions are the walks that are shown: the commonest between the chords of
// a major key, and of a minor one.
var keyMotions = map[bool][]struct {
	from, to int
	down     bool
}{
	false: {{1, 4, false}, {4, 5, false}, {5, 1, false}, {1, 6, true}, {6, 4, true}},
	true:  {{1, 4, false}, {4, 5, false}, {5, 1, false}, {1, 6, true}, {7, 1, false}},
}

// mostChoices is how many capo and tuning choices are shown, besides the guitar as
// it is.
const mostChoices = 5

// KeyOf draws up the page of a key of seven notes for an instrument.
func KeyOf(k theory.Key, fb fretboard.Fretboard, names theory.Names) Key {
	page := Key{name: names.Key(k), neck: fb, names: names, Key: names.Note(k.Tonic), Mode: k.Mode.String(), Signature: k.SignatureName(), WalkUps: []KeyWalk{}, Choices: []KeyWay{}}
	scale, triads := k.Scale(), k.Triads()
	for i, n := range scale {
		numeral := k.Numeral(triads[i])
		page.Scale = append(page.Scale, names.Note(n))
		chord := KeyChord{Number: numeral.Number(), Roman: numeral.Roman(), Chord: names.Chord(triads[i]),
			Notes: noteNames(names, triads[i].Notes()), Roots: fb.Roots(n)}
		page.Chords = append(page.Chords, chord)
	}
	for _, m := range keyMotions[k.Mode.Minor()] {
		line, err := fingering.Walk{Down: m.down}.On(fb, k, scale[m.from-1], scale[m.to-1])
		if err != nil {
			continue // a neck with no room for this one
		}
		page.WalkUps = append(page.WalkUps, KeyWalk{page.Chords[m.from-1].Number, page.Chords[m.to-1].Number,
			noteNames(names, line.Notes()), line.Path})
	}
	for _, c := range fb.Choices(k) {
		now := c.Capo == fb.Capo && c.Detuned == 0
		if worthIt := c.Open > 1 && len(page.Choices) < mostChoices; now || worthIt {
			page.Choices = append(page.Choices, KeyWay{c.Capo, c.Detuned, shortKey(names, c.Shapes), c.Open, now})
		}
	}
	return page
}

func noteNames(names theory.Names, notes []theory.Note) []string {
	words := make([]string, len(notes))
	for i, n := range notes {
		words[i] = names.Note(n)
	}
	return words
}

// shortKey is the short name of a key: "Eb", "F#m".
func shortKey(names theory.Names, k theory.Key) string {
	return strings.Replace(k.Short(), k.Tonic.String(), names.Note(k.Tonic), 1)
}

// Text writes the page in lines of at most width columns, its roots on the neck for the
// hand that the player has. Places are written string/fret.
func (page Key) Text(w io.Writer, width int, leftHanded bool, look ink.Look) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s\n%s  %s\n\n", look.Paint(ink.Strong, page.name), page.Signature, look.Paint(ink.Strong, "scale"), strings.Join(page.Scale, " "))
	chord, notes, roots := len("chord"), len("notes"), len("roots")
	for _, c := range page.Chords {
		chord, notes, roots = max(chord, len(c.Chord)), max(notes, len(strings.Join(c.Notes, " "))), max(roots, len(fretboard.WritePlaces(c.Roots)))
	}
	gap := gapFor(width - len("  number roman ") - chord - notes - roots)
	chord, notes = chord+gap, notes+gap
	b.WriteString("  " + look.Paint(ink.Strong, fmt.Sprintf("%-7s%-6s%-*s%-*s%s", "number", "roman", chord, "chord", notes, "notes", "roots")) + "\n")
	for _, c := range page.Chords {
		fmt.Fprintf(&b, "  %-7s%-6s%-*s%-*s%s\n", c.Number, c.Roman, chord, c.Chord, notes, strings.Join(c.Notes, " "), fretboard.WritePlaces(c.Roots))
	}
	if n := page.roots(); len(n.Marks) > 0 {
		b.WriteByte('\n')
		n.LeftHanded, n.Look, n.Columns = leftHanded, look, min(width, 80)
		for _, line := range n.Draw().Lines {
			b.WriteString(line + "\n")
		}
	}
	if len(page.WalkUps) > 0 {
		fmt.Fprintf(&b, "\n%s\n", look.Paint(ink.Strong, "walks"))
		for _, w := range page.WalkUps {
			fmt.Fprintf(&b, "  %-10s%s\n", w.From+" to "+w.To, strings.Join(w.Notes, " "))
			for _, line := range (Song{neck: page.neck, names: page.names}).walkTab(gig.SheetWalk{Path: w.Path})[1:] {
				fmt.Fprintf(&b, "    %s\n", line)
			}
		}
	}
	page.choices(&b, width, look)
	_, err := io.WriteString(w, b.String())
	return err
}

// roots is the stretch of the neck where the roots lie, each by its number.
func (page Key) roots() neck.Neck {
	n := neck.Neck{Board: page.neck, Label: 3, Frets: [2]int{1, 1}}
	for i, c := range page.Chords {
		for _, at := range c.Roots {
			kind := neck.Shown
			if i == 0 {
				kind = neck.Told
			}
			n.Marks = append(n.Marks, neck.Mark{At: at, Label: strings.TrimSuffix(c.Number, "dim"), Kind: kind})
			n.Frets[1] = max(n.Frets[1], at.Fret)
			if !slices.Contains(n.Strings, at.String) {
				n.Strings = append(n.Strings, at.String)
			}
		}
	}
	slices.Sort(n.Strings)
	return n
}

// gapFor is how far three columns stand apart where so much room is left for both gaps: two
// blanks, or one on a narrow page.
func gapFor(room int) int {
	if room < 4 {
		return 1
	}
	return 2
}

// choices writes the ways to play a key, what a player would try first first.
func (page Key) choices(b *strings.Builder, width int, look ink.Look) {
	choices := page.Choices
	if len(choices) == 0 {
		return // a bass
	}
	fmt.Fprintf(b, "\n%s\n", look.Paint(ink.Strong, "capo or tuning, and the shapes to play"))
	widest, first := 0, len("whole step down")
	for _, c := range choices {
		widest, first = max(widest, len(c.Shapes)), max(first, len(page.how(c)))
	}
	gap := gapFor(width - first - widest - len("  5 of 5 chords open"))
	for _, c := range choices {
		fmt.Fprintf(b, "  %-*s%-*s%d of 5 chords open\n", first+gap, page.how(c), widest+gap, c.Shapes, c.Open)
	}
}

// how says what is done to the guitar as it is: a tuning by its name, and that the capo
// comes off.
func (page Key) how(c KeyWay) string {
	switch off := page.neck.Capo > 0; {
	case c.Now:
		return "as it is"
	case c.Detuned > 0:
		how := strings.TrimPrefix(fretboard.Steps(c.Detuned), "a ") + " down"
		if lower, _ := page.neck.Tuning.Below(); lower > 0 {
			how = page.neck.Tuning.Down(c.Detuned).Name
		}
		if off {
			how += ", capo off"
		}
		return how
	case c.Capo == 0 && off:
		return "capo off"
	case c.Capo == 0:
		return "no capo"
	}
	return fmt.Sprintf("capo %d", c.Capo)
}
