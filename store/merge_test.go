package store_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/gig"
	"surefret/drills/rehearse"
	"surefret/store"
)

// export is the whole content of a log; two logs are the same if it is equal.
func export(t testing.TB, db *store.DB) string {
	t.Helper()
	var b bytes.Buffer
	must(t, db.Export(t.Context(), &b))
	return b.String()
}

func merge(t testing.TB, into *store.DB, from string) store.Merged {
	t.Helper()
	m, err := into.Merge(t.Context(), from)
	must(t, err)
	return m
}

// A practice is a random life of up to three computers: what was done on each
// of them, some of it already carried to another.
type practice struct {
	logs [3]string // exports
}

// draw makes logs of random answers, some taken back, and of random changes,
// with some rows in more than one log.
func draw(t *rapid.T) practice {
	var p practice
	type row struct {
		json string
		in   [3]bool
	}
	id := func(n int) string { return fmt.Sprintf("00000000-0000-7000-8000-%012d", n) }
	member := rapid.SliceOfN(rapid.Bool(), 3, 3)
	at := rapid.Int64Range(0, 5) // few instants, so that many rows share one
	device := rapid.SampledFrom([]string{"laptop", "desktop", "van"})
	var rows []row
	for n := range rapid.IntRange(0, 12).Draw(t, "answers") {
		back := ""
		if n > 0 && rapid.IntRange(0, 3).Draw(t, "back?") == 0 {
			back = fmt.Sprintf(`,"takes_back":%q`, id(rapid.IntRange(0, n-1).Draw(t, "back")))
		}
		answer := func(note string) string {
			return fmt.Sprintf(`{"kind":"answer","id":%q,"device":%q,"at":"2026-11-25T07:00:0%d.000Z","day":"2026-11-25",`+
				`"item":"note/E2+%d/name","question":"?","answer":%q,"want":"G","right":%v,"thinking_ms":900,"entry":"keys"%s}`,
				id(n), device.Draw(t, "device"), at.Draw(t, "at"), n%3, note, n%2 == 0, back)
		}
		rows = append(rows, row{json: answer("G"), in: [3]bool(member.Draw(t, "in"))})
		if rapid.IntRange(0, 4).Draw(t, "twin?") == 0 {
			rows = append(rows, row{json: answer("A"), in: [3]bool(member.Draw(t, "twin in"))})
		}
	}
	for n := range rapid.IntRange(0, 8).Draw(t, "changes") {
		key := rapid.SampledFrom([]string{"a", "b"}).Draw(t, "key")
		kind, value := "setting", fmt.Sprintf(`%d`, n)
		if rapid.Bool().Draw(t, "gig") {
			kind, value = "gig", fmt.Sprintf(`{"id":%q,"name":"Harbour Fair %d","day":"2026-12-05","songs":null}`, key, n)
		}
		if rapid.IntRange(0, 3).Draw(t, "removed") == 0 {
			value = "null"
		}
		rows = append(rows, row{json: fmt.Sprintf(`{"kind":%q,"id":%q,"device":%q,"at":"2026-11-25T07:00:0%d.000Z","key":%q,"value":%s}`,
			kind, id(100+n-rapid.IntRange(0, 1).Draw(t, "twin")), device.Draw(t, "device"), at.Draw(t, "at"), key, value), in: [3]bool(member.Draw(t, "in"))})
	}
	for i := range p.logs {
		lines := []string{`{"kind":"surefret","format":2}`}
		for _, r := range rows {
			if r.in[i] {
				lines = append(lines, r.json)
			}
		}
		p.logs[i] = strings.Join(append(lines, fmt.Sprintf(`{"kind":"end","rows":%d}`, len(lines)-1)), "\n")
	}
	return p
}

// logOf makes a log of an export.
func logOf(t *rapid.T, dir, text string) *store.DB {
	f, err := os.CreateTemp(dir, "*.db")
	must(t, err)
	f.Close()
	os.Remove(f.Name())
	db, err := store.Open(t.Context(), f.Name())
	must(t, err)
	t.Cleanup(func() {
		db.Close()
		os.Remove(f.Name())
	})
	if _, err := db.Import(t.Context(), strings.NewReader(text)); err != nil {
		t.Fatal(err)
	}
	return db
}

func exportOf(t *rapid.T, db *store.DB) string {
	var b bytes.Buffer
	must(t, db.Export(t.Context(), &b))
	return b.String()
}

