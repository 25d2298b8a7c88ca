package neck

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"surefret/cmd/surefret/ink"
	"surefret/drills/fretboard"
)

func guitar(frets int) fretboard.Fretboard {
	return fretboard.Fretboard{Tuning: fretboard.Standard, Frets: frets}
}

// anyNeck draws a neck with a mark, of any instrument, in any window.
func anyNeck(t *rapid.T) (Neck, fretboard.Position) {
	n := Neck{
		Board:      fretboard.Fretboard{Tuning: rapid.SampledFrom(fretboard.Tunings).Draw(t, "tuning"), Frets: rapid.IntRange(12, 36).Draw(t, "frets"), Capo: rapid.IntRange(0, 5).Draw(t, "capo")},
		LeftHanded: rapid.Bool().Draw(t, "left"),
		Look:       ink.Look{ASCII: rapid.Bool().Draw(t, "ascii")},
		Columns:    rapid.IntRange(60, 130).Draw(t, "columns"),
		Rows:       rapid.IntRange(5, 25).Draw(t, "rows"),
	}
	p := fretboard.Position{
		String: rapid.IntRange(1, n.Board.Tuning.Strings()).Draw(t, "string"),
		Fret:   rapid.IntRange(0, n.Board.Last()).Draw(t, "fret"),
	}
	n.Marks = []Mark{{p, "?", Asked}}
	return n, p
}

// What is drawn at a place is what the mouse finds there, on every neck.
func TestAMarkIsSeenAndFoundWhereItWasPut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, p := anyNeck(t)
		d := n.Draw()
		seen := 0
		for y, line := range d.Lines {
			row := []rune(line)
			if len(row) > n.Columns {
				t.Fatalf("%d columns in %d", len(row), n.Columns)
			}
			if x := slices.Index(row, '?'); x >= 0 {
				seen++
				if got, ok := d.At(x, y); !ok || got != p {
					t.Fatalf("%v is drawn at %d,%d, where the mouse finds %v, %v\n%s", p, x, y, got, ok, strings.Join(d.Lines, "\n"))
				}
			}
		}
		if seen != 1 {
			t.Fatalf("%v is seen %d times:\n%s", p, seen, strings.Join(d.Lines, "\n"))
		}
	})
}

// Marks on neighbours never share a column, and each keeps what it says: all twelve
// names of a string at once, in every language of names, at any width.
func TestNoTwoMarksOverlap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, _ := anyNeck(t)
		n.Marks, n.From = nil, 0
		str := rapid.IntRange(1, n.Board.Tuning.Strings()).Draw(t, "crowded")
		first := rapid.IntRange(1, n.Board.Last()-2).Draw(t, "first")
		kinds := []Kind{Asked, Told, Wrong, Shown, Picked}
		labels := rapid.SampledFrom([]string{"Eb", "x", "Fa"}).Draw(t, "label")
		for fret := first; fret <= min(first+4, n.Board.Last()); fret++ {
			n.Marks = append(n.Marks, Mark{fretboard.Position{String: str, Fret: fret}, labels, rapid.SampledFrom(kinds).Draw(t, "kind")})
		}
		d := n.Draw()
		if got := strings.Count(d.Lines[d.Row(str)], labels); got != len(n.Marks) {
			t.Fatalf("%d of %d marks are seen:\n%s", got, len(n.Marks), strings.Join(d.Lines, "\n"))
		}
		all := d.spots()
		for i, a := range all {
			for _, b := range all[:i] {
				if a.y == b.y && a.from < b.from+b.wide() && b.from < a.from+a.wide() {
					t.Fatalf("two marks share a column:\n%s", strings.Join(d.Lines, "\n"))
				}
			}
		}
	})
}

// What lies outside a window that stays is told at its edge, by its fret.
func TestWhatLiesOutsideAWindowIsToldAtItsEdge(t *testing.T) {
	for from, want := range map[int]string{6: "‹3", 1: "22›"} {
		d := Neck{Board: guitar(22), Columns: 60, From: from, Marks: []Mark{{at(6, 3), "x", Wrong}, {at(1, 22), "D", Told}}}.Draw()
		if all := strings.Join(d.Lines, "\n"); d.First != from || !strings.Contains(all, want) {
			t.Errorf("from fret %d, want %q:\n%s", from, want, all)
		}
	}
}

// The research behind the screen asks for these: 80 columns hold 15 frets, 24
// frets and six strings fit the usual window.
func TestHowManyFretsAreDrawn(t *testing.T) {
	for _, c := range []struct{ columns, frets, drawn, narrowest int }{
		{80, 15, 15, 3}, {80, 22, 22, 3}, {80, 24, 24, 3}, {60, 15, 15, 3}, {60, 22, 17, 3}, {118, 24, 24, 3}, {80, 36, 24, 3},
	} {
		d := Neck{Board: guitar(c.frets), Columns: c.columns}.Draw()
		if got := len(d.wires) - 1; got != c.drawn || d.Wide > c.columns {
			t.Errorf("%d columns, %d frets: %d drawn, %d wide", c.columns, c.frets, got, d.Wide)
		}
	}
}

// Frets narrow towards the body and never get narrower than a label needs.
func TestFretsTaper(t *testing.T) {
	for room := 36; room < 130; room++ {
		widths := taper(room, 1, 12, 3, widestFret)
		sum := 0
		for i, w := range widths {
			sum += w
			if w < 3 || w > widestFret || i > 0 && w > widths[i-1] {
				t.Errorf("%d columns: %v", room, widths)
			}
		}
		if sum > room {
			t.Errorf("%d columns: %v is %d", room, widths, sum)
		}
	}
}

func TestANeckTooLongForItsWindowShowsTheMarks(t *testing.T) {
	for fret := 1; fret <= 36; fret++ {
		d := Neck{Board: guitar(36), Columns: 60, Marks: []Mark{{at(6, fret), "?", Asked}, {at(1, 0), "E", Told}}}.Draw()
		all := strings.Join(d.Lines, "\n")
		if !strings.Contains(all, "?") || !strings.Contains(all, "E") {
			t.Errorf("fret %d:\n%s", fret, all)
		}
	}
}

func at(str, fret int) fretboard.Position { return fretboard.Position{String: str, Fret: fret} }
