package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
	"surefret/synth"
	"surefret/synth/midi"
	"surefret/synth/speaker"
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
}

// A tune is what a play command sounds, worked out from the player's settings.
type tune func(s settings.Settings, setup drills.Setup) (synth.Score, error)

func (p *program) playCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "play",
		Short: "Hear a note, a shape, a walk-up, a part, the tuning or a drone",
		Long:  "Hear what you practise, to check it by ear or to play along.\n\n" + synth.Caution,
		Example: "  surefret play note E2\n  surefret play shape tenth-6-minor --root B\n" +
			"  surefret play walkup D 4-1 --skip 1\n  surefret play part tin-umbrella.tab --tempo 72\n" +
			"  surefret play tuning\n  surefret play drone Eb --wav drone.wav",
		Args: cli.Needs(),
	}
	cmd.AddCommand(p.playNote(), p.playShape(), p.playWalkUp(), p.playPart(), p.playTuning(), p.playDrone())
	return cmd
}

// playing completes a command that sounds a tune.
func (p *program) playing(cmd *cobra.Command, f *playFlags, make func(args []string) (tune, error)) *cobra.Command {
	cmd.Long = cmd.Short + ".\n\n" + synth.Caution
	cmd.Flags().StringVar(&f.wav, "wav", "", "write a sound file instead of playing")
	cmd.Flags().StringVar(&f.midi, "midi", "", "write a Standard MIDI File instead of playing")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if cmd.Flags().Lookup("tempo") != nil && !(f.tempo >= synth.SlowestTempo && f.tempo <= synth.FastestTempo) {
			return usagef("--tempo %g: give %d to %d beats a minute", f.tempo, synth.SlowestTempo, synth.FastestTempo)
		}
		t, err := make(args)
		if err != nil {
			return cli.BadInput{Err: err}
		}
		s, setup, err := p.savedSetup(cmd.Context())
		if err != nil {
			return err
		}
		score, err := t(s, setup)
		if err != nil {
			return cli.BadInput{Err: err}
		}
		return p.sound(cmd.Context(), s, score, *f)
	}
	return cmd
}

func (p *program) playNote() *cobra.Command {
	var f playFlags
	return p.playing(&cobra.Command{
		Use: "note PITCH", Short: "Hear one note by its pitch", Example: "  surefret play note E2\n  surefret play note A4",
		Args: cli.Needs("PITCH"),
	}, &f, func(args []string) (tune, error) {
		return func(s settings.Settings, setup drills.Setup) (synth.Score, error) {
			pitch, err := readPitch(setup.Names, args[0])
			if err != nil {
				return nil, err
			}
			hz := pitch.Hz(s.ReferenceA)
			if hz < synth.LowestHz || hz > synth.HighestHz {
				return nil, fmt.Errorf("%s is %.0f Hz, which no string sounds: give a note from %d to %d Hz, E0 to C8 about", args[0], hz, synth.LowestHz, synth.HighestHz)
			}
			return synth.Note(hz, 3*time.Second), nil
		}, nil
	})
}

func (p *program) playShape() *cobra.Command {
	var f playFlags
	cmd := p.playing(&cobra.Command{
		Use: "shape SHAPE --root NOTE", Short: "Hear a movable shape over a root", Example: "  surefret play shape tenth-6-minor --root B",
		Args: cli.Needs("SHAPE"),
	}, &f, func(args []string) (tune, error) {
		shape, err := fretboard.Shape(args[0])
		if err != nil {
			return nil, err
		}
		return func(s settings.Settings, setup drills.Setup) (synth.Score, error) {
			root, err := readNote(setup.Names, f.root)
			if err != nil {
				return nil, err
			}
			for _, place := range shape.On(setup.Neck, root) {
				if place.Playable() {
					return shapeScore(place, setup.Neck, s.ReferenceA), nil
				}
			}
			return nil, fmt.Errorf("%s over %s has no place on this neck where a hand can hold it", shape.Name, setup.Names.Note(root))
		}, nil
	})
	cmd.Flags().StringVar(&f.root, "root", "", "the root, like B or F#")
	cli.Required(cmd, "root")
	return cmd
}

// shapeScore sounds two notes as an interval, a scale note by note, and a chord
// as a strum.
func shapeScore(place fretboard.Placement, fb fretboard.Fretboard, a4 float64) synth.Score {
	var pitches []float64
	for _, at := range place.Positions() {
		pitches = append(pitches, hz(fb.MIDI(at), a4))
	}
	switch place.Recipe.Kind {
	case fretboard.KindInterval:
		return synth.Dyad(pitches[0], pitches[1])
	case fretboard.KindScale:
		return synth.Line(120, pitches...)
	}
	return synth.Strum(4*time.Second, synth.StrumSpread, pitches...)
}

