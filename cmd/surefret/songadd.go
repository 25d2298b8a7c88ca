package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/report"
	"surefret/cmd/surefret/setlist"
	"surefret/cmd/surefret/sheet"
	"surefret/drills/gig"
)

// fewSongs is how many charts are echoed bar by bar when they are added together.
const fewSongs = 5

func (p *program) songAdd() *cobra.Command {
	var f setlist.Flags
	var title string
	cmd := &cobra.Command{
		Use:   "add [FILE...]",
		Short: "Add songs from charts, from a folder of them, or from chords",
		Long: "Add songs from charts: chords over lyrics, ChordPro, bars of letters, numbers or\n" +
			"roman numerals; a folder stands for the charts in it. Each chart is echoed bar by\n" +
			"bar, in letters and in numbers. What is not understood is told with its line and\n" +
			"column, and that chart is not added. With --chords or --section, the argument is\n" +
			"the title of a song.",
		Example: "  surefret song add umbrella.cho\n  surefret song add umbrella.txt --title \"Low Umbrella\"\n" +
			"  surefret song add Shingle --learned C --section \"verse: 1 6- 4 5\" --section \"chorus: 4 1 5 1\"",
		Args: cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return usagef("'surefret song add' needs FILE: see 'surefret song add --help'")
			}
			return p.withPlayer(func(ctx context.Context, pl *kept.Practice, _ []string) error {
				if f.Chords() {
					return p.addTyped(ctx, pl, strings.Join(args, " "), f)
				}
				return p.addCharts(ctx, pl, args, title, f)
			})(cmd, args)
		},
	}
	f.Add(cmd.Flags())
	cmd.Flags().StringVar(&title, "title", "", "the title, where the chart has none or another one is wanted")
	return cmd
}

// addTyped adds a song whose chords were typed.
func (p *program) addTyped(ctx context.Context, pl *kept.Practice, title string, f setlist.Flags) error {
	songs, err := pl.DB.Songs(ctx)
	if err != nil {
		return err
	}
	s, err := f.Change(pl.Book(), gig.Song{Title: title})
	if err == nil {
		err = pl.Book().Check(s)
	}
	if err == nil {
		err = setlist.Unknown(songs, s.Title)
	}
	if err != nil {
		return cli.BadInput{Err: err}
	}
	if err := pl.DB.PutSongs(ctx, s); err != nil {
		return err
	}
	return p.added(pl, s)
}

// added prints a song that was added, and to who listens that it was.
func (p *program) added(pl *kept.Practice, s gig.Song) error {
	if p.Speaking() {
		fmt.Fprintf(p.Err, "Saved: %s.\n", s.Title)
	}
	return p.echo(pl, s)
}

// addCharts adds the songs of files and of folders of them, each as far as it is
// understood, in one go.
func (p *program) addCharts(ctx context.Context, pl *kept.Practice, args []string, title string, f setlist.Flags) error {
	names, err := setlist.ChartFiles(args)
	if err != nil {
		return err
	}
	book := pl.Book()
	if book.Mine, err = pl.Songs(ctx); err != nil {
		return err
	}
	added, wants := book.ReadCharts(names, title, f, func(n int) {
		if len(names) > fewSongs && n%10 == 0 {
			fmt.Fprintf(p.Err, "%d of %d charts read.\n", n, len(names))
		}
	})
	if len(names) == 1 && len(wants) == 1 && len(added) == 0 {
		return cli.BadInput{Err: wants[0]}
	}
	if err := pl.DB.PutSongs(ctx, added...); err != nil {
		return err
	}
	for _, s := range added {
		if len(added) <= fewSongs {
			if err := p.added(pl, s); err != nil {
				return err
			}
		}
	}
	if len(added) > fewSongs {
		p.PrintFolded(fmt.Sprintf("Added %s. 'surefret song show TITLE' shows how each was read.", report.Many(len(added), "song")))
	}
	if len(wants) == 0 {
		return nil
	}
	fmt.Fprintf(p.Err, "Not added, and worth a look:\n")
	for _, err := range wants {
		fmt.Fprintf(p.Err, "  %s\n", cli.OneLine(err.Error()))
	}
	return usagef("%d of %d charts were not added: correct what is said of them, and add them again", len(wants), len(names))
}

// echo prints a song as it was understood, bar by bar.
func (p *program) echo(pl *kept.Practice, s gig.Song) error {
	c, err := s.AsChart()
	if err != nil {
		return err
	}
	if p.Speaking() {
		return p.Say(sheet.ChartOf(c.Named(pl.Setup().Names)).Sentences(speller(pl.Setup())))
	}
	for line := range strings.Lines(cli.Shown(sheet.ChartOf(c.Named(pl.Setup().Names)).Text(p.ASCII()))) {
		if line = strings.TrimSuffix(line, "\n"); !strings.HasPrefix(line, " ") { // the title, and the heads of sections
			line = p.bold(pl, line)
		}
		fmt.Fprintln(p.Out, line)
	}
	return nil
}
