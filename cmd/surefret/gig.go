package main

import (
	"context"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/report"
	"surefret/cmd/surefret/sheet"
	"surefret/drills/gig"
)

func (p *program) gigCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "gig",
		Short: "Keep gigs and their songs, and see what each asks of you",
		Long: "A gig is a day with its songs. Each song has the key you learned it in and the\n" +
			"key the singer calls; practice steers towards the day, and 'gig show' prints a\n" +
			"page to play from.",
		Example: "  surefret gig add \"Harbour Fair\" --day 2026-12-05\n" +
			"  surefret gig song \"Harbour Fair\" \"Tin Umbrella\" --called Bb\n" +
			"  surefret gig call \"Tin Umbrella\" A\n  surefret gig show \"Harbour Fair\"",
		Args: cli.Needs(),
	}
	cmd.AddCommand(p.gigAdd(), p.gigSong(), p.gigOrder(), p.gigList(), p.gigShow(), p.gigEdit(), p.gigCall(), p.gigRemove(), p.gigExport(), p.gigImport())
	return cmd
}

// onGig does something with the gig that the first argument names.
func (p *program) onGig(do func(context.Context, *kept.Practice, gig.Gig, []string) error) action {
	return func(ctx context.Context, pl *kept.Practice, args []string) error {
		g, ok := pl.FindGig(args[0])
		if !ok {
			return cli.BadInput{Err: practice.NoGig(args[0])}
		}
		p.tell(pl.Book().SayWhich(g, args[0]))
		return do(ctx, pl, g, args)
	}
}

func (p *program) gigAdd() *cobra.Command {
	var day string
	var lines bool
	cmd := &cobra.Command{
		Use:   "add [NAME]",
		Short: "Add a gig; without a name, a form asks for it and its songs",
		Long: "Add a gig; without a name, a form asks for it and its songs. A gig added by its\n" +
			"name gets its songs by 'surefret gig song'.",
		Example: "  surefret gig add\n  surefret gig add --line\n  surefret gig add \"Harbour Fair\" --day 2026-12-05",
		Args:    cobra.MaximumNArgs(1),
		RunE: p.withPlayer(func(ctx context.Context, pl *kept.Practice, args []string) error {
			if len(args) == 0 {
				return p.askGig(ctx, pl, lines)
			}
			if day == "" {
				return usagef("%q needs a day: use --day 2026-12-05 or --day Saturday", args[0])
			}
			date, err := pl.Book().Day(day)
			if err != nil {
				return err
			}
			g := gig.Gig{ID: pl.DB.NewID(pl.Now()), Name: args[0], Day: date}
			if err := pl.Book().New(g); err != nil {
				return err
			}
			if err := pl.PutGig(ctx, g); err != nil {
				return err
			}
			p.tell(pl.Book().SayDay(g, day))
			fmt.Fprintf(p.Err, "Add its songs with 'surefret gig song %q TITLE' or 'surefret gig import'.\n", pl.Book().NameOf(g))
			return nil
		}),
	}
	cmd.Flags().StringVar(&day, "day", "", "the day it is on, like 2026-12-05 or Saturday")
	cmd.Flags().BoolVar(&lines, "line", false, "plain questions instead of the form")
	return cmd
}

// askGig asks for a gig and its songs.
func (p *program) askGig(ctx context.Context, pl *kept.Practice, lines bool) error {
	ask := p.asker(pl, lines, "'surefret gig add --line' asks in plain lines.")
	book := pl.Book()
	var err error
	if book.Mine, err = pl.Songs(ctx); err != nil {
		return err
	}
	g, some, err := book.AskGig(ctx, pl.DB.NewID(pl.Now()), ask, pl.PutGig)
	if err != nil || !some {
		return err
	}
	fmt.Fprintf(p.Out, "Saved: %s, %s, %s.\n", g.Name, sheet.Day(g.Day), report.Many(len(g.Songs), "song"))
	p.tell(pl.Book().SayDay(g, "")) // its date was just said
	return nil
}

func (p *program) gigList() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "list",
		Short:   "List your gigs by date and how ready you are",
		Example: "  surefret gig list",
		Args:    cli.Needs(),
		RunE: p.look(func(_ context.Context, pl *kept.Practice, _ []string) error {
			if p.JSON {
				return p.PrintJSON(pl.Gigs)
			}
			if len(pl.Gigs) == 0 {
				fmt.Fprintln(p.Out, "No gigs yet: 'surefret gig add' adds one.")
			}
			for _, g := range pl.Gigs {
				rest := report.Many(len(g.Songs), "song") + pl.ReadySoFar(g)
				if p.Speaking() {
					p.Say([]string{fmt.Sprintf("%s on %s, %s.", g.Name, sheet.Day(g.Day), rest)})
					continue
				}
				p.PrintFolded(fmt.Sprintf("%s %s, %s", g.Day, g.Name, rest))
			}
			return nil
		}),
	}
	addJSON(cmd, "print the gigs with their songs as JSON")
	return cmd
}

