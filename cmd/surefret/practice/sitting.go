package practice

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"time"

	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/scheduler"
)

// Away is the thinking time after which the player was somewhere else: the answer
// is judged, and not timed, and the sitting does not count the rest.
const Away = 30 * time.Second

// Options are what a sitting is begun with.
type Options struct {
	Selection Selection
	Rand      *rand.Rand    // draws the questions
	Length    time.Duration // of the sitting
	Show      bool          // what the settings say is shown before it is asked the first time

	// Heard reports whether sounds are heard now: questions that must be are left
	// out from the moment that they are not. nil is as the Selection says.
	Heard func() bool

	// Sounded says that what is to be played is sounded, too, as long as sounds are heard.
	Sounded bool

	// Stopped reports whether the program was stopped since it was last asked, as the
	// system tells; nil where it tells nothing.
	Stopped func() bool

	// Spoken says a question as it is listened to, so that what speaking takes is no
	// thinking; nil is as it stands.
	Spoken func(string) string

	// Chooser picks the items in place of the planner; nil is the planner, or a
	// placing.
	Chooser Chooser
}

// A Chooser picks the next item to ask, with the time left in the sitting. It
// returns false when nothing is to be asked.
type Chooser interface {
	Next(now time.Time, left time.Duration) (scheduler.Choice, bool)
}

// A Sitting is one sitting of a player. [Player.Begin] makes it. It is used from
// one goroutine.
type Sitting struct {
	p       *Player
	o       Options
	chosen  selected
	placing *placing // nil where there is none
	songs   map[scheduler.Reason]*drills.Catalogue

	clock
	asked drills.Question
	why   scheduler.Choice
	open  bool      // the question asked waits for an answer
	daily bool      // the question before was one of those kept for every day
	last  *answered // the last answer, until it is taken back
	owed  bool      // one more question was asked over the time

	tally     []answered
	typing    Typing          // of this player, refined by his answers
	showings  []showing       // what was shown and not yet asked, the oldest first
	taught    map[string]bool // what was shown in this sitting, as drawn
	terms     []drills.Term   // words that its summary explains
	aside     []drills.Item   // what was set aside
	lastAside Turn            // the question that was set aside last, until another is answered

	posed   map[string]string            // how each item was put the last time
	posedBy map[string]*drills.Catalogue // and by which catalogue
}

// A Turn is one question with the reason why it was picked; or, in place of a question,
// a lesson: then nothing is open to answer, and Next goes on.
type Turn struct {
	Question drills.Question
	Why      scheduler.Choice
	Lesson   *drills.Lesson // nil where a question is asked; with no item, it is what a beginner is told of the notes
	Terms    []drills.Term  // words of it that are met for the first time
}

// A Result is what became of one answer.
type Result struct {
	Verdict  drills.Verdict
	Outcome  scheduler.Outcome
	Thinking time.Duration // 0 when it was not timed
	Aim      time.Duration // the thinking time that counts as fluent
	NotTimed bool          // times count, but not that of this answer
	Terms    []drills.Term // words of what is told that are met for the first time
}

// answered is one answer that was logged and learned.
type answered struct {
	Turn
	row     drills.Answer
	before  scheduler.State // of its item
	outcome scheduler.Outcome
	sure    bool   // whether it was, before
	untimed bool   // times do not count: right is fluent
	typing  Typing // as it was before
}

// fluent reports whether an answer was seen to be right within the aim. One that
// was not timed may have been, and is not counted.
func (a answered) fluent() bool { return a.outcome.Fluent() && (a.row.Thinking > 0 || a.untimed) }

// Begin begins a sitting now. A selection that leaves nothing to ask is a
// [NothingLeftError].
func (p *Player) Begin(o Options) (*Sitting, error) {
	chosen, err := p.work(o.Selection)
	if err != nil {
		return nil, err
	}
	p.apply(chosen)
	s := &Sitting{
		p: p, o: o, chosen: chosen, clock: clock{started: p.Now(), halted: o.Stopped}, typing: p.typing, songs: map[scheduler.Reason]*drills.Catalogue{},
		posed: map[string]string{}, posedBy: map[string]*drills.Catalogue{}, taught: map[string]bool{},
	}
	if o.Selection.Placing {
		s.placing = newPlacing(p, chosen)
	}
	return s, nil
}

