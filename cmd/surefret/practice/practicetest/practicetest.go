// Package practicetest has what tests of practice and of its front ends share: a
// log in memory, a queue of items to be asked, and a sitting with both.
package practicetest

import (
	"context"
	"fmt"
	"iter"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"time"

	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/drills/gig"
	"surefret/drills/rehearse"
	"surefret/scheduler"
)

// Log is a practice in memory. The zero Log is empty.
type Log struct {
	Rows       []drills.Answer
	Dates      []gig.Gig
	Repertoire []gig.Song
	Held       practice.Kept
	Past       []rehearse.Past

	Busy     int   // how many calls that write are refused from now on, as by a lock
	Fail     error // of every call that writes, nil for none
	Unread   error // of every replay and look at the newest row, nil for none
	Unsaved  []drills.Answer
	Reads    int    // rows that Tail has handed out
	OnAppend func() // is called before a row is in the log
	OnReplay func() // is called in the middle of a replay

	ids       int
	snapshots map[string]snapshot
}

type snapshot struct {
	upto  int64
	state []byte
}

// ErrBusy is what a log that is busy returns.
type ErrBusy struct{}

func (ErrBusy) Error() string { return "another program has it locked" }
func (ErrBusy) Locked() bool  { return true }

var _ practice.Log = (*Log)(nil)

func (l *Log) write() error {
	if l.Busy > 0 {
		l.Busy--
		return fmt.Errorf("write: %w", ErrBusy{})
	}
	return l.Fail
}

func (l *Log) NewID(time.Time) string { l.ids++; return fmt.Sprintf("id%03d", l.ids) }
func (l *Log) Device() string         { return "stage box" }

func (l *Log) AppendAt(_ context.Context, r drills.Answer) (int64, error) {
	if l.OnAppend != nil {
		l.OnAppend()
	}
	if err := l.write(); err != nil {
		return 0, err
	}
	l.Rows = append(l.Rows, r)
	return int64(len(l.Rows)), nil
}

func (l *Log) Tail(_ context.Context, after int64) ([]drills.Answer, int64, error) {
	rows := slices.Clone(l.Rows[after:])
	l.Reads += len(rows)
	return rows, int64(len(l.Rows)), nil
}

func (l *Log) Newest(context.Context) (drills.Answer, bool, error) {
	if l.Unread != nil {
		return drills.Answer{}, false, l.Unread
	}
	if len(l.Rows) == 0 {
		return drills.Answer{}, false, nil
	}
	return slices.MaxFunc(l.Rows, func(a, b drills.Answer) int { return a.At.Compare(b.At) }), true, nil
}

func (l *Log) SaveBeside(_ time.Time, rows []drills.Answer) (string, error) {
	l.Unsaved = slices.Clone(rows)
	return "p-unsaved.jsonl", nil
}

// Replay has no snapshot for resume where a row after it belongs before its last one
// or takes one of its rows back.
func (l *Log) Replay(_ context.Context, version string, resume func(int64, []byte) bool, read func(iter.Seq2[drills.Answer, error]) error) (int64, error) {
	if l.Unread != nil {
		return 0, l.Unread
	}
	saved := l.snapshots[version]
	rows := l.Rows
	for _, late := range rows[saved.upto:] {
		if slices.ContainsFunc(rows[:saved.upto], func(r drills.Answer) bool { return late.TakesBack == r.ID || late.At.Before(r.At) }) {
			saved = snapshot{}
			break
		}
	}
	if resume(saved.upto, saved.state) {
		rows = rows[saved.upto:]
	}
	end, withdrawn := int64(len(l.Rows)), map[string]bool{}
	for _, r := range l.Rows {
		withdrawn[r.TakesBack] = true
	}
	rows = slices.DeleteFunc(slices.Clone(rows), func(r drills.Answer) bool { return r.TakesBack != "" || withdrawn[r.ID] })
	slices.SortStableFunc(rows, func(a, b drills.Answer) int { return a.At.Compare(b.At) })
	if l.OnReplay != nil {
		l.OnReplay()
	}
	return end, read(func(yield func(drills.Answer, error) bool) {
		for _, r := range rows {
			if !yield(r, nil) {
				return
			}
		}
	})
}

func (l *Log) SaveSnapshot(_ context.Context, version string, upto int64, state []byte) error {
	if err := l.write(); err != nil {
		return err
	}
	if l.snapshots == nil {
		l.snapshots = map[string]snapshot{}
	}
	l.snapshots[version] = snapshot{upto, state}
	return nil
}

