package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"time"

	"github.com/spf13/cobra"

	"surefret/drills/gig"
)

// A gigPage is what 'gig show' knows of one gig.
type gigPage struct {
	Name      string     `json:"name"`
	Day       string     `json:"day"`
	Note      string     `json:"note,omitempty"`
	Readiness *readiness `json:"readiness,omitempty"` // not there when the day is past
	Songs     []songPage `json:"songs"`
}

// A songPage is one song worked out, with how ready the player is for it.
type songPage struct {
	gig.Sheet
	Shaky     bool       `json:"shaky,omitempty"`     // the player said so after the gig
	Now       float64    `json:"fluent_now"`          // predicted share of its items, 0 to 1
	Readiness *readiness `json:"readiness,omitempty"` // its part of the gig's
	Weak      []string   `json:"weak"`                // what this player is least sure of, in words
}

// readiness is the predicted share of items that will be fluent on the day.
type readiness struct {
	Share   float64 `json:"share"` // 0 to 1, with the practice planned
	Low     float64 `json:"low"`   // nine times in ten it lies between
	High    float64 `json:"high"`
	Now     float64 `json:"now"`
	Minutes float64 `json:"minutes_a_day,omitempty"` // of the whole gig: what it takes for nine in ten
	Days    int     `json:"days"`                    // practice days left, today counted

	enough bool // the minutes a day that are set will do
	beyond bool // not even the most minutes will
	thin   bool // fewer than one in three of its items was asked yet
	day    time.Time
}

func (p *program) gigShow() *cobra.Command {
	var asJSON, asLines bool
	var page string
	cmd := &cobra.Command{
		Use:   "show GIG",
		Short: "Print a page a song: chords, roots, shapes, walk-ups, what breaks, what to practise",
		Example: "  surefret gig show \"Harbour Fair\"\n  surefret gig show \"Harbour Fair\" --html fair.html\n" +
			"  surefret gig show \"Harbour Fair\" --line",
		Args: needs("GIG"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return p.withGig(cmd, args[0], func(_ context.Context, pl *player, g gig.Gig) error {
				shown, err := pl.gigPage(g)
				if err != nil {
					return err
				}
				switch {
				case page != "":
					return p.write(page, func(w io.Writer) error { return shown.HTML(w) })
				case asJSON:
					return p.printJSON(shown)
				case asLines:
					shown.sentences(p.out)
				default:
					p.printGig(shown)
				}
				return nil
			})
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the page as JSON")
	cmd.Flags().BoolVar(&asLines, "line", false, "print full sentences, for screen readers")
	cmd.Flags().StringVar(&page, "html", "", "write one file for the music stand and the printer, a page a song")
	cmd.MarkFlagsMutuallyExclusive("json", "line", "html")
	return cmd
}

// gigPage works a gig out.
func (pl *player) gigPage(g gig.Gig) (gigPage, error) {
	whole, each := pl.readiness(g)
	page := gigPage{Name: g.Name, Day: g.Day, Note: g.Note, Readiness: whole, Songs: []songPage{}}
	for i, s := range g.Songs {
		sp, err := pl.songPage(s)
		if err != nil {
			return page, fmt.Errorf("song %q: %w", s.Title, err)
		}
		sp.Readiness = each[i]
		page.Songs = append(page.Songs, sp)
	}
	return page, nil
}

// songPage works a song of a gig out for this player.
func (pl *player) songPage(s gig.Song) (songPage, error) {
	setup, err := pl.settings.Setup()
	if err != nil {
		return songPage{}, err
	}
	sheet, err := s.Sheet(setup.Neck, setup.Names)
	if err != nil {
		return songPage{}, err
	}
	page := songPage{Sheet: sheet, Shaky: s.Shaky}
	page.Now, page.Weak = pl.weakest(s, 3)
	return page, nil
}

// weakest names the items of a song that would be answered least surely now, and
// returns the share of all of them that would be fluent.
func (pl *player) weakest(s gig.Song, most int) (share float64, weak []string) {
	items, err := s.Items(pl.catalogue)
	weak = []string{}
	if err != nil || len(items) == 0 {
		return 0, weak
	}
	now := pl.now()
	fluency := make([]float64, len(items))
	for i, it := range items {
		fluency[i] = pl.planner.Fluency(it.ID, now)
		share += fluency[i] / float64(len(items))
	}
	for range most {
		least, at := 0.85, -1
		for i, f := range fluency {
			if f < least && !pl.skipped[items[i].ID] {
				least, at = f, i
			}
		}
		if at < 0 {
			break
		}
		weak = append(weak, items[at].Title)
		fluency[at] = 1
	}
	return share, weak
}

// short tells the readiness alone.
func (r *readiness) short() string {
	if r.thin {
		return "Too little was asked yet to say how ready you will be."
	}
	return fmt.Sprintf("Ready on the day: %.0f %%, likely %.0f to %.0f.", 100*r.Share, 100*r.Low, 100*r.High)
}

// say tells the readiness, and what it takes where the minutes planned are too
// few: "12 minutes a day until Saturday".
func (r *readiness) say() string {
	text := r.short()
	switch {
	case r.enough:
	case r.beyond:
		text += fmt.Sprintf(" Nine in ten is out of reach %s: ask for keys you know, or play fewer songs.", r.until())
	default:
		text += fmt.Sprintf(" Nine in ten takes %.0f minutes %s%s.", math.Ceil(r.Minutes), r.aDay(), r.until())
	}
	return text
}

// until says how long there is: "until Saturday", "until 19 December", "today".
func (r *readiness) until() string {
	switch {
	case r.Days <= 1:
		return "today"
	case r.Days <= 7:
		return "until " + r.day.Format("Monday")
	}
	return "until " + r.day.Format("2 January")
}

// aDay turns minutes into a habit, where there is more than one day.
func (r *readiness) aDay() string {
	if r.Days <= 1 {
		return ""
	}
	return "a day "
}

// sayDay says a day with its weekday: "Saturday 5 December 2026".
func sayDay(day string) string {
	t, err := gig.ParseDay(day)
	if err != nil {
		return day
	}
	return t.Format("Monday 2 January 2006")
}
