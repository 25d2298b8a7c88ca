package gig

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"surefret/drills"
	"surefret/drills/chart"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// tinUmbrella is a song of the Saltmarsh Five.
func tinUmbrella() Song {
	return Song{
		Title: "Tin Umbrella", Learned: "D", Called: "Bb", Tempo: 96,
		Sections: []Section{{"verse", "1 5 6- 4"}, {"chorus", "G A D D"}},
		Shapes:   []string{"tenth-6-major", "e-form-minor"},
	}
}

func catalogue() *drills.Catalogue {
	return drills.NewCatalogue(drills.Setup{Neck: fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}})
}

func TestASongIsMovedToTheCalledKey(t *testing.T) {
	n, err := tinUmbrella().Need()
	if err != nil {
		t.Fatal(err)
	}
	// Common practice, no source: D to B flat moves every chord up a minor sixth.
	if got, want := n.Chords.String(), "Bb F Gm Eb Eb F Bb Bb"; got != want {
		t.Errorf("chords %s, want %s", got, want)
	}
}

func TestItemsAreWhatTheSongUses(t *testing.T) {
	items, err := tinUmbrella().Items(catalogue())
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]bool{}
	for _, it := range items {
		got[it.ID] = true
	}
	for _, id := range []string{
		"note/E2+6/name", "note/E2+6/find", "note/A2+1/name", // B flat
		"note/E2+11/name", // E flat
		"key/Bb major/signature", "key/Bb major/4", "key/Bb major/6-", "key/Bb major/5",
		"shape/tenth-6-major@E2-G3/place",
		"walkup/5-1/up@E2-A2-D3",
	} {
		if !got[id] {
			t.Errorf("%s is not among the items", id)
		}
	}
	for _, id := range []string{"note/E2+10/name", "note/D3+0/name", "key/D major/4", "shape/tenth-6-minor@E2-G3/place"} {
		if got[id] {
			t.Errorf("%s is among the items", id)
		}
	}
}

func TestItemsOfAGigAreThereOnce(t *testing.T) {
	again := tinUmbrella()
	again.Title = "Ropewalk"
	g := Gig{Name: "Harbour Fair", Day: "2026-12-05", Songs: []Song{tinUmbrella(), again}}
	items, err := g.Items(catalogue())
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, it := range items {
		if seen[it.ID] {
			t.Errorf("%s is there twice", it.ID)
		}
		seen[it.ID] = true
	}
}

// 5 December 2026 is a Saturday (a leap year has 366 days, and 1 January 2024 was
// a Monday: GNU date).
func TestADayMayBeNamedFromToday(t *testing.T) {
	saturday := time.Date(2026, time.December, 5, 23, 30, 0, 0, time.FixedZone("", -8*3600))
	for text, want := range map[string]string{
		"today": "2026-12-05", "Tomorrow": "2026-12-06", "Saturday": "2026-12-05", "sat": "2026-12-05",
		"sunday": "2026-12-06", " FRI ": "2026-12-11", "thurs": "2026-12-10",
		"2026-12-24": "2026-12-24", " 2026-12-24 ": "2026-12-24", "sa": "sa", "": "", "next Friday": "next Friday", "fridays": "fridays",
	} {
		if got := DayFrom(text, saturday); got != want {
			t.Errorf("%q on a Saturday is %q, want %q", text, got, want)
		}
	}
}

