package input

import (
	"context"
	"fmt"
	"strings"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/hearing"
	"surefret/cmd/surefret/report"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
	"surefret/synth/microphone"
)

// Check listens to a recording as a sitting would.
func Check(ctx context.Context, name string, neck fretboard.Fretboard, reference float64) ([]hearing.Note, error) {
	file, err := openRecording(name)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	e, err := hearing.New(file, neck, reference)
	if err != nil {
		return nil, cli.BadInput{Err: err}
	}
	return e.Check(ctx)
}

// openRecording opens a file that the player named.
func openRecording(name string) (*microphone.File, error) {
	file, err := microphone.OpenFile(name)
	if err != nil {
		return nil, cli.Usagef("cannot listen to %s: %w", cli.Shown(name), cli.Reason(err))
	}
	return file, nil
}

// Lines lists what was heard, strokes that gave no pitch one after another in one line.
func Lines(heard []hearing.Note, names theory.Names, flats bool) (lines []string) {
	for i := 0; i < len(heard); {
		n, run := heard[i], 1
		for n.Heard == hearing.NoPitch && i+run < len(heard) && heard[i+run].Heard == hearing.NoPitch {
			n.Level, n.Clipped = max(n.Level, heard[i+run].Level), n.Clipped || heard[i+run].Clipped
			run++
		}
		i += run
		name, cents, said := "-", "", n.Heard
		if n.Heard != hearing.NoPitch {
			pitch := theory.FromMIDI(n.MIDI, flats)
			name, cents = names.Note(pitch.Note)+fmt.Sprint(pitch.Octave), fmt.Sprintf("%+4.0f cents", n.Cents)
		}
		if run > 1 {
			said += fmt.Sprintf(", %d strokes up to %.2f s", run, heard[i-1].At)
		}
		if n.Clipped {
			said += ", too loud: turn the input down"
		}
		lines = append(lines, fmt.Sprintf("%8.2f s  %-5s %10s  %4.0f dB  %s", n.At, name, cents, n.Level, said))
	}
	return lines
}

// Summary says how many strokes were heard how well, and what to do about it.
func Summary(heard []hearing.Note) string {
	count := map[string]int{}
	for _, n := range heard {
		count[n.Heard]++
	}
	if len(heard) == 0 {
		return "Nothing was heard."
	}
	var parts []string
	for _, part := range []struct{ heard, said string }{{hearing.Clear, "clear"}, {hearing.HalfClear, "half clear"}, {hearing.NoPitch, "without a pitch"}} {
		if n := count[part.heard]; n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, part.said))
		}
	}
	text := report.Many(len(heard), "stroke") + ": " + strings.Join(parts, ", ") + "."
	if 2*count[hearing.NoPitch] > len(heard) {
		text += " Chords are not told apart: roll them, one string after another, or play single notes."
	}
	return text
}
