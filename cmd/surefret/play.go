package main

import (
	"context"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/report"
	"surefret/cmd/surefret/score"
	"surefret/cmd/surefret/settings"
	"surefret/cmd/surefret/sound"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/synth"
	"surefret/synth/wav"
)

// playFlags say where a sound goes and how fast it is.
type playFlags struct {
	wav, midi string
	root      string
	tempo     float64
	down      bool
	skip      int
	seconds   float64
	tuned     fretboard.Tuning // of the instrument that sounds
}

// A tune is what a play command sounds, worked out from the player's settings.
type tune func(s settings.Settings, setup drills.Setup) (synth.Score, error)

func (p *program) playCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "play",
		Short: "Hear a note, a shape, a walk-up, a part, a song, the tuning or a drone",
		Long:  "Hear what you practise, to check it by ear or to play along.\n\n" + synth.Caution,
		Example: "  surefret play note E2\n  surefret play shape tenth-6-minor --root B\n" +
			"  surefret play walkup D 4-1 --skip 1\n  surefret play part tin-umbrella.tab --tempo 72\n" +
			"  surefret play tuning\n  surefret play drone Eb --wav drone.wav",
		Args: cli.Needs(),
	}
	cmd.AddCommand(p.playNote(), p.playShape(), p.playWalkUp(), p.playPart(), p.playSong(), p.playTuning(), p.playDrone())
	return cmd
}

// addFiles declares where a sound goes but to the loudspeaker.
func (f *playFlags) addFiles(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.wav, "wav", "", "write a sound file instead of playing")
	cmd.Flags().StringVar(&f.midi, "midi", "", "write a Standard MIDI File instead of playing")
}

// addTempo declares --tempo.
func (f *playFlags) addTempo(cmd *cobra.Command, usual float64) {
	cmd.Flags().Float64Var(&f.tempo, "tempo", usual, fmt.Sprintf("beats a minute, %d to %d", synth.SlowestTempo, synth.FastestTempo))
}

// checkTempo refuses a tempo that cannot be played, where the command has one.
func (f *playFlags) checkTempo(cmd *cobra.Command) error {
	if cmd.Flags().Lookup("tempo") != nil && !(f.tempo >= synth.SlowestTempo && f.tempo <= synth.FastestTempo) {
		return usagef("--tempo %g: give %d to %d beats a minute", f.tempo, synth.SlowestTempo, synth.FastestTempo)
	}
	return nil
}

// playing completes a command that sounds a tune.
func (p *program) playing(cmd *cobra.Command, f *playFlags, make func(args []string) (tune, error)) *cobra.Command {
	cmd.Long = cmd.Short + ".\n\n" + synth.Caution
	f.addFiles(cmd)
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if err := f.checkTempo(cmd); err != nil {
			return err
		}
		t, err := make(args)
		if err != nil {
			return cli.BadInput{Err: err}
		}
		s, setup, err := p.savedSetup(cmd.Context())
		if err != nil {
			return err
		}
		f.tuned = setup.Neck.Tuning
		tones, err := t(s, setup)
		if err != nil {
			return cli.BadInput{Err: err}
		}
		return p.sounding(cmd.Context(), s, tones, *f)
	}
	return cmd
}

// drone sounds pitches without an end, or writes some seconds of them.
func (p *program) drone(ctx context.Context, s settings.Settings, f playFlags, pitches ...float64) error {
	if !(f.seconds >= 1 && f.seconds <= 900) {
		return usagef("--seconds %g: give 1 to 900", f.seconds)
	}
	cue, err := synth.Drone(synth.Options{}, pitches...)
	if err != nil {
		return fmt.Errorf("make the drone: %w", err)
	}
	if f.wav == "" && f.midi == "" {
		return p.hear(ctx, s, cue)
	}
	length := settings.Seconds(f.seconds)
	if f.midi != "" {
		if err := p.writeMIDI(f, synth.Strum(length, 0, pitches...), s.ReferenceA); err != nil {
			return err
		}
	}
	if f.wav == "" {
		return nil
	}
	return p.writeWAV(f.wav, cue.Unroll(length))
}

// sounding plays a score, or writes it to the files that were named.
func (p *program) sounding(ctx context.Context, s settings.Settings, tones synth.Score, f playFlags) error {
	if f.midi != "" {
		if err := p.writeMIDI(f, tones, s.ReferenceA); err != nil {
			return err
		}
	}
	if f.midi != "" && f.wav == "" {
		return nil
	}
	cue, err := synth.Render(tones, synth.Options{Tone: sound.Tone(s)})
	if err != nil {
		return cli.BadInput{Err: err}
	}
	if f.wav != "" {
		return p.writeWAV(f.wav, cue)
	}
	return p.hear(ctx, s, cue)
}

// hear plays a cue to its end, or until ctrl-c.
func (p *program) hear(ctx context.Context, s settings.Settings, cue synth.Cue) error {
	at, err := p.place()
	if err != nil {
		return err
	}
	if text := at.Caution(ctx, synth.Caution); text != "" { // where it cannot be kept, it is said each time
		fmt.Fprintln(p.Err, strings.Join(report.Fold("", "", text, cli.Width), "\n"))
	}
	return sound.Hear(ctx, p.steady(), s.Volume, cue)
}

// writeWAV writes a cue as 16-bit samples, whole or not at all.
func (p *program) writeWAV(name string, cue synth.Cue) error {
	return p.write(name, func(w io.Writer) error {
		_, err := wav.File{Samples: cue.Samples, Rate: cue.Rate}.WriteTo(w)
		return err
	})
}

// writeMIDI writes a score as a Standard MIDI File.
func (p *program) writeMIDI(f playFlags, sc synth.Score, a4 float64) error {
	file := score.MIDI(sc, f.tuned, f.tempo, a4)
	return p.write(f.midi, func(w io.Writer) error { _, err := file.WriteTo(w); return err })
}
