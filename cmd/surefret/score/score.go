// Package score turns what drills and parts say in positions and MIDI numbers
// into scores of the synth, in hertz, and those into MIDI files.
package score

import (
	"time"

	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
	"surefret/synth"
	"surefret/synth/midi"
)

// Hz is the frequency of a MIDI key number where A4 sounds a4 hertz.
func Hz(key int, a4 float64) float64 { return theory.FromMIDI(key, false).Hz(a4) }

// Cue is what a question sounds.
func Cue(cue []drills.Sounding, a4 float64) synth.Score {
	var sc synth.Score
	for _, n := range cue {
		e := synth.Event{At: n.At, Pluck: synth.Pluck{For: n.For}}
		if n.MIDI == 0 {
			e.Sound = synth.Click
		} else {
			e.Hz = Hz(n.MIDI, a4)
		}
		sc = append(sc, e)
	}
	return sc
}

// Shape sounds two notes as an interval, a scale note by note, and a chord as a
// strum.
func Shape(place fretboard.Placement, fb fretboard.Fretboard, a4 float64) synth.Score {
	pitches := hertz(fb, place.Positions(), a4)
	switch place.Recipe.Kind {
	case fretboard.KindInterval:
		return synth.Dyad(pitches[0], pitches[1])
	case fretboard.KindScale:
		return synth.Line(120, pitches...)
	}
	return synth.Strum(4*time.Second, synth.StrumSpread, pitches...)
}

// Walk sounds positions one after the other, a beat each at tempo.
func Walk(path []fretboard.Position, fb fretboard.Fretboard, tempo, a4 float64) synth.Score {
	return synth.Line(tempo, hertz(fb, path, a4)...)
}

func hertz(fb fretboard.Fretboard, path []fretboard.Position, a4 float64) []float64 {
	pitches := make([]float64, len(path))
	for i, at := range path {
		pitches[i] = Hz(fb.MIDI(at), a4)
	}
	return pitches
}

// Part sounds a part at a tempo in beats a minute; its lowest string comes first
// in a chord. A damped string is a short dull stroke; muted, all of them are.
func Part(part fretboard.Part, muted bool, tempo, a4 float64) synth.Score {
	var sc synth.Score
	at := time.Duration(0)
	for _, e := range part.Events {
		length := time.Duration(e.Beats * float64(synth.Beat(tempo)))
		spread := time.Duration(0)
		for i := len(e.Notes) - 1; i >= 0; i-- {
			n := e.Notes[i]
			p := synth.Pluck{
				Hz: Hz(part.Neck.MIDI(n.Position), a4), For: max(length-spread, synth.StrumSpread), Muted: muted,
			}
			if n.Dead {
				p.For, p.Release, p.Muted = min(p.For, damped), damped/2, true
			}
			sc = append(sc, synth.Event{At: at + spread, Pluck: p})
			spread += synth.StrumSpread / 2
		}
		at += length
	}
	return sc
}

// damped is how long a string sounds that is struck and has no pitch.
const damped = 80 * time.Millisecond

// Tuning sounds the reference A and then every open string, the lowest first, each of
// exact partials, to tune by.
func Tuning(fb fretboard.Fretboard, a4 float64) synth.Score {
	sc := synth.Note(a4, 2*time.Second)
	for str := fb.Tuning.Strings(); str >= 1; str-- {
		sc = sc.Then(synth.Note(Hz(fb.MIDI(fretboard.Position{String: str}), a4), 3*time.Second))
	}
	for i := range sc {
		sc[i].Perfect = true
	}
	return sc
}

// MIDI is a score as a Standard MIDI File in the tempo that it has, 0 for none, so
// that other programs find its beats where they count them, for the instrument that is
// tuned so.
func MIDI(sc synth.Score, on fretboard.Tuning, tempo, a4 float64) midi.File {
	f := midi.File{Tempo: tempo}
	if on.Bass() {
		f.Program = midi.FingerBass
	}
	for _, e := range sc {
		switch e.Sound {
		case synth.Plucked:
			if e.Release == damped/2 {
				continue // it has no pitch
			}
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
	return f
}
