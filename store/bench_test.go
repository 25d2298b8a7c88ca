package store

import (
	"context"
	"database/sql"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"surefret/drills"
	"surefret/testdata/oracle"
)

// A million answers are thirty years of practice at a hundred a day.
const million = 1_000_000

// life makes the answers of one computer: a sitting of a hundred answers each
// evening, of questions like those of the drills.
func life(seed uint64, n int, yield func(drills.Answer) error) error {
	rng := rand.New(rand.NewPCG(seed, 0))
	device := NewID(time.UnixMilli(int64(seed)), nil)
	day := time.Date(1996, 11, 25, 19, 0, int(seed), 0, time.UTC)
	notes := []string{"C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"}
	for i := range n {
		at := day.AddDate(0, 0, i/100).Add(time.Duration(i%100)*6*time.Second + time.Duration(rng.IntN(1000))*time.Millisecond)
		str, fret := rng.IntN(6)+1, rng.IntN(16)
		want := notes[rng.IntN(12)]
		r := drills.Answer{ID: NewID(at, nil), Device: device, At: at, Day: at.Format(time.DateOnly),
			Item: fmt.Sprintf("note/E%d+%d/name", str, fret), Question: fmt.Sprintf("String %d, fret %d: which note?", str, fret),
			Given: want, Want: want, Right: true, Thinking: time.Duration(500+rng.IntN(3000)) * time.Millisecond, Entry: drills.EntryKeys}
		if rng.IntN(8) == 0 {
			r.Given, r.Right = "G", false
		}
		if err := yield(r); err != nil {
			return err
		}
	}
	return nil
}

// lives holds the logs that benchmarks share, by seed; they take long to make.
var lives = struct {
	sync.Mutex
	dir   string
	files map[uint64]string
}{files: map[uint64]string{}}

// lived returns a new copy of a log of a million answers with a snapshot of
// 200 kB up to the last hundred of them.
func lived(b *testing.B, seed uint64) string {
	b.Helper()
	lives.Lock()
	defer lives.Unlock()
	ctx := b.Context()
	if lives.files[seed] == "" {
		if lives.dir == "" {
			dir, err := os.MkdirTemp("", "surefret-bench-*")
			Must(b, err)
			lives.dir = dir
		}
		path := filepath.Join(lives.dir, fmt.Sprintf("%d.db", seed))
		db, err := Open(ctx, path)
		Must(b, err)
		err = transact(ctx, db.write, func(tx *sql.Tx) error {
			in, err := newIntake(ctx, tx)
			if err != nil {
				return err
			}
			return life(seed, million, func(r drills.Answer) error { return in.answer(ctx, tidy(r)) })
		})
		Must(b, err)
		Must(b, db.SaveSnapshot(ctx, "bench", million-100, make([]byte, 200_000)))
		Must(b, db.Close())
		lives.files[seed] = path
	}
	path := filepath.Join(b.TempDir(), "surefret.db")
	content, err := os.ReadFile(lives.files[seed])
	Must(b, err)
	Must(b, os.WriteFile(path, content, 0o600))
	return path
}

// RemoveLives removes what the benchmarks have made; TestMain calls it.
func RemoveLives() {
	if lives.dir != "" {
		os.RemoveAll(lives.dir)
	}
}

func benchOpen(b *testing.B, path string) *DB {
	b.Helper()
	db, err := Open(b.Context(), path)
	Must(b, err)
	b.Cleanup(func() { db.Close() })
	return db
}

// What lies between the start of the program and the first question, as far as
// it is the store's: open, memory, the answers since, settings and gigs.
func BenchmarkOpenToFirstQuestion(b *testing.B) {
	path := lived(b, 1)
	for b.Loop() {
		db, err := Open(b.Context(), path)
		Must(b, err)
		upto, _, ok, err := db.Snapshot(b.Context(), "bench")
		if !ok || err != nil {
			b.Fatal(ok, err)
		}
		n := 0
		for _, err := range db.Effective(b.Context(), upto) {
			Must(b, err)
			n++
		}
		if _, err := db.Kept(b.Context()); err != nil {
			b.Fatal(err)
		}
		if _, err := db.Gigs(b.Context()); err != nil || n != 100 {
			b.Fatal(n, err)
		}
		b.StopTimer()
		db.Close()
		b.StartTimer()
	}
}

