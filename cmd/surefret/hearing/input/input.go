// Package input opens what is listened to, an input of the machine or a recording, as the
// player named or set it, and says what is heard of a recording.
package input

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/spf13/pflag"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/hearing"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/settings"
	"surefret/drills/fretboard"
	"surefret/synth/microphone"
)

// Options say what is listened to.
type Options struct {
	Live   bool
	Input  string
	From   string // a recording in place of an input
	Phones bool
	Set    bool // it listens since that is set, and not asked for this time
}

// Add declares the flags of commands that listen.
func (o *Options) Add(flags *pflag.FlagSet) {
	flags.StringVar(&o.Input, "input", "", "the input to listen to, by its name or a part of it: 'surefret listen inputs' lists them")
	flags.StringVar(&o.From, "listen-from", "", "listen to this recording, a WAVE file, as to a microphone")
}

// AddPhones declares the flag of commands that sound while they listen.
func (o *Options) AddPhones(flags *pflag.FlagSet) {
	flags.BoolVar(&o.Phones, "headphones", false, "with --listen: you wear headphones, so what sounds is not heard by the input")
}

// On reports whether anything is listened to.
func (o Options) On() bool { return o.Live || o.From != "" }

// A Source is what is listened to: an input, or a recording. The zero Source is none.
type Source struct {
	Live   *microphone.Microphone
	File   *microphone.File
	Phones bool   // what sounds is not heard by it
	Told   string // why there is none where one is set
}

// Open opens what the player named, or else set.
func Open(ctx context.Context, on microphone.System, o Options, s settings.Settings) (Source, error) {
	switch {
	case o.From != "" && (o.Live || o.Input != ""):
		return Source{}, cli.Usagef("--listen-from listens to a recording: leave --listen and --input out")
	case o.From != "":
		file, err := openRecording(o.From)
		return Source{File: file}, err
	case o.Input != "" && !o.Live:
		return Source{}, cli.Usagef("--input goes with --listen")
	case !o.Live:
		return Source{}, nil
	}
	live, err := microphone.Open(ctx, on, cmp.Or(o.Input, s.Input))
	if errors.Is(err, microphone.ErrUnnamed) {
		err = cli.BadInput{Err: err}
	}
	if err != nil {
		return Source{}, fmt.Errorf("cannot listen: %w", err)
	}
	return Source{Live: live, Phones: o.Phones || s.Headphones}, nil
}

// Close closes it.
func (s Source) Close() {
	switch {
	case s.File != nil:
		s.File.Close()
	case s.Live != nil:
		s.Live.Close()
	}
}

// inputLatency is about what lies between a sound and its sample where it was not measured:
// two periods of the device. What a server adds is not known.
const inputLatency = 20 * time.Millisecond

// Said says what is listened to.
func (s Source) Said() string {
	if s.File != nil {
		return "recording"
	}
	return "microphone open"
}

// Ear returns who listens to it, nil for nobody. Sounding reports whether the speaker
// sounds, nil where that muffles nothing. What the devices add is taken off as it was
// measured, or else is a guess.
func (s Source) Ear(neck fretboard.Fretboard, set settings.Settings, sounding func() bool) (*hearing.Ear, error) {
	var stream hearing.Stream
	switch {
	case s.File != nil:
		stream = s.File
	case s.Live != nil:
		stream = s.Live
	default:
		return nil, nil
	}
	e, err := hearing.New(stream, neck, set.ReferenceA)
	if err != nil {
		return nil, cli.BadInput{Err: err}
	}
	if s.Live != nil {
		measured := time.Duration(set.Delay * float64(time.Millisecond))
		e.Latency, e.Sounding, e.Headphones = cmp.Or(measured, inputLatency), sounding, s.Phones
	}
	return e, nil
}

// Pace gives a sitting in lines the clock of the recording that it listens to; on the full
// screen the recording comes as fast as it was played.
func (s Source) Pace(pl *practice.Player, lines bool) {
	switch {
	case s.File != nil && lines:
		begun := pl.Now()
		pl.Now = func() time.Time { return begun.Add(s.File.Position()) }
	case s.File != nil:
		s.File.Paced = true
	}
}
