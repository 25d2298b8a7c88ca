package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/sheet"
	"surefret/drills"
	"surefret/drills/chart"
	"surefret/drills/gig"
	"surefret/drills/gig/songbook"
	"surefret/drills/theory"
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

// songMoveFlags say what a chart is turned into.
type songMoveFlags struct {
	from, to, capo   string
	numbers, letters bool
}

func (p *program) songMove() *cobra.Command {
	var f songMoveFlags
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
		RunE: func(cmd *cobra.Command, args []string) error { return p.moveSong(cmd, args[0], f) },
	}
	flags := cmd.Flags()
	flags.StringVar(&f.to, "to", "", "the key that it is to sound in, like Ab or F#m")
	flags.StringVar(&f.from, "from", "", "the key that the chart is in, where it does not say so")
	flags.StringVar(&f.capo, "capo", "", "write the chords that a hand plays with a capo on this fret, 1 to 11")
	flags.BoolVar(&f.numbers, "numbers", false, "write the chords as numbers")
	flags.BoolVar(&f.letters, "letters", false, "write numbers and numerals as letters")
	addJSON(cmd, "print the bars as JSON")
	return cmd
}

func (p *program) moveSong(cmd *cobra.Command, name string, f songMoveFlags) error {
	_, setup, err := p.savedSetup(cmd.Context())
	if err != nil {
		return err
	}
	if f.to == "" && f.capo == "" && !f.numbers && !f.letters && !p.JSON {
		return usagef("move it where? Say a key with --to, like --to Ab, or --capo, --numbers or --letters")
	}
	if strings.EqualFold(filepath.Ext(name), ".toml") {
		return p.moveBook(name, f, setup)
	}
	o := chart.Options{Names: setup.Names}
	if f.from != "" {
		if o.Key, err = setup.Names.ReadKey(f.from); err != nil {
			return cli.BadInput{Err: fmt.Errorf("--from: %w", err)}
		}
		o.Keyed = true
	}
	charts, err := readCharts(name, o)
	if err != nil {
		return err
	}
	var pages []sheet.Chart
	for i, c := range charts {
		if c, err = f.turn(c, setup.Names); err != nil {
			return cli.BadInput{Err: fmt.Errorf("%s: %w", name, err)}
		}
		if p.JSON {
			pages = append(pages, sheet.ChartOf(c))
			continue
		}
		if p.Speaking() {
			page := sheet.ChartOf(c)
			if f.numbers {
				page = page.Numbered()
			}
			if err := p.Say(page.Sentences(speller(setup))); err != nil {
				return err
			}
			continue
		}
		if i > 0 && c.Format == chart.Text {
			fmt.Fprintln(p.Out)
		}
		fmt.Fprint(p.Out, cli.Shown(c.String()))
	}
	if p.JSON {
		return p.PrintJSON(pages)
	}
	return nil
}

// moveBook prints the songs of a song book in another key.
func (p *program) moveBook(name string, f songMoveFlags, setup drills.Setup) error {
	text, err := cli.ReadText(name, "a song book", songbook.Largest)
	if err != nil {
		return err
	}
	songs, err := songbook.Read(filepath.Base(name), text)
	if err != nil {
		return cli.BadInput{Err: err}
	}
	if f.capo != "" || p.JSON || f.from != "" {
		return usagef("a song book has no capo and says its keys, and is printed as a song book: leave --capo, --from and --json out")
	}
	g := gig.Gig{Name: filepath.Base(name)}
	for _, s := range songs {
		key, _, err := s.Keys()
		if err == nil && f.to != "" {
			if key, err = setup.Names.ReadKey(f.to); err == nil && strings.HasSuffix(s.Learned, "m") && key.Mode == theory.Major {
				key.Mode = theory.Minor
			}
		}
		if err == nil {
			s, err = s.Turned(key, setup.Neck, func(c chart.Chart) (chart.Chart, error) { return f.turn(c, theory.Names{}) })
		}
		if err != nil {
			return cli.BadInput{Err: fmt.Errorf("%s: song %q: %w", name, s.Title, err)}
		}
		g.Songs = append(g.Songs, s)
	}
	if p.Speaking() {
		for _, s := range g.Songs {
			c, err := s.AsChart()
			if err == nil {
				err = p.Say(sheet.ChartOf(c.Named(setup.Names)).Sentences(speller(setup)))
			}
			if err != nil {
				return err
			}
		}
		return nil
	}
	fmt.Fprint(p.Out, cli.Shown(songbook.Write(g)))
	return nil
}

// turn returns the chart as the flags ask for it.
func (f songMoveFlags) turn(c chart.Chart, names theory.Names) (chart.Chart, error) {
	var err error
	if f.to != "" || f.capo != "" {
		to, fret := c.Sounding(), 0
		if f.to != "" {
			if to, err = names.ReadKey(f.to); err != nil {
				return c, err
			}
			if c.Key.Mode.Minor() && to.Mode == theory.Major {
				to.Mode = c.Key.Mode // singers call a song in A minor "in B"
			}
		}
		if f.capo != "" {
			if _, err := fmt.Sscan(f.capo, &fret); err != nil || fret < 0 || fret > 11 {
				return c, fmt.Errorf("--capo %s: give a fret from 1 to 11", f.capo)
			}
		}
		if c, err = c.Move(to, fret); err != nil {
			return c, unkeyed(err)
		}
	}
	switch {
	case f.numbers:
		c, err = c.Numbers()
	case f.letters:
		c, err = c.Letters()
	}
	return c, unkeyed(err)
}

// unkeyed says what to do about a chart without a key.
func unkeyed(err error) error {
	if err == chart.Unkeyed {
		return fmt.Errorf("%w: say it with --from, like --from G", err)
	}
	return err
}

// readCharts reads the charts of a file.
func readCharts(name string, o chart.Options) ([]chart.Chart, error) {
	text, err := cli.ReadText(name, "a chart", 4*chart.Largest)
	if err != nil {
		return nil, err
	}
	charts, err := chart.Read(filepath.Base(name), text, o)
	if err != nil {
		return nil, cli.BadInput{Err: err}
	}
	return charts, nil
}
