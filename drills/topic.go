package drills

import (
	"fmt"
	"slices"
	"strings"

	"surefret/drills/theory"
)

// Topic returns what a player calls the thing that an item is a part of: "naturals
// on string 6", "tenths, root on string 6", "the chords of A by number". Items of one
// topic are used together on stage, so that a topic is worth something when all of
// it is known. The list is ours, with no source.
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
		return it.intervalTopic(ref)
	case "walkup":
		switch {
		case strings.Contains(ref, "-minor") || strings.Contains(ref, "-chromatic") || strings.Contains(ref, "-skip"):
			return "walk-ups in minor and with half steps"
		case slices.ContainsFunc(motions[:firstMotions], func(m motion) bool { return strings.HasPrefix(ref, m.from+"-"+m.to+"/") }):
			return "walk-ups between 1, 4 and 5"
		}
		return "walk-ups to and from 2 and 6"
	case "walking":
		return it.Group
	case "change":
		return "the changes of your songs"
	case "key":
		if strings.HasPrefix(ref, "progression") {
			return "progressions by number"
		}
		return it.keyTopic()
	case "part":
		return "parts of " + it.Group
	case "ear":
		kind, _, _ := strings.Cut(ref, "/")
		return map[string]string{
			"interval": "intervals by ear", "tenth": "intervals by ear", "chord": "chords by ear",
			"fret": "bass notes by ear", "walkup": "bass notes by ear",
		}[kind]
	}
	return ""
}

// keyTopic names a key; those of seven signs, which few bands ever call, go together.
func (it Item) keyTopic() string {
	switch it.Group {
	case "C# major", "A# minor", "Cb major", "Ab minor":
		return "the keys of seven signs"
	case "D# minor", "Eb minor":
		return "the chords of D# minor and Eb minor by number"
	}
	return fmt.Sprintf("the chords of %s by number", strings.TrimSuffix(it.Group, " major"))
}

// intervalTopic names an interval by how far apart its strings lie: fourths, fifths and
// thirds on two neighbours are one thing to a player, and so are octaves and tenths.
func (it Item) intervalTopic(ref string) string {
	low, high := it.Strings[0], it.Strings[1]
	name, _, _ := strings.Cut(it.Title, ", ")
	words := strings.Fields(name)
	size := words[len(words)-1]
	common := it.Stage != stageSixths
	switch over := low - high; {
	case over == 1 && common:
		return fmt.Sprintf("fourths, fifths and thirds on strings %d and %d", low, high)
	case over == 1 && (size == "second" || size == "unison"):
		return "seconds and unisons on neighbouring strings"
	case over == 1:
		return "tritones and sixths on neighbouring strings"
	case over <= 3 && common:
		return fmt.Sprintf("fifths, octaves and tenths %s over", counted(over, "string"))
	case over == 2 && (size == "sixth" || size == "seventh"):
		return "sixths and sevenths two strings over"
	default:
		return fmt.Sprintf("other intervals %s over", counted(over, "string"))
	}
}

func (it Item) noteTopic(ref string, low int) string {
	switch {
	case strings.HasPrefix(ref, "all/"):
		return "one note on every string"
	case !naturalNote(ref):
		return fmt.Sprintf("sharps and flats on string %d", low)
	}
	return fmt.Sprintf("naturals on string %d", low)
}

func (it Item) shapeTopic(ref string, low int) string {
	shape, _, _ := strings.Cut(ref, "@")
	switch it.Group {
	case "tenths":
		return fmt.Sprintf("tenths, root on string %d", low)
	case "power chords":
		if low < 5 {
			return "power chords, root on string 4 or 3"
		}
		return fmt.Sprintf("power chords, root on string %d", low)
	case "octaves":
		if it.bass {
			return "octaves" // there are few
		}
		if low < 5 {
			return "octaves on the upper strings"
		}
		return "octaves from strings 6 and 5"
	case "thirds", "sixths":
		if low < 5 {
			return it.Group + " on the upper strings"
		}
		return it.Group + " from strings 6 and 5"
	case "third in the bass", "fifth in the bass":
		return "chords with the " + it.Group
	case "pentatonic boxes":
		_, kind, _ := strings.Cut(strings.TrimPrefix(shape, "pentatonic-"), "-")
		return kind + " pentatonic boxes"
	case "triads":
		parts := strings.Split(shape, "-") // triad, strings, quality, inversion
		quality := "major and minor"
		if parts[2] == "diminished" || parts[2] == "augmented" {
			quality = "diminished and augmented"
		}
		return fmt.Sprintf("%s triads on strings %s", quality, strings.Join(strings.Split(parts[1], ""), " "))
	}
	if form, ok := strings.CutSuffix(it.Group, " form"); ok {
		_, quality, _ := strings.Cut(shape, "-form-")
		if slices.Contains([]string{"major", "minor", "7", "m7"}, quality) {
			return form + " form: major, minor and their sevenths"
		}
		if form == "C" || form == "G" {
			return "C and G forms: other chords"
		}
		return form + " form: other chords"
	}
	return it.Group
}

// naturalNote reports whether the item of a note, "E2+3/name", is about a natural one.
func naturalNote(ref string) bool {
	var up int
	open, rest, _ := strings.Cut(ref, "+")
	fmt.Sscan(strings.TrimRight(rest, "/abcdefghijklmnopqrstuvwxyz"), &up)
	pitch, err := theory.ParsePitch(open)
	return err == nil && natural(pitch.MIDI()+up)
}
