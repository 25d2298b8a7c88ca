package drills

import (
	"fmt"
	"slices"
	"strings"
)

// Topic returns what a player calls the thing that an item is a part of: "naturals
// on string 6", "tenths, root on string 6", "the chords of A by number". Items of one
// topic are used together on stage, so that a topic is worth something when all of
// it is known. The list is a teacher's judgement, no source.
func (it Item) Topic() string {
	ref := strings.TrimPrefix(it.ID, string(it.Family)+"/")
	low := 0 // the lowest string it is about
	if len(it.Strings) > 0 {
		low = slices.Max(it.Strings)
	}
	switch it.Family {
	case "note":
		return it.noteTopic(ref, low)
	case "shape":
		return it.shapeTopic(ref, low)
	case "interval":
		return "intervals on " + it.Group
	case "walkup":
		if strings.Contains(ref, "-minor") || strings.Contains(ref, "-chromatic") || strings.Contains(ref, "-skip") {
			return "walk-ups in minor and with half steps"
		}
		return "walk-ups of the scale"
	case "key":
		if strings.HasPrefix(ref, "progression") {
			return "progressions by number"
		}
		if tonic, major := strings.CutSuffix(it.Group, " major"); major {
			return fmt.Sprintf("the chords of %s by number", tonic)
		}
		return fmt.Sprintf("the chords of %s by number", it.Group)
	case "ear":
		kind, _, _ := strings.Cut(ref, "/")
		return map[string]string{"interval": "intervals by ear", "chord": "chords by ear", "fret": "bass notes by ear"}[kind]
	}
	return ""
}

func (it Item) noteTopic(ref string, low int) string {
	switch {
	case strings.HasPrefix(ref, "all/"):
		return "one note on every string"
	case strings.ContainsAny(it.Title[:2], "#b"):
		return fmt.Sprintf("sharps and flats on string %d", low)
	}
	return fmt.Sprintf("naturals on string %d", low)
}

func (it Item) shapeTopic(ref string, low int) string {
	shape, _, _ := strings.Cut(ref, "@")
	switch it.Group {
	case "tenths", "power chords":
		return fmt.Sprintf("%s, root on string %d", it.Group, low)
	case "octaves", "sixths":
		if it.Group == "octaves" && low < 5 || low < 4 {
			return it.Group + " on the upper strings"
		}
		return fmt.Sprintf("%s from string %d", it.Group, low)
	case "thirds":
		return fmt.Sprintf("thirds on strings %d and %d", low, low-1)
	case "third in the bass":
		return fmt.Sprintf("chords with the third in the bass on string %d", low)
	case "pentatonic boxes":
		_, kind, _ := strings.Cut(strings.TrimPrefix(shape, "pentatonic-"), "-")
		return kind + " pentatonic boxes"
	case "triads":
		parts := strings.Split(shape, "-") // triad, strings, quality, inversion
		if parts[2] == "diminished" || parts[2] == "augmented" {
			parts[2] = "diminished and augmented"
		}
		return fmt.Sprintf("%s triads on strings %s", parts[2], strings.Join(strings.Split(parts[1], ""), " "))
	}
	if form, ok := strings.CutSuffix(it.Group, " form"); ok {
		_, quality, _ := strings.Cut(shape, "-form-")
		if slices.Contains([]string{"major", "minor", "7", "m7"}, quality) {
			return form + " form: major, minor and their sevenths"
		}
		return form + " form: other chords"
	}
	return it.Group
}
