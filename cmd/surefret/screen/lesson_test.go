package screen

import (
	"strings"
	"testing"

	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/practice/practicetest"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// What is shown before it is asked is shown whole in the smallest window, down to the
// line that says what becomes of it: of each item, and of the notes themselves for who
// does not know them.
func TestLessonsAreWholeInTheSmallestWindow(t *testing.T) {
	for _, tuning := range []fretboard.Tuning{fretboard.Standard, fretboard.Bass} {
		for _, names := range []theory.Names{{}, {System: theory.Solfege}, {System: theory.German}} {
			b := newBench(FewestColumns, FewestRows, Options{Names: names}, nameG)
			b.o.Neck = fretboard.Fretboard{Tuning: tuning, Frets: 22}
			c := drills.NewCatalogue(drills.Setup{Neck: b.o.Neck, Names: names, Sound: true})
			shows := func(l drills.Lesson, then string) {
				b.teach(practice.Turn{Lesson: &l}, l)
				if view := b.View(); !strings.Contains(view, then) {
					t.Errorf("%s: %q is cut off:\n%s", tuning, l.Title, view)
				}
			}
			shows(c.Primer(), "each shown before it is asked.")
			for _, it := range c.Items() {
				lesson, err := c.Lesson(it.ID, practicetest.Rand())
				if err != nil {
					t.Fatal(err)
				}
				words := strings.Fields(practice.Sentence(lesson.Here))
				shows(lesson, words[len(words)-1])
			}
		}
	}
}
