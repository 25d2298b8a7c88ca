package fingering

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// A Walk says how the bass gets from one root to the next. The zero value walks
// up the scale.
type Walk struct {
	Down      bool
	Chromatic bool               // by semitones
	Skip      int                // which note on the way is left out, 1 for the first; 0 for none
	Notes     int                // how many notes at most on the way, the last before the target; 0 for all
	Over      theory.Chord       // whose tones take the place of the scale's; the zero value for none
	At        fretboard.Position // where it begins; the zero value for the best place
}

// What it costs a walk to begin, or to end, on the third lowest string: the root of
// a chord is looked for on the two below it, and a walk sets out from where the
// hand is. It may end above: C to F goes best by the open D.
const (
	beginsHigh = 5 // enough that in standard tuning every walk of a major key sets out from below
	endsHigh   = 0.5
)

// On returns the walk-up or walk-down in key k from one root to another, the
// roots included, on the three lowest strings and with little movement of
// the hand. It goes by the notes of the scale between the roots; where they are
// a whole tone apart, by the semitone between. In a harmonic minor it goes round the
// augmented second. Notes are spelled as the key spells them, chromatic ones by
// the direction of the line.
//
// The error is one sentence: the roots are the same, the skipped note does not
// exist, or the neck has no room.
func (w Walk) On(fb fretboard.Fretboard, k theory.Key, from, to theory.Note) (fretboard.Line, error) {
	k = w.scale(k, from, to)
	between := mod(to.PitchClass()-from.PitchClass(), 12)
	step := 1
	if w.Down {
		between, step = mod(-between, 12), -1
	}
	if between == 0 {
		return fretboard.Line{}, errors.New("a walk needs two different roots")
	}
	scale := w.tones(k, from, step)
	offsets, err := w.offsets(scale, from, between, step)
	if err != nil {
		return fretboard.Line{}, err
	}

	low := fb.Tuning.Strings()
	strs := []int{low, low - 1, low - 2}
	best, least := fretboard.Line{}, math.Inf(1)
	for _, s := range strs {
		for _, start := range fb.Find(from, s) {
			if w.At != (fretboard.Position{}) && start != w.At {
				continue
			}
			midi := make([]int, len(offsets))
			for i, o := range offsets {
				midi[i] = fb.MIDI(start) + o
			}
			p, playable := lineFrom(fb, start, midi, strs)
			if playable && p.cost < least {
				least, best = p.cost, fretboard.Line{Pitches: spelled(theory.SpellLine(midi, k), scale)}
				for _, places := range p.places {
					best.Path = append(best.Path, places[0])
				}
			}
		}
	}
	if best.Path == nil {
		return fretboard.Line{}, fmt.Errorf("there is no room for a walk from %s to %s on strings %d to %d of this neck", from, to, low, low-2)
	}
	return best, nil
}

// lineFrom returns the path of a walk that sets out from a place, on three neighbouring
// strings, the lowest first, and false where there is none.
func lineFrom(fb fretboard.Fretboard, start fretboard.Position, midi, strs []int) (best path, found bool) {
	for _, end := range fb.Places(midi[len(midi)-1]) {
		if end.String < strs[2] {
			continue
		}
		line := make([]sound, len(midi))
		for i := range midi {
			line[i].midi = midi[i : i+1]
		}
		line[0].at, line[len(line)-1].at = []fretboard.Position{start}, []fretboard.Position{end}
		p, playable := leastEffort(fb, line, wish{strings: strs})
		if start.String == strs[2] {
			p.cost += beginsHigh
		}
		if end.String == strs[2] {
			p.cost += endsHigh
		}
		if playable && (!found || p.cost < best.cost) {
			best, found = p, true
		}
	}
	return best, found
}

// scale returns the scale that a bass goes by in k: in a harmonic minor the melodic
// one on the way up to the tonic and from or to the leading tone, else the natural
// one. Common practice, no source.
func (w Walk) scale(k theory.Key, from, to theory.Note) theory.Key {
	if k.Mode != theory.HarmonicMinor {
		return k
	}
	tonic := k.Tonic.PitchClass()
	leading := mod(tonic-1, 12)
	k.Mode = theory.Minor
	if !w.Down && to.PitchClass() == tonic || from.PitchClass() == leading || to.PitchClass() == leading {
		k.Mode = theory.MelodicMinor
	}
	return k
}

// tones returns the scale of k with the tones of the chord in it: F7 in Ab is walked by
// A, not by Ab. Where that leaves a gap of three half steps behind a note on the way up,
// the note is raised: C7 in Ab is walked C D E F.
func (w Walk) tones(k theory.Key, from theory.Note, step int) []theory.Note {
	scale := k.Scale()
	if w.Over == (theory.Chord{}) {
		return scale
	}
	chord := w.Over.Notes()
	for i, n := range scale {
		if at := slices.IndexFunc(chord, func(tone theory.Note) bool { return tone.Letter == n.Letter }); at >= 0 {
			scale[i] = chord[at]
		}
	}
	for i, n := range scale {
		gap := mod(scale[(i+1)%len(scale)].PitchClass()-n.PitchClass(), 12)
		if step > 0 && gap == 3 && n != from && !slices.Contains(chord, n) {
			scale[i].Alter++
		}
	}
	return scale
}

// spelled names the notes that a scale has as it has them.
func spelled(line []theory.Pitch, scale []theory.Note) []theory.Pitch {
	for i, p := range line {
		for _, n := range scale {
			if n.PitchClass() == p.PitchClass() {
				line[i] = theory.Pitch{Note: n}
				line[i].Octave = (p.MIDI() - line[i].MIDI()) / 12
			}
		}
	}
	return line
}

// offsets returns the semitones from the first root to every note of the walk.
func (w Walk) offsets(scale []theory.Note, from theory.Note, between, step int) ([]int, error) {
	var inScale [12]bool
	for _, n := range scale {
		inScale[n.PitchClass()] = true
	}
	var way []int
	for o := 1; o < between; o++ {
		if w.Chromatic || inScale[mod(from.PitchClass()+step*o, 12)] {
			way = append(way, step*o)
		}
	}
	if way == nil && between == 2 {
		way = []int{step}
	}
	if w.Skip < 0 || w.Skip > len(way) {
		return nil, fmt.Errorf("note %d of the walk cannot be left out: there are %s on the way", w.Skip, fretboard.Count(len(way), "note"))
	}
	if w.Skip > 0 {
		way = slices.Delete(way, w.Skip-1, w.Skip)
	}
	if w.Notes > 0 && len(way) > w.Notes {
		way = way[len(way)-w.Notes:]
	}
	return append(append([]int{0}, way...), step*between), nil
}
