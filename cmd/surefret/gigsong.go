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
			return p.withGig(cmd, args[0], func(ctx context.Context, pl *player, g gig.Gig) error {
				if remove {
					return p.takeOut(ctx, pl, g, args[1])
				}
				return p.putSong(ctx, pl, g, args[1], f)
			})
		},
	}
	f.Add(cmd.Flags())
	f.AddCalled(cmd.Flags())
	cmd.Flags().BoolVar(&remove, "remove", false, "take the song out of the gig")
	return cmd
}

// takeOut takes a song out of a gig.
func (p *program) takeOut(ctx context.Context, pl *player, g gig.Gig, title string) error {
	i, known := g.Song(title)
	if !known {
		return usagef("%q has no song called %q", g.Name, title)
	}
	title = g.Songs[i].Title
	g.Songs = slices.Delete(g.Songs, i, i+1)
	if err := pl.putGig(ctx, g); err != nil {
		return err
	}
	fmt.Fprintf(p.err, "Taken out of %s: %s.\n", g.Name, title)
	return nil
}

// putSong adds a song to a gig, the player's own where he has one of the title, or
// changes the one that is there.
func (p *program) putSong(ctx context.Context, pl *player, g gig.Gig, title string, f setlist.Flags) error {
	i, known := g.Song(title)
	s := gig.Song{Title: title}
	var err error
	if known {
		s = g.Songs[i]
	} else if s, err = pl.stored(ctx, s, f); err != nil {
		return err
	}
	if s.Stored && f.Given() {
		return usagef("%q is a song of yours, and a gig only calls it: change it with 'surefret song edit %q'", s.Title, s.Title)
	}
	if known || !s.Stored {
		s, err = f.Change(pl.book(), s)
	}
	if err == nil {
		err = pl.book().CheckParts(s.Parts)
	}
	if err != nil {
		return err
	}
	if g.Songs = slices.Clone(g.Songs); known {
		g.Songs[i] = s
	} else {
		g.Songs = append(g.Songs, s)
	}
	if err := pl.putGig(ctx, g); err != nil {
		return err
	}
	fmt.Fprintf(p.err, "Kept: %s, called in %s, for %s.\n", s.Title, pl.sayKey(s.Called), g.Name)
	return nil
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
