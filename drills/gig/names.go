package gig

import "surefret/drills/theory"

// Songs are kept and mailed in English names, and told and asked for in the player's
// own: what goes in and out is put into words here.

// KeyTyped returns a key, named as the player names it, in the English names in
// which songs are kept and mailed: a German B is Bb. What is no key is returned as
// it is, for the song's check to refuse.
func KeyTyped(text string, names theory.Names) string {
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

// CalledTyped is [KeyTyped] for the key that a song learned in another is called in: a
// tonic alone has the mode of that one, since singers call a song in A minor "in B".
func CalledTyped(text, learned string, names theory.Names) string {
	called := KeyTyped(text, names)
	k, err := theory.ParseKey(learned)
	if n, err2 := theory.ParseNote(called); err == nil && err2 == nil && k.Mode == theory.Minor {
		return n.String() + "m"
	}
	return called
}

// KeyNamed is a key of a song as the player names it.
func KeyNamed(text string, names theory.Names) string {
	k, err := theory.ParseKey(text)
	if err != nil {
		return text
	}
	return names.Key(k)
}

// SectionsTyped returns sections of a song learned in a key, their chords named as the
// player names them, in English names: a German B is Bb. What could mean something
// else is refused.
func SectionsTyped(sections []Section, learned string, names theory.Names) ([]Section, error) {
	key, err := theory.ParseKey(learned)
	if err != nil {
		return sections, nil // the song's check says so
	}
	for i, sec := range sections {
		if sections[i], err = sec.Typed(key, names); err != nil {
			return nil, err
		}
	}
	return sections, nil
}
