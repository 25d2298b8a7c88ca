package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/setlist"
	"surefret/cmd/surefret/sheet"
	"surefret/drills"
	"surefret/drills/chart"
	"surefret/drills/gig/songbook"
)

func (p *program) songCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "song",
		Short:   "Songs from charts, and charts in another key",
		Example: "  surefret song add umbrella.cho\n  surefret song list\n  surefret song move umbrella.cho --to Ab",
		Args:    cli.Needs(),
	}
	cmd.AddCommand(p.songAdd(), p.songList(), p.songShow(), p.songMove(), p.songEdit(), p.songRemove(), p.songExport())
	return cmd
}

func (p *program) songMove() *cobra.Command {
	var t setlist.Turn
	cmd := &cobra.Command{
		Use:   "move FILE",
		Short: "Print a chart in another key, with a capo, or in numbers; nothing is kept",
		Long: "Print a chart in another key, in the format it came in: chords over lyrics,\n" +
			"ChordPro, bars of letters, numbers or roman numerals, or a song book. Words stay as\n" +
			"they are.\n" +
			"What is not understood is told with its line and column, and nothing is printed.",
		Example: "  surefret song move umbrella.cho --to Ab\n" +
			"  surefret song move umbrella.txt --to Ab --capo 1\n" +
			"  surefret song move umbrella.txt --numbers",
		Args: cli.Needs("FILE"),
		RunE: func(cmd *cobra.Command, args []string) error { return p.moveSong(cmd, args[0], t) },
	}
	t.Add(cmd.Flags())
	addJSON(cmd, "print the bars as JSON")
	return cmd
}

func (p *program) moveSong(cmd *cobra.Command, name string, t setlist.Turn) error {
	_, setup, err := p.savedSetup(cmd.Context())
	if err != nil {
		return err
	}
	if t == (setlist.Turn{From: t.From}) && !p.JSON {
		return usagef("move it where? Say a key with --to, like --to Ab, or --capo, --numbers or --letters")
	}
	if strings.EqualFold(filepath.Ext(name), ".toml") {
		return p.moveBook(name, t, setup)
	}
	charts, err := t.Charts(name, setup.Names)
	if err != nil {
		return err
	}
	var pages []sheet.Chart
	for _, c := range charts {
		page := sheet.ChartOf(c)
		if p.Speaking() && t.Numbers {
			page = page.Numbered()
		}
		pages = append(pages, page)
	}
	return p.Show(pages, func() []string { return sayCharts(pages, setup) }, func() error {
		for i, c := range charts {
			if i > 0 && c.Format == chart.Text {
				fmt.Fprintln(p.Out)
			}
			fmt.Fprint(p.Out, cli.Shown(c.String()))
		}
		return nil
	})
}

func sayCharts(pages []sheet.Chart, setup drills.Setup) (said []string) {
	for _, page := range pages {
		said = append(said, page.Sentences(speller(setup))...)
	}
	return said
}

// moveBook prints the songs of a song book in another key.
func (p *program) moveBook(name string, t setlist.Turn, setup drills.Setup) error {
	if t.Capo != "" || p.JSON || t.From != "" {
		return usagef("a song book has no capo and says its keys, and is printed as a song book: leave --capo, --from and --json out")
	}
	g, err := t.Book(name, setup)
	if err != nil {
		return err
	}
	if !p.Speaking() {
		fmt.Fprint(p.Out, cli.Shown(songbook.Write(g)))
		return nil
	}
	var pages []sheet.Chart
	for _, s := range g.Songs {
		c, err := s.AsChart()
		if err != nil {
			return err
		}
		pages = append(pages, sheet.ChartOf(c.Named(setup.Names)))
	}
	return p.Say(sayCharts(pages, setup))
}