func TestCheckNamesTheFault(t *testing.T) {
	for _, c := range []struct {
		name  string
		spoil func(*Gig)
		want  string
	}{
		{"good", func(*Gig) {}, ""},
		{"no name", func(g *Gig) { g.Name = " " }, "the name of the gig is empty"},
		{"bad day", func(g *Gig) { g.Day = "next Friday" }, `"next Friday" is not a day: use year, month and day, like 2026-12-05`},
		{"no such day", func(g *Gig) { g.Day = "2026-02-30" }, "is not a day"},
		{"unknown key", func(g *Gig) { g.Songs[0].Called = "H" }, `song "Tin Umbrella": "H" is not a key`},
		{"key without signature", func(g *Gig) { g.Songs[0].Called = "G#" }, "Ab"},
		{"minor for major", func(g *Gig) { g.Songs[0].Called = "Bbm" }, "not from major to minor"},
		{"no progression", func(g *Gig) { g.Songs[0].Sections = nil }, "it has no chords"},
		{"empty progression", func(g *Gig) { g.Songs[0].Sections[0].Chords = " " }, "holds no chord"},
		{"bad chord", func(g *Gig) { g.Songs[0].Sections[0].Chords = "1 5 Hm" }, `section "verse"`},
		{"unknown shape", func(g *Gig) { g.Songs[0].Shapes = []string{"tenth-6-majr"} }, "tenth-6-major"},
		{"control character", func(g *Gig) { g.Songs[0].Title = "Tin\x1b[2JUmbrella" }, "control character"},
		{"too long", func(g *Gig) { g.Name = strings.Repeat("x", 300) }, "too long"},
		{"too fast", func(g *Gig) { g.Songs[0].Tempo = 1000 }, "20 to 400"},
		{"same title", func(g *Gig) { g.Songs = append(g.Songs, g.Songs[0]) }, "there twice"},
		{"too many songs", func(g *Gig) { g.Songs = make([]Song, MostSongs+1) }, "too many"},
	} {
		g := Gig{Name: "Harbour Fair", Day: "2026-12-05", Songs: []Song{tinUmbrella()}}
		c.spoil(&g)
		err := g.Check()
		switch {
		case c.want == "" && err != nil:
			t.Errorf("%s: %v", c.name, err)
		case c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)):
			t.Errorf("%s: error %v, want one with %q", c.name, err, c.want)
		case err != nil && strings.Contains(err.Error(), "\n"):
			t.Errorf("%s: more than one line: %v", c.name, err)
		}
	}
}

// The most and the least that is taken, and one more.
func TestTheBoundsOfAGig(t *testing.T) {
	full := Gig{Name: "Harbour Fair", Day: "2026-12-05"}
	for i := range MostSongs {
		s := song("D", "D", "1")
		s.Title = fmt.Sprint("Song ", i)
		full.Songs = append(full.Songs, s)
	}
	if err := full.Check(); err != nil {
		t.Errorf("%d songs: %v", MostSongs, err)
	}
	for text, good := range map[string]bool{
		strings.Repeat("x", longestNote): true, strings.Repeat("x", longestNote+1): false, "two\nlines": true, "tab\t": false,
		"\u2066": false, "\u2069": false, "\u202a": false, "\u202e": false, "\u2028": false, "\u2029": false, "\ufffd": false, "\u206a": true,
	} {
		if err := CheckNote(text); (err == nil) != good {
			t.Errorf("a note of %d letters, %.9q: %v", len(text), text, err)
		}
	}
	for tempo, good := range map[float64]bool{0: true, 19.5: false, 20: true, 96.5: true, 400: true, 400.5: false, -1: false, math.NaN(): false} {
		s := tinUmbrella()
		s.Tempo = tempo
		if err := s.Check(); (err == nil) != good {
			t.Errorf("tempo %g: %v", tempo, err)
		}
	}
	for length, good := range map[int]bool{longestText: true, longestText + 1: false} {
		s := tinUmbrella()
		s.Title = strings.Repeat("x", length)
		if err := s.Check(); (err == nil) != good {
			t.Errorf("a title of %d letters: %v", length, err)
		}
	}
	for length, good := range map[int]bool{longestPart: true, longestPart + 1: false} {
		if err := (Part{Name: "p", Tab: strings.Repeat("-", length)}).Check(); (err == nil) != good {
			t.Errorf("a part of %d letters: %v", length, err)
		}
	}
	for parts, good := range map[int]bool{mostParts: true, mostParts + 1: false} {
		s := tinUmbrella()
		for range parts {
			s.Parts = append(s.Parts, Part{Name: "p", Tab: "-"})
		}
		if err := s.Check(); (err == nil) != good {
			t.Errorf("%d parts: %v", parts, err)
		}
	}
	twice := Gig{Name: "Harbour Fair", Day: "2026-12-05", Songs: []Song{tinUmbrella(), tinUmbrella()}}
	twice.Songs[1].Title = "TIN umbrella"
	if twice.Check() == nil {
		t.Error("two titles that differ in case alone are taken")
	}
}