func TestMergeIsAUnion(t *testing.T) {
	dir := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		p := draw(t)
		open := func(i int) *store.DB { return logOf(t, dir, p.logs[i]) }
		into := func(a, b *store.DB) *store.DB {
			if _, err := a.Merge(t.Context(), b.Path()); err != nil {
				t.Fatal(err)
			}
			return a
		}
		ab, ba := into(open(0), open(1)), into(open(1), open(0))
		if diff := cmp.Diff(exportOf(t, ab), exportOf(t, ba)); diff != "" {
			t.Fatalf("not commutative: %s", diff)
		}
		left := into(ab, open(2))
		right := into(open(0), into(open(1), open(2)))
		whole := exportOf(t, left)
		if diff := cmp.Diff(whole, exportOf(t, right)); diff != "" {
			t.Fatalf("not associative: %s", diff)
		}
		again, err := left.Merge(t.Context(), right.Path())
		if err != nil || again.Answers != 0 || again.Changes != 0 || again.Clashes != 0 || again.Damaged != 0 || len(again.Lost) != 0 {
			t.Fatalf("not idempotent: %+v, %v", again, err)
		}
		if diff := cmp.Diff(whole, exportOf(t, left)); diff != "" {
			t.Fatalf("not idempotent: %s", diff)
		}
		// The rows of the union are those of the three, in order of time and id.
		var want []string
		for _, text := range p.logs {
			for _, l := range strings.Split(text, "\n") {
				if strings.Contains(l, `"answer"`) && !slices.Contains(want, l) {
					want = append(want, l)
				}
			}
		}
		var got []string
		for _, l := range strings.Split(whole, "\n") {
			if strings.Contains(l, `"answer"`) {
				got = append(got, l)
			}
		}
		if !slices.IsSortedFunc(got, func(a, b string) int { return strings.Compare(timeAndID(t, a), timeAndID(t, b)) }) {
			t.Fatalf("out of order: %s", whole)
		}
		slices.Sort(want)
		slices.Sort(got)
		if diff := cmp.Diff(want, got); diff != "" {
			t.Fatalf("the union: %s", diff)
		}
		report, err := left.Check(t.Context())
		if err != nil || len(report.Faults) > 0 {
			t.Fatalf("after the merges: %v, %v", report.Faults, err)
		}
	})
}

func timeAndID(t *rapid.T, line string) string {
	var l struct{ At, ID string }
	must(t, json.Unmarshal([]byte(line), &l))
	return l.At + l.ID
}

// The memory of a snapshot carried on over a merge is what the union gives when
// it is replayed: the test's memory is the sequence of ids itself.
func TestAMemoryAfterAMergeIsTheReplayOfTheUnion(t *testing.T) {
	dir := t.TempDir()
	used, rebuilt := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		p := draw(t)
		db, other := logOf(t, dir, p.logs[0]), logOf(t, dir, p.logs[1])
		replay := func(memory string, after store.Cursor) string {
			for r, err := range db.Effective(t.Context(), after) {
				must(t, err)
				memory += r.ID + "\n"
			}
			return memory
		}
		upto, err := db.End(t.Context())
		must(t, err)
		must(t, db.SaveSnapshot(t.Context(), "test", upto, []byte(replay("", 0))))
		if _, err := db.Merge(t.Context(), other.Path()); err != nil {
			t.Fatal(err)
		}
		upto, state, ok, err := db.Snapshot(t.Context(), "test")
		must(t, err)
		if !ok {
			rebuilt++
			return
		}
		used++
		if got, want := replay(string(state), upto), replay("", 0); got != want {
			t.Fatalf("memory\n%swant\n%s", got, want)
		}
	})
	if used == 0 || rebuilt == 0 {
		t.Errorf("the snapshot served %d times and was refused %d times: both should happen", used, rebuilt)
	}
}