func (l *Log) Gigs(context.Context) ([]gig.Gig, error)     { return l.Dates, nil }
func (l *Log) Songs(context.Context) ([]gig.Song, error)   { return l.Repertoire, nil }
func (l *Log) Kept(context.Context) (practice.Kept, error) { return l.Held, nil }

func (l *Log) SaveSettings(_ context.Context, settings map[string]string) error {
	if err := l.write(); err != nil {
		return err
	}
	l.Held.Settings = maps.Clone(settings)
	return nil
}

func (l *Log) SetAside(_ context.Context, aside bool, items ...string) error {
	if err := l.write(); err != nil {
		return err
	}
	if l.Held.Aside == nil {
		l.Held.Aside = map[string]bool{}
	}
	for _, item := range items {
		if delete(l.Held.Aside, item); aside {
			l.Held.Aside[item] = true
		}
	}
	return nil
}

func (l *Log) Place(_ context.Context, day int, items ...string) error {
	if err := l.write(); err != nil {
		return err
	}
	if l.Held.Placed == nil {
		l.Held.Placed = map[string]int{}
	}
	for _, item := range items {
		l.Held.Placed[item] = day
	}
	return nil
}

func (l *Log) KeepChoice(_ context.Context, choice drills.Choice) error {
	if err := l.write(); err != nil {
		return err
	}
	l.Held.Choice = choice
	return nil
}

func (l *Log) KeepTyping(_ context.Context, typing any) error {
	if err := l.write(); err != nil {
		return err
	}
	l.Held.Typing = typing.(practice.Typing)
	return nil
}

// KeepRun keeps a run.
func (l *Log) KeepRun(_ context.Context, past rehearse.Past) error {
	if err := l.write(); err != nil {
		return err
	}
	l.Past = append(l.Past, past)
	return nil
}

func (l *Log) Runs(context.Context) ([]rehearse.Past, error) { return l.Past, nil }

func (l *Log) KeepExplained(_ context.Context, terms ...string) error {
	if err := l.write(); err != nil {
		return err
	}
	if l.Held.Explained == nil {
		l.Held.Explained = map[string]bool{}
	}
	for _, name := range terms {
		l.Held.Explained[name] = true
	}
	return nil
}

// Aside lists the items that are set aside.
func (l *Log) Aside() []string { return slices.Sorted(maps.Keys(l.Held.Aside)) }

// A Queue asks its items in turn, and then no more.
type Queue []string

// Next takes the first item.
func (q *Queue) Next(time.Time, time.Duration) (scheduler.Choice, bool) {
	if len(*q) == 0 {
		return scheduler.Choice{}, false
	}
	item := (*q)[0]
	*q = (*q)[1:]
	return scheduler.Choice{Item: item, Reason: scheduler.Reason{Kind: scheduler.ItsTurn}}, true
}

// Begin begins a sitting of ten minutes on everything, with sound, that asks the
// items in turn. It panics where the settings cannot be used.
func Begin(log practice.Log, set settings.Settings, now func() time.Time, items ...string) *practice.Sitting {
	q := Queue(items)
	p := Open(log, set, now)
	s, err := p.Begin(practice.Options{
		Selection: practice.Selection{Heard: true}, Rand: Rand(), Length: 10 * time.Minute, Chooser: &q,
	})
	if err != nil {
		panic(err)
	}
	return s
}

// Open opens a log with settings in place of those that it holds.
func Open(log practice.Log, set settings.Settings, now func() time.Time) *practice.Player {
	p, err := practice.Open(context.Background(), log, now)
	if err != nil {
		panic(err)
	}
	if p.Settings != set {
		p.Settings = set
		if err := p.Prepare(context.Background()); err != nil {
			panic(err)
		}
	}
	return p
}

// AnswersTo gets the right answer to a question out of its judge, and a wrong one.
func AnswersTo(q drills.Question) (right, wrong string) {
	n := max(q.Count, len(q.On), 1)
	for _, text := range []string{"C", "F#", "0", "1", "2", "A4", "m2", "C7", "7b", "6b", "1/1", "0", "1", "Do", "Fa#", "Do7"} {
		for _, times := range []int{1, n} {
			given := strings.TrimSpace(strings.Repeat(text+" ", times))
			v, err := q.Judge(given)
			if err != nil || v.Right {
				continue
			}
			right, _, _ = strings.Cut(v.Want, " or ")
			return right, given
		}
	}
	return "", ""
}

// Rand draws the same questions each time.
func Rand() *rand.Rand { return rand.New(rand.NewPCG(1, 2)) }
