package setlist

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"surefret/cmd/surefret/cli"
	"surefret/drills/chart"
	"surefret/drills/gig"
	"surefret/drills/theory"
)

// ChartFiles lists the files that the arguments name; of a folder those that are named
// like charts.
func ChartFiles(args []string) (names []string, err error) {
	for _, arg := range args {
		info, err := os.Stat(arg)
		if err != nil || !info.IsDir() {
			names = append(names, arg)
			continue
		}
		entries, err := os.ReadDir(arg)
		if err != nil {
			return nil, cli.Usagef("%s cannot be read: %w", arg, cli.Reason(err))
		}
		found := 0
		for _, e := range entries {
			switch strings.ToLower(filepath.Ext(e.Name())) {
			case ".cho", ".crd", ".chopro", ".chordpro", ".chord", ".pro", ".txt":
				names, found = append(names, filepath.Join(arg, e.Name())), found+1
			}
		}
		if found == 0 {
			return nil, cli.Usagef("%s has no charts: they end in .cho, .crd, .chopro, .chordpro, .pro or .txt", arg)
		}
	}
	return names, nil
}

// Songs reads the songs of a file.
func (b Book) Songs(name, title string, f Flags) ([]gig.Song, error) {
	text, err := cli.ReadText(name, "a chart", 4*chart.Largest)
	if err != nil {
		if _, missing := os.Stat(name); errors.Is(missing, fs.ErrNotExist) && filepath.Ext(name) == "" {
			return nil, cli.Usagef("there is no file %s; a song without a chart needs its chords: --learned D --chords \"1 5 6- 4\"", name)
		}
		return nil, err
	}
	o := chart.Options{Names: b.Setup.Names}
	if f.Learned != "" {
		if o.Key, err = o.Names.ReadKey(f.Learned); err != nil {
			return nil, fmt.Errorf("--learned: %w", err)
		}
		o.Keyed = true
	}
	charts, err := chart.Read(filepath.Base(name), text, o)
	if err != nil {
		return nil, err
	}
	var songs []gig.Song
	for _, c := range charts {
		source := c.Named(theory.Names{}).String() // songs are kept in English names
		if title != "" && len(charts) == 1 {
			c.Title = title
		}
		s, err := gig.FromChart(c, source)
		switch {
		case errors.Is(err, chart.Unkeyed):
			return songs, fmt.Errorf("%s: %w: say it with --learned, like --learned %s", filepath.Base(name), err, firstRoot(c))
		case err == nil && s.Title == "":
			return songs, fmt.Errorf("%s has no title: give one with --title", filepath.Base(name))
		case err == nil:
			if s, err = f.beside(b, s); err == nil {
				err = b.Check(s)
			}
		}
		if err != nil {
			return songs, fmt.Errorf("%s: %w", filepath.Base(name), err)
		}
		songs = append(songs, s)
	}
	return songs, nil
}

// firstRoot returns the root of the first chord of a chart, which is often its key.
func firstRoot(c chart.Chart) string {
	for i := range c.Sections {
		if p := c.Chords(i); len(p) > 0 {
			return theory.Key{Tonic: p[0].Root}.Short()
		}
	}
	return "G"
}

// beside returns a song that was read from a chart with what else the flags say of it.
func (f Flags) beside(b Book, s gig.Song) (gig.Song, error) {
	learned, called, sections := s.Learned, s.Called, s.Sections
	f.Learned = learned
	s, err := f.Change(b, s)
	s.Learned, s.Called, s.Sections = learned, called, sections
	return s, err
}

// Check refuses what cannot be kept.
func (b Book) Check(s gig.Song) error {
	if err := s.Check(); err != nil {
		return fmt.Errorf("song %q: %w", s.Title, err)
	}
	return b.checkParts(s.Parts)
}

// Unknown refuses a title that a song has already.
func Unknown(songs []gig.Song, title string) error {
	for _, s := range songs {
		if strings.EqualFold(s.Title, strings.TrimSpace(title)) {
			return fmt.Errorf("there is a song %q already: change it with 'surefret song edit', or give this one another title with --title", s.Title)
		}
	}
	return nil
}

// ReadCharts reads the songs of files, each as far as it is understood and its title is
// new to the player's own. wants says what keeps others out. read is called with how many
// files were read so far, before each.
func (b Book) ReadCharts(names []string, title string, f Flags, read func(n int)) (added []gig.Song, wants []error) {
	for i, name := range names {
		read(i + 1)
		songs, err := b.Songs(name, title, f)
		for _, s := range songs {
			if err == nil {
				err = Unknown(slices.Concat(b.Mine, added), s.Title)
			}
			if err == nil {
				added = append(added, s)
			}
		}
		if err != nil {
			wants = append(wants, err)
		}
	}
	return added, wants
}
