package main

import (
	"context"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/hearing"
	"surefret/cmd/surefret/hearing/input"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/line"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/score"
	"surefret/cmd/surefret/screen"
	"surefret/cmd/surefret/setlist"
	"surefret/cmd/surefret/settings"
	"surefret/cmd/surefret/sound"
	"surefret/drills"
	"surefret/drills/gig"
	"surefret/drills/rehearse"
	"surefret/synth"
)

// rehearseOptions say what is rehearsed, and how.
type rehearseOptions struct {
	runOptions
	gig      string
	as       string
	surprise bool
	line     bool
	mute     bool
	hears    input.Options
	seed     uint64
}

// surprises is how many songs a sitting of surprises has.
const surprises = 5

func (p *program) rehearseCommand() *cobra.Command {
	var o rehearseOptions
	cmd := &cobra.Command{
		Use:   "rehearse [SONG]",
		Short: "Run a song of yours in time, in the key that was just called, and see which changes stall",
		Long: "Run a song in time: after a bar of count-in the chart stands still and the bar that\n" +
			"sounds is marked. Before the next chord comes, type the fret of this one's root, or\n" +
			"press v to be shown the places, and play along. After the run it says which changes\n" +
			"stall, at which tempo the song would hold, and what to run next. What you answer is\n" +
			"kept, and comes back in the daily ten minutes.\n\n" +
			"With --listen you play, and each change is judged by what the microphone hears:\n" +
			"right in time, late, wrong, or not heard. A root may come in any octave. A walk has to\n" +
			"reach its root in time, by its notes in their order, of which half have to be heard; a\n" +
			"phrase of a part the same from its first note on. Octaves, tenths, triads and held tones\n" +
			"are listened for as a whole; one note of them that is off may not be heard.\n" +
			"What devices add is taken off as 'surefret tune --delay' measured it; else it is a guess\n" +
			"that moves the whole run, and the changes are judged by the middle of that. " + untried + deviceHolds() + "\n\n" + synth.Caution,
		Example: "  surefret rehearse Cockles --called Eb\n  surefret rehearse Cockles --called Eb --tempo 72 --loop\n" +
			"  surefret rehearse --gig \"Harbour Fair\"\n  surefret rehearse --surprise",
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error { return p.rehearse(cmd, args, o) },
	}
	o.add(cmd)
	cmd.Flags().StringVar(&o.gig, "gig", "", "the songs of this gig in their order, as they are called")
	cmd.Flags().StringVar(&o.as, "as", rehearse.Roots, "what your hand plays: roots, held, walks, walking, part (a part of your own), or shapes by a word: tenths, octaves, triads, a name")
	cmd.Flags().BoolVar(&o.surprise, "surprise", false, fmt.Sprintf("the song, or %d of yours, in keys that are called at the count-in", surprises))
	cmd.Flags().BoolVar(&o.line, "line", false, "say each bar ahead of time, and ask nothing; at a terminal Enter counts in, and quit ends it")
	cmd.Flags().BoolVar(&o.mute, "mute", false, "no sound")
	cmd.Flags().BoolVar(&o.hears.Live, "listen", false, "play along: each change is judged by what the microphone hears, right, late or wrong")
	o.hears.AddPhones(cmd.Flags())
	o.hears.Add(cmd.Flags())
	cmd.Flags().Uint64Var(&o.seed, "seed", 0, "draw the surprises from this seed")
	return cmd
}

func (p *program) rehearse(cmd *cobra.Command, args []string, o rehearseOptions) error {
	if o.loop && o.hears.From != "" {
		return usagef("--listen-from hears one run: leave --loop out")
	}
	return p.withPlayer(func(ctx context.Context, pl *kept.Practice, _ []string) error {
		songs, err := o.songs(ctx, pl, args)
		if err != nil {
			return err
		}
		runs, err := p.runs(pl, songs, o)
		if err != nil {
			return err
		}
		from, err := input.Open(ctx, p.inputs(), o.hears, pl.Settings)
		if err != nil {
			return err
		}
		defer from.Close()
		snd := p.openSound(ctx, pl, p.steady(), o.mute || o.hears.From != "")
		defer snd.Close(ctx)
		if said := snd.Notice(); said != "" {
			fmt.Fprintln(p.Err, said)
		}
		lines := p.inLines(pl, o.line)
		var typed <-chan string
		if lines {
			typed = line.Lines(p.In)
		}
		for i := range songs {
			after := ""
			if i+1 < len(songs) {
				after = songs[i+1].Title + " in " + pl.Setup().Names.Key(runs[i+1].Key)
			}
			left := false
			if lines {
				left, err = p.sayRun(ctx, pl, songs[i], runs[i], snd, from, o, typed)
			} else {
				left, err = p.showRun(ctx, pl, songs[i], after, runs[i], snd, from, o)
			}
			if err != nil || left || ctx.Err() != nil {
				return err
			}
		}
		return nil
	})(cmd, args)
}

