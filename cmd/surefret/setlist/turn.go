package setlist

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"surefret/cmd/surefret/cli"
	"surefret/drills"
	"surefret/drills/chart"
	"surefret/drills/gig"
	"surefret/drills/gig/songbook"
	"surefret/drills/theory"
)

// A Turn says what a chart is turned into: another key, the chords of a hand with a capo,
// numbers or letters.
type Turn struct {
	From, To, Capo   string
	Numbers, Letters bool
}

// Add declares its flags.
func (t *Turn) Add(flags *pflag.FlagSet) {
	flags.StringVar(&t.To, "to", "", "the key that it is to sound in, like Ab or F#m")
	flags.StringVar(&t.From, "from", "", "the key that the chart is in, where it does not say so")
	flags.StringVar(&t.Capo, "capo", "", "write the chords that a hand plays with a capo on this fret, 1 to 11")
	flags.BoolVar(&t.Numbers, "numbers", false, "write the chords as numbers")
	flags.BoolVar(&t.Letters, "letters", false, "write numbers and numerals as letters")
}

// Charts reads the charts of a file and turns each.
func (t Turn) Charts(name string, names theory.Names) ([]chart.Chart, error) {
	o := chart.Options{Names: names}
	var err error
	if t.From != "" {
		if o.Key, err = names.ReadKey(t.From); err != nil {
			return nil, cli.BadInput{Err: fmt.Errorf("--from: %w", err)}
		}
		o.Keyed = true
	}
	text, err := cli.ReadText(name, "a chart", 4*chart.Largest)
	if err != nil {
		return nil, err
	}
	charts, err := chart.Read(filepath.Base(name), text, o)
	if err != nil {
		return nil, cli.BadInput{Err: err}
	}
	for i, c := range charts {
		if charts[i], err = t.turn(c, names); err != nil {
			return nil, cli.BadInput{Err: fmt.Errorf("%s: %w", name, err)}
		}
	}
	return charts, nil
}

// Book reads a song book and turns each of its songs.
func (t Turn) Book(name string, setup drills.Setup) (gig.Gig, error) {
	g := gig.Gig{Name: filepath.Base(name)}
	text, err := cli.ReadText(name, "a song book", songbook.Largest)
	if err != nil {
		return g, err
	}
	songs, err := songbook.Read(g.Name, text)
	if err != nil {
		return g, cli.BadInput{Err: err}
	}
	for _, s := range songs {
		key, _, err := s.Keys()
		if err == nil && t.To != "" {
			if key, err = setup.Names.ReadKey(t.To); err == nil && strings.HasSuffix(s.Learned, "m") && key.Mode == theory.Major {
				key.Mode = theory.Minor
			}
		}
		if err == nil {
			s, err = s.Turned(key, setup.Neck, func(c chart.Chart) (chart.Chart, error) { return t.turn(c, theory.Names{}) })
		}
		if err != nil {
			return g, cli.BadInput{Err: fmt.Errorf("%s: song %q: %w", name, s.Title, err)}
		}
		g.Songs = append(g.Songs, s)
	}
	return g, nil
}

// turn returns the chart as it is asked for.
func (t Turn) turn(c chart.Chart, names theory.Names) (chart.Chart, error) {
	var err error
	if t.To != "" || t.Capo != "" {
		to, fret := c.Sounding(), 0
		if t.To != "" {
			if to, err = names.ReadKey(t.To); err != nil {
				return c, err
			}
			if c.Key.Mode.Minor() && to.Mode == theory.Major {
				to.Mode = c.Key.Mode // singers call a song in A minor "in B"
			}
		}
		if t.Capo != "" {
			if _, err := fmt.Sscan(t.Capo, &fret); err != nil || fret < 0 || fret > 11 {
				return c, fmt.Errorf("--capo %s: give a fret from 1 to 11", t.Capo)
			}
		}
		if c, err = c.Move(to, fret); err != nil {
			return c, unkeyed(err)
		}
	}
	switch {
	case t.Numbers:
		c, err = c.Numbers()
	case t.Letters:
		c, err = c.Letters()
	}
	return c, unkeyed(err)
}

// unkeyed says what to do about a chart without a key.
func unkeyed(err error) error {
	if err == chart.Unkeyed {
		return fmt.Errorf("%w: say it with --from, like --from G", err)
	}
	return err
}
