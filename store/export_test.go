package store_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"surefret/drills/gig"
	"surefret/store"
)

// fill gives a log some of everything.
func fill(t testing.TB, db *store.DB) {
	t.Helper()
	for n := range 50 {
		appendAll(t, db, answer(n))
	}
	back := answer(60)
	back.TakesBack = answers(t, db, 0)[7].ID
	odd := answer(61)
	odd.Question, odd.Given, odd.Device = `Name "it" <&> ♯,`, "-1+2, \u00e9\U0001f3b8", "another computer"
	appendAll(t, db, back, odd)
	for key, value := range map[string]string{"hand": `"left"`, "names": `{"flats":true,"text":"<&>\u2028"}`} {
		must(t, db.SaveSettings(t.Context(), map[string]string{key: value}))
	}
	for _, g := range []gig.Gig{
		{ID: "fair", Name: "Harbour Fair <3", Day: "2026-12-05", Note: "hot\nloud", Songs: []gig.Song{{Title: "Low Tide Shuffle", Called: "Bb"}}},
		{ID: "lamp", Name: "Lamp Room", Day: "2026-11-28"},
	} {
		must(t, db.PutGig(t.Context(), g))
	}
	must(t, db.RemoveGig(t.Context(), "lamp"))
	must(t, db.SaveSettings(t.Context(), map[string]string{"names": "null"}))
}

func TestAnExportComesBackEqual(t *testing.T) {
	db, copied := newLog(t), newLog(t)
	fill(t, db)
	text := export(t, db)
	m, err := copied.Import(t.Context(), strings.NewReader(text))
	must(t, err)
	if m.Answers != 52 || m.Changes != 7 || m.Known+m.Clashes+m.Damaged != 0 {
		t.Errorf("imported %+v, want 52 answers and 7 changes", m)
	}
	equal(t, text, export(t, copied))
	m, err = copied.Import(t.Context(), strings.NewReader(text))
	if err != nil || m.Known != 59 || m.Answers+m.Changes != 0 {
		t.Errorf("importing again: %+v, %v; want 59 rows known", m, err)
	}
	equal(t, map[string]string{"hand": `"left"`}, settings(t, copied))
}

// A kind of change that this program does not know comes over by every way.
func TestAKindToComeIsKept(t *testing.T) {
	db, other := newLog(t), newLog(t)
	text := strings.Join([]string{head, strings.NewReplacer("setting", "venue", "hand", "lamp").Replace(hand), `{"kind":"end","rows":1}`}, "\n") + "\n"
	if m, err := db.Import(t.Context(), strings.NewReader(text)); err != nil || m.Changes != 1 {
		t.Fatalf("%+v, %v", m, err)
	}
	merge(t, other, db.Path())
	for _, db := range []*store.DB{db, other} {
		equal(t, text, export(t, db))
	}
}

// jsonlines.org: UTF-8, each line a valid JSON value, the line ends with \n.
func TestAnExportIsJSONLines(t *testing.T) {
	db := newLog(t)
	fill(t, db)
	text := export(t, db)
	if !strings.HasSuffix(text, "\n") {
		t.Error("the last line does not end")
	}
	for l := range strings.Lines(text) {
		if !json.Valid([]byte(l)) {
			t.Errorf("not JSON: %s", l)
		}
		for _, r := range strings.TrimSuffix(l, "\n") {
			if r < ' ' || r >= 0x7f && r <= 0x9f {
				t.Errorf("control character %U in %q", r, l)
			}
		}
	}
}

// RFC 4180: read back by the standard library's reader.
func TestTheTableForASpreadsheetHasOneLineAnAnswerThatCounts(t *testing.T) {
	db := newLog(t)
	fill(t, db)
	var b bytes.Buffer
	must(t, db.ExportCSV(t.Context(), &b))
	table, err := csv.NewReader(&b).ReadAll()
	must(t, err)
	if len(table) != 1+50 {
		t.Errorf("%d lines, want the headings and 50 answers", len(table))
	}
	last := table[len(table)-1]
	want := []string{"2026-11-25T07:01:01.000Z", "2026-11-25", "note/E2+3/name", `Name "it" <&> ♯,`, "'-1+2, \u00e9\U0001f3b8", "G", "true", "0.761", "keys", "another computer", last[10]}
	equal(t, want, last)
}

const (
	head     = `{"kind":"surefret","format":2}`
	answered = `{"kind":"answer","id":"r1","device":"d","at":"2026-11-25T07:00:00.000Z","day":"2026-11-25","item":"note/E2+3/name","question":"?","answer":"G","want":"G","right":true,"thinking_ms":900,"entry":"keys"}`
	fair     = `{"kind":"gig","id":"c1","device":"d","at":"2026-11-25T07:00:00.000Z","key":"fair","value":{"id":"fair","name":"Harbour Fair","day":"2026-12-05","songs":[]}}`
	hand     = `{"kind":"setting","id":"c2","device":"d","at":"2026-11-25T07:00:00.000Z","key":"hand","value":"left"}`
	end3     = `{"kind":"end","rows":3}`
)

