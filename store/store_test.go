package store_test

import (
	"context"
	"errors"
	"fmt"
	"iter"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"surefret/drills"
	"surefret/drills/gig"
	"surefret/store"
)

var must = store.Must

// equal compares what a test wants with what it got.
func equal[T any](t testing.TB, want, got T) {
	t.Helper()
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

// sound makes sure that the check finds no fault in a log.
func sound(t testing.TB, db *store.DB) {
	t.Helper()
	if r, err := db.Check(t.Context()); err != nil || len(r.Faults) > 0 {
		t.Errorf("%v, %v", r.Faults, err)
	}
}

// morning is when the tests practise.
var morning = time.Date(2026, 11, 25, 7, 0, 0, 0, time.UTC)

// openAt opens the log at path for the length of the test.
func openAt(t testing.TB, path string) *store.DB {
	t.Helper()
	db, err := store.Open(t.Context(), path)
	must(t, err)
	t.Cleanup(func() { db.Close() })
	db.Now = func() time.Time { return morning }
	return db
}

func newLog(t testing.TB) *store.DB {
	t.Helper()
	return openAt(t, filepath.Join(t.TempDir(), "surefret.db"))
}

// answer is the n-th answer of a player who answers once a second.
func answer(n int) drills.Answer {
	return drills.Answer{
		ID:       store.NewID(morning.Add(time.Duration(n)*time.Second), nil),
		At:       morning.Add(time.Duration(n) * time.Second),
		Day:      "2026-11-25",
		Item:     "note/E2+3/name",
		Question: "String 6, fret 3: which note?",
		Given:    "G",
		Want:     "G",
		Right:    n%5 != 0,
		Thinking: time.Duration(700+n%1000) * time.Millisecond,
		Entry:    drills.EntryKeys,
	}
}

func appendAll(t testing.TB, db *store.DB, rows ...drills.Answer) {
	t.Helper()
	for _, r := range rows {
		must(t, db.Append(t.Context(), r))
	}
}

// answers reads the log.
func answers(t testing.TB, db *store.DB, after store.Cursor) []drills.Answer {
	t.Helper()
	return collect(t, db.Answers(t.Context(), after))
}

func collect(t testing.TB, rows iter.Seq2[drills.Answer, error]) (all []drills.Answer) {
	t.Helper()
	for r, err := range rows {
		must(t, err)
		all = append(all, r)
	}
	return all
}

func TestAnAnswerComesBackAsItWasGiven(t *testing.T) {
	db := newLog(t)
	r := answer(1)
	appendAll(t, db, r)
	path := db.Path()
	db.Close()
	db = openAt(t, path)
	r.Device = db.Device()
	equal(t, []drills.Answer{r}, answers(t, db, 0))
}

func TestTheLogIsInOrderOfTimeThenID(t *testing.T) {
	db := newLog(t)
	appendAll(t, db, answer(3))
	var want []string
	for range 8 {
		r := answer(2)
		appendAll(t, db, r)
		want = append(want, r.ID)
	}
	slices.Sort(want)
	first := answer(1)
	appendAll(t, db, first)
	want = slices.Insert(want, 0, first.ID)
	for _, after := range []store.Cursor{0, 1} { // from the start and from a place in it, which is read another way
		var got []string
		for _, r := range answers(t, db, after) {
			got = append(got, r.ID)
		}
		if diff := cmp.Diff(want, got[:len(want)]); diff != "" || len(got) != len(want)+1-int(after) {
			t.Errorf("after %d: %s", after, diff)
		}
	}
}

func TestAnAnswerIsInTheLogOnce(t *testing.T) {
	db := newLog(t)
	r := answer(1)
	appendAll(t, db, r, r)
	if n := len(answers(t, db, 0)); n != 1 {
		t.Errorf("%d rows, want 1", n)
	}
	r.Given = "A" // another answer, though of the same id
	appendAll(t, db, r, r)
	if n := len(answers(t, db, 0)); n != 2 {
		t.Errorf("%d rows, want 2", n)
	}
}

func TestWhatIsTakenBackDoesNotCount(t *testing.T) {
	db := newLog(t)
	slip, good := answer(1), answer(3)
	back := answer(2)
	back.TakesBack = slip.ID
	appendAll(t, db, slip, back, good)
	if n := len(answers(t, db, 0)); n != 3 {
		t.Errorf("the log has %d rows, want all 3", n)
	}
	got := collect(t, db.Effective(t.Context(), 0))
	if len(got) != 1 || got[0].ID != good.ID {
		t.Errorf("effective answers: %v, want only %s", got, good.ID)
	}
	back.ID, back.TakesBack = store.NewID(morning, nil), store.NewID(morning, nil)
	if err := db.Append(t.Context(), back); !errors.Is(err, store.ErrInput) {
		t.Errorf("taking back an answer that is not there: %v, want ErrInput", err)
	}
}

func TestRowsMayBeAppendedWhileReading(t *testing.T) {
	db := newLog(t)
	for n := range 10 {
		appendAll(t, db, answer(n))
	}
	seen := 0
	for _, err := range db.Answers(t.Context(), 0) {
		must(t, err)
		appendAll(t, db, answer(100+seen))
		seen++
	}
	if seen != 10 {
		t.Errorf("saw %d rows, want the 10 that were there", seen)
	}
}

// settings are those that are kept.
func settings(t testing.TB, db *store.DB) map[string]string {
	t.Helper()
	kept, err := db.Kept(t.Context())
	must(t, err)
	return kept.Settings
}

func TestSettingsAreJSONByName(t *testing.T) {
	db := newLog(t)
	save := func(value string) error { return db.SaveSettings(t.Context(), map[string]string{"aim": value}) }
	for _, c := range []struct{ save, kept string }{{`2.0`, `2.0`}, {`{"seconds": 1.5}`, `{"seconds":1.5}`}, {` null`, ``}, {`"a\u001b"`, `"a\ufffd"`}} {
		must(t, save(c.save))
		if got := settings(t, db)["aim"]; got != c.kept {
			t.Errorf("%s became %q, want %q", c.save, got, c.kept)
		}
	}
	if err := save(`left`); !errors.Is(err, store.ErrInput) {
		t.Errorf("not JSON: %v, want ErrInput", err)
	}
}

// What is saved as it is adds no row, of settings and of what is kept of items alike:
// a merge would tell of changes that nobody made.
func TestWhatDidNotChangeIsNotWritten(t *testing.T) {
	db := newLog(t)
	for name, save := range map[string]func(more string) error{
		"settings": func(more string) error {
			return db.SaveSettings(t.Context(), map[string]string{"aim": ` 2.0 `, "hand": `"left` + more + `"`, "none": `null`})
		},
		"set aside": func(more string) error { return db.SetAside(t.Context(), true, "note/E2+3/name", "note/E2+4"+more) },
		"placed":    func(more string) error { return db.Place(t.Context(), 7, "note/E2+3/name", "note/E2+4"+more) },
		"typing":    func(more string) error { return db.KeepTyping(t.Context(), []string{more}) },
		"cautioned": func(string) error { return db.KeepCautioned(t.Context()) },
	} {
		rows := func(more string) int {
			t.Helper()
			must(t, save(more))
			return strings.Count(export(t, db), "\n")
		}
		first, again, changed := rows(""), rows(""), rows("x")
		if again != first || changed != first+1 && name != "cautioned" {
			t.Errorf("%s: %d rows, then %d, and %d after one change", name, first, again, changed)
		}
	}
}

// A setting that the program has no more goes when settings are saved next, and is not
// told of in a merge.
func TestASettingThatIsNoneAnyMoreGoes(t *testing.T) {
	here, there := newLog(t), newLog(t)
	for i, db := range []*store.DB{here, there} {
		lines := strings.NewReplacer(`"hand"`, `"weights"`, `"left"`, fmt.Sprintf("[%d]", i), "c2", fmt.Sprint("c", i)).Replace(hand)
		if _, err := db.Import(t.Context(), strings.NewReader(head+"\n"+lines+"\n"+`{"kind":"end","rows":1}`)); err != nil {
			t.Fatal(err)
		}
	}
	if m := merge(t, here, there.Path()); len(m.Lost) > 0 || m.Changes != 1 {
		t.Errorf("%+v", m)
	}
	for range 2 {
		must(t, here.SaveSettings(t.Context(), map[string]string{"hand": `"left"`}))
		if text := export(t, here); settings(t, here)["weights"] != "" || strings.Count(text, "\n") != 7 {
			t.Errorf("%s", text)
		}
	}
}

// A change that is made after the clock has been set back still counts, also after a
// restart, when no id of before is known to the program.
func TestTheLatestChangeCountsWhateverTheClock(t *testing.T) {
	path := filepath.Join(t.TempDir(), "surefret.db")
	for i, value := range []string{`"first"`, `"second"`, `"third"`} {
		db := openAt(t, path)
		for j, value := range []string{value, value + " "} {
			value = strings.Replace(value, `" `, fmt.Sprintf(` %d"`, j), 1)
			db.Now = func() time.Time { return morning.Add(-time.Duration(2*i+j) * time.Hour) }
			must(t, db.SaveSettings(t.Context(), map[string]string{"hand": value}))
			if got := settings(t, db)["hand"]; got != value {
				t.Errorf("hand is %s, want %s", got, value)
			}
		}
		db.Close()
	}
}

func TestGigsComeByDay(t *testing.T) {
	db := newLog(t)
	ctx := t.Context()
	late := gig.Gig{ID: "b", Name: "Harbour Fair", Day: "2026-12-05", Note: "two\nlines",
		Songs: []gig.Song{{Title: "Low Tide Shuffle", Learned: "D", Called: "Bb", Sections: []gig.Section{{Chords: "1 4 5 6-"}}}}}
	soon := gig.Gig{ID: "c", Name: "Lamp Room", Day: "2026-11-28"}
	for _, g := range []gig.Gig{late, soon, {ID: "d", Name: "gone", Day: "2026-11-29"}} {
		must(t, db.PutGig(ctx, g))
	}
	must(t, db.RemoveGig(ctx, "d"))
	got, err := db.Gigs(ctx)
	if diff := cmp.Diff([]gig.Gig{soon, late}, got, cmpopts.IgnoreFields(gig.Song{}, "ID")); diff != "" || err != nil {
		t.Error(diff, err)
	}
	if err := db.RemoveGig(ctx, "d"); !errors.Is(err, store.ErrMissing) {
		t.Errorf("removing a gig twice: %v, want ErrMissing", err)
	}
	if err := db.PutGig(ctx, gig.Gig{ID: "e", Day: "next week"}); !errors.Is(err, store.ErrInput) {
		t.Errorf("a gig without a date: %v, want ErrInput", err)
	}
}

func TestControlCharactersStayOut(t *testing.T) {
	db := newLog(t)
	r := answer(1)
	r.Given = "\x1b[2J\x07G\u009b\u202e\xff"
	appendAll(t, db, r)
	if got, want := answers(t, db, 0)[0].Given, "\ufffd[2J\ufffdG\ufffd\ufffd\ufffd"; got != want {
		t.Errorf("answer %q, want %q", got, want)
	}
	must(t, db.PutGig(t.Context(), gig.Gig{ID: "a", Name: "Harbour\x1b]0;Fair\n", Day: "2026-12-05", Note: "\x1b[1mgood\n"}))
	gigs, err := db.Gigs(t.Context())
	if err != nil || gigs[0].Name != "Harbour\ufffd]0;Fair\ufffd" || gigs[0].Note != "\ufffd[1mgood\n" {
		t.Errorf("%+v, %v", gigs, err)
	}
}

func Example() {
	ctx := context.Background()
	dir, _ := os.MkdirTemp("", "surefret")
	defer os.RemoveAll(dir)
	db, err := store.Open(ctx, filepath.Join(dir, "surefret.db"))
	if err != nil {
		fmt.Println(err)
		return
	}
	defer db.Close()
	now := time.Date(2026, 11, 25, 7, 0, 0, 0, time.UTC)
	slip := drills.Answer{ID: db.NewID(now), At: now, Day: "2026-11-25", Item: "note/E2+3/name", Given: "A", Want: "G", Entry: drills.EntryKeys}
	back := drills.Answer{ID: db.NewID(now), At: now, Day: "2026-11-25", Item: slip.Item, TakesBack: slip.ID, Entry: drills.EntryKeys}
	good := drills.Answer{ID: db.NewID(now), At: now, Day: "2026-11-25", Item: slip.Item, Given: "G", Want: "G", Right: true, Entry: drills.EntryKeys}
	for _, r := range []drills.Answer{slip, back, good} {
		if err := db.Append(ctx, r); err != nil {
			fmt.Println(err)
		}
	}
	for r, err := range db.Effective(ctx, 0) {
		fmt.Println(r.Item, r.Given, r.Right, err)
	}
	// Output: note/E2+3/name G true <nil>
}
