package gig

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"surefret/drills/theory"
)

// Songs are kept and sent in English names, and told and asked for in the player's
// own: what goes in and out is put into words here.

// KeyTyped returns a key, named as the player names it, in the English names in
// which songs are kept and sent: a German B is Bb. What is no key is returned as
// it is, for the song's check to refuse.
func KeyTyped(text string, names theory.Names) string {
	if names.System == theory.English {
		return text
	}
	k, err := names.ParseKey(text)
	if err != nil {
		return text
	}
	return k.Short()
}

// CalledTyped is [KeyTyped] for the key that a song learned in another is called in: a
// tonic alone has the mode of that one, since singers call a song in A minor "in B"; and
// "half step up", "two steps down", "+1" or "-2" count from it, in half steps where a
// number stands alone.
func CalledTyped(text, learned string, names theory.Names) string {
	k, err := theory.ParseKey(learned)
	if by, ok := stepsTyped(text); ok && err == nil {
		to := theory.SimplestKey(k.Tonic.PitchClass()+by, k.Mode, k.Signature() < 0)
		return to.String()
	}
	called := KeyTyped(text, names)
	if n, err2 := theory.ParseNote(called); err == nil && err2 == nil && k.Mode == theory.Minor {
		return n.String() + "m"
	}
	return called
}

var steps = regexp.MustCompile(`^(?:([+-]\d{1,2})|(?:an? |one |1 )?(half|whole)?[ -]?steps? (up|down)|(two|three|2|3|4|5|6) (half |half-|whole )?steps? (up|down))$`)

// stepsTyped reads how many half steps a singer asks for: "+1", "half step up".
func stepsTyped(text string) (halfSteps int, ok bool) {
	m := steps.FindStringSubmatch(strings.ToLower(strings.Join(strings.Fields(text), " ")))
	switch {
	case m == nil:
		return 0, false
	case m[1] != "":
		halfSteps, _ = strconv.Atoi(m[1])
		return halfSteps, halfSteps >= -11 && halfSteps <= 11
	}
	many, half, way := 1, m[2] == "half", m[3]
	if m[4] != "" {
		many, half, way = max(slices.Index([]string{"", "", "two", "three"}, m[4]), 2), strings.HasPrefix(m[5], "half"), m[6]
		if n, err := strconv.Atoi(m[4]); err == nil {
			many = n
		}
	}
	if halfSteps = many; !half {
		halfSteps *= 2
	}
	if way == "down" {
		halfSteps = -halfSteps
	}
	return halfSteps, true
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
		if sections[i], err = sec.typed(key, names); err != nil {
			return nil, err
		}
	}
	return sections, nil
}
