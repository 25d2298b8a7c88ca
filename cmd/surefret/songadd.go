package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/report"
	"surefret/cmd/surefret/sheet"
	"surefret/drills/chart"
	"surefret/drills/gig"
	"surefret/drills/theory"
)

// fewSongs is how many charts are echoed bar by bar when they are added together.
const fewSongs = 5

func (p *program) songAdd() *cobra.Command {
	var f songFlags
	var title, from string
	cmd := &cobra.Command{
		Use:   "add [FILE...]",
		Short: "Add songs from charts, from a folder of them, or from chords",
		Long: "Add songs from charts: chords over lyrics, ChordPro, bars of letters, numbers or\n" +
			"roman numerals; a folder stands for the charts in it. Each chart is echoed bar by\n" +
			"bar, in letters and in numbers. What is not understood is told with its line and\n" +
			"column, and that chart is not added. With --chords or --section, the argument is\n" +
			"the title of a song. With --gig, the songs that a gig holds itself, as gigs of\n" +
			"earlier programs do, become songs of yours, and the gig calls them from then on.",
		Example: "  surefret song add umbrella.cho\n  surefret song add umbrella.txt --title \"Low Umbrella\"\n" +
			"  surefret song add Shingle --learned C --section \"verse: 1 6- 4 5\" --section \"chorus: 4 1 5 1\"\n" +
			"  surefret song add --gig \"Harbour Fair\"",
		Args: cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			switch {
			case from != "" && len(args) > 0:
				return usagef("--gig takes the songs of a gig, and charts are added by themselves: leave one of them out")
			case from != "":
				return p.withGig(cmd, from, p.takeSongs)
			case len(args) == 0:
				return usagef("'surefret song add' needs FILE: see 'surefret song add --help'")
			}
			return p.withPlayer(cmd, func(ctx context.Context, pl *player) error {
				if cmd.Flags().Changed("chords") || cmd.Flags().Changed("section") {
					return p.addTyped(cmd, pl, strings.Join(args, " "), f)
				}
				return p.addCharts(cmd, pl, args, title, f)
			})
		},
	}
	f.describe(cmd)
	cmd.Flags().StringVar(&title, "title", "", "the title, where the chart has none or another one is wanted")
	cmd.Flags().StringVar(&from, "gig", "", "take the songs that this gig holds itself into your songs")
	return cmd
}

// takeSongs makes the songs that a gig holds itself songs of the repertoire. Where there
// is one of that title already, the gig keeps its own.
func (p *program) takeSongs(ctx context.Context, pl *player, g gig.Gig) error {
	known, err := pl.db.Songs(ctx)
	if err != nil {
		return err
	}
	g.Songs = slices.Clone(g.Songs)
	var taken []gig.Song
	for i, s := range g.Songs {
		if s.Stored {
			continue
		}
		if err := unknown(known, s.Title); err != nil {
			fmt.Fprintf(p.err, "%s stays with the gig alone: %s\n", s.Title, cli.OneLine(err.Error()))
			continue
		}
		g.Songs[i].Stored = true
		taken = append(taken, s)
	}
	if err := pl.db.PutSongs(ctx, taken...); err != nil {
		return err
	}
	if err := pl.putGig(ctx, g); err != nil {
		return err
	}
	fmt.Fprintf(p.err, "Taken from %s: %s.\n", g.Name, report.Many(len(taken), "song"))
	return nil
}

// addTyped adds a song whose chords were typed.
func (p *program) addTyped(cmd *cobra.Command, pl *player, title string, f songFlags) error {
	songs, err := pl.db.Songs(cmd.Context())
	if err != nil {
		return err
	}
	s, err := f.change(cmd, pl, gig.Song{Title: title})
	if err == nil {
		err = pl.checkSong(s)
	}
	if err == nil {
		err = unknown(songs, s.Title)
	}
	if err != nil {
		return cli.BadInput{Err: err}
	}
	if err := pl.db.PutSongs(cmd.Context(), s); err != nil {
		return err
	}
	return p.echo(pl, s)
}

// checkSong refuses what cannot be kept.
func (pl *player) checkSong(s gig.Song) error {
	if err := s.Check(); err != nil {
		return fmt.Errorf("song %q: %w", s.Title, err)
	}
	return pl.checkParts(s)
}

// unknown refuses a title that a song has already.
func unknown(songs []gig.Song, title string) error {
	for _, s := range songs {
		if strings.EqualFold(s.Title, strings.TrimSpace(title)) {
			return fmt.Errorf("there is a song %q already: change it with 'surefret song edit', or give this one another title with --title", s.Title)
		}
	}
	return nil
}