// runs sets each song in time, as the hand plays it.
func (p *program) runs(pl *kept.Practice, songs []gig.Song, o rehearseOptions) (runs []rehearse.Run, err error) {
	for _, s := range songs {
		r, err := pl.Run(s, o.Running)
		if err != nil {
			return nil, cli.BadInput{Err: err}
		}
		if len(r.Changes) == 0 {
			return nil, usagef("--section %s: it has no chords to rehearse", o.Section)
		}
		err = pl.Hold(s, &r, o.as)
		if err != nil && len(songs) > 1 { // one song does not stop a set
			fmt.Fprintf(p.Err, "--as %s: %s: %s: its roots are played.\n", o.as, s.Title, err)
			err = r.As(rehearse.Roots, pl.Setup().Neck)
		}
		if err != nil {
			return nil, usagef("--as %s: %s: %w", o.as, s.Title, err)
		}
		runs = append(runs, r)
	}
	return runs, nil
}

// songs are those to be rehearsed, each called as it is to be played.
func (o rehearseOptions) songs(ctx context.Context, pl *kept.Practice, args []string) ([]gig.Song, error) {
	var songs []gig.Song
	switch {
	case o.gig != "" && (len(args) > 0 || o.Called != "" || o.surprise):
		return nil, usagef("--gig goes through a set as it is called: leave out SONG, --called and --surprise")
	case o.surprise && o.Called != "":
		return nil, usagef("--surprise calls the key itself: leave out --called")
	case o.gig != "":
		g, ok := pl.FindGig(o.gig)
		if !ok {
			return nil, cli.BadInput{Err: practice.NoGig(o.gig)}
		}
		if songs = g.Songs; len(songs) == 0 {
			return nil, usagef("%s has no songs yet: 'surefret gig song %q TITLE' calls one", g.Name, g.Name)
		}
	case len(args) > 0:
		s, err := pl.SongCalled(ctx, args[0])
		if err != nil {
			return nil, err
		}
		if songs = []gig.Song{s}; o.Called == "" {
			songs[0].Called = s.Learned
		}
	case o.surprise:
		all, err := pl.Songs(ctx)
		if err != nil {
			return nil, err
		}
		if len(all) == 0 {
			return nil, usagef("there are no songs yet: 'surefret song add FILE' adds one from its chart")
		}
		rng := practiceOptions{seed: o.seed}.rand(pl.Now())
		for len(songs) < surprises {
			songs = append(songs, all[rng.IntN(len(all))])
		}
	default:
		return nil, usagef("'surefret rehearse' needs SONG, --gig or --surprise: see 'surefret rehearse --help'")
	}
	if o.surprise {
		return setlist.CallKeys(songs, practiceOptions{seed: o.seed}.rand(pl.Now()).IntN)
	}
	return songs, nil
}

// showRun rehearses a run on the full screen, and reports whether the player left it.
func (p *program) showRun(ctx context.Context, pl *kept.Practice, song gig.Song, after string, r rehearse.Run, snd *sound.Sound, from input.Source, o rehearseOptions) (left bool, err error) {
	take, err := p.take(ctx, pl, from)
	if err != nil {
		return false, err
	}
	sounds := func(r rehearse.Run, b screen.Backing) (synth.Score, time.Duration) {
		return score.Song(r, pl.Setup().Neck, pl.Settings.ReferenceA, score.Backing{
			CountIn: true, Quiet: from.Live != nil && !from.Phones, Chords: b.Chords, Targets: b.Targets, Louder: b.Louder,
		})
	}
	options := screen.RehearseOptions{
		Title: song.Title, Run: r, Loop: o.loop, After: after,
		Neck: pl.Setup().Neck, LeftHanded: pl.Settings.LeftHanded,
		Begin: func(r rehearse.Run, part bool) *practice.Rehearsal {
			return pl.BeginRehearsal(song, r, part || o.Section != "")
		},
		Play: func(r rehearse.Run, b screen.Backing) (screen.Clock, time.Duration) {
			sc, first := sounds(r, b)
			return snd.Song(sc, pl.Now), first
		},
		Exchange: func(r rehearse.Run, b screen.Backing) {
			sc, _ := sounds(r, b)
			snd.Exchange(sc)
		},
		Stop: snd.Stop, Louder: snd.Louder,
		Now: pl.Now, Grace: max(settings.Seconds(pl.Settings.KeyWait), pl.Typing().Wait(drills.Question{Expect: drills.ExpectFret})), Names: pl.Setup().Names, Look: p.Look(pl.Settings.Drawing),
		In: p.In, Out: p.Terminal(),
	}
	if take != nil {
		options.Listen = take
	}
	next, err := screen.Rehearse(ctx, options)
	return !next, err
}

// take begins to listen to runs, nil where nobody listens. The speaker is not muffled: what
// it plays is a click in headphones, or a count-in.
func (p *program) take(ctx context.Context, pl *kept.Practice, from input.Source) (*hearing.Take, error) {
	ear, err := from.Ear(pl.Setup().Neck, pl.Settings, nil)
	if ear == nil || err != nil {
		return nil, err
	}
	if ear.Calibration, err = p.tunedToday(ctx, pl); err != nil {
		return nil, err
	}
	if from.Live == nil {
		return ear.Take(nil), nil
	}
	return ear.Take(sound.NewClock(pl.Now, func() (time.Duration, bool) { return ear.Now(), true }).At), nil
}
