package rehearse

import (
	"math"
	"slices"
	"time"
)

// A stretch of a run was played at a tempo, from where the one before it ends.
type stretch struct {
	until float64 // quarter notes from the first beat of the run
	tempo float64
}

// Retime sets the tempo from a place on. What lies before it keeps the times that it had.
func (r *Run) Retime(tempo, from float64) {
	was := r.tempoAt(from)
	r.before = slices.DeleteFunc(slices.Clone(r.before), func(s stretch) bool { return s.until >= from })
	if r.Tempo = tempo; from > 0 && was != tempo {
		r.before = append(r.before, stretch{from, was})
	}
}

// tempoAt is the tempo just before a place.
func (r Run) tempoAt(quarters float64) float64 {
	for _, s := range r.before {
		if quarters <= s.until {
			return s.tempo
		}
	}
	return r.Tempo
}

// Time is when a place in the run comes, from its first beat: exact to the nanosecond
// however far it is. The pulse that the tempo counts is that of the first bar; a change
// of time keeps the length of the note.
func (r Run) Time(quarters float64) time.Duration {
	minutes, from := 0.0, 0.0
	for _, s := range r.before {
		if quarters <= s.until {
			return r.duration(minutes + (quarters-from)/s.tempo)
		}
		minutes, from = minutes+(s.until-from)/s.tempo, s.until
	}
	return r.duration(minutes + (quarters-from)/r.Tempo)
}

// duration is the time of so many minutes, counted as if each beat were a quarter note.
func (r Run) duration(minutes float64) time.Duration {
	return time.Duration(math.Round(minutes / Beat(r.Meter) * 60 * float64(time.Second)))
}

// At is the place in the run, in quarter notes, that a time has come to.
func (r Run) At(t time.Duration) float64 {
	minutes, from := t.Seconds()*Beat(r.Meter)/60, 0.0
	for _, s := range r.before {
		if stretch := (s.until - from) / s.tempo; minutes > stretch {
			minutes, from = minutes-stretch, s.until
			continue
		}
		return from + minutes*s.tempo
	}
	return from + minutes*r.Tempo
}
