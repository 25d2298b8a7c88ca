package fingering

import (
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/fretboard/tablature"
)

// A line on a bass loses nothing where an open string is stopped, is offered no capo, and
// one open string that cannot drop does not send it up the neck.
func TestALineOnABass(t *testing.T) {
	bass := fretboard.Fretboard{Tuning: fretboard.Bass, Frets: 20}
	tab, err := tablature.Parse("G|---------|\nD|-----0-2-|\nA|-0-2-----|\nE|---------|", bass)
	must(t, err)
	m := offers(t, tab.Part(), "A", "Bb", Asked{})[0]
	if len(m.Problems) > 0 || len(m.Ways) > 0 || spellLine(m.Events) != "3/1 3/3 2/1 2/3" {
		t.Errorf("%s: %s, %v, %v", spellLine(m.Events), m.Say(), m.Problems, m.Ways)
	}
}