func TestKeysComeByDayAndOnce(t *testing.T) {
	later := Gig{Day: "2026-12-12", Songs: []Song{song("D", "Eb", "1"), song("D", "Bb", "1")}}
	sooner := Gig{Day: "2026-12-05", Songs: []Song{song("D", "Bb", "1"), song("D", "A", "1")}}
	var got []string
	for _, k := range Keys([]Gig{later, sooner}) {
		got = append(got, k.Short())
	}
	if strings.Join(got, " ") != "Bb A Eb" {
		t.Errorf("%v, want Bb A Eb", got)
	}
}

func TestAPartIsMadePlain(t *testing.T) {
	p := NewPart("p.txt", "ab\tc\t|\r\n\td  \rend \n\n")
	if want := "ab      c       |\n        d\nend"; p.Tab != want {
		t.Errorf("%q, want %q", p.Tab, want)
	}
}

func TestASongIsFoundByItsTitleInEitherCase(t *testing.T) {
	g := Gig{Songs: []Song{song("D", "D", "1"), tinUmbrella()}}
	if i, ok := g.Song(" tin UMBRELLA "); !ok || i != 1 {
		t.Errorf("found at %d, %v", i, ok)
	}
	if _, ok := g.Song("Tin"); ok {
		t.Error("half a title is found")
	}
}

