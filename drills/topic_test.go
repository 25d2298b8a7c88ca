package drills

import (
	"testing"

	"surefret/drills/fretboard"
)

// The list was written down before any rule was tuned to it: it changes on purpose
// only, with the figures of the lab that count by it.
func TestEveryItemHasItsTopic(t *testing.T) {
	tuning, err := fretboard.ParseTuning("E2 A2 D3 G3 B3 E4")
	if err != nil {
		t.Fatal(err)
	}
	c := NewCatalogue(Setup{Neck: fretboard.Fretboard{Tuning: tuning, Frets: 22}, Sound: true})
	sizes := map[string]int{}
	for _, it := range c.Items() {
		topic := it.Topic()
		if sizes[topic]++; topic == "" {
			t.Errorf("%s has no topic", it.ID)
		}
	}
	for topic, want := range map[string]int{
		"naturals on string 6": 14, "sharps and flats on string 1": 10, "tenths, root on string 6": 4,
		"major and minor triads on strings 3 2 1": 12, "fourths, fifths and thirds on strings 6 and 5": 4, "the chords of A by number": 7,
		"E form: major, minor and their sevenths": 8, "one note on every string": 12, "bass notes by ear": 7, "walk-ups between 1, 4 and 5": 4, "the keys of seven signs": 6,
	} {
		if sizes[topic] != want {
			t.Errorf("%q has %d items, want %d", topic, sizes[topic], want)
		}
	}
	for topic, n := range sizes {
		if n < 3 || n > 24 {
			t.Errorf("%q has %d items: no topic is smaller than three or larger than two dozen", topic, n)
		}
	}
	if len(sizes) != 96 {
		t.Errorf("%d topics", len(sizes))
	}
}