func TestABadLineIsNamedAndNothingIsImported(t *testing.T) {
	db := newLog(t)
	before := export(t, db)
	change := func(l, old, new string) string {
		t.Helper()
		if !strings.Contains(l, old) {
			t.Fatalf("%s is not in %s", old, l)
		}
		return strings.Replace(l, old, new, 1)
	}
	for _, c := range []struct {
		lines []string
		where string
		why   string
	}{
		{[]string{}, "line 1 ", "cut off"},
		{[]string{"hello"}, "line 1 ", "it is not JSON"},
		{[]string{"[1]"}, "line 1 ", "not an object"},
		{[]string{answered}, "line 1 ", `the first line should be {"kind":"surefret"`},
		{[]string{change(head, "2", "3"), end3}, "line 1 ", "its format is 3"},
		{[]string{head, head}, "line 2 ", "first line already"},
		{[]string{head, answered, fair, hand}, "line 5 ", "cut off"},
		{[]string{head, answered, fair, end3}, "line 4 ", "counts 3 rows, but there are 2"},
		{[]string{head, answered, fair, hand, end3, hand}, "line 6 ", "after the last line"},
		{[]string{head, answered, `{"kind":"So-Lo"}`}, "line 3 ", `its kind is "So-Lo"`},
		{[]string{head, answered, `{"kind":"review"}`}, "line 3 ", `its kind is "review"`},
		{[]string{head, answered, `{"kind":"venue"}`}, "line 3 ", "it has no value"},
		{[]string{head, answered[:40]}, "line 2 ", "it is not JSON"},
		{[]string{head, answered + answered}, "line 2 ", "it is not JSON"},
		{[]string{head, "", change(answered, `true`, `"yes"`)}, "line 3 ", `its field "right" does not take a string`},
		{[]string{head, change(answered, `900`, `-1`)}, "line 2 ", "thinking_ms is out of range"},
		{[]string{head, change(answered, `900`, `1e3`)}, "line 2 ", "thinking_ms"},
		{[]string{head, change(answered, `2026-11-25T07`, `2026-13-25T07`)}, "line 2 ", "it does not read"},
		{[]string{head, change(answered, `"day":"2026-11-25"`, `"day":"today"`)}, "line 2 ", `its day is "today"`},
		{[]string{head, change(answered, `"id":"r1"`, `"id":""`)}, "line 2 ", "it has no id"},
		{[]string{head, change(answered, `"keys"`, `"keys","grade":3`)}, "line 2 ", `unknown field "grade"`},
		{[]string{head, change(answered, `"answer":"G"`, `"answer":"\u001b[2J"`)}, "line 2 ", "control characters"},
		{[]string{head, change(answered, `"keys"`, `"keys","takes_back":"r1"`)}, "line 2 ", "takes back itself"},
		{[]string{head, change(fair, `Harbour`, `\u009bHarbour`)}, "line 2 ", "control characters"},
		{[]string{head, change(fair, `2026-12-05`, `soon`)}, "line 2 ", "the day of the gig"},
		{[]string{head, change(fair, `"value":{"id":"fair"`, `"value":{"id":"other"`)}, "line 2 ", "its id is not its key"},
		{[]string{head, change(fair, `"songs":[]`, `"songs":7`)}, "line 2 ", "does not read as a gig"},
		{[]string{head, change(hand, `,"value":"left"`, ``)}, "line 2 ", "it has no value"},
		{[]string{head, change(hand, `"hand"`, `"ha\tnd"`)}, "line 2 ", "control characters"},
		{[]string{head, strings.Repeat("x", 4<<20+1)}, "line 2 ", "longer than 4194304 bytes"},
	} {
		_, err := db.Import(t.Context(), strings.NewReader(strings.Join(c.lines, "\n")))
		if !errors.Is(err, store.ErrInput) || !strings.HasPrefix(err.Error(), c.where) || !strings.Contains(err.Error(), c.why) ||
			strings.ContainsAny(err.Error(), "\n\x1b") {
			t.Errorf("%.200q: %v; want %q and %q", c.lines, err, c.where, c.why)
		}
		if diff := cmp.Diff(before, export(t, db)); diff != "" {
			t.Errorf("%.200q left something: %s", c.lines, diff)
		}
	}
	if m, err := db.Import(t.Context(), strings.NewReader(strings.Join([]string{"\ufeff" + head, answered, fair, "", hand + "\r", end3}, "\n"))); err != nil || m.Answers != 1 || m.Changes != 2 {
		t.Errorf("the lines that were varied are not right themselves: %+v, %v", m, err)
	}
}

