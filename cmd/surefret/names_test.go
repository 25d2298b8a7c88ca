package main

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"testing"

	"surefret/store"
)

// German calls B natural H and B flat B (Duden, entries "H" and "B"); fixed do
// calls B natural Si (common practice, no source).
func TestWhatIsTypedIsReadInThePlayersNames(t *testing.T) {
	dir := t.TempDir()
	part := filepath.Join(dir, "part.tab")
	tab := "e|--------|\nB|--------|\nG|--------|\nD|--------|\nA|--2-----|\nE|--------|\n"
	if err := os.WriteFile(part, []byte(tab), 0o600); err != nil {
		t.Fatal(err)
	}
	// made returns the file that a command writes for a player of these names.
	made := func(names string, args ...string) string {
		t.Helper()
		path := filepath.Join(t.TempDir(), "p.db")
		db, err := store.Open(t.Context(), path)
		if err != nil {
			t.Fatal(err)
		}
		for key, value := range map[string]string{"names": `"` + names + `"`} {
			if err := db.SetSetting(t.Context(), key, value); err != nil {
				t.Fatal(err)
			}
		}
		if err := db.Close(); err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "out.mid")
		var said bytes.Buffer
		p := &program{in: new(bytes.Buffer), out: io.Discard, err: &said, database: path,
			getenv: func(k string) string { return map[string]string{"SUREFRET_DB": path}[k] }}
		if code := p.run(t.Context(), append(args, "--midi", file)); code != exitDone {
			t.Errorf("%s, %v: exit code %d: %s", names, args, code, said.String())
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
