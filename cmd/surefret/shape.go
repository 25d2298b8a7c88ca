package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/report"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// neckFlags let a command look at another neck than the player's own.
type neckFlags struct {
	tuning string
	capo   int
}

func (f *neckFlags) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.tuning, "tuning", "", "another tuning than yours: a name like \"drop D\", or its open strings from low to high")
	cmd.Flags().IntVar(&f.capo, "capo", 0, "the fret of a capo; frets count from it")
}

// neck returns the player's neck, changed as the flags say, and whether it is
// held left-handed.
func (p *program) neck(cmd *cobra.Command, f neckFlags) (fb fretboard.Fretboard, left bool, err error) {
	setup, left, err := p.instrument(cmd, f)
	return setup.Neck, left, err
}

// instrument is neck with the player's other ways.
func (p *program) instrument(cmd *cobra.Command, f neckFlags) (setup drills.Setup, left bool, err error) {
	s, setup, err := p.savedSetup(cmd.Context())
	if err != nil {
		return setup, false, err
	}
	if f.tuning != "" {
		if setup.Neck.Tuning, err = fretboard.ParseTuning(f.tuning); err != nil {
			return setup, false, cli.BadInput{Err: err}
		}
	}
	if cmd.Flags().Changed("capo") {
		setup.Neck.Capo = f.capo
	}
	if err := setup.Neck.Check(); err != nil {
		return setup, false, cli.BadInput{Err: err}
	}
	return setup, s.LeftHanded, nil
}

// readNote reads a note as the player names it, or else in English, which every
// example here is in.
func readNote(names theory.Names, text string) (theory.Note, error) {
	n, err := names.Parse(text)
	if err != nil {
		if n, english := theory.ParseNote(text); english == nil {
			return n, nil
		}
	}
	return n, err
}

// readKey is readNote for keys.
func readKey(names theory.Names, text string) (theory.Key, error) {
	k, err := names.ParseKey(text)
	if err != nil {
		if k, english := theory.ParseKey(text); english == nil {
			return k, nil
		}
	}
	return k, err
}

// readPitch is readNote for a note with its octave, like E2 or Mi2.
func readPitch(names theory.Names, text string) (theory.Pitch, error) {
	name := strings.TrimRight(text, "-0123456789")
	octave := text[len(name):]
	if n, err := names.Parse(name); err == nil {
		text = n.String() + octave
	}
	return theory.ParsePitch(text)
}

func (p *program) shapeCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "shape",
		Short:   "Movable shapes: which there are, and where they land",
		Example: "  surefret shape list\n  surefret shape show tenth-6-minor --root B",
		Args:    cli.Needs(),
	}
	cmd.AddCommand(p.shapeList(), p.shapeShow())
	return cmd
}

// A listedShape is a shape as 'shape list' prints it.
type listedShape struct {
	Name     string `json:"name"`
	Family   string `json:"family"`
	Words    string `json:"words"`
	Playable bool   `json:"playable"`
	Why      string `json:"why,omitempty"` // not playable
}

func (p *program) shapeList() *cobra.Command {
	var f neckFlags
	var asJSON bool
	cmd := &cobra.Command{
		Use:     "list",
		Short:   "List the movable shapes by family, and those that your tuning rules out",
		Example: "  surefret shape list\n  surefret shape list --tuning DADGAD --json",
		Args:    cli.Needs(),
		RunE: func(cmd *cobra.Command, _ []string) error {
			fb, _, err := p.neck(cmd, f)
			if err != nil {
				return err
			}
			var shapes []listedShape
			for _, r := range fretboard.Shapes {
				shape := listedShape{Name: r.Name, Family: r.Family, Words: r.Words, Playable: true}
				if err := r.Fits(fb); err != nil {
					shape.Playable, shape.Why = false, err.Error()
				}
				shapes = append(shapes, shape)
			}
			if asJSON {
				return p.printJSON(shapes)
			}
			p.printShapes(fb, shapes)
			return nil
		},
	}
	f.add(cmd)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return cmd
}

// printShapes prints names by family; each family's first shape shows what the
// names mean.
func (p *program) printShapes(fb fretboard.Fretboard, shapes []listedShape) {
	var off []listedShape
	on := 0
	for _, family := range fretboard.Families {
		var names []string
		for _, s := range shapes {
			if s.Family != family {
				continue
			}
			if s.Playable {
				names = append(names, s.Name)
			} else {
				off = append(off, s)
			}
		}
		if len(names) == 0 {
			continue
		}
		on += len(names)
		fmt.Fprintln(p.out, family)
		for _, line := range evenly(names, p.columns()-2) {
			fmt.Fprintln(p.out, "  "+line)
		}
	}
	fmt.Fprintf(p.out, "\n%d shapes lie under the hand in %s. One in detail:\n  surefret shape show tenth-6-minor --root B\n", on, fb.Tuning.Name)
	if len(off) > 0 {
		fmt.Fprintf(p.out, "\nNot in %s:\n", fb.Tuning.Name)
		for _, s := range off {
			p.printFolded("  ", s.Why)
		}
	}
}