// endless is a line of n bytes.
type endless struct{ n int64 }

func (e *endless) Read(p []byte) (int, error) {
	if e.n <= 0 {
		return 0, io.EOF
	}
	n := min(int64(len(p)), e.n)
	for i := range p[:n] {
		p[i] = 'a'
	}
	e.n -= n
	return int(n), nil
}

func TestALineOfAGigabyteTakesLittleMemory(t *testing.T) {
	db := newLog(t)
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	_, err := db.Import(t.Context(), io.MultiReader(strings.NewReader(head+"\n"), &endless{1 << 30}))
	runtime.ReadMemStats(&after)
	if !errors.Is(err, store.ErrInput) || !strings.HasPrefix(err.Error(), "line 2 ") {
		t.Errorf("%v, want line 2 refused", err)
	}
	if took := after.TotalAlloc - before.TotalAlloc; took > 32<<20 {
		t.Errorf("it allocated %d MB", took>>20)
	}
}

// What is imported can be exported again, and comes back equal; what is not
// leaves the log as it was. There never is a panic.
func FuzzImport(f *testing.F) {
	f.Add(strings.Join([]string{head, answered, fair, hand, end3}, "\n"))
	f.Add(head + "\n" + strings.Replace(hand, `"left"`, `null`, 1) + "\n" + `{"kind":"end","rows":1}`)
	f.Add(head + "\n" + strings.Replace(hand, `"left"`, `{"a":"\\\\u001b \ud83c\udfb8","a":[1e400]}`, 1) + "\n" + `{"kind":"end","rows":1}`)
	f.Add("")
	dir := f.TempDir()
	n := 0
	f.Fuzz(func(t *testing.T, text string) {
		n++
		one := openAt(t, filepath.Join(dir, fmt.Sprintf("%d-%d.db", n, time.Now().UnixNano())))
		empty := export(t, one)
		_, err := one.Import(t.Context(), strings.NewReader(text))
		got := export(t, one)
		if err != nil {
			var e *store.Error
			if !errors.As(err, &e) || strings.ContainsAny(err.Error(), "\n\x1b\u009b") || got != empty {
				t.Fatalf("%v, and the log is %s", err, got)
			}
			return
		}
		two := openAt(t, filepath.Join(dir, fmt.Sprintf("%d-%d.2.db", n, time.Now().UnixNano())))
		if _, err := two.Import(t.Context(), strings.NewReader(got)); err != nil {
			t.Fatalf("its own export: %v\n%s", err, got)
		}
		if diff := cmp.Diff(got, export(t, two)); diff != "" {
			t.Fatal(diff)
		}
		if _, err := two.Gigs(t.Context()); err != nil {
			t.Fatal(err)
		}
		if _, err := two.Kept(t.Context()); err != nil {
			t.Fatal(err)
		}
	})
}

// A setting is any JSON; it comes back, safe to print, or is refused.
func FuzzSetting(f *testing.F) {
	for _, s := range []string{`{"a": [1, "b"]}`, `"\u001b[2J"`, `"\\u001b"`, "\"\u009b\xff\"", `"\ud83c\udfb8\u202e"`, `"a\nb\tc"`, `null`, ``, `[`} {
		f.Add("hand", s)
	}
	dir := f.TempDir()
	db := openAt(f, filepath.Join(dir, "surefret.db"))
	f.Fuzz(func(t *testing.T, key, value string) {
		ctx := t.Context()
		if err := db.SaveSettings(ctx, map[string]string{key: value}); err != nil {
			if !errors.Is(err, store.ErrInput) || strings.ContainsAny(err.Error(), "\n\x1b\u009b") {
				t.Fatal(err)
			}
			return
		}
		got, ok := settings(t, db)[key]
		if !ok {
			if strings.TrimSpace(value) != "null" {
				t.Fatalf("%q is gone", value)
			}
			return
		}
		var v, was any
		if err := json.Unmarshal([]byte(got), &v); err != nil {
			t.Fatalf("%q became %q: %v", value, got, err)
		}
		for _, text := range texts(v) {
			if strings.ContainsAny(text, "\x00\x07\x1b\u009b\x7f\u202e\r") {
				t.Fatalf("%q has a control character", text)
			}
		}
		if err := json.Unmarshal([]byte(value), &was); err != nil || fmt.Sprintf("%T", was) != fmt.Sprintf("%T", v) {
			t.Fatalf("%q became %q: %v", value, got, err)
		}
	})
}

// texts lists the strings in a JSON value.
func texts(v any) []string {
	var all []string
	switch v := v.(type) {
	case string:
		all = append(all, v)
	case []any:
		for _, e := range v {
			all = append(all, texts(e)...)
		}
	case map[string]any:
		for k, e := range v {
			all = append(append(all, k), texts(e)...)
		}
	}
	return all
}