func TestTheLoserOfAMergeIsReported(t *testing.T) {
	here, there := newLog(t), newLog(t)
	set := func(db *store.DB, at time.Time, value string) {
		t.Helper()
		db.Now = func() time.Time { return at }
		must(t, db.SaveSettings(t.Context(), map[string]string{"hand": value}))
	}
	set(here, morning, `"right"`)
	merge(t, there, here.Path())
	set(there, morning.Add(time.Hour), `"left"`)
	if m := merge(t, here, there.Path()); len(m.Lost) != 0 || m.Changes != 1 {
		t.Errorf("a change made in knowledge of the other lost something: %+v", m)
	}
	// Both change it, without the other's knowledge.
	set(here, morning.Add(2*time.Hour), `"both"`)
	set(there, morning.Add(3*time.Hour), `"none"`)
	want := store.Loss{What: "the setting hand", Kept: "none", Lost: "both", At: morning.Add(2 * time.Hour)}
	m := merge(t, there, here.Path())
	equal(t, []store.Loss{want}, m.Lost)
	m = merge(t, here, there.Path())
	if len(m.Lost) != 0 {
		t.Errorf("the loss is told again: %+v", m.Lost) // there knew both
	}
	if v := settings(t, here)["hand"]; v != `"none"` {
		t.Errorf("hand is %s, want the later change", v)
	}
	set(here, morning.Add(4*time.Hour), `"mine"`)
	must(t, there.PutGig(t.Context(), gig.Gig{ID: "fair", Name: "Harbour Fair", Day: "2026-12-05"}))
	set(there, morning.Add(5*time.Hour), `"yours"`)
	m = merge(t, here, there.Path())
	want = store.Loss{What: "the setting hand", Kept: "yours", Lost: "mine", At: morning.Add(4 * time.Hour), Here: true}
	equal(t, []store.Loss{want}, m.Lost)
	if gigs, err := here.Gigs(t.Context()); err != nil || len(gigs) != 1 {
		t.Errorf("gigs %v, %v: the other log's gig did not come over", gigs, err)
	}
}

// Own shapes come together by name, and of the choice the last one counts.
func TestOwnShapesAndTheChoiceAreMerged(t *testing.T) {
	here, there := newLog(t), newLog(t)
	for n, db := range []*store.DB{here, there} {
		db.Now = func() time.Time { return morning.Add(time.Duration(n) * time.Hour) }
		err := errors.Join(db.KeepShape(t.Context(), fretboard.OwnShape{Name: "low ninth", Frets: []string{"x53555", "x54555"}[n]}),
			db.KeepShape(t.Context(), fretboard.OwnShape{Name: []string{"quay", "mole"}[n], Frets: "x02220"}),
			db.KeepChoice(t.Context(), drills.Choice{Only: [][]string{{"tenths"}, {"octaves"}}[n]}))
		must(t, err)
	}
	lost := merge(t, here, there.Path()).Lost
	if m := merge(t, there, here.Path()); len(m.Lost) > 0 {
		t.Errorf("told again: %+v", m.Lost)
	}
	set := "what was set on " + morning.Local().Format(time.DateOnly)
	want := []store.Loss{
		{What: "what is practised", Kept: set, Lost: set, At: morning, Here: true},
		{What: `the shape "low ninth"`, Kept: set, Lost: set, At: morning, Here: true},
	}
	equal(t, want, lost)
	shapes := []fretboard.OwnShape{{Name: "low ninth", Frets: "x54555"}, {Name: "mole", Frets: "x02220"}, {Name: "quay", Frets: "x02220"}}
	for _, db := range []*store.DB{here, there} {
		kept, err := db.Kept(t.Context())
		if diff := cmp.Diff(shapes, kept.Shapes); diff != "" || err != nil || !slices.Equal(kept.Choice.Only, []string{"octaves"}) {
			t.Error(diff, err, kept.Choice)
		}
	}
}

// The other log may be open, with all of its rows in its journal: they come
// over, and not a byte of its files changes.
func TestTheOtherLogOfAMergeIsOnlyRead(t *testing.T) {
	db, other := newLog(t), newLog(t)
	appendAll(t, other, answer(1), answer(2))
	before := bytesOf(t, other.Path())
	if len(before[other.Path()+"-wal"]) == 0 {
		t.Fatal("the journal is empty: the test shows nothing")
	}
	if m := merge(t, db, other.Path()); m.Answers != 2 {
		t.Errorf("merged %+v, want 2 answers", m)
	}
	if after := bytesOf(t, other.Path()); !reflect.DeepEqual(before, after) {
		t.Error("the merge has written to the other log")
	}
	if entries, _ := os.ReadDir(filepath.Dir(db.Path())); len(entries) != 3 {
		t.Errorf("the merge left something behind: %v", entries)
	}
}

