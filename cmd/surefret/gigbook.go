package main

import (
	"context"
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/report"
	"surefret/cmd/surefret/setlist"
	"surefret/drills/gig"
	"surefret/drills/gig/songbook"
)

func (p *program) gigExport() *cobra.Command {
	return &cobra.Command{
		Use:     "export GIG FILE",
		Short:   "Write the songs of a gig to a song book, one text file to send",
		Example: "  surefret gig export \"Harbour Fair\" harbour.toml",
		Args:    cli.Needs("GIG", "FILE"),
		RunE: p.look(p.onGig(func(_ context.Context, _ *kept.Practice, g gig.Gig, args []string) error {
			if len(g.Songs) == 0 {
				return usagef("%q has no songs to write: add one with 'surefret gig song'", g.Name)
			}
			return p.writeText(args[1], songbook.Write(g))
		})),
	}
}

func (p *program) gigImport() *cobra.Command {
	var name, day string
	var replace bool
	cmd := &cobra.Command{
		Use:   "import FILE --gig GIG",
		Short: "Take the songs of a song book into a gig",
		Long: "Take the songs of a song book into a gig: all of them, or none when one field\n" +
			"cannot be used. The message names the file, the line and what was expected.\n" +
			"Song books are sent from player to player: keys and chords in them have English\n" +
			"names, whichever names you use yourself.",
		Example: "  surefret gig import harbour.toml --gig \"Lantern Night\"\n" +
			"  surefret gig import harbour.toml --gig \"Quay Dance\" --day 2026-12-19",
		Args: cli.Needs("FILE"),
		RunE: func(cmd *cobra.Command, args []string) error {
			text, err := cli.ReadText(args[0], "a song book", songbook.Largest)
			if err != nil {
				return err
			}
			taken, err := songbook.Read(filepath.Base(args[0]), text)
			if err != nil {
				return cli.BadInput{Err: err}
			}
			return p.withPlayer(func(ctx context.Context, pl *kept.Practice, _ []string) error {
				date, err := "", error(nil)
				if day != "" {
					if date, err = pl.Book().Day(day); err != nil {
						return err
					}
				}
				g, ok := pl.GigNamed(name)
				if !ok {
					if day == "" {
						return usagef("no gig is called %q: 'surefret gig list' shows them all; --day makes it a new one", name)
					}
					g = gig.Gig{ID: pl.DB.NewID(pl.Now()), Name: name, Day: date}
				} else if day != "" && date != g.Day {
					return usagef("%q is on %s: leave --day out, or change it with 'surefret gig edit'", g.Name, g.Day)
				} else {
					p.tell(pl.Book().SayWhich(g, name))
				}
				if g.Songs, err = setlist.AddSongs(g, taken, replace); err != nil {
					return err
				}
				if err := pl.PutGig(ctx, g); err != nil {
					return err
				}
				fmt.Fprintf(p.Out, "%s: %s taken in.\n", g.Name, report.Many(len(taken), "song"))
				p.tell(pl.Book().SayDay(g, day))
				return nil
			})(cmd, args)
		},
	}
	cmd.Flags().StringVar(&name, "gig", "", "the gig that the songs go to")
	cmd.Flags().StringVar(&day, "day", "", "the day of a gig that is new, like 2026-12-05 or Saturday")
	cmd.Flags().BoolVar(&replace, "replace", false, "replace a song that has the same title")
	cli.Required(cmd, "gig")
	return cmd
}
