package songbook

import (
	"fmt"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"surefret/drills/gig"
)

// goodBook is a book with every field, and things that could mislead a search
// for lines: comments, strings over several lines, headers inside of them.
const goodBook = `# a book
[[song]]
title = "Tin Umbrella" # title = "no"
learned = "D"
called = "Bb"
tempo = 96
shapes = [
  "tenth-6-major",
  "tenth-6-minor",
]

[[song.section]]
name = "verse"
chords = "1 5 6- 4"

[[song.section]]
name = "chorus"
chords = '4 5 1 1'

[[song.part]]
name = "intro.txt"
tab = '''
[[song]]
chords = no
e|-0-|
'''

[[ song ]]
title = "Ropewalk"
learned = "G"
chords = "1 4 5"
`

func TestABookIsReadWhole(t *testing.T) {
	songs, err := Read("b.toml", goodBook)
	if err != nil {
		t.Fatal(err)
	}
	want := []gig.Song{
		{Title: "Tin Umbrella", Learned: "D", Called: "Bb", Tempo: 96, Shapes: []string{"tenth-6-major", "tenth-6-minor"},
			Sections: []gig.Section{{Name: "verse", Chords: "1 5 6- 4"}, {Name: "chorus", Chords: "4 5 1 1"}},
			Parts:    []gig.Part{{Name: "intro.txt", Tab: "[[song]]\nchords = no\ne|-0-|"}}},
		{Title: "Ropewalk", Learned: "G", Called: "G", Sections: []gig.Section{{Chords: "1 4 5"}}},
	}
	if diff := cmp.Diff(want, songs); diff != "" {
		t.Error(diff)
	}
	windows := strings.ReplaceAll(goodBook, "\n", "\r\n")
	if again, err := Read("b.toml", "\ufeff"+windows); err != nil || !cmp.Equal(want, again) {
		t.Errorf("with the line ends of Windows: %v\n%s", err, cmp.Diff(want, again))
	}
}