func TestAFaultyPartOrSectionIsRefused(t *testing.T) {
	for want, spoil := range map[string]func(*Song){
		"the name of a part is empty": func(s *Song) { s.Parts = []Part{{Tab: "-"}} },
		"the part p is empty":         func(s *Song) { s.Parts = []Part{{Name: "p", Tab: " \n"}} },
		"the part p holds a control":  func(s *Song) { s.Parts = []Part{{Name: "p", Tab: "-\x1b[2J"}} },
		"the name of a section holds": func(s *Song) { s.Sections[0].Name = "verse\a" },
		"section \"verse\" is too long": func(s *Song) {
			s.Sections[0] = Section{"verse", strings.Repeat("1 ", longestChart)}
		},
	} {
		s := tinUmbrella()
		spoil(&s)
		if err := s.Check(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

func TestASongsSectionsInTheCalledKey(t *testing.T) {
	text := "{title: Cockles}\n{key: G}\n{capo: 1}\n{time: 3/4}\n{c: Chorus}\n[G]Rain [D]falls\n{c: Verse x2}\n[Em]Quay\n{chorus}\n"
	charts, err := chart.Read("cockles.cho", text, chart.Options{})
	if err != nil {
		t.Fatal(err)
	}
	fromChart, err := FromChart(charts[0], text)
	if err != nil {
		t.Fatal(err)
	}
	fromChart.Called = "B"
	typed := Song{Title: "Shingle", Learned: "D", Called: "Bb", Sections: []Section{{Name: "verse", Chords: "||: 1 | 4 5 :||"}}}
	for _, v := range []struct {
		song Song
		want []string
	}{
		{fromChart, []string{"Chorus x1: B F#", "Verse x2: G#m", "Chorus x1 recalled: B F#"}},
		{typed, []string{"verse x1: Bb Eb F"}},
	} {
		all, err := v.song.Stretches()
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, s := range all {
			line := fmt.Sprintf("%s x%d", s.Name, s.Times)
			if s.Recalled {
				line += " recalled"
			}
			line += ":"
			for _, b := range s.Bars {
				for _, beat := range b.Beats {
					line += " " + beat.Chord.String()
				}
			}
			got = append(got, line)
		}
		if diff := cmp.Diff(v.want, got); diff != "" {
			t.Errorf("%s: %s", v.song.Title, diff)
		}
	}
}

// What a song keeps of its chart: repeats, endings, and what is recalled; the chords of
// a need are those that are played.
func TestASongKeepsTheRepeatsOfItsChart(t *testing.T) {
	text := "Cockles\nKey: G\n[Verse]\n||: G | C :|| x3 D |\n[Chorus]\n|: G |[1. C :|[2. D |\n[Bridge] x2\n| Em | C |\n[Tag] x2\n|: G :| D |\n[Chorus]\n"
	charts, err := chart.Read("cockles.txt", text, chart.Options{})
	if err != nil {
		t.Fatal(err)
	}
	s, err := FromChart(charts[0], text)
	if err != nil {
		t.Fatal(err)
	}
	want := []Section{
		{Name: "Verse", Chords: "|: G | C :| x3 | D |"},
		{Name: "Chorus", Chords: "|: G | [1. C :| [2. D |"},
		{Name: "Bridge", Chords: "| Em | C | (x2)"},
		{Name: "Tag", Chords: "| G | G | D | (x2)"},
		{Name: "Chorus", Chords: "|: G | [1. C :| [2. D |"},
	}
	if diff := cmp.Diff(want, s.Sections); diff != "" {
		t.Error(diff)
	}
	if err := s.Check(); err != nil {
		t.Error(err)
	}
	for i, played := range []string{"G C G C G C D", "G C G D", "Em C Em C", "G G D G G D"} {
		n, err := Song{Title: "x", Learned: "G", Called: "G", Sections: s.Sections[i : i+1]}.Need()
		if got := n.Chords.String(); err != nil || got != played {
			t.Errorf("%s is played %s, want %s: %v", s.Sections[i].Chords, got, played, err)
		}
	}
}

// What earlier programs kept is read as it was; what is typed now is asked about.
func TestKeptChordsAreReadAsBefore(t *testing.T) {
	g := theory.Key{Tonic: theory.Note{Letter: 4}}
	for chords, want := range map[string]string{
		"15 45": "G5 C5", "V7/ii 2-": "E7 Am", "G D x2": "G D G D", "G F sharp minor": "G F#m", "6-2-5": "",
	} {
		sec := Section{Chords: chords}
		if p, err := sec.in(g); want != "" && (err != nil || p.String() != want) {
			t.Errorf("%s is kept as %s, want %s: %v", chords, p, want, err)
		}
		if _, err := sec.typed(g, theory.Names{}); (err == nil) != (chords == "G F sharp minor") {
			t.Errorf("%s typed: %v", chords, err)
		}
	}
}

// Singers say how far, too: the key is that many half steps away, spelled with the fewest
// accidentals.
func TestAKeyIsCalledByItsDistance(t *testing.T) {
	for _, v := range []struct{ called, learned, want string }{
		{"half step up", "C", "Db major"}, {"a half step up", "G", "Ab major"}, {"half-step down", "A", "Ab major"},
		{"whole step up", "Am", "B minor"}, {"a step down", "C", "Bb major"}, {"Two Steps Up", "D", "F# major"},
		{"3 half steps down", "C", "A major"}, {"+1", "E", "F major"}, {"-2", "F#m", "E minor"}, {"+12", "E", "+12"}, {"up", "E", "up"},
	} {
		if got := CalledTyped(v.called, v.learned, theory.Names{}); got != v.want {
			t.Errorf("%s from %s is %s, want %s", v.called, v.learned, got, v.want)
		}
	}
}
