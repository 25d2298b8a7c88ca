package sheet

import (
	"fmt"
	"time"

	"surefret/drills"
	"surefret/drills/gig"
	"surefret/scheduler"
)

// A Player is whose page it is.
type Player interface {
	Setup() drills.Setup
	LeftHanded() bool // the neck is drawn with its nut at the right
	// Foretell predicts the readiness of a gig and of each of its songs, by its day.
	Foretell(gig.Gig) (whole scheduler.Readiness, songs []scheduler.Readiness, day time.Time)
	// Weakest returns what share of a song's items would be fluent now, and the topics
	// in it that are weakest.
	Weakest(s gig.Song, most int) (share float64, weak []string)
	// Holds is the tempo at which the song was rehearsed well in the key that it is
	// called in, 0 where too little was.
	Holds(s gig.Song) float64
}

// PageOf works a gig out for a player.
func PageOf(pl Player, g gig.Gig) (Page, error) {
	whole, each, day := pl.Foretell(g)
	page := Page{Name: g.Name, Day: g.Day, Note: g.Note, Readiness: ReadinessOf(whole, day), Songs: []Song{}}
	for i, s := range g.Songs {
		sp, err := SongOf(pl, s)
		if err != nil {
			return page, fmt.Errorf("song %q: %w", s.Title, err)
		}
		sp.Readiness = ReadinessOf(each[i], day)
		page.Songs = append(page.Songs, sp)
	}
	return page, nil
}

// SongOf works a song of a gig out for a player.
func SongOf(pl Player, s gig.Song) (Song, error) {
	setup := pl.Setup()
	page, err := songOn(s, setup.Neck, setup.Names, pl.LeftHanded())
	if err != nil {
		return Song{}, err
	}
	page.Now, page.Weak = pl.Weakest(s, 3)
	page.Holds = pl.Holds(s)
	return page, nil
}
