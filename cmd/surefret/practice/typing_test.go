package practice

import (
	"context"
	"testing"
	"time"

	"surefret/drills"
)

func TestThinkingIsKeyTimeLessTypingTime(t *testing.T) {
	typing := Typing{Letters: 400 * time.Millisecond, Digits: 500 * time.Millisecond, Pointer: 700 * time.Millisecond}
	note, fret, chord := drills.Question{Expect: drills.ExpectNote}, drills.Question{Expect: drills.ExpectFret}, drills.Question{Expect: drills.ExpectChord}
	for _, c := range []struct {
		q         drills.Question
		by        drills.Entry
		key, want time.Duration
	}{
		{note, drills.EntryKeys, 1400 * time.Millisecond, time.Second},
		{chord, drills.EntryKeys, 1400 * time.Millisecond, time.Second},
		{fret, drills.EntryKeys, 1500 * time.Millisecond, time.Second},
		{fret, drills.EntryPointer, 1700 * time.Millisecond, time.Second},
		{note, drills.EntryLine, 1400 * time.Millisecond, 1400 * time.Millisecond},
		{note, drills.EntryKeys, 300 * time.Millisecond, time.Millisecond}, // timed all the same
		{note, drills.EntryKeys, 0, 0},                                     // not timed
	} {
		if got := typing.Thinking(c.q, c.by, c.key); got != c.want {
			t.Errorf("expect %d by %s, %v: %v, want %v", c.q.Expect, c.by, c.key, got, c.want)
		}
	}
}

func TestTypingTimesAreRefinedByFasterRightAnswersOnly(t *testing.T) {
	j := &journal{}
	s := sitting(j)
	s.cfg.Typing.Letters = 500 * time.Millisecond
	for _, c := range []struct {
		answer    string
		key, want time.Duration
	}{
		{"G", 2 * time.Second, 500 * time.Millisecond},
		{"G", 900 * time.Millisecond, 500 * time.Millisecond}, // slower, if not by much
		{"A", 300 * time.Millisecond, 500 * time.Millisecond}, // a wrong key can be as fast as it likes
		{"G", 300 * time.Millisecond, 460 * time.Millisecond},
		{"G", time.Millisecond, 460*time.Millisecond - 459*time.Millisecond/5},
	} {
		if _, _, err := s.Next(start); err != nil {
			t.Fatal(err)
		}
		if _, err := s.Answer(context.Background(), start, c.answer, c.key, drills.EntryKeys); err != nil {
			t.Fatal(err)
		}
		s.settle()
		if got := s.Typing().Letters; got != c.want {
			t.Errorf("%s after %v: %v, want %v", c.answer, c.key, got, c.want)
		}
	}
	if got := j.rows[0].Thinking; got != 1500*time.Millisecond {
		t.Errorf("logged %v", got)
	}
}

func TestNobodyTypesFasterThanAHandCan(t *testing.T) {
	typing := Typing{Digits: 151 * time.Millisecond}
	for range 100 {
		typing.refine(drills.Question{Expect: drills.ExpectFret}, drills.EntryKeys, time.Millisecond)
	}
	if typing.Digits != FastestTyping {
		t.Errorf("%v", typing.Digits)
	}
}
