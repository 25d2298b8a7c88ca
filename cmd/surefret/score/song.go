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
	Quiet   bool // no click after it, and nothing else: the microphone would hear it
	Chords  bool // the bass and the held chord, besides the click
	Targets bool // what the hand plays for each change, on its third beat; a walk on the beats before the next
	Louder  int  // doublings of the click, 6 dB each

	Walking []rehearse.Walked // a line in place of the bass of the chords
}

// Song sounds a run of a song: the click, and what the backing says. Every onset is where
// the run has it, to the sample. It returns the time of its first beat as well.
func Song(r rehearse.Run, neck fretboard.Fretboard, a4 float64, b Backing) (sc synth.Score, first time.Duration) {
	if b.CountIn && len(r.Bars) > 0 {
		bar := r.Bars[0]
		first = r.Time(bar.Length)
		sc = b.clicks(sc, r, rehearse.Bar{Meter: bar.Meter, Length: bar.Length}, 0)
	}
	end := first + r.Time(r.Length())
	if b.Quiet {
		return append(sc, synth.Event{At: end, Sound: synth.Silence}), first
	}
	for _, bar := range r.Bars {
		sc = b.clicks(sc, r, bar, first)
		if !b.Chords {
			continue
		}
		for _, s := range bar.Chords {
			if !s.None {
				sc = append(sc, held(r, s, neck, first, a4, b.Walking == nil)...)
			}
		}
	}
	for _, n := range b.Walking {
		at := first + r.Time(n.At)
		sc = append(sc, synth.Event{At: at, Pluck: synth.Pluck{Hz: Hz(neck.MIDI(n.Place), a4), For: first + r.Time(n.At+n.Length) - at, Velocity: 0.7}})
	}
	if b.Targets {
		for _, c := range r.Changes {
			sc = append(sc, target(r, c, neck, first, a4)...)
		}
	}
	return append(sc, synth.Event{At: end, Sound: synth.Silence}), first
}

// target sounds what the hand plays for a change: what leads to it and the notes of a
// phrase at their times, and what is held on the third beat, where there is time for it.
func target(r rehearse.Run, c rehearse.Change, neck fretboard.Fretboard, first time.Duration, a4 float64) (sc synth.Score) {
	beat := rehearse.Beat(r.Bars[c.Bar].Meter)
	end := c.At + c.Length
	add := func(at, until float64, places []fretboard.Position) {
		for i, place := range places {
			delay := time.Duration(i) * synth.StrumSpread / 2
			sc = append(sc, synth.Event{At: first + r.Time(at) + delay, Pluck: synth.Pluck{
				Hz: Hz(neck.MIDI(place), a4), For: r.Time(until) - r.Time(at) - delay,
			}})
		}
	}
	for i, s := range c.Lead {
		until := c.Main.At
		if i+1 < len(c.Lead) {
			until = c.Lead[i+1].At
		}
		add(s.At, until, s.Places)
	}
	if c.Phrase != (rehearse.Phrase{}) {
		steps := append(rehearse.Steps{c.Main}, c.Then...)
		for i, s := range steps {
			until := end
			if i+1 < len(steps) {
				until = steps[i+1].At
			}
			add(s.At, until, s.Places)
		}
		return sc
	}
	if third := c.At + 2*beat; !c.Walk && third < end-1e-9 {
		add(third, end, c.Hand)
	}
	return sc
}

// clicks adds the clicks of a bar, the first one accented.
func (b Backing) clicks(sc synth.Score, r rehearse.Run, bar rehearse.Bar, first time.Duration) synth.Score {
	for i, at := range bar.Clicks() {
		e := synth.Event{At: first + r.Time(at), Pluck: synth.Pluck{For: 10 * time.Millisecond}, Sound: synth.Click}
		if i == 0 {
			e.Sound = synth.Accent
		}
		for range 1 << b.Louder { // the same click twice is twice as strong
			sc = append(sc, e)
		}
	}
	return sc
}

// held sounds a chord for as long as it lasts: the bass below, if it is asked for, its
// other notes in one octave above G3, where they are clear of the bass and of the melody.
func held(r rehearse.Run, s rehearse.Struck, neck fretboard.Fretboard, first time.Duration, a4 float64, bass bool) (sc synth.Score) {
	lowestBass, lowest := 40, 55 // E2, G3
	if neck.Tuning.Bass() {
		lowestBass = 28 // E1
	}
	at, length := first+r.Time(s.At), r.Time(s.At+s.Length)-r.Time(s.At)
	if s.Short {
		length = 0 // it rings out
	}
	note := func(n theory.Note, from int, velocity float64) {
		key := from + (n.PitchClass()-from%12+12)%12
		sc = append(sc, synth.Event{At: at, Pluck: synth.Pluck{Hz: Hz(key, a4), For: length, Velocity: velocity}})
	}
	if bass {
		note(s.Chord.Bass(), lowestBass, 0.7)
	}
	for _, n := range s.Chord.Notes() {
		note(n, lowest, 0.4)
	}
	return sc
}
