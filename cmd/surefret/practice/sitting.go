// Package practice is one sitting: pick, ask, judge, log, learn.
//
// It knows no terminal, no SQL and no sound. The full screen and the line mode
// both drive the same [Sitting]: they show what [Sitting.Next] returns, hand the
// answer to [Sitting.Answer], and show what comes back. Two rules keep the
// player's work safe. Log first, learn second: an answer is durable before
// anything is made of it. And a slip of the keys can be taken back: the scheduler
// learns of an answer only when the next question is asked, and what it has
// learned it can be made to forget until that question is answered.
package practice

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"time"

	"surefret/drills"
	"surefret/scheduler"
)

// A Log keeps reviews. Append returns when the row is durable; the session
// calls it from one goroutine at a time and never goes on after an error.
type Log interface {
	Append(context.Context, drills.Answer) error
}

// A Planner picks items and learns from reviews; it is scheduler's.
type Planner interface {
	Next(now time.Time, left time.Duration) (scheduler.Choice, bool)
	Learn(scheduler.Answer)
	Outcome(scheduler.Answer) scheduler.Outcome
	State(item string) (scheduler.State, bool)
}

// A Source poses items; it is drills' catalogue.
type Source interface {
	Ask(id string, rng *rand.Rand) (drills.Question, error)
	Item(id string) (drills.Item, bool)
}

// Away is the thinking time after which the player was somewhere else: the
// answer is judged, and not timed, and the sitting does not count the rest.
const Away = 30 * time.Second

// A Sitting is one sitting. Make it with the fields of Config filled.
type Sitting struct {
	cfg       Config
	started   time.Time
	paused    time.Duration // time taken out of the sitting
	opened    time.Time     // when the open question was asked, zero where none is
	before    time.Duration // what was paused by then
	asked     drills.Question
	why       scheduler.Choice
	pending   *answered // committed and logged, not yet learned
	settled   *answered // learned, and its question was the one before the open one
	tally     []answered
	aside     []drills.Item // what was set aside
	lastAside Turn          // the question that was set aside last, until another is answered
	paid      bool          // what was owed has been asked

	posed        map[string]string // how each item was put the last time
	posedBy      map[string]Source // and by which source
	met          []string          // items answered in this sitting, once each, in order
	fluentBefore map[string]bool   // those that were fluent when last asked before it
}

// Config is what a session works with. Fields that may be left out say so.
type Config struct {
	Planner Planner
	Source  Source
	Log     Log
	Rand    *rand.Rand
	NewID   func(time.Time) string // a fresh answer id
	Day     func(time.Time) string // the practice day of an instant
	Device  string                 // id of this computer
	Length  time.Duration          // of the sitting

	// ForGig poses what a gig needs, the one that the reason names, as its songs
	// have it; nil, or where it returns nil, Source does.
	ForGig func(scheduler.Reason) Source

	// Before is called before each question, nil for nothing: what another
	// process added to the log is learned there.
	Before func() error

	// SetAside keeps an item from being picked again; nil where nothing can be set aside.
	SetAside func(item string) error

	// BringBack takes back what SetAside did; nil where it cannot be.
	BringBack func(item string) error

	// Forget makes the planner forget an answer that it learned and that the log
	// has taken back since; nil where it cannot, and then an answer can be taken
	// back only before the next question.
	Forget func(scheduler.Answer) error

	// Outlook says, when the sitting is over, what is weak and what comes next; nil
	// for nothing.
	Outlook func() []string

	Typing Typing // of this player, zero where it was not measured
}

// A Turn is one question with the reason why it was picked.
type Turn struct {
	Question drills.Question
	Why      scheduler.Choice
}

// A Result is what became of one answer.
type Result struct {
	Verdict  drills.Verdict
	Outcome  scheduler.Outcome
	Thinking time.Duration // 0 when it was not timed
}

// answered is one committed answer.
type answered struct {
	question drills.Question
	why      scheduler.Choice
	row      drills.Answer
	outcome  scheduler.Outcome
	key      time.Duration // from the question to the first key, typing and all
}

