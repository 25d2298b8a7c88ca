package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/report"
	"surefret/cmd/surefret/screen"
)

func (p *program) neckCommand() *cobra.Command {
	var strs []int
	var frets, svg string
	var asJSON bool
	cmd := &cobra.Command{
		Use:     "neck",
		Short:   "Show the map of the neck: what is sure, what is not, what was never asked",
		Example: "  surefret neck\n  surefret neck --strings 6,5 --frets 0-12\n  surefret neck --svg neck.svg",
		Args:    cli.Needs(),
		RunE: func(cmd *cobra.Command, _ []string) error {
			return p.withPlayer(cmd, func(_ context.Context, pl *player) error {
				m, err := pl.neckMap(strs, frets)
				if err != nil {
					return err
				}
				switch {
				case svg != "":
					return p.write(svg, func(w io.Writer) error { _, err := io.WriteString(w, m.SVG()); return err })
				case asJSON:
					return p.printJSON(m)
				}
				fmt.Fprint(p.out, m.Text(p.columns(), p.ink(pl.settings.Drawing)))
				return nil
			})
		},
	}
	cmd.Flags().IntSliceVar(&strs, "strings", nil, "only these strings, 1 is the highest: 6,5")
	cmd.Flags().StringVar(&frets, "frets", "", "only these frets: 0-12")
	cmd.Flags().StringVar(&svg, "svg", "", "write the map as a picture")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the map as JSON")
	return cmd
}

// outlook says what is weak and what tomorrow holds.
func (pl *player) outlook() []string {
	var lines []string
	if m, err := pl.neckMap(nil, ""); err == nil && len(m.Weakest) > 0 {
		var words []string
		for _, r := range m.Weakest {
			words = append(words, r.Words)
		}
		lines = append(lines, "Weakest: "+strings.Join(words, "; ")+".")
	}
	if load := pl.planner.Forecast(pl.now(), 2); load[1] >= 30*time.Second {
		lines = append(lines, fmt.Sprintf("Tomorrow: %s would pay.", count(int(math.Round(load[1].Minutes())), "minute")))
	}
	return lines
}

// neckMap draws up the map as of now; no strings and no frets mean all.
func (pl *player) neckMap(strs []int, frets string) (report.Map, error) {
	setup, err := pl.settings.Setup()
	if err != nil {
		return report.Map{}, err
	}
	for _, str := range strs {
		if str < 1 || str > setup.Neck.Tuning.Strings() {
			return report.Map{}, usagef("--strings %d: this instrument has strings 1 to %d", str, setup.Neck.Tuning.Strings())
		}
	}
	window, err := fretRange(frets, setup.Neck.Last())
	if err != nil {
		return report.Map{}, err
	}
	m := report.NeckMap(pl.catalogue, pl.foresight(), setup, strs, window)
	m.LeftHanded = pl.settings.LeftHanded
	return m, nil
}

// foresight is what reports predict by.
func (pl *player) foresight() report.Outlook {
	return report.Outlook{Know: pl.planner, Now: pl.now(), Location: time.Local}
}

// ink paints the steps of the map where the output is a terminal with colours.
func (p *program) ink(drawing string) report.Ink {
	out, ok := p.screen().(*os.File)
	if !ok || !term.IsTerminal(int(out.Fd())) {
		return nil
	}
	return screen.LookFor(p.getenv, drawing).Heat
}
