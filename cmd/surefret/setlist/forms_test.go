package setlist

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"surefret/cmd/surefret/demo"
	"surefret/cmd/surefret/form"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/gig"
	"surefret/drills/theory"
)

// Each field of the forms refuses what cannot be used, where it is typed, in one
// sentence that no terminal would obey.
func TestEveryFieldRefusesBadInput(t *testing.T) {
	taken := gig.Gig{ID: "1", Name: "Harbour Fair", Day: "2026-12-05"}
	b := book(theory.English, taken)
	prose := filepath.Join(t.TempDir(), "prose.txt")
	if err := os.WriteFile(prose, []byte("No tablature in here."), 0o600); err != nil {
		t.Fatal(err)
	}
	var g gig.Gig
	more := form.No
	gigQuestions := b.gigForm(&g, &more).Questions
	songs := songForm{Book: b, gig: gig.Gig{Name: "Quay Dance", Songs: demo.Gigs(0)[0].Songs}}
	songQuestions := songs.form().Questions
	refuses := func(q form.Question, bad map[string]string) {
		t.Helper()
		for answer, want := range bad {
			before := *q.Value
			err := q.Set(answer)
			switch {
			case err == nil:
				t.Errorf("%s %q is taken", q.Ask, answer)
			case !strings.Contains(err.Error(), want):
				t.Errorf("%s %q: %v, want %q", q.Ask, answer, err, want)
			case strings.ContainsAny(err.Error(), "\n\x1b\a"):
				t.Errorf("%s %q: the refusal is no plain sentence: %q", q.Ask, answer, err)
			}
			if *q.Value != before {
				t.Errorf("%s %q is refused and kept", q.Ask, answer)
			}
		}
	}
	takes := func(q form.Question, answer string) {
		t.Helper()
		if err := q.Set(answer); err != nil {
			t.Errorf("%s %q: %v", q.Ask, answer, err)
		}
	}
	control := map[string]string{"Tin\x1b[2JUmbrella": "control character", "bell\a": "control character", "\u202eflipped": "control character",
		strings.Repeat("x", 300): "too long", "": "is empty", "   ": "is empty"}

	refuses(gigQuestions[0], control)
	takes(gigQuestions[0], "harbour fair")
	refuses(gigQuestions[1], map[string]string{
		"": "is not a day", "soon": "is not a day", "2026-02-30": "is not a day", "2026-13-01": "is not a day", "5.12.2026": "like 2026-12-05",
		"2026-12-5": "is not a day", "20261205": "is not a day", "2026-12-05": `there is a gig called "harbour fair"`, "\x1b[2J": "is not a day"})
	takes(gigQuestions[1], " 2028-02-29 ") // a leap year
	refuses(gigQuestions[2], map[string]string{"maybe": "use yes or no", "3": "use yes or no", "": "use yes or no"})
	takes(gigQuestions[2], "YES")

	refuses(songQuestions[0], control)
	refuses(songQuestions[0], map[string]string{"tin UMBRELLA": "is in this gig already"})
	takes(songQuestions[0], "Été à Saltmarsh")
	keys := map[string]string{"H": "is not a key", "X": "is not a key", "G#": "Ab major", "Dm7b5": "is not a key", "\x1b[2J": "is not a key"}
	refuses(songQuestions[1], keys)
	refuses(songQuestions[1], map[string]string{"": "is not a key"})
	takes(songQuestions[1], "D")
	refuses(songQuestions[2], keys)
	refuses(songQuestions[2], map[string]string{"Bbm": "not from major to minor"})
	takes(songQuestions[2], "")
	takes(songQuestions[2], "Bb")
	refuses(songQuestions[3], map[string]string{
		"": "has no chords", " ; ": "has no chords", "verse:": "holds no chord", "verse: 1 Hm": "Hm", "8": "from 1 to 7", "1 4 5 x3": "write (x3)", "6-2-5": "6- 2- 5 or 6 2 5", "15": "1(5)", "1 4 \x1b[2J": "", "verse\a: 1": "control character",
		strings.Repeat("1 ", 1200): "too long"})
	takes(songQuestions[3], "verse: D A Bm G; chorus: 4 5 1")
	refuses(songQuestions[4], map[string]string{"tenth-6-majr": "surefret shape list", "1,tenth-7-major": "tenth-7-major", "0": "shape list"})
	takes(songQuestions[4], "")
	takes(songQuestions[4], "tenth-6-major, tenth-6-minor")
	refuses(songQuestions[5], map[string]string{"nowhere.txt": "there is no file nowhere.txt", prose: "prose.txt: ", t.TempDir(): "is a folder"})
	takes(songQuestions[5], "")
	refuses(songQuestions[6], map[string]string{
		"fast": "is not a tempo", "0": "is not a tempo", "19": "20 to 400", "401": "20 to 400", "-96": "20 to 400", "9e9": "is not a tempo",
		"99999999999999999999": "20 to 400", "inf": "is not a tempo"})
	takes(songQuestions[6], "96.5")
	s, err := songs.song()
	if err != nil || s.Title != "Été à Saltmarsh" || s.Called != "Bb" || len(s.Sections) != 2 || len(s.Shapes) != 2 || s.Tempo != 96.5 {
		t.Errorf("the song is %+v: %v", s, err)
	}
}

