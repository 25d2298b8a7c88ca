package sheet

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/gig"
	"surefret/drills/theory"
)

// quay is a song with a chart, a part, walks and shapes; its verse has so many rows of
// four bars.
func quay(t testing.TB, rows int, names theory.Names) Song {
	t.Helper()
	const tab = "D           A\ne|-2---0-|-0---|\nB|---3---|---2-|\nG|-------|-----|\nD|-0-----|-----|\nA|-------|-0---|\nE|-------|-----|"
	s, err := songOn(gig.Song{
		Title: "Cockle Row", Learned: "D", Called: "Bb", Tempo: 96, Shapes: []string{"tenth-6-major", "tenth-6-minor"},
		Sections: []gig.Section{{Name: "verse", Chords: strings.Repeat("1 | 5 | 6- | 4 | ", rows)}},
		Parts:    []gig.Part{gig.NewPart("intro.txt", tab)},
	}, fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}, names, false)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// kind is the one thing that a block holds.
func (b block) kind() string {
	switch {
	case b.Section != nil:
		return "chart"
	case b.Roots != nil:
		return "roots"
	case b.Title == "held tones":
		return "held tones"
	case b.Lines != nil:
		return "breaks"
	case b.Tab != nil:
		return "tab"
	case b.Walks != nil:
		return "walks"
	}
	return "shapes"
}

// Where room is left, a sheet says which tones stay over the chords.
func TestWhatStaysIsToldWhereThereIsRoom(t *testing.T) {
	s := quay(t, 1, theory.Names{})
	s.Shapes = nil
	blocks := s.sheets("Harbour Fair")[0].Blocks
	last := blocks[len(blocks)-1]
	if last.kind() != "held tones" || last.Which != "D and F stay on strings 2 and 1, at frets 3 and 1" || len(last.Lines) != 1 || !strings.Contains(last.Lines[0], "Gm 3 1 0 0 3 1") {
		t.Errorf("a short song ends with %+v", last)
	}
}

// As the chart grows, chords get smaller first, from 40 points to 32; then the pictures of
// shapes go to the second sheet, then the walks, then the tablature, and the chart last.
func TestWhatDoesNotFitGoesOverInOrder(t *testing.T) {
	var seen []string
	for rows := 1; rows <= 14; rows++ {
		s := quay(t, rows, theory.Names{})
		sheets := s.sheets("Harbour Fair")
		var kinds []string
		for _, b := range sheets[0].Blocks {
			if k := b.kind(); !slices.Contains(kinds, k) {
				kinds = append(kinds, k)
			}
		}
		over := map[string]bool{}
		for i, sh := range sheets {
			if sh.Size < 32 || sh.Size > 40 || sh.Size != sheets[0].Size {
				t.Errorf("%d rows: chords of %v points", rows, sh.Size)
			}
			if room := paperHigh - s.headHigh("Harbour Fair"); high(sh.Blocks) > room {
				t.Errorf("%d rows: sheet %d is %.0f points high, and there are %.0f", rows, i+1, high(sh.Blocks), room)
			}
			for _, b := range sh.Blocks {
				if i > 0 {
					over[b.kind()] = true
				}
			}
		}
		if len(sheets) > 1 && !over["shapes"] || over["tab"] && !over["walks"] || over["chart"] && !over["roots"] {
			t.Errorf("%d rows: %v goes over", rows, over)
		}
		if what := strings.Join(kinds, " "); !slices.Contains(seen, what) {
			seen = append(seen, what)
		}
	}
	if want := []string{"chart roots breaks tab walks shapes", "chart roots breaks tab walks", "chart roots breaks tab", "chart roots breaks"}; !slices.Equal(seen[:min(4, len(seen))], want) {
		t.Errorf("on the first sheet, as the chart grows: %q", seen)
	}
	if sheets := quay(t, 1, theory.Names{}).sheets("Harbour Fair"); len(sheets) != 1 || sheets[0].Size != 40 {
		t.Errorf("a short song takes %d sheets, with chords of %v points", len(sheets), sheets[0].Size)
	}
}

