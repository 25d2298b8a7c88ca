package main

import (
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/score"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/fretboard/fingering"
	"surefret/drills/fretboard/tablature"
	"surefret/drills/theory"
	"surefret/synth"
)

func (p *program) playNote() *cobra.Command {
	var f playFlags
	return p.playing(&cobra.Command{
		Use: "note PITCH", Short: "Hear one note by its pitch", Example: "  surefret play note E2\n  surefret play note A4",
		Args: cli.Needs("PITCH"),
	}, &f, func(args []string) (tune, error) {
		return func(s settings.Settings, setup drills.Setup) (synth.Score, error) {
			pitch, err := setup.Names.ReadPitch(args[0])
			if err != nil {
				return nil, err
			}
			hz := pitch.Hz(s.ReferenceA)
			if hz < synth.LowestHz || hz > synth.HighestHz {
				return nil, fmt.Errorf("%s sounds on no string: use a note from E0 to C8", args[0])
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
		return func(s settings.Settings, setup drills.Setup) (synth.Score, error) {
			shape, err := oneShape(setup.Neck, args[0])
			if err != nil {
				return nil, err
			}
			root, err := setup.Names.ReadNote(f.root)
			if err != nil {
				return nil, err
			}
			for _, place := range shape.On(setup.Neck, root) {
				if place.Playable() {
					return score.Shape(place, setup.Neck, s.ReferenceA), nil
				}
			}
			return nil, fmt.Errorf("%s over %s cannot be held anywhere on this neck", shape.Name, setup.Names.Note(root))
		}, nil
	})
	cmd.Flags().StringVar(&f.root, "root", "", "the root, like B or F#")
	cli.Required(cmd, "root")
	return cmd
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
			key, err := setup.Names.ReadKey(args[0])
			if err != nil {
				return nil, err
			}
			fb := setup.Neck
			line, err := fingering.Walk{Down: f.down, Skip: f.skip}.On(fb, key, key.Note(from), key.Note(to))
			if err != nil {
				return nil, err
			}
			return synth.CountIn(f.tempo, 4).Then(score.Walk(line.Path, fb, f.tempo, s.ReferenceA)), nil
		}, err
	})
	cmd.Flags().BoolVar(&f.down, "down", false, "walk down instead of up")
	cmd.Flags().IntVar(&f.skip, "skip", 0, "leave out this note on the way, 1 for the first")
	f.addTempo(cmd, 90)
	return cmd
}

// degrees reads two degrees of a key, "4-1".
func degrees(text string) (from, to theory.Degree, err error) {
	a, b, ok := strings.Cut(text, "-")
	na, err1 := theory.ParseNumeral(a)
	nb, err2 := theory.ParseNumeral(b)
	if !ok || err1 != nil || err2 != nil {
		return from, to, fmt.Errorf("%q cannot be read: use two degrees from 1 to 7, like 4-1", text)
	}
	return na.Degree, nb.Degree, nil
}

func (p *program) playPart() *cobra.Command {
	var f playFlags
	var tuning string
	var beats int
	var muted bool
	cmd := p.playing(&cobra.Command{
		Use: "part FILE", Short: "Hear a part in tablature, after a count-in", Example: "  surefret play part tin-umbrella.tab --tempo 72",
		Args: cli.Needs("FILE"),
	}, &f, func(args []string) (tune, error) {
		text, err := cli.ReadTab(args[0])
		if err != nil {
			return nil, err
		}
		return func(s settings.Settings, setup drills.Setup) (synth.Score, error) {
			if tuning != "" {
				if setup.Neck.Tuning, err = fretboard.ReadTuning(tuning, setup.Names); err != nil {
					return nil, err
				}
			}
			_, part, err := readTab(args[0], text, setup.Neck, tuning, beats)
			if err != nil {
				return nil, err
			}
			f.tuned = part.Neck.Tuning
			return synth.CountIn(f.tempo, beats).Then(score.Part(part, muted, f.tempo, s.ReferenceA)), nil
		}, nil
	})
	cmd.Flags().IntVar(&beats, "beats", 4, "how many beats each bar holds, and how many are counted in, 1 to 16")
	cmd.Flags().StringVar(&tuning, "tuning", "", "the tuning that it is written for, where that is not yours")
	cmd.Flags().BoolVar(&muted, "muted", false, "with the palm on the strings")
	f.addTempo(cmd, 90)
	return cmd
}

// readTab reads a part in tablature, with so many beats in a bar, for a neck whose tuning
// was given in words, or "" where it is the player's own: the file may say another.
func readTab(name, text string, fb fretboard.Fretboard, tuning string, beats int) (tab *tablature.Tab, part fretboard.Part, err error) {
	if tab, err = tablature.Parse(text, fb); err != nil {
		return nil, part, fmt.Errorf("%s: %w", name, err)
	}
	if tuning != "" && !tab.IsFor(fb.Tuning) {
		return nil, part, fmt.Errorf("%s says that it is in the tuning %q: leave --tuning out, or change its line", name, tab.Part().Neck.Tuning.Name)
	}
	if part, err = tab.Part().InMeter(beats); err != nil {
		return nil, part, fmt.Errorf("--beats: %w", err)
	}
	return tab, part, nil
}

func (p *program) playTuning() *cobra.Command {
	var f playFlags
	return p.playing(&cobra.Command{
		Use: "tuning", Short: "Hear the reference A and then every open string, the lowest first", Example: "  surefret play tuning",
		Args: cli.Needs(),
	}, &f, func([]string) (tune, error) {
		return func(s settings.Settings, setup drills.Setup) (synth.Score, error) {
			return score.Tuning(setup.Neck, s.ReferenceA), nil
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
			key, err := setup.Names.ReadKey(args[0])
			if err != nil {
				return cli.BadInput{Err: err}
			}
			f.tuned = setup.Neck.Tuning
			root := theory.Pitch{Note: key.Tonic, Octave: 2}
			fifth := root.Add(theory.Interval{Steps: 4, Semitones: 7})
			return p.drone(cmd.Context(), s, f, root.Hz(s.ReferenceA), fifth.Hz(s.ReferenceA))
		},
	}
	f.addFiles(cmd)
	cmd.Flags().Float64Var(&f.seconds, "seconds", 60, "length of the file, 1 to 900")
	return cmd
}