// Left returns how much of the sitting is left, never below zero.
func (s *Sitting) Left(now time.Time) time.Duration { return max(0, s.o.Length-s.spent(now)) }

// Typing returns the typing times as refined by this sitting, to be kept for the
// next.
func (s *Sitting) Typing() Typing { return s.typing }

// Answered is how many questions were answered so far.
func (s *Sitting) Answered() int { return len(s.tally) }

// owedTime is the time for one more question, one that is known, where the last
// answer took the sitting over its time and was to an item never met before: a
// sitting does not end on one.
const owedTime = 5 * time.Second

// Next picks the next question. It reports false when the time is up or there is
// nothing to ask.
func (s *Sitting) Next(ctx context.Context, now time.Time) (Turn, bool, error) {
	s.open = false
	s.look(now)
	s.shut(now)
	left := s.Left(now)
	if left == 0 && !s.owed && s.last != nil && s.last.before.Asked == 0 {
		left, s.owed = owedTime, true
	}
	if left == 0 {
		return Turn{}, false, nil
	}
	if err := s.p.catchUp(ctx); err != nil {
		return Turn{}, false, err
	}
	if err := s.listen(); err != nil {
		return Turn{}, false, err
	}
	if turn, ok, err := s.primer(ctx); ok || err != nil {
		return s.put(turn, now), ok, err
	}
	turn, ok, err := s.turn(now, left)
	if !ok || err != nil {
		return Turn{}, false, err
	}
	if s.o.Sounded && s.o.Heard != nil && s.o.Heard() && turn.Lesson == nil {
		turn.Question = turn.Question.Sounded()
	}
	turn.Terms, err = s.p.firstMet(ctx, turn)
	return s.put(turn, now), true, err
}

// firstMet lists, of the terms of what is put, those that this player meets for the first
// time.
func (p *Player) firstMet(ctx context.Context, t Turn) ([]drills.Term, error) {
	if t.Lesson != nil {
		return p.met(ctx, t.Lesson.Terms())
	}
	if st, _ := p.State(t.Question.Item); st.Asked > 0 {
		return nil, nil
	}
	return p.met(ctx, t.Question.Terms())
}

// met leaves out the terms that this player was told before, and keeps that he is told
// the others.
func (p *Player) met(ctx context.Context, terms []drills.Term) (met []drills.Term, err error) {
	var names []string
	known := p.Settings.Knows == settings.AllNotes
	for i := 0; i < len(terms); i++ {
		t := terms[i]
		if p.explained[t.Name] || t.Basic && known {
			continue
		}
		p.explained[t.Name] = true
		met, names = append(met, t), append(names, t.Name)
		if !known { // nor may he know the words that explain it
			terms = append(terms[:len(terms):len(terms)], drills.TermsIn(t.Means)...)
		}
	}
	if len(names) == 0 {
		return nil, nil
	}
	if err = p.log.KeepExplained(ctx, names...); locked(err) || errors.Is(err, errNoLog) {
		err = nil // he is told once more
	}
	return met, err
}

// listen leaves out what must be heard once nothing is heard. When nothing is left
// then, the sitting is over.
func (s *Sitting) listen() error {
	if s.o.Heard == nil || !s.o.Selection.Heard || s.o.Heard() {
		return nil
	}
	s.o.Selection.Heard = false
	chosen, err := s.p.work(s.o.Selection)
	if err != nil && !errors.As(err, new(NothingLeftError)) {
		return err
	}
	s.choseAnew(chosen)
	return nil
}

// ErrNothingAsked is returned by Answer, TakeBack and the like out of turn.
var ErrNothingAsked = errors.New("no question is open")

// An UnreadableError says that a text is no answer to the question at all. Nothing
// is decided; the player may answer again.
type UnreadableError struct{ reason error }

func (e UnreadableError) Error() string { return e.reason.Error() }
func (e UnreadableError) Unwrap() error { return e.reason }