// addCharts adds the songs of files and of folders of them, each as far as it is
// understood, in one go.
func (p *program) addCharts(cmd *cobra.Command, pl *player, args []string, title string, f songFlags) error {
	names, err := chartFiles(args)
	if err != nil {
		return err
	}
	known, err := pl.db.Songs(cmd.Context())
	if err != nil {
		return err
	}
	var added []gig.Song
	var wants []error
	for i, name := range names {
		if len(names) > fewSongs && (i+1)%10 == 0 {
			fmt.Fprintf(p.err, "%d of %d charts read.\n", i+1, len(names))
		}
		songs, err := pl.songsOf(cmd, name, title, f)
		for _, s := range songs {
			if err == nil {
				err = unknown(append(known, added...), s.Title)
			}
			if err == nil {
				added = append(added, s)
			}
		}
		if err != nil {
			wants = append(wants, err)
		}
	}
	if len(names) == 1 && len(wants) == 1 && len(added) == 0 {
		return cli.BadInput{Err: wants[0]}
	}
	if err := pl.db.PutSongs(cmd.Context(), added...); err != nil {
		return err
	}
	for _, s := range added {
		if len(added) <= fewSongs {
			if err := p.echo(pl, s); err != nil {
				return err
			}
		}
	}
	if len(added) > fewSongs {
		p.printFolded("", fmt.Sprintf("Added %s. 'surefret song show TITLE' shows how each was read.", report.Many(len(added), "song")))
	}
	if len(wants) == 0 {
		return nil
	}
	fmt.Fprintf(p.err, "Not added, and worth a look:\n")
	for _, err := range wants {
		fmt.Fprintf(p.err, "  %s\n", cli.OneLine(err.Error()))
	}
	return usagef("%d of %d charts were not added: correct what is said of them, and add them again", len(wants), len(names))
}

// chartFiles lists the files that the arguments name; of a folder those that are named
// like charts.
func chartFiles(args []string) (names []string, err error) {
	for _, arg := range args {
		info, err := os.Stat(arg)
		if err != nil || !info.IsDir() {
			names = append(names, arg)
			continue
		}
		entries, err := os.ReadDir(arg)
		if err != nil {
			return nil, usagef("%s cannot be read: %w", arg, cli.Reason(err))
		}
		found := 0
		for _, e := range entries {
			switch strings.ToLower(filepath.Ext(e.Name())) {
			case ".cho", ".crd", ".chopro", ".chordpro", ".chord", ".pro", ".txt":
				names, found = append(names, filepath.Join(arg, e.Name())), found+1
			}
		}
		if found == 0 {
			return nil, usagef("%s has no charts: they end in .cho, .crd, .chopro, .chordpro, .pro or .txt", arg)
		}
	}
	return names, nil
}

// songsOf reads the songs of a file.
func (pl *player) songsOf(cmd *cobra.Command, name, title string, f songFlags) ([]gig.Song, error) {
	text, err := cli.ReadText(name, "a chart", 4*chart.Largest)
	if err != nil {
		if _, missing := os.Stat(name); errors.Is(missing, fs.ErrNotExist) && filepath.Ext(name) == "" {
			return nil, usagef("there is no file %s; a song without a chart needs its chords: --learned D --chords \"1 5 6- 4\"", name)
		}
		return nil, err
	}
	o := chart.Options{Names: pl.Setup().Names}
	if f.learned != "" {
		if o.Key, err = readKey(o.Names, f.learned); err != nil {
			return nil, fmt.Errorf("--learned: %w", err)
		}
		o.Keyed = true
	}
	charts, err := chart.Read(filepath.Base(name), text, o)
	if err != nil {
		return nil, err
	}
	var songs []gig.Song
	for _, c := range charts {
		source := c.Named(theory.Names{}).String() // songs are kept in English names
		if title != "" && len(charts) == 1 {
			c.Title = title
		}
		s, err := gig.FromChart(c, source)
		switch {
		case errors.Is(err, chart.Unkeyed):
			return songs, fmt.Errorf("%s: %w: say it with --learned, like --learned %s", filepath.Base(name), err, firstRoot(c))
		case err == nil && s.Title == "":
			return songs, fmt.Errorf("%s has no title: give one with --title", filepath.Base(name))
		case err == nil:
			if s, err = f.beside(cmd, pl, s); err == nil {
				err = pl.checkSong(s)
			}
		}
		if err != nil {
			return songs, fmt.Errorf("%s: %w", filepath.Base(name), err)
		}
		songs = append(songs, s)
	}
	return songs, nil
}

// firstRoot returns the root of the first chord of a chart, which is often its key.
func firstRoot(c chart.Chart) string {
	for i := range c.Sections {
		if p := c.Chords(i); len(p) > 0 {
			return theory.Key{Tonic: p[0].Root}.Short()
		}
	}
	return "G"
}

// beside returns a song that was read from a chart with what else the flags say of it.
func (f songFlags) beside(cmd *cobra.Command, pl *player, s gig.Song) (gig.Song, error) {
	learned, called, sections := s.Learned, s.Called, s.Sections
	f.learned = learned
	s, err := f.change(cmd, pl, s)
	s.Learned, s.Called, s.Sections = learned, called, sections
	return s, err
}

// echo prints a song as it was understood, bar by bar.
func (p *program) echo(pl *player, s gig.Song) error {
	c, err := s.AsChart()
	if err != nil {
		return err
	}
	fmt.Fprint(p.out, cli.Shown(sheet.ChartOf(c.Named(pl.Setup().Names)).Text(p.ascii())))
	return nil
}
