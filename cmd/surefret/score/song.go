package score

import (
	"time"

	"surefret/drills/fretboard"
	"surefret/drills/rehearse"
	"surefret/drills/theory"
	"surefret/synth"
)

// A Backing says what sounds of a song.
type Backing struct {
	CountIn bool // a bar of clicks before it
	Chords  bool // the bass and the held chord, besides the click
	Targets bool // the bass of each change on the third beat, for a check by ear
}

// Song sounds a run of a song: the click, and what the backing says. Every onset is where
// the run has it, to the sample. It returns the time of its first beat as well.
func Song(r rehearse.Run, neck fretboard.Fretboard, a4 float64, b Backing) (sc synth.Score, first time.Duration) {
	if b.CountIn && len(r.Bars) > 0 {
		bar := r.Bars[0]
		first = r.Time(bar.Length)
		sc = clicks(sc, r, rehearse.Bar{Meter: bar.Meter, Length: bar.Length}, 0)
	}
	for _, bar := range r.Bars {
		sc = clicks(sc, r, bar, first)
		if !b.Chords {
			continue
		}
		for _, s := range bar.Chords {
			if !s.None {
				sc = append(sc, held(r, s, first, a4)...)
			}
		}
	}
	if b.Targets {
		for _, c := range r.Changes {
			third := c.At + 2*rehearse.Beat(r.Bars[c.Bar].Meter)
			if third < c.At+c.Length-1e-9 {
				sc = append(sc, synth.Event{At: first + r.Time(third), Pluck: synth.Pluck{Hz: Hz(neck.MIDI(c.Place), a4), For: r.Time(c.At+c.Length) - r.Time(third)}})
			}
		}
	}
	end := first + r.Time(r.Length())
	return append(sc, synth.Event{At: end, Sound: synth.Silence}), first
}

// clicks adds the clicks of a bar, the first one accented.
func clicks(sc synth.Score, r rehearse.Run, bar rehearse.Bar, first time.Duration) synth.Score {
	for i, at := range bar.Clicks() {
		e := synth.Event{At: first + r.Time(at), Pluck: synth.Pluck{For: 10 * time.Millisecond}, Sound: synth.Click}
		if i == 0 {
			e.Sound = synth.Accent
		}
		sc = append(sc, e)
	}
	return sc
}

// held sounds a chord for as long as it lasts: the bass below, its other notes in one
// octave above G3, where they are clear of the bass and of the melody.
func held(r rehearse.Run, s rehearse.Struck, first time.Duration, a4 float64) (sc synth.Score) {
	const lowestBass, lowest = 40, 55 // E2, G3
	at, length := first+r.Time(s.At), r.Time(s.At+s.Length)-r.Time(s.At)
	if s.Short {
		length = 0 // it rings out
	}
	note := func(n theory.Note, from int, velocity float64) {
		key := from + (n.PitchClass()-from%12+12)%12
		sc = append(sc, synth.Event{At: at, Pluck: synth.Pluck{Hz: Hz(key, a4), For: length, Velocity: velocity}})
	}
	note(s.Chord.Bass(), lowestBass, 0.7)
	for _, n := range s.Chord.Notes() {
		note(n, lowest, 0.4)
	}
	return sc
}
