package setlist

import (
	"slices"

	"surefret/drills"
	"surefret/drills/gig"
	"surefret/drills/theory"
)

// Phrases lists what is practised of one part of a song.
func (b Book) Phrases(s gig.Song, part int) []drills.Item {
	setup := b.Setup
	s.Parts = s.Parts[part : part+1]
	setup.Parts = gig.OwnParts(setup.Neck, s)
	n, err := s.Need()
	if err != nil {
		return nil
	}
	items := drills.NewCatalogue(setup).ItemsFor(n)
	return slices.DeleteFunc(items, func(it drills.Item) bool { return it.Family != "part" })
}

// CallKeys calls each song in a key that bands call, another than it was learned in.
func CallKeys(songs []gig.Song, draw func(n int) int) ([]gig.Song, error) {
	called := drills.CalledKeys()
	for i := range songs {
		learned, _, err := songs[i].Keys()
		if err != nil {
			return nil, err
		}
		for {
			tonic := called[draw(len(called))].Tonic
			songs[i].Called = gig.CalledTyped(tonic.String(), songs[i].Learned, theory.Names{})
			if _, key, err := songs[i].Keys(); err != nil || key.Tonic.PitchClass() != learned.Tonic.PitchClass() {
				break
			}
		}
	}
	return songs, nil
}
