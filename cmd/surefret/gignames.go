package main

import (
	"surefret/drills/gig"
	"surefret/drills/theory"
)

// Songs are kept and mailed in English names, and told and asked for in the player's
// own: what goes in and out is put into words here.

// songKey returns a key, named as the player names it, in the English names in
// which songs are kept and mailed: a German B is Bb. What is no key is returned as
// it is, for the song's check to refuse.
func (pl *player) songKey(text string) string {
	names := pl.Setup().Names
	if names.System == theory.English {
		return text
	}
	k, err := names.ParseKey(text)
	if err != nil {
		return text
	}
	switch k.Mode {
	case theory.Major:
		return k.Tonic.String()
	case theory.Minor:
		return k.Tonic.String() + "m"
	}
	return k.String()
}

// calledKey is songKey for the key that a song learned in another is called in: a
// tonic alone has the mode of that one, since singers call a song in A minor "in B".
func (pl *player) calledKey(text, learned string) string {
	called := pl.songKey(text)
	k, err := theory.ParseKey(learned)
	if n, err2 := theory.ParseNote(called); err == nil && err2 == nil && k.Mode == theory.Minor {
		return n.String() + "m"
	}
	return called
}

// sayKey is a key of a song as the player names it.
func (pl *player) sayKey(text string) string {
	k, err := theory.ParseKey(text)
	if err != nil {
		return text
	}
	return pl.Setup().Names.Key(k)
}

// songChords returns sections of a song learned in a key, their chords named as the
// player names them, in English names: a German B is Bb. What could mean something
// else is refused.
func (pl *player) songChords(learned string, sections []gig.Section) ([]gig.Section, error) {
	key, err := theory.ParseKey(learned)
	if err != nil {
		return sections, nil // the song's check says so
	}
	for i, sec := range sections {
		if sections[i], err = sec.Typed(key, pl.Setup().Names); err != nil {
			return nil, err
		}
	}
	return sections, nil
}
