package practice

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"iter"
	"slices"
	"time"

	"surefret/cmd/surefret/report"
	"surefret/drills"
	"surefret/scheduler"
)

// keep logs an answer and then learns from it: log first, learn second. It returns
// what was known of the item before, and the outcome. After an error nothing was
// learned.
func (p *Player) keep(ctx context.Context, row drills.Answer) (before scheduler.State, outcome scheduler.Outcome, err error) {
	if err := p.append(ctx, row); err != nil {
		return before, outcome, fmt.Errorf("keep the answer: %w", err)
	}
	before, _ = p.planner.State(row.Item)
	answer := p.learnable(row)
	outcome = p.planner.Outcome(answer)
	p.planner.Learn(answer)
	return before, outcome, nil
}

// relearn makes the planner forget what was taken back. What the sitting was
// narrowed to stays.
func (p *Player) relearn(ctx context.Context) error {
	blank, err := p.newPlanner()
	if err != nil {
		return err
	}
	state, err := blank.MarshalBinary()
	if err != nil {
		return err
	}
	if err := p.planner.UnmarshalBinary(state); err != nil {
		return err
	}
	return p.learnLog(ctx)
}

// learnLog brings the planner up to the end of the log and of the rows that a lock
// keeps out of it. The snapshot spares replaying years of practice at each start;
// where it does not fit, because the items or the model changed, or older rows were
// merged in, the whole log is read.
func (p *Player) learnLog(ctx context.Context) error {
	p.mixed = true // until the log was read to its end, what is learned is not to be kept
	written, _, err := p.log.Newest(ctx)
	if err != nil {
		return err
	}
	if written.At.After(p.seen) {
		p.seen = written.At // Replay may date it anew
	}
	p.kept = 0
	withdrawn := map[string]bool{}
	for _, r := range p.held {
		if r.TakesBack != "" {
			withdrawn[r.TakesBack] = true
		}
	}
	resume := func(upto int64, state []byte) bool {
		if state == nil || p.planner.UnmarshalBinary(state) != nil {
			return false
		}
		p.kept = upto
		return true
	}
	p.read, err = p.log.Replay(ctx, p.version(), resume, func(rows iter.Seq2[drills.Answer, error]) error {
		for r, err := range rows {
			if err != nil {
				return err
			}
			if !withdrawn[r.ID] {
				p.planner.Learn(p.learnable(r))
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	newest, _, err := p.log.Newest(ctx)
	if err != nil {
		return err
	}
	p.newest = newest.At
	p.own, p.mixed = map[string]bool{}, len(p.held) > 0
	for _, r := range p.held {
		if r.TakesBack == "" && !withdrawn[r.ID] {
			p.planner.Learn(p.learnable(r))
		}
	}
	return nil
}

// learnable is what the scheduler may know of a row. The practice day is the one
// that was logged, so that travel between zones does not change what it meant. What was
// played has an aim of its own: what it is longer is taken off.
func (p *Player) learnable(r drills.Answer) scheduler.Answer {
	// A day that does not read is worked out from the instant.
	day, _ := scheduler.ParseDay(r.Day)
	return scheduler.Answer{Item: r.Item, At: r.At, Day: day, Right: r.Right, Thinking: report.Against(r, p.typing.reach(r.Entry))}
}

// written remembers that a row of this process stands in the log at a cursor.
func (p *Player) written(r drills.Answer, cursor int64) {
	if cursor == p.read+1 {
		p.read = cursor // nothing came between: it need not be read again
	} else {
		p.own[r.ID] = true
	}
	// After the clock has been set back, a row belongs before others.
	if at := r.At.Truncate(time.Millisecond); at.Before(p.newest) {
		p.mixed = true
	} else {
		p.newest = at
	}
}

// catchUp learns what another process added to the log since the last call.
func (p *Player) catchUp(ctx context.Context) error {
	rows, end, err := p.log.Tail(ctx, p.read)
	if err != nil {
		return fmt.Errorf("read the log: %w", err)
	}
	p.read = end
	for _, r := range rows {
		if p.own[r.ID] {
			delete(p.own, r.ID) // another row of the same id is not our own
			continue
		}
		// Learned as it came, not in the order of the log: good enough to plan by,
		// not to be kept.
		p.mixed = true
		if r.TakesBack == "" {
			p.planner.Learn(p.learnable(r))
		}
	}
	return nil
}

// Close saves what is still held, and what was learned for the next start. It does
// not close the log. A player who only looked keeps nothing. Where ctx has ended
// already, what is held is tried once and then written aside.
func (p *Player) Close(ctx context.Context) error {
	ended := ctx.Err() != nil
	ctx = context.WithoutCancel(ctx)
	if err := p.saveHeld(ctx, ended); err != nil {
		return err
	}
	err := p.saveMemory(ctx)
	if err == nil && !ended && p.read != p.opened {
		_, err = p.tally(ctx) // so that progress need not count them
	}
	if locked(err) {
		return nil // it is learned anew from the log
	}
	return err
}

// saveMemory saves the planner's memory as a snapshot of the log, unless it is not
// what replaying the log would give.
func (p *Player) saveMemory(ctx context.Context) error {
	if p.read == p.kept && len(p.own) == 0 {
		return nil // it is there, or there is nothing to remember
	}
	if err := p.catchUp(ctx); err != nil || p.mixed {
		return err
	}
	state, err := p.planner.MarshalBinary()
	if err != nil {
		return err
	}
	if err := p.log.SaveSnapshot(ctx, p.version(), p.read, state); err != nil {
		return err
	}
	p.kept = p.read
	return nil
}

// version names what a snapshot depends on besides the log: the items with their
// aims and kin. Days are not among it: each row carries its own.
func (p *Player) version() string {
	h := sha256.New()
	fmt.Fprintln(h, "3", p.typing.reach(drills.EntryPlayed)) // counts the ways in which rows were learned from
	for _, it := range p.catalogue.Items() {
		fmt.Fprintln(h, it.ID, it.Aim, it.Kin)
	}
	return "memory " + hex.EncodeToString(h.Sum(nil)[:16])
}

// Replays reports whether the memory that is kept beside the log, brought up to
// date, is what replaying the whole log gives.
func (p *Player) Replays(ctx context.Context) (bool, error) {
	kept, err := p.planner.MarshalBinary()
	if err != nil {
		return false, err
	}
	fresh, err := p.newPlanner()
	if err != nil {
		return false, err
	}
	never := func(int64, []byte) bool { return false }
	_, err = p.log.Replay(ctx, p.version(), never, func(rows iter.Seq2[drills.Answer, error]) error {
		for r, err := range rows {
			if err != nil {
				return err
			}
			fresh.Learn(p.learnable(r))
		}
		return nil
	})
	if err != nil {
		return false, err
	}
	replayed, err := fresh.MarshalBinary()
	return bytes.Equal(kept, replayed), err
}

// row begins a log row for a question, at an instant.
func (p *Player) row(now time.Time, q drills.Question) drills.Answer {
	at := now.UTC().Truncate(time.Millisecond)
	return drills.Answer{
		ID:       p.log.NewID(at),
		Device:   p.log.Device(),
		At:       at,
		Day:      scheduler.DayOf(now, time.Local).String(),
		Item:     q.Item,
		Question: q.Text,
	}
}

// Answers that cannot be saved while another program has the log locked for longer
// than a save waits are held: practice goes on, and each is saved, in its order,
// with the first one after it that can be. At the end what is still held goes to a
// file of its own. Only a program that is killed in the meantime loses an answer by
// it, and the player was told.

// append saves what was held before and then r. It returns without an error, too,
// when r is held; a row that fails for another reason than a lock is not held. What
// ends the program does not break it off.
func (p *Player) append(ctx context.Context, r drills.Answer) error {
	p.untold = p.untold || len(p.held) == 0
	p.held = append(p.held, r)
	err := p.flush(context.WithoutCancel(ctx))
	switch {
	case err == nil:
		p.untold = false
	case locked(err):
		return nil
	default:
		p.held = p.held[:len(p.held)-1]
	}
	return err
}

// flush saves what is held, up to the first that cannot be saved.
func (p *Player) flush(ctx context.Context) error {
	for len(p.held) > 0 {
		cursor, err := p.log.AppendAt(ctx, p.held[0])
		if err != nil {
			return err
		}
		p.written(p.held[0], cursor)
		p.held = slices.Delete(p.held, 0, 1)
	}
	return nil
}

// Notice says once that something is held, and what to do; "" otherwise.
func (p *Player) Notice() string {
	if !p.untold || len(p.held) == 0 {
		return ""
	}
	p.untold = false
	return "Your practice is in use by another program: close it. Your answers are held here until they can be saved."
}

// lastTries is how often saving what is held is tried at the end, each time for as
// long as a save waits; once where the program was told to end.
const lastTries = 3

// An UnsavedError says where the last answers went that a lock kept out of the log.
type UnsavedError struct {
	Answers int
	File    string // "" where they could not be written either
	cause   error
}

func (e UnsavedError) Error() string {
	last := fmt.Sprintf("the last %s could not be saved", report.Many(e.Answers, "answer"))
	if e.File == "" {
		return last + ", nor written to a file: " + e.cause.Error()
	}
	return last + " in your practice and went to " + e.File + ": when no other program has it locked, 'surefret data import' with that name brings them in"
}

func (e UnsavedError) Unwrap() error { return e.cause }

// saveHeld saves what is held or, where that cannot be done, writes it to a file
// beside the log.
func (p *Player) saveHeld(ctx context.Context, once bool) error {
	var err error
	for range lastTries {
		if err = p.flush(ctx); !locked(err) || once {
			break
		}
	}
	if err == nil {
		return nil
	}
	file, failed := p.log.SaveBeside(p.Now(), p.held)
	if failed != nil {
		return UnsavedError{len(p.held), "", failed}
	}
	return UnsavedError{len(p.held), file, err}
}