func TestEveryFieldThatIsWrongIsNamedWithItsLine(t *testing.T) {
	for _, c := range []struct{ from, to, at, want string }{
		{`title = "Tin Umbrella"`, `title = 7`, "3/9", "title is 7: expected a text in quotation marks"},
		{`title = "Tin Umbrella"`, `title = "a\u001b[2Jb"`, "3/9", "control character"},
		{`title = "Tin Umbrella"`, `title = ""`, "3/9", "the title is empty"},
		{`title = "Tin Umbrella" # title = "no"`, ``, "2/1", `a song without title: expected title = "..."`},
		{`learned = "D"`, `learned = "H"`, "4/11", `learned: "H" is not a key: use`},
		{`called = "Bb"`, `called = "Bbm"`, "5/10", "not from major to minor"},
		{`tempo = 96`, `tempo = "fast"`, "6/9", `tempo is "fast": expected 20 to 400 beats a minute`},
		{`tempo = 96`, `tempo = nan`, "6/9", "20 to 400"},
		{`tempo = 96`, `tempo = 9999`, "6/9", "20 to 400"},
		{`tempo = 96`, `tempi = 96`, "6/1", `a song has no field "tempi": expected title, learned`},
		{`"tenth-6-minor",`, `"tenth-6-minr",`, "9/3", "tenth-6-minor"},
		{`"tenth-6-minor",`, `3,`, "9/3", "shapes holds 3"},
		{`chords = "1 5 6- 4"`, `chords = "1 Hm"`, "14/10", "Hm"},
		{`chords = "1 5 6- 4"`, `chords = ""`, "14/10", "holds no chord"},
		{`chords = '4 5 1 1'`, `chords = ["4"]`, "18/1", "chords is a list: expected a text"},
		{`chords = '4 5 1 1'`, `cords = "1"`, "18/1", `a section has no field "cords": expected name or chords`},
		{`name = "chorus"`, `name = "a\u0007"`, "17/8", "control character"},
		{`chords = '4 5 1 1'`, `chords = 4 5`, "18/12", "expected TOML"},
		{`e|-0-|`, ``, "", ""},
		{`name = "intro.txt"`, ``, "20/1", "a part without name"},
		{`title = "Ropewalk"`, `title = "tin umbrella"`, "29/9", `the song "tin umbrella" is in line 2 already`},
		{`title = "Ropewalk"`, `title = "Ropewalk`, "29/18", "expected TOML"},
		{`chords = "1 4 5"`, `chords = "1 4 9"`, "31/10", "9"},
		{`chords = "1 4 5"`, `section = 3`, "31/1", "expected [[song.section]]"},
		{`# a book`, `title = "x"`, "1/1", "expected [[song]] before anything else"},
		{`[[ song ]]`, `[song]`, "28/1", "found the header [song], expected [[song]]"},
		{`chords = "1 4 5"`, `chords = "1"` + "\nchords = '4'", "32/1", "chords is given twice"},
	} {
		if !strings.Contains(goodBook, c.from) {
			t.Fatalf("the book has no %s", c.from)
		}
		_, err := Read("b.toml", strings.Replace(goodBook, c.from, c.to, 1))
		if c.want == "" {
			if err != nil {
				t.Errorf("%s: %v", c.to, err)
			}
			continue
		}
		switch {
		case err == nil:
			t.Errorf("%s: taken", c.to)
		case strings.Contains(err.Error(), "\n"):
			t.Errorf("%s: not one sentence for the player: %v", c.to, err)
		case c.at != "" && !strings.HasPrefix(err.Error(), "b.toml, line "+strings.Replace(c.at, "/", ", column ", 1)+": "), !strings.Contains(err.Error(), c.want):
			t.Errorf("%s:\n got %v\nwant line/column %s, %s", c.to, err, c.at, c.want)
		}
	}
	for _, bad := range []string{"", "# nothing", "\xff\xfe", "just words", "[[song]]"} {
		if _, err := Read("b.toml", bad); err == nil {
			t.Errorf("%q: %v", bad, err)
		}
	}
}

// hostile lists what a mailed file may repeat: brackets, keys, numbers, strings and
// tables without end.
var hostile = []string{
	"[", "[[", "{a=", "{a={", "[{a=[", "a.", `"a".`, "''.", "a=1\n", "1,", "[],", "{},", "'',", `"tenth-6-major",`, `"\u0041`,
	`"""`, "'''", "#", "# '''\n", "\\", "\"", "\r", "é", "true,",
	"[[song]]\n", "[[song]]\ntitle='x'\nlearned='C'\n", "[[song.section]]\n", "[[song.section]]\nchords='1 4 5'\n",
	"[[song.part]]\nname='x'\ntab='e|-0-|'\n", "title='x'\n", "song=[{}]\n", "[song.a]\n",
}

// Ten thousand parts in one dotted key once took 67 MB, twenty thousand 1.5 GB.
func TestAHostileBookTakesLittleMemory(t *testing.T) {
	const megabyte = 1 << 20
	tried, slowest := 0, time.Duration(0)
	for _, unit := range hostile {
		for _, head := range []string{"", "[[song]]\ntitle='x'\nlearned='C'\nchords='1'\nshapes="} {
			text := head + strings.Repeat(unit, megabyte/len(unit))
			var before, after runtime.MemStats
			start := time.Now()
			runtime.ReadMemStats(&before)
			_, err := Read("b.toml", text)
			runtime.ReadMemStats(&after)
			tried, slowest = tried+1, max(slowest, time.Since(start))
			if taken := after.TotalAlloc - before.TotalAlloc; taken > 64*megabyte {
				t.Errorf("a megabyte of %q after %q takes %d MB", unit, head, taken/megabyte)
			}
			if err != nil && (len(err.Error()) > 1000 || strings.Contains(err.Error(), "\n")) {
				t.Errorf("%q after %q is told in %d letters: %.300s", unit, head, len(err.Error()), err)
			}
		}
	}
	if tried < 50 {
		t.Errorf("%d shapes, want 50", tried)
	}
	t.Logf("%d shapes, the slowest in %v", tried, slowest)
}

