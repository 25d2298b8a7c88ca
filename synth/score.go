package synth

import (
	"fmt"
	"slices"
	"time"
)

// A Sound is what an Event is played on.
type Sound int

const (
	Plucked Sound = iota // a string
	Click                // a metronome's tick
	Accent               // its tick on the first beat of the bar
	Silence              // nothing: a rest, which only takes time
)

// An Event is one sound at its time.
type Event struct {
	At    time.Duration // from the start of the score, 0 or more
	Pluck               // Hz, For and how; clicks and rests use For alone
	Sound Sound
}

// A Score is a set of timed events, in any order. The zero Score is silent and
// takes no time. Scores are made by the constructors below and joined by Then
// and With, which leave their operands as they were.
type Score []Event

// Tempi outside this range, in beats a minute, are taken as the nearer limit.
const (
	SlowestTempo = 20
	FastestTempo = 400
)

// Beat is the length of one beat at bpm beats a minute.
func Beat(bpm float64) time.Duration {
	bpm = max(SlowestTempo, min(FastestTempo, bpm))
	return time.Duration(60 / bpm * float64(time.Second))
}

// Note is one plucked string of hz hertz, held for d.
func Note(hz float64, d time.Duration) Score {
	return Score{{Pluck: Pluck{Hz: hz, For: d}}}
}

// Rest is silence for d.
func Rest(d time.Duration) Score {
	return Score{{Pluck: Pluck{For: d}, Sound: Silence}}
}

// StrumSpread is the time between two strings of an unhurried strum.
const StrumSpread = 25 * time.Millisecond

// Strum sounds the strings one after another in the order given, spread apart,
// and lets all of them ring until d has passed. A spread of 0 sounds them at
// once.
func Strum(d, spread time.Duration, hz ...float64) Score {
	var s Score
	for i, f := range hz {
		at := time.Duration(i) * spread
		s = append(s, Event{At: at, Pluck: Pluck{Hz: f, For: max(d-at, 0)}})
	}
	return s
}

// Dyad is an interval for the ear to check: the first note, then the second,
// then both at once; three seconds.
func Dyad(first, second float64) Score {
	const each = 700 * time.Millisecond
	return Note(first, each).Then(Note(second, each)).Then(Strum(1600*time.Millisecond, 0, first, second))
}

// CountIn is one bar of clicks, the first accented.
func CountIn(bpm float64, beats int) Score {
	var s Score
	for i := range beats {
		e := Event{At: time.Duration(i) * Beat(bpm), Pluck: Pluck{For: Beat(bpm)}, Sound: Click}
		if i == 0 {
			e.Sound = Accent
		}
		s = append(s, e)
	}
	return s
}

// gap is the silence between the notes of a line, so that each is heard to
// start.
const gap = 20 * time.Millisecond

// Line is a walk-up, a scale or any other line: one note a beat at bpm. A pitch
// of 0 is a rest. The last note rings for two beats.
func Line(bpm float64, hz ...float64) Score {
	var s Score
	for i, f := range hz {
		e := Event{At: time.Duration(i) * Beat(bpm), Pluck: Pluck{Hz: f, For: Beat(bpm) - gap, Release: 15 * time.Millisecond}}
		if i == len(hz)-1 {
			e.For, e.Release = 2*Beat(bpm), 0
		}
		if f == 0 {
			e.Sound = Silence
		}
		s = append(s, e)
	}
	return s
}

// Then is s followed by next as soon as s is over.
func (s Score) Then(next Score) Score { return s.with(next.after(s.length())) }

// with is s and other at the same time.
func (s Score) with(other Score) Score { return append(slices.Clone(s), other...) }

// length is the time from 0 to the end of the last event.
func (s Score) length() time.Duration {
	var end time.Duration
	for _, e := range s {
		end = max(end, e.end())
	}
	return end
}

func (s Score) after(d time.Duration) Score {
	s = slices.Clone(s)
	for i := range s {
		s[i].At += d
	}
	return s
}

// end is when the event is over; a string that rings out takes its law's time.
func (e Event) end() time.Duration {
	if e.Sound == Plucked && e.For == 0 && e.Hz > 0 {
		return e.At + e.ring()
	}
	return e.At + e.For
}

func (e Event) check() error {
	if e.At < 0 {
		return fmt.Errorf("an event cannot start at %v: give a time of 0 or more", e.At)
	}
	if e.Sound == Plucked {
		return e.Pluck.check()
	}
	if e.For < 0 {
		return fmt.Errorf("a click or rest cannot last %v: give a time of 0 or more", e.For)
	}
	return nil
}
