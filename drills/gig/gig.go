// Package gig holds what the player must be ready for: gigs with their dates,
// songs, and the key that each song is called in.
//
// A song is kept as its player knows it, in the key it was learned in, with its
// chords by number, numeral or name. Everything else follows from the key that
// the singer calls: the chords tonight, what they ask of the player, and so
// which items the scheduler should have fluent on the day.
package gig

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"surefret/drills"
	"surefret/drills/chart"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// A Gig is one date with its songs.
type Gig struct {
	ID    string `json:"id"`   // unique, made when the gig is added
	Name  string `json:"name"` // "Harbour Fair"
	Day   string `json:"day"`  // "2026-12-05", local
	Songs []Song `json:"songs"`
	Note  string `json:"note,omitempty"`  // how it went, in the player's words
	Asked bool   `json:"asked,omitempty"` // whether the player was asked how it went
}

// A Song is one song of a gig.
type Song struct {
	ID       string    `json:"id,omitempty"` // which song of its gig it is, whatever its title; given when it is kept
	Title    string    `json:"title"`
	Learned  string    `json:"learned"` // the key its parts are learned in: "D"
	Called   string    `json:"called"`  // the key the singer asks for: "Bb"
	Sections []Section `json:"sections"`
	Shapes   []string  `json:"shapes,omitempty"` // names of movable shapes used
	Parts    []Part    `json:"parts,omitempty"`
	Tempo    float64   `json:"tempo,omitempty"`  // beats a minute, 20 to 400; 0 where it is not given
	Shaky    bool      `json:"shaky,omitempty"`  // the player said so after the gig
	Chart    string    `json:"chart,omitempty"`  // the text that it was read from; its sections say the same
	Stored   bool      `json:"stored,omitempty"` // in a gig: a song of the repertoire, which the gig only calls
}

// A Section is a stretch of a song and its chords, in numbers, roman numerals
// or chord names of the learned key: "1 4 5 6-", "I IV V vi" or "D G A Bm".
type Section struct {
	Name   string `json:"name,omitempty"`
	Chords string `json:"chords"`
}

// Bounds that keep a mistake from becoming a page of nonsense.
const (
	MostSongs    = 500
	longestText  = 200 // letters of a title or name
	slowest      = 20
	fastest      = 400
	longestNote  = 2000
	longestChart = 2000 // letters of a section's chords
	mostPlayed   = 500  // bars of a section with its repeats
)

// ParseDay reads a day, "2026-12-05". The error says what was expected.
func ParseDay(text string) (time.Time, error) {
	day, err := time.Parse(time.DateOnly, strings.TrimSpace(text))
	if err != nil {
		return time.Time{}, fmt.Errorf("%q is not a day: use year, month and day, like 2026-12-05", text)
	}
	return day, nil
}

// DayFrom returns the day, "2026-12-05", that a player means by "today", by
// "tomorrow" or by a day of the week, three letters of it at least: the next to
// come, today among them. Any other text is returned without the space around it,
// for [Gig.Check] to judge. Today is any instant of the day, in the player's own zone.
func DayFrom(text string, today time.Time) string {
	word, ahead := strings.ToLower(strings.TrimSpace(text)), -1
	switch {
	case word == "today":
		ahead = 0
	case word == "tomorrow":
		ahead = 1
	case len(word) >= 3:
		for d := range 7 {
			if strings.HasPrefix(strings.ToLower(today.AddDate(0, 0, d).Weekday().String()), word) {
				ahead = d
				break
			}
		}
	}
	if ahead < 0 {
		return strings.TrimSpace(text)
	}
	return today.AddDate(0, 0, ahead).Format(time.DateOnly)
}

// Check returns an error, one sentence, for the first thing in g that cannot be
// used.
func (g Gig) Check() error {
	if err := checkName("the name of the gig", g.Name); err != nil {
		return err
	}
	if _, err := ParseDay(g.Day); err != nil {
		return err
	}
	if err := CheckNote(g.Note); err != nil {
		return err
	}
	if len(g.Songs) > MostSongs {
		return fmt.Errorf("%d songs are too many for a gig: at most %d", len(g.Songs), MostSongs)
	}
	seen := map[string]bool{}
	for _, s := range g.Songs {
		if err := s.Check(); err != nil {
			return fmt.Errorf("song %q: %w", s.Title, err)
		}
		title := strings.ToLower(s.Title)
		if seen[title] {
			return fmt.Errorf("song %q is there twice: give one of them another title", s.Title)
		}
		seen[title] = true
	}
	return nil
}

