package hearing

import (
	"context"
	"errors"
	"io"
	"math"

	"surefret/synth/listen"
)

// A Note is one stroke of a recording, and how it would be judged.
type Note struct {
	At      float64 `json:"at"`                // seconds from the beginning
	MIDI    int     `json:"midi,omitempty"`    // 0 where no pitch was heard
	Cents   float64 `json:"cents,omitempty"`   // how sharp
	Level   float64 `json:"level"`             // dB, 0 is full scale
	After   float64 `json:"after,omitempty"`   // seconds from the stroke until it was told
	Heard   string  `json:"heard"`             // how well: Clear, HalfClear or NoPitch
	Clipped bool    `json:"clipped,omitempty"` // the input was too loud
}

// How well a note was heard: enough to call another than the one asked for wrong; enough
// only to call the one asked for right; neither.
const (
	Clear     = "clear"
	HalfClear = "half clear"
	NoPitch   = "no pitch"
)

// Check listens to a whole stream.
func (e *Ear) Check(ctx context.Context) ([]Note, error) {
	var notes []Note
	for {
		event, some, err := e.event(ctx)
		if errors.Is(err, io.EOF) {
			return notes, nil
		}
		if err != nil {
			return notes, err
		}
		if !some {
			continue
		}
		at := round(event.At.Seconds(), 100)
		if event.Kind == listen.Onset {
			notes = append(notes, Note{At: at, Level: math.Round(event.Level), Heard: NoPitch})
			continue
		}
		n := &notes[len(notes)-1]
		n.Level, n.Clipped = math.Round(event.Level), n.Clipped || e.l.Clipped()
		if event.Kind == listen.Unsure {
			continue
		}
		key := math.Round(event.Key)
		n.MIDI, n.Cents = int(key), round(100*(event.Key-key), 1)
		if n.Heard == NoPitch {
			n.After = round((event.Known - event.At).Seconds(), 100)
		}
		n.Heard = map[listen.Kind]string{listen.Heard: HalfClear, listen.Settled: Clear}[event.Kind]
	}
}

// round rounds to a part of one, and never to a zero with a sign.
func round(x, parts float64) float64 { return math.Round(parts*x)/parts + 0 }
