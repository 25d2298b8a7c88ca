package main

import (
	"context"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/setlist"
	"surefret/drills/gig"
)

func (p *program) gigSong() *cobra.Command {
	var f setlist.Flags
	var remove bool
	cmd := &cobra.Command{
		Use:   "song GIG SONG",
		Short: "Put a song of yours into a gig, change its called key, or take it out",
		Long: "Put a song of yours into a gig, in the key that it is called in there; change that\n" +
			"key; or take the song out. 'surefret song add' adds a song, and 'surefret song edit'\n" +
			"changes it, at every gig that plays it.",
		Example: "  surefret gig song \"Harbour Fair\" \"Tin Umbrella\" --called Bb\n" +
			"  surefret gig song \"Harbour Fair\" Ropewalk --remove",
		Args: cli.Needs("GIG", "SONG"),
		RunE: p.withPlayer(p.onGig(func(ctx context.Context, pl *kept.Practice, g gig.Gig, args []string) error {
			if f.Given() {
				return pl.Described(ctx, g, args[1], f)
			}
			if remove {
				return p.takeOut(ctx, pl, g, args[1])
			}
			return p.putSong(ctx, pl, g, args[1], f)
		})),
	}
	f.AddHidden(cmd.Flags())
	f.AddCalled(cmd.Flags())
	cmd.Flags().BoolVar(&remove, "remove", false, "take the song out of the gig")
	return cmd
}

// takeOut takes a song out of a gig.
func (p *program) takeOut(ctx context.Context, pl *kept.Practice, g gig.Gig, title string) error {
	i, known := g.Song(title)
	if !known {
		return usagef("%q has no song called %q", g.Name, title)
	}
	title = g.Songs[i].Title
	g.Songs = slices.Delete(g.Songs, i, i+1)
	if err := pl.PutGig(ctx, g); err != nil {
		return err
	}
	fmt.Fprintf(p.Err, "Removed %s from %s.\n", title, g.Name)
	return nil
}

// putSong puts a song of the player's own into a gig, or changes the key that it is
// called in there.
func (p *program) putSong(ctx context.Context, pl *kept.Practice, g gig.Gig, title string, f setlist.Flags) error {
	i, known := g.Song(title)
	g.Songs = slices.Clone(g.Songs)
	if !known {
		s, err := pl.SongCalled(ctx, title)
		if err != nil {
			return err
		}
		if i, known = g.Song(s.Title); !known || g.Songs[i].ID != s.ID {
			i, g.Songs = len(g.Songs), append(g.Songs, s)
		}
	}
	s := &g.Songs[i]
	if f.Called != "" {
		s.Called = gig.CalledTyped(f.Called, s.Learned, pl.Setup().Names)
	}
	if err := pl.PutGig(ctx, g); err != nil {
		return err
	}
	fmt.Fprintf(p.Err, "Saved: %s, called in %s, for %s.\n", s.Title, pl.SayKey(s.Called), g.Name)
	return nil
}

func (p *program) gigOrder() *cobra.Command {
	return &cobra.Command{
		Use:     "order GIG TITLE...",
		Short:   "Put the songs of a gig into another order: those named come first",
		Example: "  surefret gig order \"Harbour Fair\" Ropewalk \"Tin Umbrella\"",
		Args:    cobra.MinimumNArgs(2),
		RunE: p.withPlayer(p.onGig(func(ctx context.Context, pl *kept.Practice, g gig.Gig, args []string) error {
			var err error
			if g.Songs, err = pl.Book().Order(g, args[1:]); err != nil {
				return err
			}
			if err := pl.PutGig(ctx, g); err != nil {
				return err
			}
			for i, s := range g.Songs {
				fmt.Fprintf(p.Out, "%d. %s, %s\n", i+1, cli.Shown(s.Title), pl.SayKey(s.Called))
			}
			return nil
		})),
	}
}