// Answer judges the answer to the open question, logs it and learns from it. The
// key time runs from the question on the screen to the first key of the answer, 0
// means that it was not timed; what is logged and judged is the thinking time, the
// key time less [Typing]. The row is durable when Answer returns without an error.
func (s *Sitting) Answer(ctx context.Context, now time.Time, text string, key time.Duration, by drills.Entry) (Result, error) {
	if !s.open {
		return Result{}, ErrNothingAsked
	}
	verdict, err := s.asked.Judge(text)
	if err != nil {
		return Result{}, UnreadableError{err}
	}
	if s.look(now); s.stopped || !s.p.Settings.Times {
		key = 0
	}
	put := s.asked
	switch {
	case s.o.Spoken == nil:
	case len(put.Heard) > 0 && !s.o.Sounded: // the clock ran from the end of what was heard
		put.Text = ""
	default:
		put.Text = s.o.Spoken(put.Text)
	}
	typing := s.typing
	if s.placing != nil || s.o.Spoken != nil { // which has to tell who knows from who does not
		typing = typing.orUsual()
	}
	thinking := typing.Thinking(put, by, key)
	if thinking > Away {
		key, thinking = 0, 0
	}
	res, err := s.judged(ctx, now, drills.Answer{Given: text, Thinking: thinking.Truncate(time.Millisecond), Entry: by}, verdict)
	if err == nil && verdict.Right {
		s.typing.refine(put, by, key)
		if s.placing == nil {
			s.typing.learn(put, by, s.tally)
		}
	}
	return res, err
}

// judged keeps an answer to the open question: what was given, how fast and how.
func (s *Sitting) judged(ctx context.Context, now time.Time, given drills.Answer, v drills.Verdict) (Result, error) {
	row := s.p.row(now, s.asked)
	row.Given, row.Want, row.Right = given.Given, v.Want, v.Right
	row.Thinking, row.Entry = given.Thinking, given.Entry
	outcome, err := s.keep(ctx, now, row)
	if err != nil {
		return Result{}, err
	}
	res := Result{Verdict: v, Outcome: outcome, Thinking: row.Thinking, Aim: s.aim(row)}
	res.NotTimed = s.p.Settings.Times && row.Thinking == 0
	terms := v.Terms()
	if outcome == scheduler.Slow && row.Thinking > 0 {
		terms = []drills.Term{{Name: "slow", Word: "slow", Means: fmt.Sprintf("right, but longer than the aim of %s: it comes again sooner", Seconds(res.Aim))}}
	}
	res.Terms, err = s.p.met(ctx, terms)
	return res, err
}

// Shown is what a player gives who asks to be shown the answer, in the log.
const Shown = "show"

// Show shows the answer to the open question in full. It counts as missed, and comes
// back soon; the row is durable when Show returns without an error.
func (s *Sitting) Show(ctx context.Context, now time.Time, by drills.Entry) (drills.Lesson, error) {
	if !s.open {
		return drills.Lesson{}, ErrNothingAsked
	}
	lesson := s.asked.Lesson()
	row := s.p.row(now, s.asked)
	row.Given, row.Want, row.Entry = Shown, lesson.Here, by
	_, err := s.keep(ctx, now, row)
	return lesson, err
}

// keep logs and learns the answer to the open question, and closes it.
func (s *Sitting) keep(ctx context.Context, now time.Time, row drills.Answer) (scheduler.Outcome, error) {
	sure := s.p.foresight().Sure(row.Item)
	before, outcome, err := s.p.keep(ctx, row)
	if err != nil {
		return outcome, err
	}
	s.shut(now)
	s.open, s.lastAside = false, Turn{}
	s.last = &answered{Turn: Turn{Question: s.asked, Why: s.why}, row: row, before: before, outcome: outcome, sure: sure, untimed: !s.p.Settings.Times, typing: s.typing}
	s.tally = append(s.tally, *s.last)
	if s.placing != nil {
		s.placing.learn(row.Item, s.last.fluent(), 1)
	}
	return outcome, nil
}

// aim is the thinking time that counts as fluent in an answer.
func (s *Sitting) aim(row drills.Answer) time.Duration {
	return s.item(row.Item).Aim + s.p.typing.reach(row.Entry)
}

// item returns an item for its title, named as it was when it was asked; one that
// the catalogue no longer has goes by its id.
func (s *Sitting) item(id string) drills.Item {
	source := s.chosen.source
	if by, ok := s.posedBy[id]; ok {
		source = by
	}
	it, ok := source.Item(id)
	if !ok {
		it = drills.Item{ID: id, Title: id}
	}
	return it
}
