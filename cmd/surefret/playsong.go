package main

import (
	"context"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/score"
	"surefret/cmd/surefret/sound"
	"surefret/drills/gig"
	"surefret/drills/rehearse"
	"surefret/synth"
)

// usualTempo is taken for a song that says none, in beats a minute.
const usualTempo = 90

// A runOptions says how a song is run through.
type runOptions struct {
	called  string
	tempo   float64
	section string
	loop    bool
}

// add declares its flags.
func (o *runOptions) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&o.called, "called", "", "the key that the singer asks for, like Bb (default: as it was learned)")
	cmd.Flags().Float64Var(&o.tempo, "tempo", 0, fmt.Sprintf("beats a minute, %d to %d (default: the song's, or %d)", synth.SlowestTempo, synth.FastestTempo, usualTempo))
	cmd.Flags().StringVar(&o.section, "section", "", "only this section, by its name or how that begins, like chorus")
	cmd.Flags().BoolVar(&o.loop, "loop", false, "go round without an end, until you press ctrl-c")
}

// run sets a song in time, in the key that is called.
func (o runOptions) run(pl *kept.Practice, s gig.Song) (rehearse.Run, error) {
	tempo := o.tempo
	switch {
	case tempo == 0 && s.Tempo > 0:
		tempo = float64(s.Tempo)
	case tempo == 0:
		tempo = usualTempo
	case !(tempo >= synth.SlowestTempo && tempo <= synth.FastestTempo):
		return rehearse.Run{}, usagef("--tempo %g: give %d to %d beats a minute", tempo, synth.SlowestTempo, synth.FastestTempo)
	}
	if s.Called == "" {
		s.Called = s.Learned
	}
	if o.called != "" {
		s.Called = gig.CalledTyped(o.called, s.Learned, pl.Setup().Names)
		if err := s.Check(); err != nil {
			return rehearse.Run{}, cli.BadInput{Err: fmt.Errorf("--called %s: %w", o.called, err)}
		}
	}
	r, err := rehearse.Of(s, pl.Setup().Neck, tempo)
	if err != nil {
		return r, fmt.Errorf("%s cannot be played through: %w", s.Title, err)
	}
	if o.section == "" {
		return r, nil
	}
	from, to, ok := r.Section(o.section)
	if !ok {
		return r, usagef("%s has no section called %q: 'surefret song show %q' shows them", s.Title, o.section, s.Title)
	}
	return r.Part(from, to), nil
}

func (p *program) playSong() *cobra.Command {
	var f playFlags
	var o runOptions
	cmd := &cobra.Command{
		Use: "song SONG", Short: "Hear a song of yours in time: click, bass and held chords, after a bar of count-in",
		Example: "  surefret play song Cockles --called Eb\n  surefret play song Cockles --tempo 72 --loop",
		Args:    cli.Needs("SONG"),
	}
	cmd.Long = cmd.Short + ". On a bass it walks, a note a beat.\n\n" + synth.Caution
	cmd.RunE = p.look(onSong(func(ctx context.Context, pl *kept.Practice, s gig.Song, _ []string) error {
		r, err := o.run(pl, s)
		if err != nil {
			return err
		}
		neck, backing := pl.Setup().Neck, score.Backing{CountIn: !o.loop, Chords: true}
		if neck.Tuning.Bass() {
			if backing.Walking, err = r.Walking(neck); err != nil {
				return err
			}
		}
		sc, first := score.Song(r, neck, pl.Settings.ReferenceA, backing)
		f.tempo, f.tuned = r.Tempo, neck.Tuning
		if !o.loop || f.wav != "" || f.midi != "" {
			return p.sounding(ctx, pl.Settings, sc, f)
		}
		cue, err := synth.Render(sc, synth.Options{Tone: sound.Tone(pl.Settings)})
		if err != nil {
			return cli.BadInput{Err: err}
		}
		return p.hear(ctx, pl.Settings, round(cue, first+r.Time(r.Length())))
	}))
	o.add(cmd)
	f.addFiles(cmd)
	return cmd
}

// round makes a loop of a cue that ends when d has passed; what still rings then is
// heard again at its beginning.
func round(cue synth.Cue, d time.Duration) synth.Cue {
	n := min(int(d.Seconds()*float64(cue.Rate)+0.5), len(cue.Samples))
	for i, v := range cue.Samples[n:] {
		cue.Samples[i%n] += v
	}
	return synth.Cue{Samples: cue.Samples[:n:n], Rate: cue.Rate, Loop: true}
}