// New begins a sitting at now.
func New(cfg Config, now time.Time) *Sitting {
	return &Sitting{cfg: cfg, started: now, posed: map[string]string{}, posedBy: map[string]Source{}, fluentBefore: map[string]bool{}}
}

// Left returns how much of the sitting is left, never below zero.
func (s *Sitting) Left(now time.Time) time.Duration {
	return max(0, s.cfg.Length-s.spent(now))
}

// spent is the time of the sitting that was practised.
func (s *Sitting) spent(now time.Time) time.Duration {
	return now.Sub(s.started) - s.paused - s.away(now)
}

// away is how much longer than Away the open question has waited, pauses left out.
func (s *Sitting) away(now time.Time) time.Duration {
	if s.opened.IsZero() {
		return 0
	}
	return max(0, now.Sub(s.opened)-(s.paused-s.before)-Away)
}

// open starts the clock of a question.
func (s *Sitting) open(now time.Time) { s.opened, s.before = now, s.paused }

// shut gives back the time away on the open question, answered or set aside.
func (s *Sitting) shut(now time.Time) {
	s.paused += s.away(now)
	s.opened = time.Time{}
}

// Pause takes d out of the sitting: the player was away, or had paused.
func (s *Sitting) Pause(d time.Duration) { s.paused += d }

// Next picks the next question. It reports false when the time is up or there
// is nothing to ask.
func (s *Sitting) Next(now time.Time) (Turn, bool, error) {
	s.settle()
	s.shut(now)
	left := s.Left(now)
	if left == 0 && !s.paid && s.owes() {
		left, s.paid = owed, true
	}
	if left == 0 {
		return Turn{}, false, nil
	}
	if s.cfg.Before != nil {
		if err := s.cfg.Before(); err != nil {
			return Turn{}, false, fmt.Errorf("read the log: %w", err)
		}
	}
	choice, ok := s.cfg.Planner.Next(now, left)
	if !ok {
		return Turn{}, false, nil
	}
	q, err := s.pose(choice)
	if err != nil {
		return Turn{}, false, err
	}
	s.asked, s.why = q, choice
	s.open(now)
	return Turn{q, choice}, true, nil
}

// owed is the time for one more question, one that is known, where the last answer
// took the sitting over its time and was to an item never met before: a sitting
// does not end on one.
const owed = 5 * time.Second

func (s *Sitting) owes() bool {
	if s.settled == nil {
		return false
	}
	st, ok := s.cfg.Planner.State(s.settled.row.Item)
	return ok && st.Asked == 1
}

// pose asks an item afresh. An item that comes again is posed another way than
// the last time where it has another way, and no question is asked twice in a row.
func (s *Sitting) pose(choice scheduler.Choice) (drills.Question, error) {
	source, id := s.cfg.Source, choice.Item
	if choice.Reason.Gig != "" && s.cfg.ForGig != nil {
		if own := s.cfg.ForGig(choice.Reason); own != nil {
			source = own
		}
	}
	var q drills.Question
	for range 20 {
		var err error
		if q, err = source.Ask(id, s.cfg.Rand); err != nil {
			return q, err
		}
		if q.Text != s.asked.Text && q.Text != s.posed[id] {
			break
		}
	}
	s.posed[id], s.posedBy[id] = q.Text, source
	return q, nil
}

// ErrNothingAsked is returned by Answer and TakeBack out of turn.
var ErrNothingAsked = errors.New("no question is open")

// An UnreadableError says that a text is no answer to the question at all.
// Nothing is decided; the player may answer again.
type UnreadableError struct{ Reason error }

func (e UnreadableError) Error() string { return e.Reason.Error() }
func (e UnreadableError) Unwrap() error { return e.Reason }

