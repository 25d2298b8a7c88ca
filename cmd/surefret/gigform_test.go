package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"surefret/cmd/surefret/demo"
	"surefret/cmd/surefret/form"
	"surefret/drills/gig"
)

// Each field of the forms refuses what cannot be used, where it is typed, in one
// sentence that no terminal would obey.
func TestEveryFieldRefusesBadInput(t *testing.T) {
	taken := gig.Gig{ID: "1", Name: "Harbour Fair", Day: "2026-12-05"}
	pl, err := homeOf(t, "2026-11-25", taken).openPlayer(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { pl.Close(context.Background()) })
	prose := filepath.Join(t.TempDir(), "prose.txt")
	if err := os.WriteFile(prose, []byte("No tablature in here."), 0o600); err != nil {
		t.Fatal(err)
	}
	var g gig.Gig
	more := no
	gigQuestions := gigForm(pl, &g, &more).Questions
	songs := newSongForm(pl, gig.Gig{Name: "Quay Dance", Songs: demo.Gigs(0)[0].Songs})
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
		"99999999999999999999": "is not a tempo"})
	takes(songQuestions[6], "96")
	s, err := songs.song()
	if err != nil || s.Title != "Été à Saltmarsh" || s.Called != "Bb" || len(s.Sections) != 2 || len(s.Shapes) != 2 || s.Tempo != 96 {
		t.Errorf("the song is %+v: %v", s, err)
	}
}

// A gig that is full asks for no more songs, whatever the player would like.
func TestAFullGigAsksForNoMoreSongs(t *testing.T) {
	pl, err := homeOf(t, "2026-11-25").openPlayer(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { pl.Close(context.Background()) })
	g, asked, more := manySongs(gig.MostSongs-2), 0, 0
	g, err = pl.askSongs(t.Context(), g, func(_ context.Context, f form.Form) (bool, error) {
		if len(f.Questions) == 1 {
			more++
			return true, f.Questions[0].Set(yes)
		}
		asked++
		for i, answer := range []string{fmt.Sprint("One More ", asked), "D", "", "1 4 5", "", "", ""} {
			if err := f.Questions[i].Set(answer); err != nil {
				return false, err
			}
		}
		return true, nil
	})
	if err != nil || asked != 2 || more != 1 || len(g.Songs) != gig.MostSongs {
		t.Errorf("asked for %d songs and %d times for another, %d kept, want 2, 1 and %d: %v", asked, more, len(g.Songs), gig.MostSongs, err)
	}
}

// Esc at the question for another song, or the end of the input there, leaves the
// song that was answered.
func TestASongIsKeptBeforeAnotherIsAskedFor(t *testing.T) {
	for name, left := range map[string]error{"Esc": nil, "end of input": io.EOF} {
		pl, err := homeOf(t, "2026-11-25").openPlayer(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { pl.Close(context.Background()) })
		g := manySongs(1)
		g, err = pl.askSongs(t.Context(), g, func(_ context.Context, f form.Form) (bool, error) {
			if len(f.Questions) == 1 {
				return false, left
			}
			for i, answer := range []string{"Salt and Tin", "D", "", "1 4 5", "", "", ""} {
				if err := f.Questions[i].Set(answer); err != nil {
					return false, err
				}
			}
			return true, nil
		})
		if kept, _ := pl.db.Gigs(t.Context()); err != nil || len(g.Songs) != 2 || len(kept) != 1 || len(kept[0].Songs) != 2 {
			t.Errorf("%s: %d songs, and %+v kept: %v", name, len(g.Songs), kept, err)
		}
	}
}
