package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"surefret/cmd/surefret/console"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/store"
)

// A journal that is not the log's own is set aside or left alone by whatever command
// comes first, and each of them says so.
func TestEveryCommandTellsOfAStrangeJournal(t *testing.T) {
	// logs returns a log that was closed, and the journal of another.
	logs := func() (file, journal []byte) {
		var files [2][]byte
		for i := range files {
			path := filepath.Join(t.TempDir(), "surefret.db")
			db, err := store.Open(t.Context(), path)
			if err != nil {
				t.Fatal(err)
			}
			if err := db.SaveSettings(t.Context(), settings.Default().ToMap()); err != nil {
				t.Fatal(err)
			}
			for n := range 3 {
				if err := db.Append(t.Context(), drills.Answer{At: time.Unix(int64(n), 0), Day: "2026-11-25", Item: "note/E2+3/name", Entry: drills.EntryKeys}); err != nil {
					t.Fatal(err)
				}
			}
			if i == 0 {
				db.Close()
			} else {
				defer db.Close()
				path += "-wal"
			}
			if files[i], err = os.ReadFile(path); err != nil {
				t.Fatal(err)
			}
		}
		return files[0], files[1]
	}
	file, journal := logs()
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	if err := os.WriteFile(in("part.tab"), []byte("e|--|\nB|--|\nG|--|\nD|--|\nA|-2|\nE|--|\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(in("other.db"), file, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{
		{"practice", "--line", "--mute"}, {"setup", "--line"}, {"neck"}, {"progress"}, {"key", "Bb"}, {"shape", "list"},
		{"gig", "list"}, {"gig", "add", "Harbour Fair", "--day", "2030-01-02"}, {"part", "move", in("part.tab"), "--from", "B", "--to", "C"},
		{"play", "note", "E2", "--wav", in("e.wav")}, {"data", "check"}, {"data", "backup", in("backup.db")}, {"data", "export", in("all.jsonl")},
		{"data", "merge", in("other.db")}, {"data", "import", in("all.jsonl")},
	} {
		path := in("surefret.db")
		for name, text := range map[string][]byte{path: file, path + "-wal": journal} {
			if err := os.WriteFile(name, text, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		var errs bytes.Buffer
		p := &program{Console: console.Console{In: strings.NewReader(""), Out: new(bytes.Buffer), Err: &errs, Getenv: func(string) string { return "" }}, database: path}
		if code := p.run(t.Context(), append(args, "--db", path)); code != exitDone || !strings.Contains(errs.String(), "surefret.db-wal is not the journal of "+path) {
			t.Errorf("%v: exit code %d, %s", args, code, &errs)
		}
	}
}