func (p *program) playWalkUp() *cobra.Command {
	var f playFlags
	cmd := p.playing(&cobra.Command{
		Use: "walkup KEY FROM-TO", Short: "Hear the walk-up between two chords of a key, after a count-in",
		Example: "  surefret play walkup D 4-1 --skip 1\n  surefret play walkup G 1-6 --down --tempo 90",
		Args:    cli.Needs("KEY", "FROM-TO"),
	}, &f, func(args []string) (tune, error) {
		from, to, err := degrees(args[1])
		return func(s settings.Settings, setup drills.Setup) (synth.Score, error) {
			key, err := readKey(setup.Names, args[0])
			if err != nil {
				return nil, err
			}
			fb := setup.Neck
			line, err := fb.Walk(key, key.Note(from), key.Note(to), fretboard.Walk{Down: f.down, Skip: f.skip})
			if err != nil {
				return nil, err
			}
			var pitches []float64
			for _, at := range line.Path {
				pitches = append(pitches, hz(fb.MIDI(at), s.ReferenceA))
			}
			return synth.CountIn(f.tempo, 4).Then(synth.Line(f.tempo, pitches...)), nil
		}, err
	})
	cmd.Flags().BoolVar(&f.down, "down", false, "walk down instead of up")
	cmd.Flags().IntVar(&f.skip, "skip", 0, "leave out this note on the way, 1 for the first")
	f.addTempo(cmd, 90)
	return cmd
}

// addTempo declares --tempo.
func (f *playFlags) addTempo(cmd *cobra.Command, usual float64) {
	cmd.Flags().Float64Var(&f.tempo, "tempo", usual, fmt.Sprintf("beats a minute, %d to %d", synth.SlowestTempo, synth.FastestTempo))
}

// degrees reads two degrees of a key, "4-1".
func degrees(text string) (from, to theory.Degree, err error) {
	a, b, ok := strings.Cut(text, "-")
	na, err1 := theory.ParseNumeral(a)
	nb, err2 := theory.ParseNumeral(b)
	if !ok || err1 != nil || err2 != nil {
		return from, to, fmt.Errorf("%q cannot be read: expected two degrees from 1 to 7, like 4-1", text)
	}
	return na.Degree, nb.Degree, nil
}

func (p *program) playPart() *cobra.Command {
	var f playFlags
	var beats int
	cmd := p.playing(&cobra.Command{
		Use: "part FILE", Short: "Hear a part in tablature, after a count-in", Example: "  surefret play part tin-umbrella.tab --tempo 72",
		Args: cli.Needs("FILE"),
	}, &f, func(args []string) (tune, error) {
		text, err := readTab(args[0])
		if err != nil {
			return nil, err
		}
		return func(s settings.Settings, setup drills.Setup) (synth.Score, error) {
			tab, err := fretboard.ParseTab(text, setup.Neck)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", args[0], err)
			}
			part, err := tab.Part().InMeter(beats)
			if err != nil {
				return nil, fmt.Errorf("--beats: %w", err)
			}
			return synth.CountIn(f.tempo, beats).Then(partScore(part, f.tempo, s.ReferenceA)), nil
		}, nil
	})
	cmd.Flags().IntVar(&beats, "beats", 4, "how many beats each bar holds, and how many are counted in, 1 to 16")
	f.addTempo(cmd, 90)
	return cmd
}

// partScore sounds a part at a tempo; its lowest string comes first in a chord.
func partScore(part fretboard.Part, tempo, a4 float64) synth.Score {
	var score synth.Score
	at := time.Duration(0)
	for _, e := range part.Events {
		length := time.Duration(e.Beats * float64(synth.Beat(tempo)))
		spread := time.Duration(0)
		for i := len(e.Notes) - 1; i >= 0; i-- {
			n := e.Notes[i]
			if n.Dead {
				continue
			}
			score = append(score, synth.Event{At: at + spread, Pluck: synth.Pluck{
				Hz: hz(part.Neck.MIDI(n.Position), a4), For: max(length-spread, synth.StrumSpread),
			}})
			spread += synth.StrumSpread / 2
		}
		at += length
	}
	return score
}

