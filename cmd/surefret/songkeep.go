package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/setlist"
	"surefret/cmd/surefret/sheet"
	"surefret/drills/chart"
	"surefret/drills/gig"
	"surefret/drills/rehearse"
)

// onSong does something with the one song that the first argument means.
func onSong(do func(context.Context, *kept.Practice, gig.Song, []string) error) action {
	return func(ctx context.Context, pl *kept.Practice, args []string) error {
		s, err := pl.SongCalled(ctx, args[0])
		if err != nil {
			return err
		}
		return do(ctx, pl, s, args)
	}
}

func (p *program) songList() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "list",
		Short:   "List your songs, and the gigs that they are played at",
		Example: "  surefret song list",
		Args:    cli.Needs(),
		RunE: p.look(func(ctx context.Context, pl *kept.Practice, _ []string) error {
			songs, err := pl.Songs(ctx)
			if err != nil {
				return err
			}
			if p.JSON {
				return p.PrintJSON(songs)
			}
			if len(songs) == 0 {
				fmt.Fprintln(p.Out, "No songs yet: 'surefret song add FILE' adds one from its chart.")
			}
			for _, line := range pl.ListSongs(songs) {
				if p.Speaking() {
					line += "."
				}
				p.PrintFolded(cli.Shown(line))
			}
			return nil
		}),
	}
	addJSON(cmd, "print the songs as JSON")
	return cmd
}

func (p *program) songShow() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "show SONG",
		Short:   "Show a song bar by bar, in letters and in numbers",
		Example: "  surefret song show Cockles",
		Args:    cli.Needs("SONG"),
		RunE: p.look(onSong(func(ctx context.Context, pl *kept.Practice, s gig.Song, _ []string) error {
			if p.JSON {
				c, err := s.AsChart()
				if err != nil {
					return err
				}
				return p.PrintJSON(struct {
					gig.Song
					Bars      sheet.Chart          `json:"bars"`
					Rehearsed []rehearse.Rehearsed `json:"rehearsed"`
				}{s, sheet.ChartOf(c.Named(pl.Setup().Names)), pl.Rehearsed(s)})
			}
			played, parts := pl.SayRehearsed(s), pl.ListParts([]gig.Song{s})
			if sets := gig.SetsOf(pl.Gigs, s.ID); len(sets) > 0 {
				played = append(played, "Played at "+strings.Join(sets, ", ")+".")
			}
			if p.Speaking() {
				c, err := s.AsChart()
				if err != nil {
					return err
				}
				said := sheet.ChartOf(c.Named(pl.Setup().Names)).Sentences(speller(pl.Setup()))
				if len(s.Shapes) > 0 {
					said = append(said, "Shapes: "+strings.Join(s.Shapes, ", ")+".")
				}
				for _, part := range parts {
					said = append(said, part.Said()+".")
				}
				return p.Say(append(said, played...))
			}
			if err := p.echo(pl, s); err != nil {
				return err
			}
			if len(s.Shapes) > 0 {
				p.PrintFolded("Shapes: " + strings.Join(s.Shapes, ", "))
			}
			for _, part := range parts {
				fmt.Fprintf(p.Out, "\n%s\n%s\n", p.bold(pl, cli.Shown(part.Said())), cli.Shown(part.Tab))
			}
			for _, line := range played {
				p.PrintFolded(line)
			}
			return nil
		})),
	}
	addJSON(cmd, "print the song and its bars as JSON")
	return cmd
}

func (p *program) songEdit() *cobra.Command {
	var f setlist.Flags
	var title, file string
	cmd := &cobra.Command{
		Use:     "edit SONG",
		Short:   "Change a song, at every gig that plays it",
		Example: "  surefret song edit Cockles --tempo 100 --shapes tenths\n  surefret song edit Cockles --title \"Low Cockles\"",
		Args:    cli.Needs("SONG"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return p.withPlayer(onSong(func(ctx context.Context, pl *kept.Practice, s gig.Song, _ []string) (err error) {
				if !f.Given() && title == "" && file == "" {
					return usagef("nothing is changed: say what with --title, --learned, --chords, --section, --chart, --shapes, --part or --tempo")
				}
				was := s
				if file != "" {
					songs, err := pl.Book().Songs(file, s.Title, setlist.Flags{Learned: s.Learned})
					if err != nil {
						return cli.BadInput{Err: err}
					}
					s.Chart, s.Sections, s.Learned = songs[0].Chart, songs[0].Sections, songs[0].Learned
				}
				if s, err = f.Change(pl.Book(), s); err != nil {
					return err
				}
				if f.Chords() || cmd.Flags().Changed("learned") {
					s.Chart = "" // it says something else now
				}
				if title != "" {
					s.Title = title
				}
				if err := pl.Book().Check(s); err != nil {
					return cli.BadInput{Err: err}
				}
				if err := pl.DB.PutSongs(ctx, s); err != nil {
					return err
				}
				if was.Chart != "" && s.Chart == "" {
					fmt.Fprintf(p.Err, "The chart that %s was read from is no longer kept: its chords are those you gave.\n", s.Title)
				}
				return p.echo(pl, s)
			}))(cmd, args)
		},
	}
	f.Add(cmd.Flags())
	cmd.Flags().StringVar(&title, "title", "", "another title")
	cmd.Flags().StringVar(&file, "chart", "", "a file with another chart for the song")
	return cmd
}

func (p *program) songRemove() *cobra.Command {
	return &cobra.Command{
		Use:     "remove SONG",
		Short:   "Remove a song that no gig plays; what you practised for it stays",
		Example: "  surefret song remove Cockles",
		Args:    cli.Needs("SONG"),
		RunE: p.withPlayer(onSong(func(ctx context.Context, pl *kept.Practice, s gig.Song, args []string) error {
			if !strings.EqualFold(s.Title, strings.TrimSpace(args[0])) && s.ID != args[0] {
				return usagef("give the whole title to remove %q", s.Title)
			}
			if sets := gig.SetsOf(pl.Gigs, s.ID); len(sets) > 0 {
				return usagef("%q is played at %s: take it out there first, with 'surefret gig song %q %q --remove'", s.Title, strings.Join(sets, ", "), sets[0], s.Title)
			}
			if err := pl.DB.RemoveSong(ctx, s.ID); err != nil {
				return err
			}
			fmt.Fprintf(p.Err, "Removed: %s.\n", s.Title)
			return nil
		})),
	}
}

func (p *program) songExport() *cobra.Command {
	return &cobra.Command{
		Use:     "export SONG FILE",
		Short:   "Write the chart of a song into a file, as it was read",
		Example: "  surefret song export Cockles cockles.txt",
		Args:    cli.Needs("SONG", "FILE"),
		RunE: p.look(onSong(func(_ context.Context, pl *kept.Practice, s gig.Song, args []string) error {
			c, err := s.AsChart()
			if err != nil {
				return err
			}
			if named := c.Named(pl.Setup().Names); s.Chart == "" || c.Format == chart.Text {
				c = named
			}
			return p.writeText(args[1], c.String())
		})),
	}
}
