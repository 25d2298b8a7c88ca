package main

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/drills/gig"
)

// songFlags describe one song.
type songFlags struct {
	learned, called, chords string
	sections                []string
	shapes, parts           []string
	tempo                   int
	remove                  bool
}

func (p *program) gigSong() *cobra.Command {
	var f songFlags
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
				case known && g.Songs[i].Stored && described(cmd):
					return usagef("%q is a song of yours, and a gig only calls it: change it with 'surefret song edit %q'", title, title)
				case f.remove && !known:
					return usagef("%q has no song called %q", g.Name, args[1])
				case f.remove:
					g.Songs = slices.Delete(g.Songs, i, i+1)
				case known:
					g.Songs[i], err = f.change(cmd, pl, g.Songs[i])
				default:
					s, stored, ferr := pl.stored(cmd, args[1], f)
					if err = ferr; stored && err == nil && described(cmd) {
						return usagef("%q is a song of yours, and a gig only calls it: leave out what describes it, or change it with 'surefret song edit %q'", s.Title, s.Title)
					} else if !stored && err == nil {
						s, err = f.change(cmd, pl, gig.Song{Title: args[1]})
					}
					title = s.Title
					g.Songs = append(g.Songs, s)
				}
				if err != nil {
					return err
				}
				if i, ok := g.Song(args[1]); ok {
					if err := pl.checkParts(g.Songs[i]); err != nil {
						return err
					}
				}
				if err := pl.putGig(ctx, g); err != nil {
					return err
				}
				if f.remove {
					fmt.Fprintf(p.err, "Taken out of %s: %s.\n", g.Name, title)
				} else if i, ok := g.Song(title); ok {
					fmt.Fprintf(p.err, "Kept: %s, called in %s, for %s.\n", title, pl.sayKey(g.Songs[i].Called), g.Name)
				}
				return nil
			})
		},
	}
	f.describe(cmd)
	flags := cmd.Flags()
	flags.StringVar(&f.called, "called", "", "the key the singer calls (default: the learned key)")
	flags.BoolVar(&f.remove, "remove", false, "take the song out of the gig")
	return cmd
}

// describe adds the flags that describe a song.
func (f *songFlags) describe(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.StringVar(&f.learned, "learned", "", "the key your parts are learned in")
	flags.StringVar(&f.chords, "chords", "", "the progression, in numbers, numerals or names of the learned key")
	flags.StringArrayVar(&f.sections, "section", nil, "a section with its own chords, \"verse: 1 4 5\"; again for each")
	flags.StringSliceVar(&f.shapes, "shapes", nil, "movable shapes you use, by their names in 'surefret shape list' or by words: tenths,e-form")
	flags.StringArrayVar(&f.parts, "part", nil, "a file with a part in tablature, which is kept with the song; again for each")
	flags.IntVar(&f.tempo, "tempo", 0, "beats a minute, 20 to 400")
}

// change returns s with the flags that were given taken over.
func (f songFlags) change(cmd *cobra.Command, pl *player, s gig.Song) (gig.Song, error) {
	given := cmd.Flags().Changed
	if given("learned") {
		s.Learned = pl.songKey(f.learned)
	}
	if given("called") {
		s.Called = f.called
	}
	if s.Learned == "" {
		return s, usagef("which key did you learn %q in? Say it with --learned, like --learned D", s.Title)
	}
	if given("called") {
		s.Called = pl.calledKey(f.called, s.Learned)
	}
	s.Called = cmp.Or(s.Called, s.Learned)
	if given("chords") {
		s.Sections = readSections(f.chords)
	}
	if given("section") {
		s.Sections = nil
		for _, text := range f.sections {
			name, chords, ok := strings.Cut(text, ":")
			if !ok {
				return s, usagef("--section %q: expected a name, a colon and its chords, like \"verse: 1 4 5\"", text)
			}
			s.Sections = append(s.Sections, gig.Section{Name: strings.TrimSpace(name), Chords: strings.TrimSpace(chords)})
		}
	}
	if given("chords") || given("section") {
		var err error
		if s.Sections, err = pl.songChords(s.Learned, s.Sections); err != nil {
			return s, usagef("song %q: %w", s.Title, err)
		}
	}
	if given("shapes") {
		s.Shapes = nil
		for _, word := range f.shapes {
			names, err := pl.shapesCalled(word)
			if err != nil {
				return s, err
			}
			s.Shapes = append(s.Shapes, names...)
		}
	}
	if given("part") {
		s.Parts = nil
		for _, name := range f.parts {
			part, err := readPart(name)
			if err != nil {
				return s, err
			}
			s.Parts = append(s.Parts, part)
		}
	}
	if given("tempo") {
		s.Tempo = f.tempo
	}
	return s, nil
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
						return usagef("%q has no song called %q, or it is named twice: 'surefret gig show %q' shows them", g.Name, title, pl.nameOf(g))
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
