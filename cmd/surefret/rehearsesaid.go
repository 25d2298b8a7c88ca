package main

import (
	"context"
	"fmt"
	"time"

	"surefret/cmd/surefret/hearing/input"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/line"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/score"
	"surefret/cmd/surefret/sound"
	"surefret/drills/gig"
	"surefret/drills/rehearse"
)

// sayRun says a run bar by bar, with its sound, and reports whether the player left it.
func (p *program) sayRun(ctx context.Context, pl *kept.Practice, song gig.Song, r rehearse.Run, snd *sound.Sound, from input.Source, o rehearseOptions, typed <-chan string) (left bool, err error) {
	take, err := p.take(ctx, pl, from)
	if err != nil {
		return false, err
	}
	words := func(text string) string { return text }
	if o.line || pl.Settings.Speak {
		words = speller(pl.Setup()).Text
	}
	said := line.Sounded{
		Rehearsal: line.Rehearsal{Out: p.Out, Title: song.Title, Run: r, Names: pl.Setup().Names, Words: words},
		Begin:     func() *practice.Rehearsal { return pl.BeginRehearsal(song, r, o.Section != "") },
		Play: func() (line.Clock, time.Duration) {
			sc, first := score.Song(r, pl.Setup().Neck, pl.Settings.ReferenceA, score.Backing{CountIn: true, Targets: take == nil, Quiet: from.Live != nil && !from.Phones})
			return snd.Song(sc, pl.Now), first
		},
		Stop: snd.Stop, Now: pl.Now, Pause: p.wait,
		Recorded: from.Live == nil, Loop: o.loop,
		Lines: typed, Waits: p.Keyboard() != nil, Page: p.PrintFolded,
		Lost: func(lost time.Duration) {
			fmt.Fprintf(p.Err, "The sound broke off for %d ms in all, and went on where it was: the machine was busy.%s\n", lost.Milliseconds(), deviceHolds())
		},
	}
	if take != nil {
		said.Listen = take
	}
	return said.SayAll(ctx)
}

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
