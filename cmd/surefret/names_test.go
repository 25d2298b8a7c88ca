package main

import (
	"os"
	"path/filepath"
	"testing"

	"surefret/cmd/surefret/demo"
	"surefret/cmd/surefret/settings"
)

// German calls B natural H and B flat B (Duden, entries "H" and "B", from memory); fixed do
// calls B natural Si (common practice, no source).
func TestWhatIsTypedIsReadInThePlayersNames(t *testing.T) {
	dir := t.TempDir()
	part := filepath.Join(dir, "part.tab")
	tab := "e|--------|\nB|--------|\nG|--------|\nD|--------|\nA|--2-----|\nE|--------|\n"
	if err := os.WriteFile(part, []byte(tab), 0o600); err != nil {
		t.Fatal(err)
	}
	practices := map[string]string{}
	for _, names := range []string{"english", "german", "solfege"} {
		practices[names] = saved(t, func(s *settings.Settings) { s.Names = names })
	}
	file := filepath.Join(dir, "out.mid")
	// made returns what a command writes for a player of these names.
	made := func(names string, args ...string) string {
		t.Helper()
		p, _, _, said := listening(practices[names])
		if code := p.run(t.Context(), append(args, "--midi", file)); code != exitDone {
			t.Errorf("%s, %v: exit code %d: %s", names, args, code, said)
		}
		out, err := os.ReadFile(file)
		if err != nil {
			t.Error(err)
		}
		return string(out)
	}
	for _, c := range []struct {
		english, german, solfege []string
	}{
		{[]string{"play", "note", "B2"}, []string{"play", "note", "H2"}, []string{"play", "note", "Si2"}},
		{[]string{"play", "note", "Bb2"}, []string{"play", "note", "B2"}, []string{"play", "note", "Sib2"}},
		{[]string{"play", "note", "F#2"}, []string{"play", "note", "Fis2"}, []string{"play", "note", "Fa#2"}},
		{[]string{"play", "drone", "Bb"}, []string{"play", "drone", "B"}, []string{"play", "drone", "Sib"}},
		{[]string{"play", "shape", "tenth-6-minor", "--root", "B"}, []string{"play", "shape", "tenth-6-minor", "--root", "H"}, []string{"play", "shape", "tenth-6-minor", "--root", "Si"}},
		{[]string{"play", "walkup", "Bb", "4-1"}, []string{"play", "walkup", "B", "4-1"}, []string{"play", "walkup", "Sib", "4-1"}},
		{[]string{"part", "move", part, "--from", "B", "--to", "Bb"}, []string{"part", "move", part, "--from", "H", "--to", "B"}, []string{"part", "move", part, "--from", "Si", "--to", "Sib"}},
	} {
		want := made("english", c.english...)
		if got := made("german", c.german...); got != want {
			t.Errorf("%v in German is not %v", c.german, c.english)
		}
		if got := made("solfege", c.solfege...); got != want {
			t.Errorf("%v in solfège is not %v", c.solfege, c.english)
		}
		// What the help shows is read by everyone, where it can mean one thing alone.
		if got := made("solfege", c.english...); got != want {
			t.Errorf("%v is not read by a player of solfège", c.english)
		}
	}
}

// Songs are kept and mailed in English names, and shown in the player's own.
func TestTheKeyOfASongIsReadInThePlayersNames(t *testing.T) {
	g := demo.Gigs(0)[0]
	g.ID, g.Day = "1", "2026-12-05"
	for names, keys := range map[string][]string{
		"german":  {"B", "H", "Fism"},
		"solfege": {"Sib", "Si", "Fa#m"},
	} {
		p := homeOf(t, "2026-12-01", g)
		pl, err := p.openPlayer(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if err := pl.db.SaveSettings(t.Context(), map[string]string{"names": `"` + names + `"`}); err != nil {
			t.Fatal(err)
		}
		if err := pl.Close(t.Context()); err != nil {
			t.Fatal(err)
		}
		for i, want := range []string{"Bb", "B", "F#m"} {
			called := []string{"gig", "call", "Tin Umbrella", keys[i]}
			if i == 2 {
				called[2] = "Low Water Waltz"
			}
			for _, args := range [][]string{called, {"gig", "song", g.Name, "New", "--learned", keys[i], "--called", keys[i], "--chords", "1 4"}} {
				if code := p.run(t.Context(), args); code != exitDone {
					t.Errorf("%s, %v: exit code %d", names, args, code)
				}
			}
			if pl, err = p.openPlayer(t.Context()); err != nil {
				t.Fatal(err)
			}
			g := pl.Gigs[0]
			called1, _ := g.Song(called[2])
			added, _ := g.Song("New")
			if g.Songs[called1].Called != want || g.Songs[added].Learned != want {
				t.Errorf("%s: %s is kept as %q and %q, want %q", names, keys[i], g.Songs[called1].Called, g.Songs[added].Learned, want)
			}
			if err := pl.Close(t.Context()); err != nil {
				t.Fatal(err)
			}
		}
	}
}
