package practice

import (
	"context"
	"errors"
	"testing"
	"time"

	"surefret/drills"
)

func TestSkipSetsAsideWithoutALogRow(t *testing.T) {
	j := &journal{}
	s := sitting(j)
	if s.CanSkip() || !errors.Is(s.Skip(), ErrNothingAsked) {
		t.Error("skips without a way to set aside")
	}
	var aside []string
	s.cfg.Skip = func(item string) error { aside = append(aside, item); return nil }
	if !s.CanSkip() || !errors.Is(s.Skip(), ErrNothingAsked) {
		t.Error("skips before anything was asked")
	}
	if _, _, err := s.Next(start); err != nil {
		t.Fatal(err)
	}
	if err := s.Skip(); err != nil || len(j.rows) != 0 || len(aside) != 1 || aside[0] != "note/E2+3/name" {
		t.Errorf("%v, rows %v, aside %v", err, j.rows, aside)
	}
	// It comes back in place of the next one, until that is answered.
	if _, err := s.TakeUp(start); !errors.Is(err, ErrNothingAsked) {
		t.Errorf("takes up without a way to: %v", err)
	}
	s.cfg.TakeUp = func(item string) error { aside = aside[:0]; return nil }
	next(t, s, start)
	if turn, err := s.TakeUp(start); err != nil || turn.Question.Item != "note/E2+3/name" || len(aside) != 0 || len(s.Summary(start).Aside) != 0 {
		t.Errorf("taken up: %s, %v, aside %v", turn.Question.Item, err, aside)
	}
	if err := s.Skip(); err != nil || len(s.Summary(start).Aside) != 1 {
		t.Errorf("set aside again: %v", err)
	}
	next(t, s, start)
	if _, err := s.Answer(context.Background(), start, "G", time.Second, drills.EntryKeys); err != nil {
		t.Fatal(err)
	}
	if err := s.Skip(); !errors.Is(err, ErrNothingAsked) {
		t.Errorf("skips an answered question: %v", err)
	}
	if _, err := s.TakeUp(start); !errors.Is(err, ErrNothingAsked) {
		t.Errorf("takes up after an answer: %v", err)
	}
}