func (p *program) gigEdit() *cobra.Command {
	var name, day, note string
	cmd := &cobra.Command{
		Use:     "edit GIG",
		Short:   "Change the name, the day or the note of a gig",
		Example: "  surefret gig edit \"Harbour Fair\" --day 2026-12-06",
		Args:    cli.Needs("GIG"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return p.withPlayer(p.onGig(func(ctx context.Context, pl *kept.Practice, g gig.Gig, _ []string) error {
				given := cmd.Flags().Changed
				if !given("name") && !given("note") && !given("day") {
					return usagef("nothing is changed: say what with --name, --day or --note; 'surefret gig song' changes a song")
				}
				if given("name") {
					g.Name = name
				}
				if given("note") {
					g.Note = note
				}
				if given("day") {
					date, err := pl.Book().Day(day)
					if err != nil {
						return err
					}
					g.Day, g.Asked = date, false // it is still to come, or to be asked about
				}
				if err := pl.Book().New(g); err != nil {
					return err
				}
				if err := pl.PutGig(ctx, g); err != nil {
					return err
				}
				if given("day") {
					p.tell(pl.Book().SayDay(g, day))
				}
				return nil
			}))(cmd, args)
		},
	}
	cmd.Flags().StringVar(&name, "name", "", "another name")
	cmd.Flags().StringVar(&day, "day", "", "another day, like 2026-12-05 or Saturday")
	cmd.Flags().StringVar(&note, "note", "", "a note of your own")
	return cmd
}

func (p *program) gigCall() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "call SONG KEY",
		Short: "Keep the key that the singer calls for a song, and print what it means for your hands",
		Long: "Keep the key that the singer calls for a song, in the next gig that has it, and\n" +
			"print what it means for your hands. The message says which key it had before, and\n" +
			"the same command puts that one back. Of a song that no gig has the page is printed,\n" +
			"and nothing is kept.",
		Example: "  surefret gig call \"Tin Umbrella\" Bb\n  surefret gig call umbrella Bb",
		Args:    cobra.MinimumNArgs(2),
		RunE: p.withPlayer(func(ctx context.Context, pl *kept.Practice, args []string) error {
			g, i, key, err := pl.CalledSong(ctx, args)
			if err != nil {
				return err
			}
			if g.ID == "" {
				return p.printCalled(pl, g.Songs[i], key)
			}
			g.Songs = slices.Clone(g.Songs)
			before := pl.SayKey(g.Songs[i].Called)
			g.Songs[i].Called = gig.CalledTyped(key, g.Songs[i].Learned, pl.Setup().Names)
			called := fmt.Sprintf("%s is called in %s at %s", g.Songs[i].Title, pl.SayKey(g.Songs[i].Called), pl.Book().NameOf(g))
			if pl.SayKey(g.Songs[i].Called) == before {
				fmt.Fprintf(p.Err, "%s already.\n", called)
				return p.printSong(pl, g, g.Songs[i])
			}
			if err := pl.PutGig(ctx, g); err != nil {
				return err
			}
			fmt.Fprintf(p.Err, "Saved: %s, before in %s.\n", called, before)
			return p.printSong(pl, g, g.Songs[i])
		}),
	}
	addJSON(cmd, "print the song's page as JSON")
	return cmd
}

// printCalled prints what a called key means for a song that no gig has.
func (p *program) printCalled(pl *kept.Practice, s gig.Song, key string) error {
	s.Called = gig.CalledTyped(key, s.Learned, pl.Setup().Names)
	if err := s.Check(); err != nil {
		return cli.BadInput{Err: err}
	}
	fmt.Fprintf(p.Err, "No gig has %s, so the key is not kept.\n", s.Title)
	return p.printSong(pl, gig.Gig{}, s)
}

func (p *program) gigRemove() *cobra.Command {
	return &cobra.Command{
		Use:     "remove GIG",
		Short:   "Remove a gig; what you practised for it stays",
		Example: "  surefret gig remove \"Harbour Fair\"",
		Args:    cli.Needs("GIG"),
		RunE: p.withPlayer(p.onGig(func(ctx context.Context, pl *kept.Practice, g gig.Gig, args []string) error {
			if _, ok := pl.GigNamed(args[0]); !ok {
				return usagef("to remove it, type its whole name: %q", g.Name)
			}
			return pl.DB.RemoveGig(ctx, g.ID)
		})),
	}
}
