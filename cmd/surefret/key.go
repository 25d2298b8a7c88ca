package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// A keyPage is what is told of a key.
type keyPage struct {
	Key       string     `json:"key"`
	Mode      string     `json:"mode"`
	Signature string     `json:"signature"`
	Scale     []string   `json:"scale"`
	Chords    []keyChord `json:"chords"`
	WalkUps   []keyWalk  `json:"walkups"`
	Choices   []keyWay   `json:"choices"`
}

// A keyChord is a chord of the key and where its root lies on the low strings.
type keyChord struct {
	Number string               `json:"number"`
	Roman  string               `json:"roman"`
	Chord  string               `json:"chord"`
	Notes  []string             `json:"notes"`
	Roots  []fretboard.Position `json:"roots"`
}

// A keyWalk is a walk between the roots of two chords.
type keyWalk struct {
	From  string               `json:"from"` // numbers
	To    string               `json:"to"`
	Notes []string             `json:"notes"`
	Path  []fretboard.Position `json:"path"`
}

// A keyWay is a capo or a lower tuning to play the key with.
type keyWay struct {
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

func (p *program) keyCommand() *cobra.Command {
	var f neckFlags
	var asJSON bool
	cmd := &cobra.Command{
		Use:     "key KEY",
		Short:   "A key on one page: chords by number, roots, walk-ups, capo choices",
		Example: "  surefret key Eb\n  surefret key F#m --json\n  surefret key A harmonic minor",
		Args:    cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			setup, _, err := p.instrument(cmd, f)
			if err != nil {
				return err
			}
			k, err := readKey(setup.Names, strings.Join(args, " "))
			if err != nil {
				return cli.BadInput{Err: err}
			}
			if len(k.Scale()) != 7 {
				return usagef("%s has no chord on every degree: give a key of seven notes, like Eb or F#m", k)
			}
			page := pageOf(k, setup)
			if asJSON {
				return p.printJSON(page)
			}
			p.printKey(setup.Names.Key(k), page)
			return nil
		},
	}
	f.add(cmd)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return cmd
}

func pageOf(k theory.Key, setup drills.Setup) keyPage {
	fb, names := setup.Neck, setup.Names
	page := keyPage{Key: names.Note(k.Tonic), Mode: k.Mode.String(), Signature: k.SignatureName(), WalkUps: []keyWalk{}, Choices: []keyWay{}}
	scale, triads := k.Scale(), k.Triads()
	for i, n := range scale {
		numeral := k.Numeral(triads[i])
		page.Scale = append(page.Scale, names.Note(n))
		chord := keyChord{Number: numeral.Number(), Roman: numeral.Roman(), Chord: names.Chord(triads[i]),
			Notes: noteNames(names, triads[i].Notes()), Roots: fb.Roots(n)}
		page.Chords = append(page.Chords, chord)
	}
	for _, m := range keyMotions[k.Mode.Minor()] {
		line, err := fb.Walk(k, scale[m.from-1], scale[m.to-1], fretboard.Walk{Down: m.down})
		if err != nil {
			continue // a neck with no room for this one
		}
		page.WalkUps = append(page.WalkUps, keyWalk{page.Chords[m.from-1].Number, page.Chords[m.to-1].Number,
			noteNames(names, line.Notes()), line.Path})
	}
	for _, c := range fb.Choices(k) {
		now := c.Capo == fb.Capo && c.Detuned == 0
		if worthIt := c.Open > 1 && len(page.Choices) < mostChoices; now || worthIt {
			page.Choices = append(page.Choices, keyWay{c.Capo, c.Detuned, shortKey(names, c.Shapes), c.Open, now})
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

// printKey prints the page of a key. Places are written string/fret.
func (p *program) printKey(name string, page keyPage) {
	fmt.Fprintf(p.out, "%s: %s\nscale  %s\n\n", name, page.Signature, strings.Join(page.Scale, " "))
	chord, notes := 7, 12 // columns, which long names widen
	for _, c := range page.Chords {
		chord, notes = max(chord, len(c.Chord)+1), max(notes, len(strings.Join(c.Notes, " "))+1)
	}
	fmt.Fprintf(p.out, "%-7s%-6s%-*s%-*s%s\n", "number", "roman", chord, "chord", notes, "notes", "roots")
	for _, c := range page.Chords {
		fmt.Fprintf(p.out, "%-7s%-6s%-*s%-*s%s\n", c.Number, c.Roman, chord, c.Chord, notes, strings.Join(c.Notes, " "), fretboard.WritePlaces(c.Roots))
	}
	if len(page.WalkUps) > 0 {
		fmt.Fprintln(p.out, "\nwalks (string/fret)")
		for _, w := range page.WalkUps {
			fmt.Fprintf(p.out, "%-12s%s\n            %s\n", w.From+" to "+w.To, strings.Join(w.Notes, " "), fretboard.WritePlaces(w.Path))
		}
	}
	p.printChoices(page.Choices)
}

// printChoices prints the ways to play a key, what a player would try first
// first.
func (p *program) printChoices(choices []keyWay) {
	if len(choices) == 0 {
		return // a tuning with other open chords
	}
	fmt.Fprintln(p.out, "\ncapo or tuning, and the shapes to play")
	widest := 0
	for _, c := range choices {
		widest = max(widest, len(c.Shapes))
	}
	for _, c := range choices {
		how := fmt.Sprintf("capo %d", c.Capo)
		switch {
		case c.Now:
			how = "as it is"
		case c.Detuned > 0:
			how = strings.TrimPrefix(fretboard.Steps(c.Detuned), "a ") + " down"
		case c.Capo == 0:
			how = "no capo"
		}
		fmt.Fprintf(p.out, "%-17s%-*s  %d of 5 chords open\n", how, widest, c.Shapes, c.Open)
	}
}