func (p *program) playTuning() *cobra.Command {
	var f playFlags
	return p.playing(&cobra.Command{
		Use: "tuning", Short: "Hear the reference A and then every open string, the lowest first", Example: "  surefret play tuning",
		Args: cli.Needs(),
	}, &f, func([]string) (tune, error) {
		return func(s settings.Settings, setup drills.Setup) (synth.Score, error) {
			fb := setup.Neck
			score := synth.Note(s.ReferenceA, 2*time.Second)
			for str := fb.Tuning.Strings(); str >= 1; str-- {
				open := hz(fb.MIDI(fretboard.Position{String: str}), s.ReferenceA)
				score = score.Then(synth.Note(open, 3*time.Second))
			}
			return score, nil
		}, nil
	})
}

func (p *program) playDrone() *cobra.Command {
	var f playFlags
	cmd := &cobra.Command{
		Use: "drone KEY", Short: "Hear the root and fifth of a key, to practise over, until you press ctrl-c",
		Long:    "Hear the root and fifth of a key, to practise over, until you press ctrl-c.\n\n" + synth.Caution,
		Example: "  surefret play drone Eb\n  surefret play drone Eb --wav drone.wav --seconds 120",
		Args:    cli.Needs("KEY"),
		RunE: func(cmd *cobra.Command, args []string) error {
			s, setup, err := p.savedSetup(cmd.Context())
			if err != nil {
				return err
			}
			key, err := readKey(setup.Names, args[0])
			if err != nil {
				return cli.BadInput{Err: err}
			}
			root := theory.Pitch{Note: key.Tonic, Octave: 2}
			fifth := root.Add(theory.Interval{Steps: 4, Semitones: 7})
			return p.drone(cmd.Context(), s, f, root.Hz(s.ReferenceA), fifth.Hz(s.ReferenceA))
		},
	}
	cmd.Flags().StringVar(&f.wav, "wav", "", "write a sound file instead of playing")
	cmd.Flags().StringVar(&f.midi, "midi", "", "write a Standard MIDI File instead of playing")
	cmd.Flags().Float64Var(&f.seconds, "seconds", 60, "length of the file, 1 to 900")
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

// sound plays a score, or writes it to the files that were named.
func (p *program) sound(ctx context.Context, s settings.Settings, score synth.Score, f playFlags) error {
	if f.midi != "" {
		if err := p.writeMIDI(f, score, s.ReferenceA); err != nil {
			return err
		}
	}
	if f.midi != "" && f.wav == "" {
		return nil
	}
	cue, err := synth.Render(score, synth.Options{})
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
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt)
	defer stop()
	if err := p.sayCaution(ctx); err != nil {
		return err
	}
	sp := &speaker.Speaker{Device: p.device}
	sp.SetVolume(s.Volume)
	if err := sp.Play(cue); err != nil {
		return err
	}
	if cue.Loop {
		select {
		case reason := <-sp.Notices():
			return unheard(reason)
		case <-ctx.Done():
		}
		sp.Stop()
	}
	bound, cancel := context.WithTimeout(ctx, cue.Duration()+3*time.Second)
	defer cancel()
	err := sp.Close(bound)
	select {
	case reason := <-sp.Notices():
		return unheard(reason)
	default:
	}
	if ctx.Err() != nil {
		return nil // the player has heard enough
	}
	return err
}

// unheard says why nothing can be heard, and what can be done instead.
func unheard(reason string) error {
	why, _, _ := strings.Cut(reason, ";")
	return fmt.Errorf("%s; --wav FILE writes it to a file instead", strings.TrimSuffix(why, "."))
}

// writeWAV writes a cue as 16-bit samples, whole or not at all.
func (p *program) writeWAV(name string, cue synth.Cue) error {
	return p.write(name, func(w io.Writer) error {
		_, err := wav.File{Samples: cue.Samples, Rate: cue.Rate}.WriteTo(w)
		return err
	})
}

// writeMIDI writes a score as a Standard MIDI File in the tempo that it has, so
// that other programs find its beats where they count them.
func (p *program) writeMIDI(flags playFlags, score synth.Score, a4 float64) error {
	f := midi.File{Tempo: flags.tempo}
	for _, e := range score {
		switch e.Sound {
		case synth.Plucked:
			key, _ := midi.Key(e.Hz, a4)
			length := e.For
			if length == 0 {
				length = 4 * time.Second
			}
			f.Events = append(f.Events, midi.Event{At: e.At, For: length, Key: key})
		case synth.Click, synth.Accent:
			wood := map[synth.Sound]int{synth.Click: midi.LowWoodBlock, synth.Accent: midi.HiWoodBlock}[e.Sound]
			f.Events = append(f.Events, midi.Event{At: e.At, For: e.For, Key: wood, Channel: midi.Drums})
		}
	}
	return p.write(flags.midi, func(w io.Writer) error {
		_, err := f.WriteTo(w)
		return err
	})
}
