package main

import (
	"context"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/setlist"
	"surefret/drills/gig"
)

func (p *program) gigSong() *cobra.Command {
	var f setlist.Flags
	var remove bool
	cmd := &cobra.Command{
		Use:   "song GIG TITLE",
		Short: "Add a song to a gig, change it, or take it out",
		Example: "  surefret gig song \"Harbour Fair\" \"Tin Umbrella\" --learned D --called Bb --chords \"1 5 6- 4\"\n" +
			"  surefret gig song \"Harbour Fair\" Ropewalk --learned G --section \"verse: 1 4\" --section \"chorus: 4 5 1\"\n" +
			"  surefret gig song \"Harbour Fair\" Ropewalk --remove",
		Args: cli.Needs("GIG", "TITLE"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return p.withGig(cmd, args[0], func(ctx context.Context, pl *player, g gig.Gig) (err error) {
				i, known := g.Song(args[1])
				title := args[1]
				if known {
					title = g.Songs[i].Title
				}
				switch {
				case known && g.Songs[i].Stored && f.Given():
					return usagef("%q is a song of yours, and a gig only calls it: change it with 'surefret song edit %q'", title, title)
				case remove && !known:
					return usagef("%q has no song called %q", g.Name, args[1])
				case remove:
					g.Songs = slices.Delete(g.Songs, i, i+1)
				case known:
					g.Songs[i], err = f.Change(pl.book(), g.Songs[i])
				default:
					s, stored, ferr := pl.stored(cmd, args[1], f)
					if err = ferr; stored && err == nil && f.Given() {
						return usagef("%q is a song of yours, and a gig only calls it: leave out what describes it, or change it with 'surefret song edit %q'", s.Title, s.Title)
					} else if !stored && err == nil {
						s, err = f.Change(pl.book(), gig.Song{Title: args[1]})
					}
					title = s.Title
					g.Songs = append(g.Songs, s)
				}
				if err != nil {
					return err
				}
				if i, ok := g.Song(args[1]); ok {
					if err := pl.book().CheckParts(g.Songs[i].Parts); err != nil {
						return err
					}
				}
				if err := pl.putGig(ctx, g); err != nil {
					return err
				}
				if remove {
					fmt.Fprintf(p.err, "Taken out of %s: %s.\n", g.Name, title)
				} else if i, ok := g.Song(title); ok {
					fmt.Fprintf(p.err, "Kept: %s, called in %s, for %s.\n", title, pl.sayKey(g.Songs[i].Called), g.Name)
				}
				return nil
			})
		},
	}
	f.Add(cmd.Flags())
	f.AddCalled(cmd.Flags())
	cmd.Flags().BoolVar(&remove, "remove", false, "take the song out of the gig")
	return cmd
}

func (p *program) gigOrder() *cobra.Command {
	return &cobra.Command{
		Use:     "order GIG TITLE...",
		Short:   "Put the songs of a gig into another order: those named come first",
		Example: "  surefret gig order \"Harbour Fair\" Ropewalk \"Tin Umbrella\"",
		Args:    cobra.MinimumNArgs(2),
		RunE: func(cmd *cobra.Command, args []string) error {
			return p.withGig(cmd, args[0], func(ctx context.Context, pl *player, g gig.Gig) error {
				var first []gig.Song
				rest := slices.Clone(g.Songs)
				for _, title := range args[1:] {
					i, ok := gig.Gig{Songs: rest}.Song(title)
					if !ok {
						return usagef("%q has no song called %q, or it is named twice: 'surefret gig show %q' shows them", g.Name, title, pl.book().NameOf(g))
					}
					first = append(first, rest[i])
					rest = slices.Delete(rest, i, i+1)
				}
				g.Songs = append(first, rest...)
				if err := pl.putGig(ctx, g); err != nil {
					return err
				}
				for i, s := range g.Songs {
					fmt.Fprintf(p.out, "%d. %s, %s\n", i+1, cli.Shown(s.Title), pl.sayKey(s.Called))
				}
				return nil
			})
		},
	}
}
