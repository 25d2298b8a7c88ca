package walking

import (
	"cmp"
	"errors"
	"math"
	"math/rand/v2"
	"slices"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// A Wish narrows what [Line] may find.
type Wish struct {
	Frets [2]int     // the lowest and highest fret used; zero means up to the twelfth
	Into  int        // half steps from the last note but one to the last; 0 for any
	Rand  *rand.Rand // turns what is much alike; nil for the same line each time
}

// What a line costs. The numbers are chosen: steps before leaps, half steps into a chord,
// few turns, and the hand where it is, low on the neck.
const (
	turns     = 0.25 // the line changes its direction
	wholeStep = 0.2  // into a chord, beside a half step
	rootAgain = 0.3  // on a strong beat that is not the chord's first
	foreign   = 0.4  // a note of the key that has the letter of another tone of the chord
	moves     = 1.5  // the hand leaves its place
	frets     = 0.3  // and by each fret
	height    = 0.06 // of a fret above the first
	chance    = 0.8  // at most, drawn
	oneHand   = 4    // frets that it covers, a finger each
)

// leaps is what the way from note to note costs, by half steps.
var leaps = [13]float64{0, 0, 0, 0.3, 0.3, 0.6, 1.5, 0.8, 1.5, 1.5, 3, 3, 1}

// A place is one note of a line: where it lies, and the fret of the first finger.
type place struct {
	at   fretboard.Position
	midi int
	hand int
	up   bool // how it was come to
	cost float64
	from int // index in the layer before
}

// Line finds a line for beats on a neck: one that [Broken] finds nothing in, with little
// movement of the hand. Rests are given as places without a string, and the notes around
// one are independent of each other. Notes are spelled by their chords and key, chromatic ones by where
// they lead. The error, one sentence, says that the neck has no room.
func Line(fb fretboard.Fretboard, beats []Beat, w Wish) (fretboard.Line, error) {
	if w.Frets[1] == 0 {
		w.Frets[1] = min(12, fb.Last())
	}
	layers := make([][]place, len(beats))
	for i, b := range beats {
		layers[i] = w.places(fb, b, i, beats)
		for j := range layers[i] {
			if i == 0 {
				break // nothing to come from
			}
			p := &layers[i][j]
			own := p.cost
			p.cost = math.Inf(1)
			for n := range layers[i-1] { // the cheapest first
				from := &layers[i-1][n]
				if from.cost+own >= p.cost {
					break
				}
				if c := from.cost + own + w.way(from, p, i, beats); c < p.cost {
					p.cost, p.from = c, n
				}
			}
		}
		slices.SortStableFunc(layers[i], func(a, b place) int { return cmp.Compare(a.cost, b.cost) })
	}
	return w.lay(beats, layers)
}

// places lists what note i may be, alone.
func (w Wish) places(fb fretboard.Fretboard, b Beat, i int, beats []Beat) (all []place) {
	if b.Rest {
		return []place{{}}
	}
	last := i+1 < len(beats) && beats[i+1].Enters && !beats[i+1].Rest
	var drawn [12]float64
	for pc := range drawn {
		if w.Rand != nil {
			drawn[pc] = chance * w.Rand.Float64()
		}
	}
	for str := fb.Tuning.Strings(); str >= 1; str-- {
		for fret := w.Frets[0]; fret <= w.Frets[1]; fret++ {
			at := fretboard.Position{String: str, Fret: fret}
			midi := fb.MIDI(at)
			switch {
			case b.Enters:
				if mod(midi) != b.Chord.Bass().PitchClass() {
					continue
				}
			case last:
				if n := mod(beats[i+1].Chord.Bass().PitchClass() - midi + 2); n == 2 || n > 4 {
					continue
				}
			case b.Strong && !b.has(midi), !b.Fits(midi):
				continue
			}
			cost := drawn[mod(midi)]
			switch {
			case !b.has(midi) && b.clashes(midi):
				cost += foreign
			case b.Strong && !b.Enters && mod(midi) == b.Chord.Bass().PitchClass():
				cost += rootAgain
			}
			for hand := max(1, fret-oneHand+1); hand <= max(fret, 1) || fret == 0 && hand <= w.Frets[1]; hand++ {
				for _, up := range []bool{true, false} {
					all = append(all, place{at: at, midi: midi, hand: hand, up: up, cost: cost + height*float64(hand-1)})
				}
			}
		}
	}
	return all
}

// clashes reports whether the key calls a note by the letter of another tone of the chord.
func (b Beat) clashes(midi int) bool {
	n := theory.Spell(midi, b.Key).Note
	for _, tone := range b.Chord.Notes() {
		if tone.Letter == n.Letter {
			return true
		}
	}
	return false
}

// way is what it costs to come from one note to the next, infinite where no line may.
func (w Wish) way(from, to *place, i int, beats []Beat) float64 {
	if beats[i].Rest || beats[i-1].Rest {
		return 0
	}
	by := to.midi - from.midi
	held := mod(by) == 0 && beats[i].Enters && beats[i-1].Enters // two chords on one bass, a beat each
	leads := beats[i].Enters && !beats[i-1].Enters
	switch n := abs(by); {
	case mod(by) == 0 && !held, n > 12, to.up != (by > 0):
		return math.Inf(1)
	case leads && (n > 2 || n == 2 && !beats[i-1].Fits(from.midi)):
		return math.Inf(1)
	case leads && w.Into != 0 && i == len(beats)-1 && by != w.Into:
		return math.Inf(1)
	}
	cost := leaps[abs(by)]
	if leads && abs(by) == 2 {
		cost += wholeStep
	}
	if from.up != to.up && i > 1 {
		cost += turns
	}
	if d := abs(from.hand - to.hand); d > 0 {
		cost += moves + frets*float64(d)
	}
	return cost
}

// lay writes the cheapest line out.
func (w Wish) lay(beats []Beat, layers [][]place) (fretboard.Line, error) {
	at, end := 0, len(beats)-1
	if end < 0 || len(layers[end]) == 0 || math.IsInf(layers[end][0].cost, 1) {
		return fretboard.Line{}, errors.New("this neck has no room for a walking line here")
	}
	line := fretboard.Line{Path: make([]fretboard.Position, len(beats))}
	midi := make([]int, len(beats))
	for i := end; i >= 0; i-- {
		p := layers[i][at]
		line.Path[i], midi[i], at = p.at, p.midi, p.from
	}
	line.Pitches = Spelled(beats, midi)
	return line, nil
}

// Spelled names the notes of a line, MIDI numbers: tones of a chord as it has them, others
// by the key, chromatic ones by where they lead; what would be Cb, Fb, E# or B# goes by its
// plain name there, as bassists say it.
func Spelled(beats []Beat, midi []int) []theory.Pitch {
	pitches := make([]theory.Pitch, len(midi))
	for i := range midi {
		last := min(i+2, len(midi))
		pitches[i] = theory.SpellLine(midi[max(i-1, 0):last], beats[i].Key)[min(i, 1)]
		if plain := theory.FromMIDI(midi[i], true); plain.Alter == 0 && !beats[i].Key.Contains(pitches[i].Note) {
			pitches[i] = plain
		}
		for _, tone := range beats[i].Chord.Notes() {
			if tone.PitchClass() == mod(midi[i]) && !(i+1 < len(midi) && beats[i+1].Enters) {
				pitches[i] = theory.Pitch{Note: tone}
				pitches[i].Octave = (midi[i] - pitches[i].MIDI()) / 12
			}
		}
	}
	return pitches
}