// Append beside a bare insert of the same columns into a table with nothing but
// its key, with the same pragmas, one after the other in one loop.
func BenchmarkAppend(b *testing.B) {
	path := lived(b, 1)
	db := benchOpen(b, path)
	bare := connect(emptyFile(b, filepath.Dir(path)), forWriting)
	defer bare.Close()
	if _, err := bare.Exec(`CREATE TABLE answers (seq INTEGER PRIMARY KEY, id, device, at, day, item, question, answer, want, correct, thinking, entry, takes_back, sum)`); err != nil {
		b.Fatal(err)
	}
	insert, err := bare.Prepare(insertAnswer)
	Must(b, err)
	defer insert.Close()
	var rows []drills.Answer
	life(3, 50_000, func(r drills.Answer) error {
		r.At = r.At.AddDate(40, 0, 0)
		r.ID, r.Device = NewID(r.At, nil), db.device
		rows = append(rows, tidy(r))
		return nil
	})
	var ours, theirs []time.Duration
	ctx := context.Background()
	for i := 0; b.Loop(); i++ {
		r := rows[i%len(rows)]
		if i >= len(rows) {
			r.ID = NewID(r.At, nil)
		}
		start := time.Now()
		Must(b, db.Append(ctx, r))
		middle := time.Now()
		if _, err := insert.ExecContext(ctx, answerArgs(r, 1)...); err != nil {
			b.Fatal(err)
		}
		ours, theirs = append(ours, middle.Sub(start)), append(theirs, time.Since(middle))
	}
	report := func(p float64, unit string) {
		slices.Sort(ours)
		slices.Sort(theirs)
		a, c := ours[int(p*float64(len(ours)-1))], theirs[int(p*float64(len(theirs)-1))]
		b.ReportMetric(float64(a)/1e6, "ms-append-"+unit)
		b.ReportMetric(float64(c)/1e6, "ms-bare-"+unit)
		b.ReportMetric(float64(a)/float64(c), "ratio-"+unit)
	}
	report(0.5, "p50")
	report(0.99, "p99")
}

func emptyFile(b *testing.B, dir string) string {
	f, err := os.CreateTemp(dir, "bare-*.db")
	Must(b, err)
	defer f.Close()
	return f.Name()
}

func BenchmarkReplay(b *testing.B) {
	db := benchOpen(b, lived(b, 1))
	for b.Loop() {
		for _, err := range db.Effective(b.Context(), 0) {
			Must(b, err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/million, "ns/answer")
}

func BenchmarkTail(b *testing.B) {
	db := benchOpen(b, lived(b, 1))
	for b.Loop() {
		if _, _, err := db.Tail(b.Context(), million); err != nil {
			b.Fatal(err)
		}
	}
}

// Two logs of a million answers each made one; the aim is 20 s. cpu-s is what
// it takes of the processors, whatever else runs on the machine.
func BenchmarkMerge(b *testing.B) {
	other := lived(b, 2)
	var spent time.Duration
	for b.Loop() {
		b.StopTimer()
		path := lived(b, 1)
		db, err := Open(b.Context(), path)
		Must(b, err)
		info, err := os.Stat(path)
		Must(b, err)
		b.ReportMetric(float64(info.Size())/million, "bytes/answer")
		spent -= oracle.CPU()
		b.StartTimer()
		m, err := db.Merge(b.Context(), other)
		if err != nil || m.Answers != million {
			b.Fatal(m, err)
		}
		b.StopTimer()
		spent += oracle.CPU()
		db.Close()
		b.StartTimer()
	}
	b.ReportMetric(spent.Seconds()/float64(b.N), "cpu-s")
}

// The backup of the day, with its verification.
func BenchmarkBackup(b *testing.B) {
	db := benchOpen(b, lived(b, 1))
	for i := 0; b.Loop(); i++ {
		Must(b, db.Backup(b.Context(), filepath.Join(b.TempDir(), fmt.Sprintf("%d.db", i))))
	}
}

func BenchmarkCheck(b *testing.B) {
	db := benchOpen(b, lived(b, 1))
	for b.Loop() {
		if r, err := db.Check(b.Context()); err != nil || len(r.Faults) > 0 {
			b.Fatal(r, err)
		}
	}
}
