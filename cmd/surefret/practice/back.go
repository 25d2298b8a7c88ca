package practice

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"time"

	"surefret/drills"
)

// CanTakeBack reports whether there is an answer that TakeBack would withdraw.
func (s *Sitting) CanTakeBack() bool { return s.last != nil }

// TakeBack withdraws the last answer, a slip of the keys, and opens its question
// again in place of the one that was asked meanwhile. It returns ErrNothingAsked
// where there is none: the one before the last stays.
func (s *Sitting) TakeBack(ctx context.Context, now time.Time) (Turn, error) {
	if s.last == nil {
		return Turn{}, ErrNothingAsked
	}
	slip := *s.last
	row := s.p.row(now, slip.Question)
	row.TakesBack, row.Entry = slip.row.ID, slip.row.Entry
	if err := s.p.append(ctx, row); err != nil {
		return Turn{}, fmt.Errorf("take the answer back: %w", err)
	}
	s.tally, s.last, s.typing = s.tally[:len(s.tally)-1], nil, slip.typing
	if s.placing != nil {
		s.placing.learn(slip.row.Item, slip.fluent(), -1)
	}
	if err := s.p.relearn(ctx); err != nil {
		return Turn{}, fmt.Errorf("forget what was taken back: %w", err)
	}
	return s.put(slip.Turn, now), nil
}

// Amend puts another answer in the place of the last one, whose last key came too late:
// a sign, or a second digit. Its time and its way of entry stay. The log has the one that
// was taken back and the other. It returns ErrNothingAsked where there is none.
func (s *Sitting) Amend(ctx context.Context, now time.Time, text string) (Result, error) {
	if s.last == nil || s.open {
		return Result{}, ErrNothingAsked
	}
	slip, typing := s.last.row, s.typing
	verdict, err := s.last.Question.Judge(text)
	if err != nil {
		return Result{}, UnreadableError{err}
	}
	if _, err := s.TakeBack(ctx, now); err != nil {
		return Result{}, err
	}
	s.typing = typing // the hand was seen all the same
	return s.judged(ctx, now, drills.Answer{Given: text, Thinking: slip.Thinking, Entry: slip.Entry}, verdict)
}

// Between tells how long the hand took from one key of an answer to q to the next.
func (s *Sitting) Between(q drills.Question, took time.Duration) { s.typing.between(q).see(took) }

// SetAside sets the item of the open question aside: it is nothing that this player
// needs, in this tuning or at all. Nothing is logged of it, since nothing was
// answered. It returns ErrNothingAsked where there is no open question.
func (s *Sitting) SetAside(ctx context.Context) (what string, err error) {
	if !s.open {
		return "", ErrNothingAsked
	}
	item := s.asked.Item
	if err := s.p.setAside(ctx, item, true); err != nil {
		return "", err
	}
	delete(s.chosen.wanted, item)
	s.p.apply(s.chosen)
	s.aside, s.lastAside, s.open = append(s.aside, s.item(item)), Turn{Question: s.asked, Why: s.why}, false
	return s.item(item).Title, nil
}

// CanBringBack reports whether BringBack would bring a question back.
func (s *Sitting) CanBringBack() bool { return s.lastAside.Question.Item != "" }

// BringBack brings the question back that was set aside last, in place of the one
// that is open. It returns ErrNothingAsked where there is none: after the next
// answer it stays aside.
func (s *Sitting) BringBack(ctx context.Context, now time.Time) (Turn, error) {
	if !s.CanBringBack() {
		return Turn{}, ErrNothingAsked
	}
	turn := s.lastAside
	if err := s.p.setAside(ctx, turn.Question.Item, false); err != nil {
		return Turn{}, err
	}
	s.chosen.wanted[turn.Question.Item] = true
	s.p.apply(s.chosen)
	s.aside, s.lastAside = s.aside[:len(s.aside)-1], Turn{}
	return s.put(turn, now), nil
}

// setAside keeps an item from being asked, or lets it be asked again.
func (p *Player) setAside(ctx context.Context, item string, aside bool) error {
	if err := p.log.SetAside(ctx, aside, item); err != nil {
		return err
	}
	delete(p.aside, item)
	if aside {
		p.aside[item] = true
	}
	return nil
}

// BringAllBack lets everything be asked again that was set aside, and says how many
// items that is.
func (p *Player) BringAllBack(ctx context.Context) (int, error) {
	n := len(p.aside)
	if err := p.log.SetAside(ctx, false, slices.Sorted(maps.Keys(p.aside))...); err != nil {
		return 0, err
	}
	clear(p.aside)
	return n, nil
}