// bytesOf reads a log's files, but for the index of the journal, which is
// shared memory.
func bytesOf(t testing.TB, path string) map[string]string {
	t.Helper()
	all := map[string]string{}
	for _, name := range []string{path, path + "-wal"} {
		b, err := os.ReadFile(name)
		if err != nil && !os.IsNotExist(err) {
			t.Fatal(err)
		} else if err == nil {
			all[name] = string(b)
		}
	}
	return all
}

// Two rows of one id that say different things are what computers make that are
// copies of each other, random numbers and all: neither is lost, and both logs
// end the same.
func TestRowsOfOneIDThatSayDifferentThingsAreBothKept(t *testing.T) {
	here, there := newLog(t), newLog(t)
	r := answer(1)
	appendAll(t, here, r)
	r.Given = "A"
	appendAll(t, there, r, answer(2))
	if m := merge(t, here, there.Path()); m.Clashes != 1 || m.Answers != 2 || m.Known != 0 {
		t.Errorf("%+v, want two new answers, one of them with an id that was here", m)
	}
	if m := merge(t, here, there.Path()); m.Clashes != 0 || m.Answers != 0 || m.Known != 2 {
		t.Errorf("the second time: %+v, want nothing new", m)
	}
	merge(t, there, here.Path())
	both := export(t, here)
	if diff := cmp.Diff(both, export(t, there)); diff != "" {
		t.Errorf("the two differ: %s", diff)
	}
	if got := answers(t, here, 0); len(got) != 3 || got[0].Given+got[1].Given != "GA" && got[0].Given+got[1].Given != "AG" {
		t.Errorf("the log is %v", got)
	}
	// An export of both can be imported, and the check says what they are.
	again := newLog(t)
	if _, err := again.Import(t.Context(), strings.NewReader(both)); err != nil || export(t, again) != both {
		t.Errorf("the export did not come back: %v", err)
	}
	report, err := here.Check(t.Context())
	if err != nil || len(report.Faults) > 0 || len(report.Notes) != 1 || !strings.Contains(report.Notes[0], "1 answers have the id of another") {
		t.Errorf("%+v, %v", report, err)
	}
}

// Of two changes of one id and one time, what the merge says is kept is what
// counts, on both sides.
func TestWhichOfTwoTwinChangesCountsIsTheSameEverywhere(t *testing.T) {
	var logs [2]*store.DB
	for i, value := range []string{`"left"`, `"right"`} {
		logs[i] = newLog(t)
		text := strings.Join([]string{head, strings.Replace(hand, `"left"`, value, 1), `{"kind":"end","rows":1}`}, "\n")
		if _, err := logs[i].Import(t.Context(), strings.NewReader(text)); err != nil {
			t.Fatal(err)
		}
	}
	copies := [2]string{filepath.Join(t.TempDir(), "0.db"), filepath.Join(t.TempDir(), "1.db")}
	for i, db := range logs {
		must(t, db.Backup(t.Context(), copies[i]))
	}
	var kept [2]string
	for i, db := range logs {
		m := merge(t, db, copies[1-i])
		got := settings(t, db)["hand"]
		if len(m.Lost) != 1 || strconv.Quote(m.Lost[0].Kept) != got || m.Changes != 1 || m.Clashes != 1 {
			t.Errorf("hand is %s; the merge says %+v", got, m)
		}
		kept[i] = got
	}
	if kept[0] != kept[1] {
		t.Errorf("one side keeps %s and the other %s", kept[0], kept[1])
	}
}

// Runs of two computers are all there after a merge, in order of time.
func TestRunsAreKeptAndMerged(t *testing.T) {
	here, there := newLog(t), newLog(t)
	at := time.Date(2026, 11, 30, 20, 0, 0, 0, time.UTC)
	first := rehearse.Past{At: at, Day: "2026-11-30", Seconds: 61.5, Song: "cockles", Key: "Eb major", Tempo: 96.5, Asked: 12, Given: 10, InTime: 9, Holds: 88}
	second := rehearse.Past{At: at.Add(time.Hour), Day: "2026-11-30", Seconds: 20, Song: "cockles", Key: "Eb major", Tempo: 77, Part: true}
	must(t, there.KeepRun(t.Context(), second))
	must(t, here.KeepRun(t.Context(), first))
	merge(t, here, there.Path())
	runs, err := here.Runs(t.Context())
	if diff := cmp.Diff([]rehearse.Past{first, second}, runs); diff != "" || err != nil {
		t.Error(diff, err)
	}
}
