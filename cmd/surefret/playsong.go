package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/score"
	"surefret/cmd/surefret/sound"
	"surefret/drills/gig"
	"surefret/synth"
)

// A runOptions says how a song is run through.
type runOptions struct {
	kept.Running
	loop bool
}

// add declares its flags.
func (o *runOptions) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&o.Called, "called", "", "the key that the singer asks for, like Bb (default: as it was learned)")
	cmd.Flags().Float64Var(&o.Tempo, "tempo", 0, fmt.Sprintf("beats a minute, %d to %d (default: the song's, or %d)", synth.SlowestTempo, synth.FastestTempo, kept.UsualTempo))
	cmd.Flags().StringVar(&o.Section, "section", "", "only this section, by its name or how that begins, like chorus")
	cmd.Flags().BoolVar(&o.loop, "loop", false, "go round without an end, until you press ctrl-c")
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
		r, err := pl.Run(s, o.Running)
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
		return p.hear(ctx, pl.Settings, cue.Round(first+r.Time(r.Length())))
	}))
	o.add(cmd)
	f.addFiles(cmd)
	return cmd
}