// CheckNote returns an error, one sentence, for a note that cannot be kept: one
// longer than 2000 letters, or with a control character other than line ends.
func CheckNote(note string) error {
	switch {
	case len(note) > longestNote:
		return fmt.Errorf("the note is too long: at most %d letters", longestNote)
	case strings.ContainsFunc(note, func(r rune) bool { return r != '\n' && control(r) }):
		return fmt.Errorf("the note holds a control character: leave it out")
	}
	return nil
}

// Check returns an error, one sentence, for the first thing in s that cannot be
// used.
func (s Song) Check() error {
	if err := checkName("the title", s.Title); err != nil {
		return err
	}
	learned, called, err := s.Keys()
	if err != nil {
		return err
	}
	if learned.Mode != called.Mode {
		return fmt.Errorf("it is learned in %s and called in %s: a song moves to another key, not from major to minor", learned, called)
	}
	if len(s.Sections) == 0 {
		return fmt.Errorf("it has no chords: add its progression, like 1 4 5 6-")
	}
	for _, sec := range s.Sections {
		if _, err := sec.in(learned); err != nil {
			return err
		}
	}
	if len(s.Parts) > mostParts {
		return fmt.Errorf("%d parts are too many for a song: at most %d", len(s.Parts), mostParts)
	}
	for _, p := range s.Parts {
		if err := p.Check(); err != nil {
			return err
		}
	}
	for _, name := range s.Shapes {
		if err := fretboard.CheckInSong(name); err != nil {
			return err
		}
	}
	if s.Tempo != 0 && !(s.Tempo >= slowest && s.Tempo <= fastest) { // nor what is no number
		return fmt.Errorf("a tempo of %g cannot be used: give %d to %d beats a minute", s.Tempo, slowest, fastest)
	}
	return nil
}

// CheckField returns what is wrong with one field: it is put into a song that is
// good otherwise.
func CheckField(put func(*Song)) error {
	s := Song{Title: "any", Learned: "C", Called: "C", Sections: []Section{{Chords: "1"}}}
	put(&s)
	return s.Check()
}

// checkName refuses names that are empty, too long, or hold control characters,
// which a terminal would obey.
func checkName(what, name string) error {
	switch {
	case strings.TrimSpace(name) == "":
		return fmt.Errorf("%s is empty", what)
	case len(name) > longestText:
		return fmt.Errorf("%s is too long: at most %d letters", what, longestText)
	case strings.ContainsFunc(name, control):
		return fmt.Errorf("%s holds a control character: leave it out", what)
	}
	return nil
}

// control reports whether a terminal would obey r, or let it turn the direction
// of the text around it.
func control(r rune) bool {
	return unicode.IsControl(r) || r == utf8.RuneError || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069 || r == 0x2028 || r == 0x2029
}

// Keys returns the keys that s is learned and called in.
func (s Song) Keys() (learned, called theory.Key, err error) {
	if learned, err = theory.ParseKey(s.Learned); err != nil {
		return
	}
	called, err = theory.ParseKey(s.Called)
	return
}

// in reads the chords of a section in a key.
func (sec Section) in(k theory.Key) (theory.Progression, error) {
	if sec.Name != "" {
		if err := checkName("the name of a section", sec.Name); err != nil {
			return nil, err
		}
	}
	if len(sec.Chords) > longestChart {
		return nil, fmt.Errorf("%s is too long: at most %d letters", sec.say(), longestChart)
	}
	c, err := sec.row(chart.Options{Key: k, Keyed: true, Settled: true})
	if err != nil {
		return nil, err
	}
	return sec.chords(c)
}

// row reads the chords of a section as a row of a chart.
func (sec Section) row(o chart.Options) (chart.Chart, error) {
	c, err := chart.ReadTyped(unspoken(sec.Chords, o.Names), o)
	if err != nil {
		return c, fmt.Errorf("%s: %w", sec.say(), err)
	}
	return c, nil
}

// chords returns those of a row in the order in which they are played.
func (sec Section) chords(c chart.Chart) (p theory.Progression, err error) {
	for i := range c.Sections {
		for _, bar := range chart.Unfold(c.Bars(i), mostPlayed) {
			for _, beat := range bar.Beats {
				if beat.Kind == chart.Chord {
					p = append(p, beat.Chord)
				}
			}
		}
	}
	if len(p) == 0 {
		return nil, fmt.Errorf("%s: %q holds no chord: use names, numbers or roman numerals, like G D Em C, 1 5 6- 4 or I V vi IV", sec.say(), sec.Chords)
	}
	return p, nil
}

