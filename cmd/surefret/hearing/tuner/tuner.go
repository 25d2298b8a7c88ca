// Package tuner hears the open strings of an instrument one after another, says how far
// off each is and which is to be played next, and measures how late an input hears what
// the machine plays. It builds on hearing; how it is shown is for the commands.
package tuner

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/hearing"
	"surefret/drills"
	"surefret/drills/fretboard"
)

const (
	leastOver    = 10 // dB: how much louder than the room the softest string has to be
	leastReached = 3  // how many strings must have been reached for
)

// A Tuner hears the open strings of one instrument. Its Ear and Setup are to be set.
type Tuner struct {
	Ear   *hearing.Ear
	Setup drills.Setup

	heard map[int]hearing.Tuned
	asked int             // the string that was asked for, where another was heard before; 0 for none
	told  time.Duration   // when
	gaps  []time.Duration // from then to its pluck
}

// Quiet listens to the room first, for two seconds.
func (t *Tuner) Quiet(ctx context.Context) error {
	err := t.Ear.Quiet(ctx, 2*time.Second)
	if errors.Is(err, io.EOF) {
		return cli.Usagef("the recording is over before two quiet seconds are: begin it with them")
	}
	return err
}

// Room says how loud it is.
func (t *Tuner) Room() string {
	return fmt.Sprintf("The room is at %.0f dB. Now play the open strings, one after another", t.Ear.Calibration.Floor)
}

// Next waits for an open string.
func (t *Tuner) Next(ctx context.Context) (hearing.Tuned, error) {
	s, _, err := t.Ear.Tune(ctx, t.Setup.Neck, 0)
	if err != nil {
		return s, err
	}
	if s.String == t.asked && s.At > t.told {
		t.gaps = append(t.gaps, max(s.At-t.Ear.Latency-t.told, time.Millisecond))
	}
	if t.heard == nil {
		t.heard = map[int]hearing.Tuned{}
	}
	t.heard[s.String] = s
	t.Ear.Calibration.Heard(s)
	return s, nil
}

// Ask says what is to be played after a string, "" where all is in tune, and that it is too
// loud.
func (t *Tuner) Ask(last int) (said string) {
	if t.Ear.Clipped() {
		said = "Too loud: turn the input down. "
	}
	if t.told, t.asked = t.Ear.Now(), t.left(); t.asked > 0 {
		said += fmt.Sprintf("Now string %d.", t.asked)
	}
	if t.asked == last { // it is turned before it is played again: that is no reach
		t.asked = 0
	}
	return strings.TrimSpace(said)
}

// Reaches are how long the player took from being told the next string to its pluck, none
// where that was not seen often enough.
func (t *Tuner) Reaches() []time.Duration {
	if len(t.gaps) < leastReached {
		return nil
	}
	return t.gaps
}

// Done reports whether every string was in tune when it was heard last.
func (t *Tuner) Done() bool { return t.left() == 0 }

// left is the lowest string that is not yet in tune, 0 for none.
func (t *Tuner) left() int {
	for str := t.Setup.Neck.Tuning.Strings(); str >= 1; str-- {
		if s, ok := t.heard[str]; !ok || math.Abs(s.Cents) > hearing.InTune {
			return str
		}
	}
	return 0
}

// Heard lists the strings as they were heard last, the lowest first.
func (t *Tuner) Heard() []hearing.Tuned {
	all := []hearing.Tuned{}
	for str := t.Setup.Neck.Tuning.Strings(); str >= 1; str-- {
		if s, ok := t.heard[str]; ok {
			all = append(all, s)
		}
	}
	return all
}

// Softest is the level of the string that was heard as the softest, 0 for none.
func (t *Tuner) Softest() float64 {
	least := 0.0
	for _, s := range t.heard {
		least = min(least, s.Level)
	}
	return least
}

// Summary says what is left to do, and whether the room is quiet enough.
func (t *Tuner) Summary() (lines []string) {
	var missing []string
	for str := t.Setup.Neck.Tuning.Strings(); str >= 1; str-- {
		if _, ok := t.heard[str]; !ok {
			missing = append(missing, fmt.Sprint(str))
		}
	}
	switch len(missing) {
	case 0:
	case 1:
		lines = append(lines, "Not heard: string "+missing[0]+".")
	default:
		lines = append(lines, "Not heard: strings "+strings.Join(missing, ", ")+".")
	}
	switch over := t.Softest() - t.Ear.Calibration.Floor; {
	case len(t.heard) == 0:
	case over < leastOver:
		lines = append(lines, fmt.Sprintf("The softest string is only %.0f dB over the room: go nearer to the microphone, or turn the input up.", over))
	default:
		lines = append(lines, fmt.Sprintf("The softest string is %.0f dB over the room.", over))
	}
	if t.Done() {
		lines = append(lines, "All strings are in tune.")
	}
	return lines
}

// Calibration begins one for an instrument, on a practice day.
func Calibration(neck fretboard.Fretboard, reference float64, day string) hearing.Calibration {
	c := hearing.Calibration{Day: day, Reference: reference}
	for str := 1; str <= neck.Tuning.Strings(); str++ {
		c.Open = append(c.Open, neck.MIDI(fretboard.Position{String: str}))
	}
	return c
}

// checkTime is how long each open string is waited for before a sitting.
const checkTime = 5 * time.Second

// Check hears the open strings before a sitting, as long as each comes within five
// seconds, and tells of each.
func Check(ctx context.Context, ear *hearing.Ear, setup drills.Setup, tell func(string)) error {
	heard := map[int]bool{}
	for len(heard) < setup.Neck.Tuning.Strings() {
		s, ok, err := ear.Tune(ctx, setup.Neck, checkTime)
		if err != nil || !ok {
			return err
		}
		heard[s.String] = true
		ear.Calibration.Heard(s)
		tell(Sentence(s, setup))
	}
	return nil
}
