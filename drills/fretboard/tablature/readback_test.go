package tablature

import (
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/fretboard/fingering"
)

func TestMovedTablatureReadsBackAsMoved(t *testing.T) {
	for name, text := range asWritten {
		for _, how := range []fingering.How{fingering.SameStrings, fingering.OtherStrings, fingering.Refingered} {
			for _, to := range []string{"Eb", "G", "A", "Db"} {
				tab, err := Parse(text, guitar)
				must(t, err)
				m := moved(t, tab.Part(), "D", to, how)
				out, err := tab.Write(m.Events)
				must(t, err)
				if strings.Contains(out, "?") { // below the nut: not to be read back
					continue
				}
				again, err := Parse(out, guitar)
				if err != nil {
					t.Errorf("%s to %s, %s: %v\n%s", name, to, how, err, out)
					continue
				}
				if got, want := spellPart(again.Part()), spellPart(fretboard.Part{Events: m.Events}); got != want {
					t.Errorf("%s to %s, %s:\n got %s\nwant %s\n%s", name, to, how, got, want, out)
				}
			}
		}
	}
}
