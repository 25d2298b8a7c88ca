package tablature

import (
	"slices"
	"strings"
	"testing"

	"surefret/drills/fretboard/fingering"
	"surefret/drills/theory"
)

// A system is cut where its bars begin, with the chord names over them, and put together
// it is the page again.
func TestASystemIsCutAtItsBars(t *testing.T) {
	const page = "Intro, twice\n  D        A/C#  G\ne|-2-----|-0-------|-3--|\nB|---3---|---2-----|----|\nG|-------|-----2---|----|\nD|-0-----|---------|----|\nA|-------|-4-------|----|\nE|-------|---------|-3--|\nthe end"
	tab, err := Parse(page, guitar)
	must(t, err)
	d, _ := theory.ParseKey("D")
	c, _ := theory.ParseKey("C")
	moved, err := fingering.Move(tab.Part(), d, c, fingering.Asked{How: fingering.Refingered})
	must(t, err)
	again, err := tab.WriteMoved(moved[0].Events, d, c, theory.Names{})
	must(t, err)
	for _, written := range []string{page, again} {
		all := tab.Systems(written, theory.Names{})
		if len(all) != 1 || !all[0].Names || !slices.Equal(all[0].Text, []string{"Intro, twice"}) || len(all[0].Bars) != 3 {
			t.Fatalf("%+v", all)
		}
		rows := make([]string, 7)
		for _, bar := range all[0].Bars {
			for i, l := range bar {
				rows[i] += l
			}
		}
		lines := strings.Split(written, "\n")
		if got := strings.Join(rows[1:], "\n"); got != strings.Join(lines[2:8], "\n") {
			t.Errorf("\n%s\nof\n%s", got, written)
		}
		if got := strings.Fields(rows[0]); !slices.Equal(got, strings.Fields(lines[1])) {
			t.Errorf("names %q of\n%s", got, written)
		}
		if !strings.HasPrefix(strings.TrimSpace(all[0].Bars[1][0]), strings.Fields(lines[1])[1]) {
			t.Errorf("over the second bar stands %q", all[0].Bars[1][0])
		}
	}
}
