package rehearse

import (
	"surefret/drills/fretboard"
	"surefret/drills/gig"
	"surefret/drills/theory"
	"surefret/drills/walking"
)

// A Walked note is one of a walking line through a run.
type Walked struct {
	Bar        int     // index in Run.Bars
	At, Length float64 // quarter notes from the first beat of the run
	Place      fretboard.Position
	Pitch      theory.Pitch
	Chord      theory.Chord
	Enters     bool // the chord begins with it
}

// Walking returns a walking line through the run, which goes round: its last note leads
// to the first chord. A chord that comes half a beat early is walked from the next note
// on. Nothing is walked where nothing sounds. It fails where the neck has no room.
func (r Run) Walking(fb fretboard.Fretboard) ([]Walked, error) {
	var beats []walking.Beat
	var notes []Walked
	now := Struck{None: true}
	var chords []Struck // that are to come
	for i, bar := range r.Bars {
		chords = append(chords, bar.Chords...)
		for _, p := range walking.Pulses(bar.Meter.Beats, bar.Meter.Unit) {
			at, was := bar.Start+p.At, now
			for len(chords) > 0 && chords[0].At <= at+1e-9 {
				now, chords = chords[0], chords[1:]
			}
			enters := !now.None && (was.None || was.Chord != now.Chord)
			beats = append(beats, walking.Beat{At: at, Length: p.Length, Chord: now.Chord, Key: r.Key, Enters: enters, Strong: p.Strong, Rest: now.None})
			notes = append(notes, Walked{Bar: i, At: at, Length: p.Length, Chord: now.Chord, Enters: enters})
		}
	}
	if len(beats) == 0 {
		return nil, nil
	}
	line, err := walking.Line(fb, append(beats, beats[0]), walking.Wish{})
	if err != nil {
		return nil, err
	}
	var walked []Walked
	for i, n := range notes {
		if n.Place, n.Pitch = line.Path[i], line.Pitches[i]; !beats[i].Rest {
			walked = append(walked, n)
		}
	}
	return walked, nil
}

// Written returns a run through the bars of a song as they are written: each section once,
// and no repeats.
func Written(song gig.Song, fb fretboard.Fretboard) (Run, error) { return of(song, fb, 60, true) }
