package hearing

import (
	"context"
	"errors"
	"io"
	"math"
	"time"

	"surefret/synth/listen"
)

// A Note is one stroke of a recording, and how it would be judged.
type Note struct {
	At      float64 `json:"at"`                // seconds from the beginning
	MIDI    int     `json:"midi,omitempty"`    // 0 where no pitch was heard
	Cents   float64 `json:"cents,omitempty"`   // how sharp
	Level   float64 `json:"level"`             // dB below full scale
	After   float64 `json:"after,omitempty"`   // seconds from the stroke until it was told
	Sure    string  `json:"sure"`              // "sure", "right only" or "not heard"
	Clipped bool    `json:"clipped,omitempty"` // the input was too loud
}

// How sure a note is: enough to call another than the one asked for wrong; enough only
// to call the one asked for right; neither.
const (
	Sure      = "sure"
	RightOnly = "right only"
	NotHeard  = "not heard"
)

// Check listens to a whole stream.
func (e *Ear) Check(ctx context.Context) ([]Note, error) {
	var notes []Note
	for {
		event, some, err := e.Event(ctx)
		if errors.Is(err, io.EOF) {
			return notes, nil
		}
		if err != nil {
			return notes, err
		}
		if !some {
			continue
		}
		at := hundredth(event.At)
		if event.Kind == listen.Onset {
			notes = append(notes, Note{At: at, Level: math.Round(event.Level), Sure: NotHeard})
			continue
		}
		n := &notes[len(notes)-1]
		n.Level, n.Clipped = math.Round(event.Level), n.Clipped || e.l.Clipped()
		if event.Kind == listen.Unsure {
			continue
		}
		key := math.Round(event.Key)
		n.MIDI, n.Cents = int(key), math.Round(100*(event.Key-key))
		if n.Sure == NotHeard {
			n.After = hundredth(event.Known - event.At)
		}
		n.Sure = map[listen.Kind]string{listen.Heard: RightOnly, listen.Settled: Sure}[event.Kind]
	}
}

func hundredth(d time.Duration) float64 { return math.Round(100*d.Seconds()) / 100 }
