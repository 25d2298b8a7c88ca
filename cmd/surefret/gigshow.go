package main

import (
	"context"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/sheet"
	"surefret/drills/gig"
)

func (p *program) gigShow() *cobra.Command {
	var page, title string
	cmd := &cobra.Command{
		Use:   "show GIG",
		Short: "Print one page per song: chords, roots, shapes, walk-ups, problems, what to practise",
		Example: "  surefret gig show \"Harbour Fair\"\n  surefret gig show \"Harbour Fair\" --html fair.html\n" +
			"  surefret gig show \"Harbour Fair\" --line",
		Args: cli.Needs("GIG"),
		RunE: p.look(p.onGig(func(_ context.Context, pl *kept.Practice, g gig.Gig, _ []string) error {
			if title != "" {
				i, ok := g.Song(title)
				if !ok {
					return usagef("%q has no song called %q: 'surefret gig show %q' shows them", g.Name, title, pl.Book().NameOf(g))
				}
				return p.printSong(pl, g, g.Songs[i])
			}
			shown, err := sheet.PageOf(pl, g)
			if err != nil {
				return err
			}
			if page != "" {
				return p.write(page, shown.HTML)
			}
			return p.Show(shown, func() []string { return shown.Sentences(speller(pl.Setup())) },
				func() error { return shown.Text(p.Out, p.Columns(), p.Paper(pl.Settings.Drawing)) })
		})),
	}
	addJSON(cmd, "print the page as JSON")
	cmd.Flags().StringVar(&title, "song", "", "only this song")
	cmd.Flags().StringVar(&page, "html", "", "write one file for the music stand and the printer, a page a song")
	cli.Exclusive(cmd, "song", "html")
	return cmd
}

// printSong prints one song for a quick look, minutes before playing.
func (p *program) printSong(pl *kept.Practice, g gig.Gig, s gig.Song) error {
	page, err := sheet.SongOf(pl, s)
	if err != nil {
		return err
	}
	if i, ok := g.Song(s.Title); ok {
		_, each, day := pl.Foretell(g)
		page.Readiness = sheet.ReadinessOf(each[i], day)
	}
	return p.Show(page, func() []string { return page.Sentences(speller(pl.Setup())) },
		func() error { return page.Text(p.Out, p.Columns(), p.Paper(pl.Settings.Drawing)) })
}