// Answer commits the answer to the open question: it judges it and logs it. The
// key time runs from the question on the screen to the first key of the answer,
// 0 means that it was not timed; what is logged and judged is the thinking time,
// the key time less [Typing]. The row is durable when Answer returns without an
// error.
func (s *Sitting) Answer(ctx context.Context, now time.Time, text string, key time.Duration, by drills.Entry) (Result, error) {
	if s.asked.Item == "" || s.pending != nil {
		return Result{}, ErrNothingAsked
	}
	verdict, err := s.asked.Judge(text)
	if err != nil {
		return Result{}, UnreadableError{err}
	}
	thinking := s.cfg.Typing.Thinking(s.asked, by, key)
	if thinking > Away {
		key, thinking = 0, 0
	}
	row := s.row(now, s.asked)
	row.Given, row.Want, row.Right = text, verdict.Want, verdict.Right
	row.Thinking, row.Entry = thinking.Truncate(time.Millisecond), by
	if err := s.cfg.Log.Append(ctx, row); err != nil {
		return Result{}, fmt.Errorf("keep the answer: %w", err)
	}
	s.shut(now)
	s.lastAside = Turn{}
	outcome := s.cfg.Planner.Outcome(Learnable(row))
	s.pending = &answered{question: s.asked, why: s.why, row: row, outcome: outcome, key: key}
	return Result{verdict, outcome, row.Thinking}, nil
}

// CanTakeBack reports whether there is an answer that TakeBack would withdraw.
func (s *Sitting) CanTakeBack() bool {
	return s.pending != nil || s.settled != nil && s.cfg.Forget != nil
}

// TakeBack withdraws the last answer, a slip of the keys, and opens its question
// again in place of the one that was asked meanwhile. It returns ErrNothingAsked
// where there is none: the one before the last stays.
func (s *Sitting) TakeBack(ctx context.Context, now time.Time) (Turn, error) {
	if !s.CanTakeBack() {
		return Turn{}, ErrNothingAsked
	}
	slip := s.pending
	if slip == nil {
		slip = s.settled
	}
	row := s.row(now, slip.question)
	row.TakesBack, row.Entry = slip.row.ID, slip.row.Entry
	if err := s.cfg.Log.Append(ctx, row); err != nil {
		return Turn{}, fmt.Errorf("take the answer back: %w", err)
	}
	if s.pending == nil {
		s.tally = s.tally[:len(s.tally)-1]
		if err := s.cfg.Forget(Learnable(slip.row)); err != nil {
			return Turn{}, fmt.Errorf("forget what was taken back: %w", err)
		}
	}
	s.shut(now)
	s.open(now)
	s.asked, s.why = slip.question, slip.why
	s.pending, s.settled = nil, nil
	return Turn{s.asked, s.why}, nil
}

// End closes the sitting, however it ended: the last answer is learned, since it
// can no longer be taken back. It may be called more than once.
func (s *Sitting) End() { s.settle() }

// settle lets the planner learn the last answer, as the next question comes.
func (s *Sitting) settle() {
	p := s.pending
	if p == nil {
		return
	}
	if p.row.Right {
		s.cfg.Typing.refine(p.question, p.row.Entry, p.key)
	}
	if id := p.row.Item; !slices.Contains(s.met, id) {
		st, _ := s.cfg.Planner.State(id)
		s.met = append(s.met, id)
		s.fluentBefore[id] = st.Asked > 0 && st.Last.Fluent()
	}
	s.tally = append(s.tally, *p)
	s.cfg.Planner.Learn(Learnable(p.row))
	s.pending, s.settled = nil, p
}

// row begins a log row for a question.
func (s *Sitting) row(now time.Time, q drills.Question) drills.Answer {
	at := now.UTC().Truncate(time.Millisecond)
	return drills.Answer{
		ID:       s.cfg.NewID(at),
		Device:   s.cfg.Device,
		At:       at,
		Day:      s.cfg.Day(now),
		Item:     q.Item,
		Question: q.Text,
	}
}

// Learnable is what the scheduler may know of a row. The practice day is the one
// that was logged, so that travel between zones does not change what it meant.
func Learnable(r drills.Answer) scheduler.Answer {
	// A day that does not read is worked out from the instant.
	day, _ := scheduler.ParseDay(r.Day)
	return scheduler.Answer{Item: r.Item, At: r.At, Day: day, Right: r.Right, Thinking: r.Thinking}
}
