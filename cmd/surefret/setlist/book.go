// Package setlist asks a player for gigs and songs, in forms and by flags, and reads
// and says them in his words. It keeps nothing: whoever asks brings what does.
package setlist

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/sheet"
	"surefret/drills"
	"surefret/drills/gig"
	"surefret/scheduler"
)

// A Book is a player's gigs, with his instrument and names for notes, as he speaks of
// them now.
type Book struct {
	Setup drills.Setup
	Gigs  []gig.Gig  // by day
	Mine  []gig.Song // of the repertoire, which a form for songs knows
	Now   time.Time
}

// Day is the date of a day that the player named, seen from this practice day:
// after midnight "today" is still the evening's.
func (b Book) Day(text string) (string, error) {
	today := scheduler.DayOf(b.Now, time.Local).Start(time.Local)
	if word := strings.ToLower(strings.TrimSpace(text)); word != "today" && word != "tomorrow" {
		today = b.Now.In(time.Local) // after midnight the day of the week that has just ended is a week off
	}
	day := gig.DayFrom(text, today)
	if _, err := gig.ParseDay(day); err != nil {
		return "", cli.Usagef("%w, or a day like Saturday", err)
	}
	return day, nil
}

// New refuses a gig where another has its name on its day.
func (b Book) New(g gig.Gig) error {
	if slices.ContainsFunc(b.Gigs, func(o gig.Gig) bool {
		return o.ID != g.ID && strings.EqualFold(o.Name, g.Name) && o.Day == g.Day
	}) {
		return cli.Usagef("there is a gig called %q on %s already: change it with 'surefret gig edit'", g.Name, g.Day)
	}
	return nil
}

// NameOf is what a gig is called on the command line: its name, and its day where
// another gig has that name.
func (b Book) NameOf(g gig.Gig) string {
	for _, other := range b.Gigs {
		if strings.EqualFold(other.Name, g.Name) && other.ID != g.ID {
			return g.Name + " " + g.Day
		}
	}
	return g.Name
}

// Namesake is another gig of the name: the latest.
func (b Book) Namesake(g gig.Gig) (other gig.Gig, some bool) {
	for _, o := range b.Gigs {
		if strings.EqualFold(o.Name, g.Name) && o.ID != g.ID && (other.ID == "" || other.Day < g.Day) {
			other = o
		}
	}
	return other, other.ID != ""
}

// checkParts tells which part of a song this player's neck cannot read.
func (b Book) checkParts(parts []gig.Part) error {
	for _, part := range parts {
		if _, err := part.On(b.Setup.Neck); err != nil {
			return cli.BadInput{Err: err}
		}
	}
	return nil
}

// AddSongs returns the songs of a gig with those of a song book; with replace, one of
// the book takes the place of one of its title.
func AddSongs(g gig.Gig, taken []gig.Song, replace bool) ([]gig.Song, error) {
	all := slices.Clone(g.Songs)
	for _, s := range taken {
		i, known := g.Song(s.Title)
		switch {
		case !known:
			all = append(all, s)
		case replace:
			all[i] = s
		default:
			return nil, cli.Usagef("%q has a song called %q already: take it out first, or give --replace", g.Name, s.Title)
		}
	}
	return all, nil
}

// Order returns the songs of a gig with those that are named first.
func (b Book) Order(g gig.Gig, titles []string) (first []gig.Song, err error) {
	rest := slices.Clone(g.Songs)
	for _, title := range titles {
		i, ok := gig.Gig{Songs: rest}.Song(title)
		if !ok {
			return nil, cli.Usagef("%q has no song called %q, or it is named twice: 'surefret gig show %q' shows them", g.Name, title, b.NameOf(g))
		}
		first = append(first, rest[i])
		rest = slices.Delete(rest, i, i+1)
	}
	return append(first, rest...), nil
}

// SayWhich says which gig is meant where several have the name that was given, and
// how to mean the next to come after it, or else the latest; nil where one has it.
func (b Book) SayWhich(g gig.Gig, given string) []string {
	other, some := b.Namesake(g)
	if !some || !strings.EqualFold(strings.TrimSpace(given), g.Name) {
		return nil
	}
	return []string{fmt.Sprintf("This is %s of %s; for the one of %s say %q.", g.Name, sheet.Day(g.Day), sheet.Day(other.Day), b.NameOf(other))}
}

// SayDay says which date a named day came to, if one was named, and tells of one
// that is over, which is more often a slip than a wish.
func (b Book) SayDay(g gig.Gig, named string) (said []string) {
	if named != "" && named != g.Day {
		said = append(said, fmt.Sprintf("%s is on %s.", g.Name, sheet.Day(g.Day)))
	}
	if g.Day < scheduler.DayOf(b.Now, time.Local).String() {
		said = append(said, fmt.Sprintf("%s is past, so nothing is planned for it. To change it: surefret gig edit %q --day DATE", sheet.Day(g.Day), b.NameOf(g)))
	}
	return said
}