func (p *program) shapeShow() *cobra.Command {
	var f neckFlags
	var root string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "show SHAPE --root NOTE",
		Short: "Show every place of a shape over a root: frets, fingers, notes",
		Long: "Show every place of a shape over a root: frets, fingers, notes.\n" +
			"Held tones take the keynote for their root.",
		Example: "  surefret shape show e-form-m7 --root F#\n  surefret shape show octave-6-4 --root G --tuning \"drop D\"",
		Args:    cli.Needs("SHAPE"),
		RunE: func(cmd *cobra.Command, args []string) error {
			shape, err := fretboard.Shape(args[0])
			if err != nil {
				return cli.BadInput{Err: fmt.Errorf("%w; 'surefret shape list' names them all", err)}
			}
			setup, left, err := p.instrument(cmd, f)
			if err != nil {
				return err
			}
			fb := setup.Neck
			note, err := readNote(setup.Names, root)
			if err != nil {
				return cli.BadInput{Err: err}
			}
			places := shape.On(fb, note)
			if asJSON {
				return p.printJSON(shownShape(setup, shape, note, places))
			}
			if len(places) == 0 {
				return cli.BadInput{Err: shape.Fits(fb)}
			}
			p.printPlaces(setup, left, shape, note, places)
			return nil
		},
	}
	cmd.Flags().StringVar(&root, "root", "", "the root, like Bb")
	cli.Required(cmd, "root")
	f.add(cmd)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return cmd
}

// sounds says what a shape sounds over a root: "Bm7", or an interval or scale.
func sounds(names theory.Names, shape fretboard.Recipe, root theory.Note) string {
	if c, ok := shape.Chord(root); ok {
		return names.Chord(c)
	}
	if shape.Kind == fretboard.KindInterval {
		return shape.Symbol + " over " + names.Note(root)
	}
	return names.Note(root) + " " + shape.Symbol
}

// diagramLegend says what the signs on a drawn shape are.
func diagramLegend(shape fretboard.Recipe) string {
	if shape.Kind == fretboard.KindScale {
		return "On the neck: degrees of the scale, 1 the root; any finger plays them."
	}
	return "On the neck: fingers, 1 the index to 4 the little one; o rings open, x does not ring."
}

func (p *program) printPlaces(setup drills.Setup, left bool, shape fretboard.Recipe, root theory.Note, places []fretboard.Placement) {
	p.printFolded("", fmt.Sprintf("%s: %s", shape.Name, shape.Words))
	var notes []string
	for _, n := range places[0].Notes {
		notes = append(notes, setup.Names.Note(n.Pitch.Note))
	}
	p.printFolded("", fmt.Sprintf("%s, from the lowest string: %s", sounds(setup.Names, shape, root), strings.Join(notes, " ")))
	if slices.ContainsFunc(places, fretboard.Placement.Playable) {
		p.printFolded("", diagramLegend(shape))
	}
	for _, place := range places {
		fmt.Fprintln(p.out)
		if !place.Playable() {
			p.printFolded("", fmt.Sprintf("Root at string %d, fret %d: not playable, %s.", shape.Root, place.Fret, place.Why))
			continue
		}
		p.printFolded("", fmt.Sprintf("Root at string %d, fret %d: %s", shape.Root, place.Fret, place))
		for _, line := range place.Diagram(setup.Neck, setup.Names, left) {
			fmt.Fprintln(p.out, "  "+line)
		}
		for _, b := range place.Barres {
			fmt.Fprintf(p.out, "  one finger bars strings %d to %d at fret %d\n", b.From, b.To, b.Fret)
		}
	}
}

// shownShape is what 'shape show' prints as JSON.
func shownShape(setup drills.Setup, shape fretboard.Recipe, root theory.Note, places []fretboard.Placement) any {
	type note struct {
		fretboard.Position
		Pitch  string `json:"pitch"`
		Degree string `json:"degree"`
		Finger int    `json:"finger"`
	}
	type barre struct {
		Fret int `json:"fret"`
		From int `json:"from"`
		To   int `json:"to"`
	}
	type place struct {
		Fret     int     `json:"fret"`
		Frets    string  `json:"frets"`
		Notes    []note  `json:"notes"`
		Muted    []int   `json:"muted"`
		Span     int     `json:"span"`
		Barres   []barre `json:"barres"`
		Playable bool    `json:"playable"`
		Why      string  `json:"why,omitempty"`
	}
	out := struct {
		Name   string  `json:"name"`
		Family string  `json:"family"`
		Words  string  `json:"words"`
		Root   string  `json:"root"`
		Sounds string  `json:"sounds"`
		Tuning string  `json:"tuning"`
		Places []place `json:"places"`
		Why    string  `json:"why,omitempty"` // there are no places
	}{shape.Name, shape.Family, shape.Words, setup.Names.Note(root), sounds(setup.Names, shape, root), setup.Neck.Tuning.String(), []place{}, ""}
	for _, pl := range places {
		shown := place{Fret: pl.Fret, Frets: pl.String(), Span: pl.Span, Playable: pl.Playable(), Why: pl.Why,
			Muted: slices.Concat([]int{}, pl.Muted), Barres: []barre{}}
		for _, n := range pl.Notes {
			shown.Notes = append(shown.Notes, note{n.Position, setup.Names.Pitch(n.Pitch), theory.DegreeOf(n.Above).String(), n.Finger})
		}
		for _, b := range pl.Barres {
			shown.Barres = append(shown.Barres, barre{b.Fret, b.From, b.To})
		}
		out.Places = append(out.Places, shown)
	}
	if err := shape.Fits(setup.Neck); err != nil && len(places) == 0 {
		out.Why = err.Error()
	}
	return out
}

// printFolded prints text in lines that fit the screen, each behind indent;
// lines after the first stand two columns further in.
func (p *program) printFolded(indent, text string) {
	for _, line := range report.Fold(indent, indent+"  ", text, p.columns()) {
		fmt.Fprintln(p.out, line)
	}
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
