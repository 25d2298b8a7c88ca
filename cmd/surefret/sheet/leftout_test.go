package sheet

import (
	"strings"
	"testing"

	"surefret/cmd/surefret/ink"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// A shape's page says why the list leaves the shape out, has no hole in its header, and
// calls nothing the same twelve frets up where a drone stays behind.
func TestAShapesPageSaysWhatItsListDoes(t *testing.T) {
	fb := fretboard.Fretboard{Tuning: fretboard.DADGAD, Frets: 22}
	for _, c := range []struct{ name, root, want, not string }{
		{"e-form-major", "G", "Not among your shapes: e-form-major is no form of DADGAD", ""},
		{"drone-6-major", "D", "\nD, from the lowest string: ", "twelve frets up"},
		{"modal-6", "D", "twelve frets up", "Not among"},
	} {
		r, err := fb.Shape(c.name)
		root, err2 := theory.ParseNote(c.root)
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		var b strings.Builder
		if err := ShapeOf(r, root, fb, theory.Names{}).Text(&b, 100, fb, theory.Names{}, false, ink.Look{}); err != nil {
			t.Fatal(err)
		}
		if page := b.String(); !strings.Contains(page, c.want) || c.not != "" && strings.Contains(page, c.not) {
			t.Errorf("%s over %s: want %q and not %q in\n%s", c.name, c.root, c.want, c.not, page)
		}
	}
}
