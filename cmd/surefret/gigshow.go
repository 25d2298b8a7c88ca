package main

import (
	"context"
	"fmt"
	"math"
	"strings"

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
	Readiness *readiness `json:"readiness,omitempty"`
	Weak      []string   `json:"weak"` // what this player is least sure of, in words
}

// readiness is the predicted share of items that will be fluent on the day.
type readiness struct {
	Share   float64 `json:"share"` // 0 to 1, with the practice planned
	Low     float64 `json:"low"`   // nine times in ten it lies between
	High    float64 `json:"high"`
	Now     float64 `json:"now"`
	Minutes float64 `json:"minutes_a_day"` // what it takes for nine in ten
	Days    int     `json:"days"`          // practice days left, today counted
}

func (p *program) gigShow() *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:     "show GIG",
		Short:   "Print a page a song: chords, roots, shapes, walk-ups, what breaks, what to practise",
		Example: "  surefret gig show \"Harbour Fair\"\n  surefret gig show \"Harbour Fair\" --json",
		Args:    needs("GIG"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return p.withPlayer(cmd, func(_ context.Context, pl *player) error {
				g, err := pl.gig(args[0])
				if err != nil {
					return err
				}
				page, err := pl.gigPage(g)
				if err != nil {
					return err
				}
				if asJSON {
					return p.printJSON(page)
				}
				p.printGig(page)
				return nil
			})
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the page as JSON")
	return cmd
}

// gigPage works a gig out.
func (pl *player) gigPage(g gig.Gig) (gigPage, error) {
	page := gigPage{Name: g.Name, Day: g.Day, Note: g.Note, Readiness: pl.readiness(g)}
	for _, s := range g.Songs {
		sp, err := pl.songPage(g, s)
		if err != nil {
			return page, fmt.Errorf("song %q: %w", s.Title, err)
		}
		page.Songs = append(page.Songs, sp)
	}
	return page, nil
}

// songPage works a song out for this player.
func (pl *player) songPage(g gig.Gig, s gig.Song) (songPage, error) {
	setup, err := pl.settings.Setup()
	if err != nil {
		return songPage{}, err
	}
	sheet, err := s.Sheet(setup.Neck, setup.Names)
	if err != nil {
		return songPage{}, err
	}
	g.Songs = []gig.Song{s}
	return songPage{Sheet: sheet, Readiness: pl.readiness(g), Weak: pl.weakest(s, 3)}, nil
}

// readiness predicts a gig that is still to come; nil for one that is past.
func (pl *player) readiness(g gig.Gig) *readiness {
	d, err := pl.deadline(g)
	if err != nil || len(d.Items) == 0 {
		return nil
	}
	r := pl.planner.Readiness(d, pl.now())
	if r.Days == 0 {
		return nil
	}
	return &readiness{Share: r.Share, Low: r.Low, High: r.High, Now: r.Now, Minutes: r.Need.Minutes(), Days: r.Days}
}

// weakest names the items of a song that would be answered least surely now.
func (pl *player) weakest(s gig.Song, most int) []string {
	items, err := s.Items(pl.catalogue)
	if err != nil {
		return nil
	}
	now := pl.now()
	var weak []string
	for range most {
		least, at := 0.85, -1
		for i, it := range items {
			if f := pl.planner.Fluency(it.ID, now); f < least {
				least, at = f, i
			}
		}
		if at < 0 {
			break
		}
		weak = append(weak, items[at].Title)
		items = append(items[:at:at], items[at+1:]...)
	}
	return weak
}

// printGig prints the page as text that fits 40 columns.
func (p *program) printGig(page gigPage) {
	fmt.Fprintf(p.out, "%s, %s\n", page.Name, sayDay(page.Day))
	if r := page.Readiness; r != nil {
		fmt.Fprintln(p.out, r.say())
	}
	if page.Note != "" {
		fmt.Fprintf(p.out, "Note: %s\n", page.Note)
	}
	for _, s := range page.Songs {
		fmt.Fprintln(p.out)
		p.printSheet(s)
	}
}

