package tablature

import (
	"errors"
	"fmt"
	"os"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"surefret/drills/fretboard"
	"surefret/drills/fretboard/fingering"
	"surefret/drills/theory"
)

func TestUnchangedTablatureIsWrittenByteForByte(t *testing.T) {
	for name, text := range asWritten {
		tab, err := Parse(text, guitar)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if got := tab.String(); got != text {
			t.Errorf("%s: read and written\n%s", name, cmp.Diff(text, got))
		}
		got, err := tab.Write(tab.Part().Events)
		if err != nil || got != text {
			t.Errorf("%s: written with its own events (%v)\n%s", name, err, cmp.Diff(text, got))
		}
	}
}

func TestTablatureIsReadAsPlayersMeanIt(t *testing.T) {
	for name, want := range map[string]string{
		"plain": "1: 4/0 | 3/2 | 2/3 | 3/2 | 4/4 | ~4/5 | ~4/4 | 4/0 || 2: 3/2 | 4/0 | 3/2 | 4/4 | 3/2 | 4/0 | 6/3",
		"no labels, uneven dashes, lyrics": "1: 1/3 2/3 3/0 4/0 5/2 6/3 | 2/3 3/0 | 1/3 || 2: 1/2 2/3 3/2 4/0 | 2/3 | 1/2 | 3/2 || " +
			"3: 5/2 | 4/0 | 4/2 | 4/4 | 3/0",
		"Windows line ends and tabs":             "1: 1/10 2/10 3/9 5/x | 1/12 2/13 3/12 5/(5) | 1/x 2/x 3/x",
		"marks":                                  "1: 1/(5) 2/5 3/5 6/12 | ~2/7 | ~2/5 ~3/7 4/x ~6/14 | 1/7 | 4/x | 3/7 | 5/3 | ~3/5 | ~5/5 | 1//9 ~5/3",
		"two systems without a gap, annotations": "1: 1/0 2/1 3/0 4/2 5/3 | 1/3 2/0 3/0 4/0 5/2 6/3 || 2: 1/0 2/1 3/2 4/3 5/3 6/1 | 1/0 2/1 3/2 4/2 5/0",
		"dashes from a word processor":           "1: 1/3 6/3 | 1/5",
		"spaces and colons":                      "1: 1/0 2/1 3/0 4/2 5/3 | 1/3 2/0 3/0 4/0 5/2 6/3",
		"repeats":                                "1: 1/0 2/1 3/0 4/2 5/3",
		"lines drawn on":                         "1: 1/0 2/1 3/0 4/2 5/3",
		"held and shaken":                        "1: 1/5 3/12 4/7 5/7 6/t12 | ~4/9 ~5/12 | ~6/5",
		"numbered strings":                       "1: 1/0 2/1 3/0 4/2 5/3",
	} {
		tab, err := Parse(asWritten[name], guitar)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if got := spellPart(tab.Part()); got != want {
			t.Errorf("%s:\n got %s\nwant %s", name, got, want)
		}
	}
}

// Chord names stand over the same notes in the new key, though a bar has grown.
func TestChordNamesMoveWithThePart(t *testing.T) {
	tab, err := Parse(`| D     | A   Bm7 | G/B
e|-------|---------|---2-|
B|-3-----|-2---3---|-3---|
G|------9|-2---4---|-----|
D|-------|---------|-----|
A|-------|---------|-----|
E|-------|---------|-----|
D is for the deep blue sea
D A
`, guitar)
	must(t, err)
	m := moved(t, tab.Part(), "D", "Eb", fingering.SameStrings)
	got, err := tab.WriteMoved(m.Events, m.From, m.To, theory.Names{})
	want := `| Eb     | Bb  Cm7 | Ab/C
e|--------|---------|---3-|
B|-4------|-3---4---|-4---|
G|------10|-3---5---|-----|
D|--------|---------|-----|
A|--------|---------|-----|
E|--------|---------|-----|
D is for the deep blue sea
Eb Bb
`
	if err != nil || got != want {
		t.Errorf("(%v)\n%s", err, cmp.Diff(want, got))
	}
}