func TestABarOfTheGrid(t *testing.T) {
	s := quay(t, 1, theory.Names{})
	for _, c := range []struct {
		bar  ChartBar
		want string // chords, each note+rest:number
	}{
		{ChartBar{Chords: []string{"Bbm7", ".", "Eb", "."}, Numbers: []string{"1-7", ".", "4", "."}}, "Bbm+7:1-7 Eb+:4"},
		{ChartBar{Chords: []string{"C", ".", ".", "G/B"}, Numbers: []string{"1", ".", ".", "5/7"}}, "C+:1 +.: +.: G+/B:5/7"},
		{ChartBar{Chords: []string{"Fmaj7"}, Numbers: []string{"4maj7"}}, "F+maj7:4maj7"},
		{ChartBar{Chords: []string{"N.C."}, Numbers: []string{"N.C."}}, "+N.C.:N.C."},
		{ChartBar{Chords: []string{"C"}, Numbers: []string{"1"}, Same: true}, ""},
	} {
		var got []string
		for _, ch := range s.gridBar(c.bar).Chords {
			got = append(got, ch.Note+"+"+ch.Rest+":"+ch.Number)
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%v: %q, want %q", c.bar.Chords, got, c.want)
		}
	}
	for _, c := range []struct {
		system     theory.System
		chord      string
		note, rest string
	}{{theory.German, "Hm7", "Hm", "7"}, {theory.German, "Fis7", "Fis", "7"}, {theory.Solfege, "Sol#m", "Sol#m", ""}, {theory.English, "^<Bb>", "^<Bb", ">"}} {
		s.names = theory.Names{System: c.system}
		if note, rest := s.splitChord(c.chord); note != c.note || rest != c.rest {
			t.Errorf("%s is %q and %q", c.chord, note, rest)
		}
	}
	// Two long chords do not fit a fourth of the sheet in the smallest type, but a half.
	long := ChartSection{Bars: []ChartBar{{Chords: []string{"F#m7b5", "B7sus4"}, Numbers: []string{"2-7b5", "57sus4"}}}}
	if rows := s.grid(long, 32).Rows; rows != 2 {
		t.Errorf("%d bars a row, want 2", rows)
	}
}

func TestAWalkIsTablatureBetweenItsChords(t *testing.T) {
	s := quay(t, 1, theory.Names{})
	got := strings.Join(s.walkTab(gig.SheetWalk{From: "Gm", To: "Eb", Path: []fretboard.Position{{String: 5, Fret: 10}, {String: 5, Fret: 8}, {String: 6, Fret: 11}}}), "\n")
	want := "   Gm   Eb\nA|-10-8----|\nE|------11-|"
	if got != want {
		t.Errorf("\n%s\nwant\n%s", got, want)
	}
	got = strings.Join(s.walkTab(gig.SheetWalk{From: "Ebmaj7", To: "Gm", Path: []fretboard.Position{{String: 6, Fret: 11}, {String: 6, Fret: 10}}}), "\n")
	if want = "   Ebmaj7 Gm\nE|-11-----10-|"; got != want { // names stand apart
		t.Errorf("\n%s\nwant\n%s", got, want)
	}
}

// What breaks and the way out take three lines at most, however much breaks; the way out
// is always there.
func TestWhatBreaksTakesThreeLines(t *testing.T) {
	s := quay(t, 1, theory.Names{})
	for range 20 {
		s.Parts = append(s.Parts, s.Parts[0])
	}
	for _, width := range []int{40, 65} {
		lines, rows := s.broken(width), 0
		for _, l := range lines {
			rows += linesOf(l, width)
		}
		if rows > 3 || !strings.HasPrefix(lines[len(lines)-1], "Best way: capo 3, play G: ") {
			t.Errorf("%d lines: %q", rows, lines)
		}
	}
}

// BenchmarkPage writes the page of twelve songs, worked out anew. The aim is 100 ms.
func BenchmarkPage(b *testing.B) {
	for b.Loop() {
		page := Page{Name: "Harbour Fair", Day: "2026-12-05"}
		for rows := range 12 {
			page.Songs = append(page.Songs, quay(b, 1+rows, theory.Names{}))
		}
		var out bytes.Buffer
		if err := page.HTML(&out); err != nil {
			b.Fatal(err)
		}
	}
}