// TOML 1.0, sections Comment and String: what stands there is text and no nesting.
func TestSignsInStringsAndCommentsDoNotCount(t *testing.T) {
	many := strings.Repeat("[{a.", mostSigns)
	for _, line := range []string{
		"# " + many, `title = "a" # ` + many, `title = 'a\'# ` + many, `title = "a\""# ` + many, `title = ""# ` + many,
		`shapes = ["""a\"` + many + `""", "x"] # ` + many, `shapes = ['''a"''` + many + `''''', 'x'] # '` + many,
		"shapes = ['a', # " + many + "\n]",
	} {
		if at := tooMuch(line + "\ntempo = 1"); at >= 0 {
			t.Errorf("%.30s: too much at %d", line, at)
		}
		if at := tooMuch(line + "\ntempo = " + many); at < len(line)+mostSigns {
			t.Errorf("%.30s: what follows it is too much at %d", line, at)
		}
	}
}

// manySongs is a gig of n songs.
func manySongs(n int) gig.Gig {
	g := gig.Gig{Name: "Harbour Fair"}
	for i := range n {
		g.Songs = append(g.Songs, gig.Song{Title: fmt.Sprintf("Song %d", i), Learned: "D", Called: "Bb", Sections: []gig.Section{{Chords: "1 4 5"}}})
	}
	return g
}

func TestABookOfTheMostSongsAndNotOneMore(t *testing.T) {
	g := manySongs(gig.MostSongs)
	songs, err := Read("b.toml", Write(g))
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(g.Songs, songs); diff != "" {
		t.Error(diff)
	}
	if _, err := Read("b.toml", Write(manySongs(gig.MostSongs+1))); err == nil || !strings.Contains(err.Error(), "more than 500 songs are too many") {
		t.Errorf("501 songs: %v", err)
	}
}

func TestABookBringsBackWhatWasWritten(t *testing.T) {
	text := rapid.StringMatching(`[ -~é♯日'"\\#\[\]=]{0,30}`)
	rapid.Check(t, func(t *rapid.T) {
		s := gig.Song{
			Title: "x" + text.Draw(t, "title"), Learned: "D", Called: "Bb", Tempo: float64(rapid.IntRange(40, 800).Draw(t, "half tempo")) / 2,
			Sections: []gig.Section{{Name: strings.TrimSpace(text.Draw(t, "section")), Chords: "1 b7 4/6 V/ii"}},
			Parts:    []gig.Part{gig.NewPart("x"+text.Draw(t, "name"), "x"+text.Draw(t, "first")+"\n"+text.Draw(t, "second"))},
		}
		if s.Check() != nil {
			t.Skip("no song")
		}
		got, err := Read("b.toml", Write(gig.Gig{Name: "x", Songs: []gig.Song{s}}))
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff([]gig.Song{s}, got, cmpopts.EquateEmpty()); diff != "" {
			t.Error(diff)
		}
	})
}

func FuzzBook(f *testing.F) {
	f.Add(goodBook)
	f.Add("[[song]]\ntitle = '''\n[[song]]\n")
	f.Add("[[song]]\n[[song.section]]\n[song.part]\n")
	f.Fuzz(func(t *testing.T, text string) {
		songs, err := Read("b.toml", text)
		if err != nil {
			if !strings.HasPrefix(err.Error(), "b.toml") {
				t.Errorf("%v", err)
			}
			return
		}
		for _, s := range songs {
			if err := s.Check(); err != nil {
				t.Errorf("taken, but %v", err)
			}
		}
	})
}