// They are read and written in the player's names, but read in English where the strings
// are labelled so.
func TestChordNamesAreThePlayers(t *testing.T) {
	for _, c := range []struct {
		system              theory.System
		chords, label, want string
	}{
		{theory.German, "H7 B Fism", "H", "Cis7 C Gism"},
		{theory.German, "B A7", "H", "C H7"}, // B is Bb, though English reads the line as well
		{theory.German, "B A7", "B", "Cis H7"},
		{theory.German, "B F", "H", "C G"},
		{theory.German, "B Es", "H", "C F"},
		{theory.German, "B Es", "B", "C F"}, // no English name
		{theory.German, "B7 Bb F#m", "B", "Cis7 C Gism"},
		{theory.Solfege, "Si7 Sib Fa#m", "B", "Do#7 Do Sol#m"},
		{theory.Solfege, "B7 Bb F#m", "B", "Do#7 Do Sol#m"},
	} {
		names := theory.Names{System: c.system}
		tab, err := Parse(c.chords+"\ne|-2-|\n"+c.label+"|---|\nG|---|\nD|---|\nA|---|\nE|---|\n", guitar)
		must(t, err)
		m := moved(t, tab.Part(), "C", "D", fingering.SameStrings)
		page, err := tab.WriteMoved(m.Events, m.From, m.To, names)
		if got, _, _ := strings.Cut(page, "\n"); err != nil || got != c.want {
			t.Errorf("%s in system %d over strings labelled with %s become %q, expected %q (%v)", c.chords, c.system, c.label, got, c.want, err)
		}
		if all := tab.Systems(page, names); !all[0].Names {
			t.Errorf("%q are not taken for chords", c.chords)
		}
	}
}

// spellPart writes a part by bars and events; ~ marks a slurred note.
func spellPart(p fretboard.Part) string {
	var bars []string
	bar := 0
	for _, e := range p.Events {
		var notes []string
		for _, n := range e.Notes {
			fret := fmt.Sprint(n.Fret)
			if n.Dead {
				fret = "x"
			}
			if n.Before == "(" {
				fret = "(" + fret + ")"
			} else {
				fret = n.Before + fret
			}
			if n.Slurred {
				notes = append(notes, fmt.Sprintf("~%d/%s", n.String, fret))
			} else {
				notes = append(notes, fmt.Sprintf("%d/%s", n.String, fret))
			}
		}
		text := strings.Join(notes, " ")
		if e.Bar != bar {
			bar = e.Bar
			bars = append(bars, fmt.Sprintf("%d: %s", bar, text))
		} else {
			bars[len(bars)-1] += " | " + text
		}
	}
	return strings.Join(bars, " || ")
}

