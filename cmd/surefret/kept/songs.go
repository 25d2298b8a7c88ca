package kept

import (
	"context"
	"fmt"
	"strings"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/report"
	"surefret/cmd/surefret/setlist"
	"surefret/cmd/surefret/sheet"
	"surefret/drills/fretboard"
	"surefret/drills/gig"
)

// Book is the player's gigs, as he speaks of them now.
func (pl *Practice) Book() setlist.Book {
	return setlist.Book{Setup: pl.Setup(), Gigs: pl.Gigs, Now: pl.Now()}
}

// SayKey is a key of a song as the player names it.
func (pl *Practice) SayKey(text string) string { return gig.KeyNamed(text, pl.Setup().Names) }

// PutGig checks a gig and keeps it.
func (pl *Practice) PutGig(ctx context.Context, g gig.Gig) error {
	if err := g.Check(); err != nil {
		return cli.BadInput{Err: err}
	}
	if err := pl.DB.PutGig(ctx, g); err != nil {
		return err
	}
	return pl.DB.StoreSongs(ctx)
}

// CalledSong reads a song and a key off words that may come without quotes: the last
// is the key, or the last two, as in "F# minor", or up to four, as in "a half step up". A
// song of no gig comes in one without an id.
func (pl *Practice) CalledSong(ctx context.Context, words []string) (g gig.Gig, song int, key string, err error) {
	songs, err := pl.Songs(ctx)
	if err != nil {
		return g, 0, "", err
	}
	for n := 1; n <= min(4, len(words)-1); n++ {
		title, key := strings.Join(words[:len(words)-n], " "), strings.Join(words[len(words)-n:], " ")
		if n > 2 && !strings.Contains(strings.ToLower(key), "step") {
			continue
		}
		if g, i, ok := pl.FindSong(title); ok {
			return g, i, key, nil
		}
		switch found := gig.SongsCalled(songs, title); len(found) {
		case 0:
		case 1:
			return gig.Gig{Songs: found}, 0, key, nil
		default:
			return g, 0, "", cli.Usagef("%q means %d of your songs, %s and %s among them: type more of its title", title, len(found), found[0].Title, found[1].Title)
		}
	}
	title := strings.Join(words[:len(words)-1], " ")
	var titles []string
	for _, s := range songs {
		titles = append(titles, s.Title)
	}
	near := ""
	if found := fretboard.Nearest(title, titles, 1); len(found) > 0 {
		near = fmt.Sprintf("; the nearest is %q", found[0])
	}
	return g, 0, "", cli.Usagef("no song of yours, and none of a gig, is called %q%s: 'surefret song list' shows them, and the key comes last", title, near)
}

// ReadySoFar says the readiness of a gig that is still to come, where enough was
// asked to say it.
func (pl *Practice) ReadySoFar(g gig.Gig) string {
	r := sheet.ReadinessOf(pl.Readiness(g))
	if r == nil || r.Thin {
		return ""
	}
	return fmt.Sprintf(": %.0f %% ready on the day, %.0f %% now", 100*r.Share, 100*r.Now)
}

// Described refuses what describes a song beside a gig, with the commands that take it.
func (pl *Practice) Described(ctx context.Context, g gig.Gig, title string, f setlist.Flags) error {
	songs, err := pl.Songs(ctx)
	if err != nil {
		return err
	}
	if found := gig.SongsCalled(songs, title); len(found) > 0 {
		return cli.Usagef("a gig only calls a song: change it for every gig, with surefret song edit %q%s", found[0].Title, f.Said())
	}
	called := ""
	if f.Called != "" {
		called = " --called " + f.Called
	}
	return cli.Usagef("songs live on their own, and a gig calls them: first surefret song add %q%s, then surefret gig song %q %q%s", title, f.Said(), pl.Book().NameOf(g), title, called)
}

// Songs lists the player's songs; none where there is no practice yet.
func (pl *Practice) Songs(ctx context.Context) ([]gig.Song, error) {
	if pl.DB == nil {
		return []gig.Song{}, nil
	}
	return pl.DB.Songs(ctx)
}

// SongCalled finds the one song that a title means.
func (pl *Practice) SongCalled(ctx context.Context, title string) (gig.Song, error) {
	songs, err := pl.Songs(ctx)
	if err != nil {
		return gig.Song{}, err
	}
	found := gig.SongsCalled(songs, title)
	switch len(found) {
	case 0:
		return gig.Song{}, cli.Usagef("no song is called %q: 'surefret song list' shows them all, and 'surefret song add' adds one", title)
	case 1:
		return found[0], nil
	}
	var ways []string
	for _, s := range found {
		ways = append(ways, fmt.Sprintf("%q in %s", s.ID, pl.SayKey(s.Learned)))
	}
	if more := len(ways) - 4; more > 1 {
		ways = append(ways[:4], fmt.Sprintf("%d others", more))
	}
	return gig.Song{}, cli.Usagef("%q may be %s: give one of these names", title, strings.Join(ways, " or "))
}

// SayRehearsed says of each key that a song was rehearsed in how often, and at which tempo
// it holds.
func (pl *Practice) SayRehearsed(s gig.Song) (said []string) {
	for _, r := range pl.Rehearsed(s) {
		times := "once, on " + r.Last
		if r.Runs > 1 {
			times = fmt.Sprintf("%d times, last on %s", r.Runs, r.Last)
		}
		holds := "not enough yet to say at which tempo it holds"
		switch {
		case r.Holds > 0:
			holds = fmt.Sprintf("nine changes in ten hold at %g beats a minute", r.Holds)
		case r.Enough:
			holds = "it holds at no tempo yet, for which nine changes in ten must be right"
		}
		said = append(said, fmt.Sprintf("Rehearsed in %s %s: %s.", pl.SayKey(r.Key), times, holds))
	}
	return said
}

// ListSongs tells of each song in which key and at which gigs it is played, and by its
// id which one it is where others have its title.
func (pl *Practice) ListSongs(songs []gig.Song) (lines []string) {
	titles := map[string]int{}
	for _, s := range songs {
		titles[strings.ToLower(s.Title)]++
	}
	for _, s := range songs {
		line := fmt.Sprintf("%s, %s", s.Title, pl.SayKey(s.Learned))
		if titles[strings.ToLower(s.Title)] > 1 {
			line += fmt.Sprintf(" (%q)", s.ID)
		}
		if sets := gig.SetsOf(pl.Gigs, s.ID); len(sets) > 0 {
			line += ": " + strings.Join(sets, ", ")
		}
		lines = append(lines, line)
	}
	return lines
}

// A ListedPart is a part as scripts read it.
type ListedPart struct {
	Song    string   `json:"song"`
	Name    string   `json:"name"`
	Key     string   `json:"key"` // that it is written in
	Phrases []string `json:"phrases"`
	Tab     string   `json:"tab"`
}

// ListParts lists the parts of songs.
func (pl *Practice) ListParts(songs []gig.Song) []ListedPart {
	all := []ListedPart{}
	for _, s := range songs {
		for i, part := range s.Parts {
			listed := ListedPart{s.Title, part.Plain(), pl.SayKey(s.Learned), []string{}, part.Tab}
			for _, it := range pl.Book().Phrases(s, i) {
				listed.Phrases = append(listed.Phrases, it.Title)
			}
			all = append(all, listed)
		}
	}
	return all
}

// Said tells the part and what is practised of it.
func (l ListedPart) Said() string {
	what := fmt.Sprintf("%s, %s: %s to practise", l.Song, l.Name, report.Many(len(l.Phrases), "phrase"))
	if len(l.Phrases) == 0 {
		what += " on this instrument"
	}
	return what
}