// typed returns the section with its chords as they are kept, in English names, or
// an error, one sentence, for the first thing in it that could mean something else.
func (sec Section) typed(k theory.Key, names theory.Names) (Section, error) {
	c, err := sec.row(chart.Options{Key: k, Keyed: true, Names: names})
	if err == nil {
		_, err = sec.chords(c)
	}
	if err != nil {
		return sec, err
	}
	sec.Chords = unspoken(sec.Chords, names)
	if names.System != theory.English {
		sec.Chords = strings.Join(strings.Fields(c.Named(theory.Names{}).String()), " ")
	}
	return sec, nil
}

// unspoken writes notes that are said in words as signs: F sharp, Si bémol.
func unspoken(chords string, names theory.Names) string {
	fields := theory.Fields(chords, unicode.IsSpace)
	if len(fields) == len(strings.Fields(chords)) {
		return chords
	}
	for i, f := range fields {
		if c, err := names.ParseChord(f); err == nil && strings.Contains(f, " ") {
			fields[i] = names.Chord(c)
		}
	}
	return strings.Join(fields, " ")
}

// say names the section in a sentence.
func (sec Section) say() string {
	if sec.Name == "" {
		return "its progression"
	}
	return fmt.Sprintf("section %q", sec.Name)
}

// Need returns what s, as it is called tonight, asks of the player. The chords
// are those of every section, one after another.
func (s Song) Need() (drills.Need, error) {
	learned, called, err := s.Keys()
	if err != nil {
		return drills.Need{}, err
	}
	n := drills.Need{Key: called, Learned: learned, Shapes: s.Shapes, Parts: s.partIDs()}
	for _, sec := range s.Sections {
		p, err := sec.in(learned)
		if err != nil {
			return drills.Need{}, err
		}
		n.Chords = append(n.Chords, p.Move(learned, called)...)
	}
	return n, nil
}

// Changes lists the changes between neighbouring chords of songs, see [drills.Changes].
// A song that cannot be read has none.
func Changes(songs []Song) []drills.Change {
	var needs []drills.Need
	for _, s := range songs {
		if n, err := s.Need(); err == nil {
			needs = append(needs, n)
		}
	}
	return drills.Changes(needs...)
}

// Items lists what s needs of a catalogue.
func (s Song) Items(c *drills.Catalogue) ([]drills.Item, error) {
	n, err := s.Need()
	if err != nil {
		return nil, err
	}
	return c.ItemsFor(n), nil
}

// Items lists what the songs of g need of a catalogue, each item once.
func (g Gig) Items(c *drills.Catalogue) ([]drills.Item, error) {
	var items []drills.Item
	seen := map[string]bool{}
	for _, s := range g.Songs {
		more, err := s.Items(c)
		if err != nil {
			return nil, fmt.Errorf("song %q: %w", s.Title, err)
		}
		for _, it := range more {
			if !seen[it.ID] {
				seen[it.ID] = true
				items = append(items, it)
			}
		}
	}
	return items, nil
}

// Catalogue returns c as the songs of g have it: see [drills.Catalogue.Within].
func (g Gig) Catalogue(c *drills.Catalogue) (*drills.Catalogue, error) {
	var needs []drills.Need
	for _, s := range g.Songs {
		n, err := s.Need()
		if err != nil {
			return nil, fmt.Errorf("song %q: %w", s.Title, err)
		}
		needs = append(needs, n)
	}
	return c.Within(needs...), nil
}

// Song finds a song by its title, in either case, and returns its place among
// Songs.
func (g Gig) Song(title string) (int, bool) {
	i := slices.IndexFunc(g.Songs, func(s Song) bool { return strings.EqualFold(s.Title, strings.TrimSpace(title)) })
	return i, i >= 0
}

// Keys lists the keys that the songs of gigs are called in, each once, in the
// order of the gigs' days.
func Keys(gigs []Gig) []theory.Key {
	var keys []theory.Key
	for _, g := range slices.SortedStableFunc(slices.Values(gigs), func(a, b Gig) int { return strings.Compare(a.Day, b.Day) }) {
		for _, s := range g.Songs {
			if _, called, err := s.Keys(); err == nil && !slices.Contains(keys, called) {
				keys = append(keys, called)
			}
		}
	}
	return keys
}