func TestBadTablatureIsPlacedByLineAndColumn(t *testing.T) {
	ok := "e|--0--|\nB|--1--|\nG|--0--|\nD|--2--|\nA|--3--|\nE|-----|\n"
	for _, c := range []struct {
		name, text   string
		line, column int
		problem      string
	}{
		{"no tablature", "just words\n", 1, 1, "found no tablature"},
		{"empty", "", 1, 1, "found no tablature"},
		{"a string missing", "Riff\n\n" + strings.Replace(ok, "G|--0--|\n", "", 1), 3, 1, "found 5 lines of tablature together, expected 6"},
		{"a strange sign", strings.Replace(ok, "G|--0--|", "G|--0-?|", 1), 3, 7, "found '?', expected a fret"},
		{"a fret too far", strings.Replace(ok, "B|--1--|", "B|--99-|", 1), 2, 5, "found fret 99, expected 0 to 36"},
		{"numbers run together", strings.Replace(ok, "B|--1--|", "B|-1212|", 1), 2, 4, "found fret 1212"},
		{"three digits", strings.Replace(ok, "B|--1--|", "B|-012-|", 1), 2, 4, "found fret 012"},
		{"a bar missing", strings.Replace(ok, "D|--2--|", "D|--2--|--|", 1), 1, 1, "string 1 has 1 bar in this system, expected 2"},
		{"upside down", "E|--3--|\nA|-----|\nD|-----|\nG|-----|\nB|-----|\ne|--3--|\n", 1, 1, "the labels run from the lowest string"},
		{"another tuning", strings.Replace(ok, "E|", "D|", 1), 6, 1, `string 6 is labelled D, expected E as in the tuning "standard"`},
		{"standard labels", ok, 6, 1, `string 6 is labelled E, expected D as in the tuning "drop D"`},
	} {
		neck := guitar
		if c.name == "standard labels" {
			neck.Tuning = fretboard.DropD
		}
		_, err := Parse(c.text, neck)
		var te *tabError
		if !errors.As(err, &te) {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		oneSentence(t, err)
		if te.line != c.line || te.column != c.column || !strings.Contains(te.problem, c.problem) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// Common practice, no source: tablature shows time by spacing, the dash behind a
// bar line is there for the eye, and more dashes are a rest.
func TestBeatsAreReadFromTheSpacing(t *testing.T) {
	rows := func(top string) string { return top + strings.Repeat("\n"+strings.Map(dashed, top), 5) + "\n" }
	for _, c := range []struct {
		tab   string
		meter int
		want  []float64
	}{
		{"|-0-0-0-0-|-0---0---|", 4, []float64{1, 1, 1, 1, 2, 2}},
		{"|0-0-0-0-|0---0---|", 4, []float64{1, 1, 1, 1, 2, 2}},
		{"|-0-0-0-|-0-----|", 3, []float64{1, 1, 1, 3}},
		{"|-0-0-0-|-0-----|", 6, []float64{2, 2, 2, 6}},
		{"|-0-------|-----0---|", 4, []float64{6, 2}}, // a rest at the beginning of a bar
		{"|-0-------|--0------|", 4, []float64{4.5, 3.5}},
		{"|---0-0-0-|", 4, []float64{1, 1, 1}},                  // before the first note there is nothing to wait for
		{"|-0-------|---------|-0-------|", 4, []float64{8, 4}}, // a bar of rest
	} {
		tab, err := Parse(rows(c.tab), guitar)
		must(t, err)
		p, err := tab.Part().InMeter(c.meter)
		must(t, err)
		var got []float64
		for _, e := range p.Events {
			got = append(got, e.Beats)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s in %d: %v, want %v", c.tab, c.meter, got, c.want)
		}
		if c.meter != 4 && tab.Part().Events[0].Beats == p.Events[0].Beats {
			t.Error("the part that was read has changed")
		}
	}
	for _, bad := range []int{-1, 0, 17} {
		if _, err := (fretboard.Part{}).InMeter(bad); err == nil {
			t.Errorf("%d beats in a bar are taken", bad)
		}
	}
}

func dashed(r rune) rune {
	if r == '|' {
		return r
	}
	return '-'
}

// A tab of 960 KB, as a list of short bars and as one endless one, once took 784 MB
// to be moved. A quarter of it is always tried, the whole with SUREFRET_MANY.
func TestALongTabTakesLittleMemory(t *testing.T) {
	size, most := 240_000, uint64(330/4)
	if os.Getenv("SUREFRET_MANY") != "" {
		size, most = 960_000, 330
	}
	for _, lines := range []int{6, 6000} {
		row := "|" + strings.Repeat("0-1-2-3-", size/lines/8) + "|\n"
		text := strings.Repeat(strings.Repeat(row, 6)+"\n", lines/6)
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		tab, err := Parse(text, guitar)
		must(t, err)
		m := moved(t, tab.Part(), "D", "E", fingering.SameStrings)
		if _, err := tab.Write(m.Events); err != nil {
			t.Fatal(err)
		}
		runtime.ReadMemStats(&after)
		taken := (after.TotalAlloc - before.TotalAlloc) >> 20
		t.Logf("%d KB in %d lines: %d MB", size/1000, lines, taken)
		if taken > most {
			t.Errorf("%d KB in %d lines took more than %d MB", size/1000, lines, most)
		}
	}
}