// say tells the readiness, and what it takes where ten minutes are too few.
func (r *readiness) say() string {
	text := fmt.Sprintf("Ready on the day: %.0f %%, likely %.0f to %.0f.", 100*r.Share, 100*r.Low, 100*r.High)
	if need := math.Ceil(r.Minutes); need > 0 {
		text += fmt.Sprintf(" Nine in ten takes %.0f minutes a day.", need)
	}
	return text
}

// sayDay says a day with its weekday: "Saturday 5 December 2026".
func sayDay(day string) string {
	t, err := gig.ParseDay(day)
	if err != nil {
		return day
	}
	return t.Format("Monday 2 January 2006")
}

// printSong prints one song for a quick look, minutes before playing.
func (p *program) printSong(pl *player, s gig.Song) error {
	page, err := pl.songPage(gig.Gig{}, s)
	if err != nil {
		return err
	}
	p.printSheet(page)
	return nil
}

// printSheet prints a song: what to play first, then what to watch.
func (p *program) printSheet(s songPage) {
	w := p.out
	fmt.Fprintf(w, "%s: %s\n", s.Title, s.Called)
	fmt.Fprintf(w, "%s", s.Signature)
	if s.Semitones != 0 {
		fmt.Fprintf(w, "; learned in %s, now %s", s.Learned, sayShift(s.Semitones))
	}
	if s.Tempo > 0 {
		fmt.Fprintf(w, "; %d beats a minute", s.Tempo)
	}
	fmt.Fprintln(w)
	for _, sec := range s.Sections {
		name := sec.Name
		if name == "" {
			name = "chords"
		}
		fmt.Fprintf(w, "  %s: %s\n    (%s)\n", name, strings.Join(sec.Chords, " "), strings.Join(sec.Numbers, " "))
	}
	fmt.Fprintln(w, "  Roots:")
	for _, c := range s.Chords {
		fmt.Fprintf(w, "    %-7s %s\n", c.Chord, sayRoots(c.Roots))
	}
	if len(s.Shapes) > 0 {
		fmt.Fprintln(w, "  Shapes, low string first:")
		for _, sh := range s.Shapes {
			if sh.Frets != "" {
				fmt.Fprintf(w, "    %-7s %s  %s\n", sh.Chord, sh.Frets, sh.Shape)
			}
		}
	}
	if len(s.Walks) > 0 {
		fmt.Fprintln(w, "  Walks, string/fret:")
		for _, walk := range s.Walks {
			fmt.Fprintf(w, "    %s to %s: %s\n      %s\n", walk.From, walk.To, strings.Join(walk.Notes, " "), writePath(walk.Path))
		}
	}
	for _, b := range s.Breaks {
		fmt.Fprintf(w, "  Breaks: %s.\n", b)
	}
	if len(s.Weak) > 0 {
		fmt.Fprintf(w, "  Practise: %s.\n", strings.Join(s.Weak, "; "))
	}
}

// sayShift says how far a song has moved: "3 semitones down".
func sayShift(semitones int) string {
	way := "up"
	if semitones < 0 {
		way, semitones = "down", -semitones
	}
	if semitones == 1 {
		return "a semitone " + way
	}
	return fmt.Sprintf("%d semitones %s", semitones, way)
}

// sayRoots says places on the low strings: "string 6 fret 6, string 5 fret 1".
func sayRoots(places []gig.Place) string {
	var words []string
	for _, p := range places {
		words = append(words, fmt.Sprintf("string %d fret %d", p.String, p.Fret))
	}
	return strings.Join(words, ", ")
}

func writePath(path []gig.Place) string {
	var words []string
	for _, p := range path {
		words = append(words, fmt.Sprintf("%d/%d", p.String, p.Fret))
	}
	return strings.Join(words, " ")
}

// askGig asks for a gig and its songs.
func (p *program) askGig(context.Context, *player) error {
	return usagef("name the gig and its day: surefret gig add NAME --day 2026-12-05")
}
