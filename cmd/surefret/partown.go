package main

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/setlist"
	"surefret/drills/fretboard"
	"surefret/drills/gig"
)

func (p *program) partAdd() *cobra.Command {
	var song, name, tuning string
	cmd := &cobra.Command{
		Use:   "add FILE --song SONG",
		Short: "Add a part to one of your songs: each of its bars is practised",
		Long: "Add a part in ASCII tablature to one of your songs, in the key that you learned the\n" +
			"song in. Each of its bars is asked for in the keys that the song is called in: where\n" +
			"does it begin? It is drawn and sounded as the answer, and the page of a gig has the\n" +
			"part moved to the called key.",
		Example: "  surefret part add intro.tab --song \"Tin Umbrella\"\n  surefret part add intro.tab --song Ropewalk --name outro",
		Args:    cli.Needs("FILE"),
		RunE: p.withPlayer(func(ctx context.Context, pl *kept.Practice, args []string) error {
			s, err := pl.SongCalled(ctx, song)
			if err != nil {
				return err
			}
			part, err := readPart(pl, args[0], tuning)
			if err != nil {
				return err
			}
			part.Name = cmp.Or(strings.TrimSpace(name), part.Plain())
			if i := s.PartCalled(part.Name); i >= 0 {
				return usagef("%s has a part called %s already: change it with 'surefret part edit', or give this one another name with --name", s.Title, s.Parts[i].Plain())
			}
			s.Parts = append(slices.Clone(s.Parts), part)
			return p.keepPart(ctx, pl, s, part)
		}),
	}
	cmd.Flags().StringVar(&song, "song", "", "the song that it belongs to")
	cmd.Flags().StringVar(&name, "name", "", "what it is called (default: the name of the file)")
	cmd.Flags().StringVar(&tuning, "tuning", "", "the tuning that it is written for, where that is not yours")
	cli.Required(cmd, "song")
	return cmd
}

// readPart reads a part from a file, written for a tuning that is named or for any.
func readPart(pl *kept.Practice, file, tuning string) (gig.Part, error) {
	part, err := setlist.ReadPart(file)
	if err != nil || tuning == "" {
		return part, err
	}
	t, err := fretboard.ReadTuning(tuning, pl.Setup().Names)
	if err == nil {
		part, err = part.In(t)
	}
	if err != nil {
		return part, cli.BadInput{Err: err}
	}
	return part, nil
}

// keepPart keeps a song whose part was added or changed, and says what is practised of it.
func (p *program) keepPart(ctx context.Context, pl *kept.Practice, s gig.Song, part gig.Part) error {
	if err := pl.Book().Check(s); err != nil {
		return cli.BadInput{Err: err}
	}
	if err := pl.DB.PutSongs(ctx, s); err != nil {
		return err
	}
	s.Parts = []gig.Part{part}
	p.PrintFolded(pl.ListParts([]gig.Song{s})[0].Said() + ".")
	return nil
}

func (p *program) partList() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "list",
		Short:   "List the parts of your songs, with what is practised of each",
		Example: "  surefret part list",
		Args:    cli.Needs(),
		RunE: p.look(func(ctx context.Context, pl *kept.Practice, _ []string) error {
			songs, err := pl.Songs(ctx)
			if err != nil {
				return err
			}
			all := pl.ListParts(songs)
			switch {
			case p.JSON:
				return p.PrintJSON(all)
			case len(all) == 0:
				fmt.Fprintln(p.Out, "No parts yet: 'surefret part add FILE --song SONG' adds one to a song.")
			}
			for _, part := range all {
				p.PrintFolded(part.Said() + ".")
			}
			return nil
		}),
	}
	addJSON(cmd, "print the parts as JSON")
	return cmd
}

// onPart does something with the part, of a song, that the first argument names.
func onPart(song *string, do func(context.Context, *kept.Practice, gig.Song, int) error) action {
	return func(ctx context.Context, pl *kept.Practice, args []string) error {
		s, err := pl.SongCalled(ctx, *song)
		if err != nil {
			return err
		}
		i := s.PartCalled(strings.TrimSpace(args[0]))
		if i < 0 {
			return usagef("%s has no part called %q: 'surefret part list' shows them all", s.Title, args[0])
		}
		s.Parts = slices.Clone(s.Parts)
		return do(ctx, pl, s, i)
	}
}

func (p *program) partEdit() *cobra.Command {
	var song, file, name, tuning string
	cmd := &cobra.Command{
		Use:   "edit PART --song SONG",
		Short: "Change the tablature or the name of a part",
		Long: "Change the tablature or the name of a part. A bar that is played as before stays the\n" +
			"same thing to practise, and one that is changed is met anew; answers stay in the log.",
		Example: "  surefret part edit bridge --song Cockles --file bridge.tab",
		Args:    cli.Needs("PART"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if file == "" && name == "" {
				return usagef("nothing to change: give --file or --name")
			}
			return p.withPlayer(onPart(&song, func(ctx context.Context, pl *kept.Practice, s gig.Song, i int) error {
				if j := s.PartCalled(strings.TrimSpace(name)); name != "" && j >= 0 && j != i {
					return usagef("%s has a part called %s already: use another name", s.Title, s.Parts[j].Plain())
				}
				if file != "" {
					part, err := readPart(pl, file, tuning)
					if err != nil {
						return err
					}
					s.Parts[i].Tab = part.Tab
				}
				s.Parts[i].Name = cmp.Or(strings.TrimSpace(name), s.Parts[i].Name)
				return p.keepPart(ctx, pl, s, s.Parts[i])
			}))(cmd, args)
		},
	}
	cmd.Flags().StringVar(&song, "song", "", "the song that it belongs to")
	cmd.Flags().StringVar(&file, "file", "", "a file with its tablature as it is now")
	cmd.Flags().StringVar(&tuning, "tuning", "", "the tuning that the file is written for, where that is not yours")
	cmd.Flags().StringVar(&name, "name", "", "another name")
	cli.Required(cmd, "song")
	return cmd
}

func (p *program) partRemove() *cobra.Command {
	var song string
	cmd := &cobra.Command{
		Use:     "remove PART --song SONG",
		Short:   "Remove a part of a song; its answers stay in the log",
		Example: "  surefret part remove bridge --song Cockles",
		Args:    cli.Needs("PART"),
		RunE: p.withPlayer(onPart(&song, func(ctx context.Context, pl *kept.Practice, s gig.Song, i int) error {
			was := s.Parts[i].Plain()
			s.Parts = slices.Delete(s.Parts, i, i+1)
			if err := pl.DB.PutSongs(ctx, s); err != nil {
				return err
			}
			p.PrintFolded(fmt.Sprintf("Removed %s of %s. Its answers stay in the log.", was, s.Title))
			return nil
		})),
	}
	cmd.Flags().StringVar(&song, "song", "", "the song that it belongs to")
	cli.Required(cmd, "song")
	return cmd
}
