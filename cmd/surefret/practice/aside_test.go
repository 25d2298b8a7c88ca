package practice

import (
	"context"
	"errors"
	"testing"
	"time"

	"surefret/drills"
)

func TestSettingAsideLeavesNoLogRow(t *testing.T) {
	j := &journal{}
	s := sitting(j)
	if s.CanSetAside() || !errors.Is(s.SetAside(), ErrNothingAsked) {
		t.Error("sets aside without a way to")
	}
	var aside []string
	s.cfg.SetAside = func(item string) error { aside = append(aside, item); return nil }
	if !s.CanSetAside() || !errors.Is(s.SetAside(), ErrNothingAsked) {
		t.Error("sets aside before anything was asked")
	}
	if _, _, err := s.Next(start); err != nil {
		t.Fatal(err)
	}
	if err := s.SetAside(); err != nil || len(j.rows) != 0 || len(aside) != 1 || aside[0] != "note/E2+3/name" {
		t.Errorf("%v, rows %v, aside %v", err, j.rows, aside)
	}
	// It comes back in place of the next one, until that is answered.
	if _, err := s.BringBack(start); !errors.Is(err, ErrNothingAsked) {
		t.Errorf("brings back without a way to: %v", err)
	}
	s.cfg.BringBack = func(item string) error { aside = aside[:0]; return nil }
	next(t, s, start)
	if turn, err := s.BringBack(start); err != nil || turn.Question.Item != "note/E2+3/name" || len(aside) != 0 || len(s.Summary(start).Aside) != 0 {
		t.Errorf("brought back: %s, %v, aside %v", turn.Question.Item, err, aside)
	}
	if err := s.SetAside(); err != nil || len(s.Summary(start).Aside) != 1 {
		t.Errorf("set aside again: %v", err)
	}
	next(t, s, start)
	if _, err := s.Answer(context.Background(), start, "G", time.Second, drills.EntryKeys); err != nil {
		t.Fatal(err)
	}
	if err := s.SetAside(); !errors.Is(err, ErrNothingAsked) {
		t.Errorf("sets aside an answered question: %v", err)
	}
	if _, err := s.BringBack(start); !errors.Is(err, ErrNothingAsked) {
		t.Errorf("brings back after an answer: %v", err)
	}
}
