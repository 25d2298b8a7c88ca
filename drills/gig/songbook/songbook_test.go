package songbook

import (
	"fmt"
	"strings"
	"testing"

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
	for _, c := range []struct{ from, to, line, want string }{
		{`title = "Tin Umbrella"`, `title = 7`, "3", "title is 7: expected a text in quotation marks"},
		{`title = "Tin Umbrella"`, `title = "a\u001b[2Jb"`, "3", "control character"},
		{`title = "Tin Umbrella"`, `title = ""`, "3", "the title is empty"},
		{`title = "Tin Umbrella" # title = "no"`, ``, "2", `a song without title: expected title = "..."`},
		{`learned = "D"`, `learned = "H"`, "4", `learned: "H" is not a key: expected`},
		{`called = "Bb"`, `called = "Bbm"`, "5", "not from major to minor"},
		{`tempo = 96`, `tempo = "fast"`, "6", `tempo is "fast": expected 20 to 400 beats a minute`},
		{`tempo = 96`, `tempo = 96.5`, "6", "expected 20 to 400"},
		{`tempo = 96`, `tempo = 9999`, "6", "20 to 400"},
		{`tempo = 96`, `tempi = 96`, "6", `a song has no field "tempi": expected title, learned`},
		{`"tenth-6-minor",`, `"tenth-6-minr",`, "7", "tenth-6-minor"},
		{`"tenth-6-minor",`, `3,`, "7", "shapes holds 3"},
		{`chords = "1 5 6- 4"`, `chords = "1 Hm"`, "14", "Hm"},
		{`chords = "1 5 6- 4"`, `chords = ""`, "14", "holds no chord"},
		{`chords = '4 5 1 1'`, `chords = ["4"]`, "18", "chords is a list: expected a text"},
		{`chords = '4 5 1 1'`, `cords = "1"`, "18", `a section has no field "cords": expected name or chords`},
		{`name = "chorus"`, `name = "a\u0007"`, "17", "control character"},
		{`chords = '4 5 1 1'`, `chords = 4 5`, "18", "expected TOML"},
		{`e|-0-|`, ``, "", ""},
		{`name = "intro.txt"`, ``, "20", "a part without name"},
		{`title = "Ropewalk"`, `title = "tin umbrella"`, "29", `the song "tin umbrella" is in line 2 already`},
		{`title = "Ropewalk"`, `title = "Ropewalk`, "29", "expected TOML"},
		{`chords = "1 4 5"`, `chords = "1 4 9"`, "31", "9"},
		{`chords = "1 4 5"`, `section = 3`, "31", "expected [[song.section]]"},
		{`# a book`, `title = "x"`, "1", "expected [[song]] before anything else"},
		{`[[ song ]]`, `[song]`, "", "line"},
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
		case c.line != "" && !strings.HasPrefix(err.Error(), "b.toml, line "+c.line+": "), !strings.Contains(err.Error(), c.want):
			t.Errorf("%s:\n got %v\nwant line %s, %s", c.to, err, c.line, c.want)
		}
	}
	for _, bad := range []string{"", "# nothing", "\xff\xfe", "just words", "[[song]]"} {
		if _, err := Read("b.toml", bad); err == nil {
			t.Errorf("%q: %v", bad, err)
		}
	}
}

// TOML 1.0, sections Comment and String.
func TestWhereStringsOfSeveralLinesBeginAndEnd(t *testing.T) {
	for line, goesOn := range map[string]bool{
		`tab = '''`:               true,
		`tab = """`:               true,
		`tab = '''a'''`:           false,
		`tab = """a"""`:           false,
		`# tab = '''`:             false,
		`title = "a" # '''`:       false,
		`title = "a"# '''`:        false, // the sign right behind the string that it ends
		`title = 'a'# '''`:        false,
		`title = ""# '''`:         false,
		`shapes = ["a",'''`:       true,
		`shapes = ["a", '''`:      true,
		`shapes = ["'''"]`:        false,
		`shapes = ['"""', "x"]`:   false,
		`shapes = ["a\"'''"]`:     false, // the quote is escaped, so the string goes on
		`shapes = ["a\\",'''`:     true,  // the escape is, so it does not
		`shapes = ['a\','''`:      true,  // and nothing is in a literal string
		`shapes = ["#",'''`:       true,
		`tab = '''it's''' # '''`:  false,
		`tab = '''a'''' # '''`:    false, // a quote before the three that close
		`shapes = ['''a''''','''`: true,  // two
		`tab = """a\"""`:          true,  // an escaped quote closes nothing
		`shapes = ["""a\\""",'''`: true,
		`title = "open # '''`:     false, // is no TOML, and told as such
	} {
		b := newBook("b.toml", line+"\nnext")
		if b.text[0] || b.text[1] != goesOn {
			t.Errorf("%s: the next line is text: %v, want %v", line, b.text[1], goesOn)
		}
	}
	for _, s := range []struct {
		text string
		want int
	}{{`"a" # b`, 2}, {`""`, 1}, {`"a\"b" c`, 5}, {`'a\' b`, 3}, {`"a`, 2}, {`"a\"`, 4}, {`"`, 1}, {`'it"s'`, 5}} {
		if got := stringEnd(s.text); got != s.want {
			t.Errorf("%s ends at %d, want %d", s.text, got, s.want)
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
	if _, err := Read("b.toml", Write(manySongs(gig.MostSongs+1))); err == nil || !strings.Contains(err.Error(), "501 songs are too many: expected at most 500") {
		t.Errorf("501 songs: %v", err)
	}
}

func TestABookBringsBackWhatWasWritten(t *testing.T) {
	text := rapid.StringMatching(`[ -~é♯日'"\\#\[\]=]{0,30}`)
	rapid.Check(t, func(t *rapid.T) {
		s := gig.Song{
			Title: "x" + text.Draw(t, "title"), Learned: "D", Called: "Bb", Tempo: rapid.IntRange(20, 400).Draw(t, "tempo"),
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