// answering answers the form of a song, and the question for another by another.
func answering(another func() (bool, error), asked *int) Asker {
	return func(_ context.Context, f form.Form) (bool, error) {
		if len(f.Questions) == 1 {
			_ = f.Questions[0].Set(form.Yes)
			return another()
		}
		*asked++
		for i, answer := range []string{fmt.Sprint("One More ", *asked), "D", "", "1 4 5", "", "", ""} {
			if err := f.Questions[i].Set(answer); err != nil {
				return false, err
			}
		}
		return true, nil
	}
}

// A gig that is full asks for no more songs, whatever the player would like. Esc at
// the question for another song, or the end of the input there, leaves the song that
// was answered.
func TestSongsAreKeptOneByOneUntilThereAreNoMore(t *testing.T) {
	for name, c := range map[string]struct {
		before, asked, more int
		answered            bool
		err                 error
	}{
		"full":         {gig.MostSongs - 2, 2, 1, true, nil},
		"Esc":          {1, 1, 1, false, nil},
		"end of input": {1, 1, 1, false, io.EOF},
	} {
		var g, kept gig.Gig
		for i := range c.before {
			g.Songs = append(g.Songs, gig.Song{Title: fmt.Sprint("Song ", i)})
		}
		asked, more := 0, 0
		ask := answering(func() (bool, error) { more++; return c.answered, c.err }, &asked)
		g, err := book(theory.English).askSongs(t.Context(), g, ask, func(_ context.Context, g gig.Gig) error { kept = g; return nil })
		if err != nil || asked != c.asked || more != c.more || len(g.Songs) != c.before+c.asked || len(kept.Songs) != len(g.Songs) {
			t.Errorf("%s: asked for %d songs and %d times for another, %d there, %d kept: %v", name, asked, more, len(g.Songs), len(kept.Songs), err)
		}
	}
}

// German calls B natural H and B flat B (Duden, entries "H" and "B", from memory); fixed do
// calls B natural Si (common practice, no source).
func TestASongIsReadInThePlayersNames(t *testing.T) {
	for _, c := range []struct {
		system                     theory.System
		key, chords, learned, want string
	}{
		{theory.English, "Bb", "Bb B Gm", "Bb", "Bb B Gm"},
		{theory.German, "B", "B F Gm Es", "Bb", "Bb F Gm Eb"},
		{theory.German, "H", "1 4", "B", "1 4"},
		{theory.German, "E", "E H7 Cism | A/Cis", "E", "E B7 C#m | A/C#"},
		{theory.German, "B", "1 5 6- b7 | IV", "Bb", "1 5 6- b7 | IV"},
		{theory.German, "B", "1 B b7", "Bb", "1 Bb b7"},
		{theory.German, "Fism", "1 4", "F#m", "1 4"},
		{theory.Solfege, "Sib", "Sib Fa Solm Mib", "Bb", "Bb F Gm Eb"},
		{theory.Solfege, "Si", "1 4", "B", "1 4"},
		{theory.Solfege, "Fa#m", "1 4", "F#m", "1 4"},
	} {
		f := songForm{Book: book(c.system), title: "Another", learned: c.key, chords: c.chords}
		s, err := f.song()
		if err != nil || len(s.Sections) != 1 || s.Sections[0].Chords != c.want || s.Learned != c.learned || s.Called != c.learned {
			t.Errorf("%s in %s is kept as %+v, want %q in %s: %v", c.chords, c.key, s, c.want, c.learned, err)
		}
	}
	f := songForm{Book: book(theory.German), learned: "B"}
	if f.form().Questions[3].Check("1 X") == nil {
		t.Error("X is taken for a chord")
	}
}

// Of a song of the player's, as far as he types its title, the form asks the called key
// alone; a new song is asked for whole, and in quotes it may begin one of his.
func TestTheSongsFormKnowsThePlayersSongs(t *testing.T) {
	mine := []gig.Song{{ID: "tin umbrella", Title: "Tin Umbrella", Learned: "D"}, {ID: "tin whistle", Title: "Tin Whistle", Learned: "G"}, {ID: "ropewalk", Title: "Ropewalk", Learned: "A"}}
	for _, c := range []struct{ typed, title, learned string }{
		{"tin u", "Tin Umbrella", "D"}, {"ROPEWALK", "Ropewalk", "A"}, {`"ropewalk"`, "Ropewalk", "A"},
		{"Ninth Buoy", "Ninth Buoy", ""}, {`"Tin"`, "Tin", ""}, {`"Rope"`, "Rope", ""}, {"tin", "", ""},
	} {
		f := songForm{Book: book(theory.English)}
		f.Mine = mine
		asked := f.form().Questions
		if err := asked[0].Set("Ropewalk"); err != nil { // and thinks better of it
			t.Fatal(err)
		}
		if err := asked[0].Set(c.typed); err != nil {
			if c.title != "" || !strings.Contains(err.Error(), "in quotes") {
				t.Errorf("%s: %v", c.typed, err)
			}
			continue
		}
		learned := f.learned
		f.learned = cmp.Or(f.learned, "C")
		s, err := f.song()
		if err != nil || s.Title != c.title || learned != c.learned || asked[1].Idle() != (c.learned != "") {
			t.Errorf("%s is %q, learned in %q, and the key is asked: %v; %v", c.typed, s.Title, learned, !asked[1].Idle(), err)
		}
	}
}

// book is of a player of a standard guitar.
func book(system theory.System, gigs ...gig.Gig) Book {
	setup := drills.Setup{Neck: fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}, Names: theory.Names{System: system}}
	return Book{Setup: setup, Gigs: gigs, Now: time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)}
}
