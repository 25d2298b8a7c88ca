package tablature

import (
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/fretboard/fingering"
	"surefret/drills/theory"
)

// A whole sheet as it goes round by mail: legend, chord lines, rulers, lyrics,
// comments after the last bar, labels of three kinds, a system without bars.
const sheet = `THE LAMPLIGHTER'S SHORTCUT        Saltmarsh Five   (Odd, from memory!!)
===============================================================
Tuning: E A D G B E     Capo: none     ~96 bpm
h  hammer-on    p  pull-off    /  slide up   ~  vibrato   x  muted
-----------------------------------------------------------------

Intro: G - D - Em - C  (x2)

   G              D/F#
E|-3-----3-----|-2-----2----|
B|-0-----0-----|-3-----3----|   <- let it ring
G|-0---0---0---|-2---2---2--|
D|-0-----------|-0----------|
A|-2-----------|------------|   x4
E|-3-----------|-2----------|

1 + 2 + 3 + 4 +
 P.M. . . . . . .
e ---------------------------
B ---------------------------
G ---------------------------
D --------5-5h7-5------------
A -5-5-5--5------7p5-5-------
E -3-3-3--3----------3-------

	Down by the 3-2-1 steps, well -- the lamps go out | and on

e:----------------------------:
B:--12--10--------------------:
G:----------12\9~~~-----------:
D:----------------------------:
A:----------------------------:
E:---------------------(3)----:
end of page 1/2 - turn over --->
`

func TestASheetAsItGoesRoundByMail(t *testing.T) {
	for _, ending := range []string{"\n", "\r\n"} {
		text := strings.ReplaceAll(sheet, "\n", ending)
		tab, err := Parse(text, guitar)
		must(t, err)
		want := "1: 1/3 2/0 3/0 4/0 5/2 6/3 | 3/0 | 1/3 2/0 | 3/0 || 2: 1/2 2/3 3/2 4/0 6/2 | 3/2 | 1/2 2/3 | 3/2 || " +
			"3: 5/5 6/3 | 5/5 6/3 | 5/5 6/3 | 4/5 5/5 6/3 | 4/5 | ~4/7 | 4/5 | 5/7 | ~5/5 | 5/5 6/3 || " +
			"4: 2/12 | 2/10 | 3/12 | ~3/9 | 6/(3)"
		if got := spellPart(tab.Part()); got != want {
			t.Errorf("read as\n %s\nwant\n %s", got, want)
		}
		if tab.String() != text {
			t.Error("not written byte for byte")
		}
		m := moved(t, tab.Part(), "G", "A", fingering.SameStrings)
		out, err := tab.WriteMoved(m.Events, key(t, "G"), key(t, "A"), theory.Names{})
		must(t, err)
		if strings.Count(out, ending) != strings.Count(text, ending) || !strings.Contains(out, "end of page 1/2 - turn over --->") {
			t.Errorf("the text between was not kept:\n%s", out)
		}
		if !strings.Contains(out, "\n   A              E/G#"+ending) || !strings.Contains(out, "Intro: G - D") {
			t.Errorf("the chord names did not move with the part:\n%s", out)
		}
		again, err := Parse(out, guitar)
		if err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		if got, want := notesOnStrings(again.Part()), notesOnStrings(fretboard.Part{Events: m.Events}); got != want {
			t.Errorf("moved\n %s\nread back\n %s", want, got)
		}
	}
}

func TestTablatureOfOtherInstruments(t *testing.T) {
	for _, c := range []struct{ tuning, text, want string }{
		{"bass", "G|-----7-|\nD|---5---|\nA|-3-----|\nE|-------|\n", "1: 3/3 | 2/5 | 1/7"},
		{"seven strings", "E|--|\nB|--|\nG|--|\nD|--|\nA|--|\nE|--|\nB|0-|\n", "1: 7/0"},
		{"drop D", "e|-----|\nB|-----|\nG|-----|\nD|-0-5-|\nA|-0-5-|\nD|-0-5-|\n", "1: 4/0 5/0 6/0 | 4/5 5/5 6/5"},
		// Standard names on a guitar tuned down: most players keep them.
		{"half step down", "e|-0-|\nB|-0-|\nG|-1-|\nD|-2-|\nA|-2-|\nE|-0-|\n", "1: 1/0 2/0 3/1 4/2 5/2 6/0"},
		{"half step down", "Eb|-0-|\nBb|-0-|\nGb|-1-|\nDb|-2-|\nAb|-2-|\nEb|-0-|\n", "1: 1/0 2/0 3/1 4/2 5/2 6/0"},
	} {
		tuning, err := fretboard.ParseTuning(c.tuning)
		must(t, err)
		tab, err := Parse(c.text, fretboard.Fretboard{Tuning: tuning, Frets: 22})
		if err != nil {
			t.Errorf("%s: %v", c.tuning, err)
			continue
		}
		if got := spellPart(tab.Part()); got != c.want {
			t.Errorf("%s: %s, want %s", c.tuning, got, c.want)
		}
	}
}
