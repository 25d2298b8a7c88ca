package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"surefret/cmd/surefret/hearing"
	"surefret/cmd/surefret/hearing/input"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/line"
	"surefret/cmd/surefret/score"
	"surefret/cmd/surefret/sound"
	"surefret/drills/gig"
	"surefret/drills/rehearse"
)

// A saidRun is a run that is said bar by bar, with its sound.
type saidRun struct {
	*program
	pl    *kept.Practice
	song  gig.Song
	run   rehearse.Run
	snd   *sound.Sound
	from  input.Source
	o     rehearseOptions
	typed <-chan string // lines, closed at the end of the input
}

// lines are those that are typed from now on. Who reads them goes on until the input ends.
func (p *program) lines() <-chan string {
	lines := make(chan string)
	go func() {
		defer close(lines)
		for in := bufio.NewScanner(p.In); in.Scan(); {
			lines <- strings.ToLower(strings.TrimSpace(in.Text()))
		}
	}()
	return lines
}

// leaves reports whether a line ends a rehearsal.
func leaves(text string) bool { return text == "quit" || text == "q" || text == "stop" }

// say says the run, round and round where that was asked for, and reports whether the
// player left it.
func (s saidRun) say(ctx context.Context) (left bool, err error) {
	take, err := s.take(ctx, s.pl, s.from)
	if err != nil {
		return false, err
	}
	words := func(text string) string { return text }
	if s.o.line || s.pl.Settings.Speak {
		words = speller(s.pl.Setup()).Text
	}
	said := line.Rehearsal{Out: s.Out, Title: s.song.Title, Run: s.run, Names: s.pl.Setup().Names, Words: words}
	said.Open()
	ctx, leave := context.WithCancel(ctx)
	defer leave()
	if s.Keyboard() != nil { // whoever listens hears the opening out first
		fmt.Fprintln(s.Out, words("Press Enter to count in; quit ends it."))
		select {
		case text, more := <-s.typed:
			if !more || leaves(text) {
				return true, nil
			}
		case <-ctx.Done():
			return true, nil
		}
	}
	go func() {
		for {
			select {
			case text, more := <-s.typed:
				if !more {
					return
				}
				if leaves(text) {
					leave()
				}
			case <-ctx.Done():
				return
			}
		}
	}()
	for {
		if err := s.once(ctx, said, take); err != nil || ctx.Err() != nil || !s.o.loop {
			return ctx.Err() != nil, err
		}
	}
}

// once says the run once, and what came of it where it was heard.
func (s saidRun) once(ctx context.Context, said line.Rehearsal, take *hearing.Take) error {
	sc, first := score.Song(s.run, s.pl.Setup().Neck, s.pl.Settings.ReferenceA, score.Backing{CountIn: true, Targets: take == nil, Quiet: s.from.Live != nil && !s.from.Phones})
	clock := s.snd.Song(sc, s.pl.Now)
	defer s.snd.Stop()
	rehearsal := s.pl.BeginRehearsal(s.song, s.run, s.o.section != "")
	said.Heard, said.Count, said.Wait = clock.At, first, s.wait
	if take != nil {
		take.GoTo(s.run, -first, -s.run.Lead())
		said.Heard, said.Wait = s.follow(take, s.from, clock, first)
	}
	fault := said.Say(ctx)
	if lost := clock.Lost(); lost > 0 {
		fmt.Fprintf(s.Err, "The sound broke off for %d ms in all, and went on where it was: the machine was busy.%s\n", lost.Milliseconds(), deviceHolds())
	}
	// What was heard until an input failed is kept all the same.
	sounded := max(min(said.Heard()-first, s.run.Time(s.run.Length())), 0)
	if take != nil {
		rehearsal.Hear(take.Strokes(), sounded)
	}
	if err := errors.Join(fault, rehearsal.End(context.WithoutCancel(ctx), s.pl.Now(), sounded)); err != nil || take == nil {
		return err
	}
	for _, l := range rehearsal.Page().Lines(s.pl.Setup().Names.Chord) {
		s.PrintFolded(said.Words(l))
	}
	return nil
}

// follow takes up what is heard while a run is said: a recording as fast as it can be read,
// an input as its samples come. It returns how much of the run has sounded, and what waits.
func (p *program) follow(take *hearing.Take, from input.Source, clock *sound.Clock, first time.Duration) (heard func() time.Duration, wait func(context.Context, time.Duration) error) {
	if from.Live == nil {
		at := time.Duration(0)
		return func() time.Duration { return at }, func(ctx context.Context, d time.Duration) error {
			at += max(d, 0)
			return take.Follow(ctx, at-first)
		}
	}
	return clock.At, func(ctx context.Context, left time.Duration) error {
		for ; left > 0; left -= listenEvery {
			if err := take.Follow(ctx, clock.At()-first); err != nil {
				return err
			}
			if err := p.wait(ctx, min(left, listenEvery)); err != nil {
				return err
			}
		}
		return ctx.Err()
	}
}

// listenEvery is how often line mode takes up what was heard.
const listenEvery = 50 * time.Millisecond

// wait waits, or until ctx ends. Where the clock stands still, as scripts have it, it
// waits for nothing.
func (p *program) wait(ctx context.Context, d time.Duration) error {
	if p.Getenv("SUREFRET_CLOCK") != "" {
		d = 0
	}
	timer := time.NewTimer(d)
	defer timer.Stop()
	select {
	case <-timer.C:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}
