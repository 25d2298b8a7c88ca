package drills

import (
	"fmt"
	"slices"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// Topic returns what a player calls the thing that an item is a part of: "naturals
// on string 6", "tenths, root on string 6", "the chords of A by number". Items of one
// topic are used together on stage, so that a topic is worth something when all of
// it is known. The list is ours, with no source.
func (it Item) Topic() string { return it.topic }

// keyTopic names a key; those of seven signs, which few bands ever call, go together.
func keyTopic(k theory.Key) string {
	switch k.String() {
	case "C# major", "A# minor", "Cb major", "Ab minor":
		return "the keys of seven signs"
	case "D# minor", "Eb minor":
		return "the chords of D# minor and Eb minor by number"
	}
	return fmt.Sprintf("the chords of %s by number", strings.TrimSuffix(k.String(), " major"))
}

// intervalTopic names an interval by how far apart its strings lie: fourths, fifths and
// thirds on two neighbours are one thing to a player, and so are octaves and tenths.
func (s Setup) intervalTopic(p pattern) string {
	words := strings.Fields(named(s.intervalOf(p)))
	size, common := words[len(words)-1], s.common(p)
	switch over := p.low - p.high; {
	case over == 1 && common:
		return fmt.Sprintf("fourths, fifths and thirds on strings %d and %d", p.low, p.high)
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

// shapeTopic names what a shape is practised with.
func shapeTopic(r fretboard.Recipe) string {
	low := slices.Max(stringsOf(r))
	switch r.Family {
	case "tenths":
		return fmt.Sprintf("tenths, root on string %d", low)
	case "power chords":
		if low < 5 {
			return "power chords, root on string 4 or 3"
		}
		return fmt.Sprintf("power chords, root on string %d", low)
	case "octaves":
		if r.Bass {
			return "octaves" // there are few
		}
		if low < 5 {
			return "octaves on the upper strings"
		}
		return "octaves from strings 6 and 5"
	case "thirds", "sixths":
		if low < 5 {
			return r.Family + " on the upper strings"
		}
		return r.Family + " from strings 6 and 5"
	case "third in the bass", "fifth in the bass":
		return "chords with the " + r.Family
	case "pentatonic boxes":
		_, kind, _ := strings.Cut(strings.TrimPrefix(r.Name, "pentatonic-"), "-")
		return kind + " pentatonic boxes"
	case "triads":
		parts := strings.Split(r.Name, "-") // triad, strings, quality, inversion
		quality := "major and minor"
		if parts[2] == "diminished" || parts[2] == "augmented" {
			quality = "diminished and augmented"
		}
		return fmt.Sprintf("%s triads on strings %s", quality, strings.Join(strings.Split(parts[1], ""), " "))
	}
	if form, ok := strings.CutSuffix(r.Family, " form"); ok {
		_, quality, _ := strings.Cut(r.Name, "-form-")
		if slices.Contains([]string{"major", "minor", "7", "m7"}, quality) {
			return form + " form: major, minor and their sevenths"
		}
		if form == "C" || form == "G" {
			return "C and G forms: other chords"
		}
		return form + " form: other chords"
	}
	return r.Family
}
