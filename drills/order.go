package drills

import (
	"slices"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// The stages in which items are met. The order is a teacher's judgement, not
// from a study: roots live on the low strings, so these come first; what carries
// a root up the neck comes before the high strings; what a band calls every week
// comes before what it calls once a year.
const (
	stageLowNaturals = iota // natural notes on the two lowest strings
	stageLowOthers          // sharps and flats there
	stageSpread             // octaves and tenths on them, numbers in the first keys
	stageForms              // E and A forms, power chords, the first intervals
	stageWalks              // walk-ups, more keys
	stageUp                 // the other strings, one stage each, from low to high
	stageTriads      = stageUp + 4
	stageColours     = stageTriads + 1  // sevenths, suspended, slash basses, held tones
	stageTheRest     = stageColours + 1 // every other interval, odd triads, boxes, far keys
)

// Ungated is the first stage that waits only for those before it: from there on all
// may be met in any order. To hold every stage back costs a simulated player five
// times what these few cost, 1.1 against 0.2 points of the board over sixty days
// (cmd/schedulelab, seeds 101 to 104).
const Ungated = stageWalks

// lowFirst lists the strings from the lowest to the highest.
func lowFirst(t fretboard.Tuning) []int {
	strs := make([]int, 0, t.Strings())
	for str := t.Strings(); str >= 1; str-- {
		strs = append(strs, str)
	}
	return strs
}

// noteStage returns when a note is met on the string that is rank strings above
// the lowest.
func noteStage(rank int, natural bool) int {
	switch {
	case rank < 2 && natural:
		return stageLowNaturals
	case rank < 2:
		return stageLowOthers
	default:
		return min(stageUp+rank-2, stageTriads)
	}
}

// natural reports whether a MIDI number is a note without an accidental.
func natural(midi int) bool {
	return slices.Contains([]int{0, 2, 4, 5, 7, 9, 11}, midi%12)
}

// intervalStage returns when a pattern is met: fourths, fifths, octaves and
// thirds from the lowest strings first, and the gap between the strings that is
// tuned unlike its neighbours together with them, before the hand has learned
// that all gaps are alike.
func (s Setup) intervalStage(p pattern) int {
	common := slices.Contains([]int{3, 4, 5, 7, 12, 15, 16}, s.gap(p)+p.offset)
	strs := s.Neck.Tuning.Strings()
	neighbours := p.low-p.high == 1
	odd := neighbours && s.gap(p) != s.gap(pattern{low: strs, high: strs - 1})
	switch {
	case common && (neighbours && p.high >= strs-2 || odd):
		return stageForms
	case common && p.low >= strs-1:
		return stageWalks
	case common:
		return stageTriads
	default:
		return stageTheRest
	}
}

// shapeStage returns when a shape is met.
func shapeStage(t fretboard.Tuning, r fretboard.Recipe) int {
	low := r.Root >= t.Strings()-1
	switch r.Family {
	case "octaves", "tenths":
		if low {
			return stageSpread
		}
		return stageUp
	case "power chords":
		if low {
			return stageForms
		}
		return stageUp
	case "E form", "A form":
		if plainSymbol(r.Symbol) {
			return stageForms
		}
		return stageColours
	case "triads":
		if plainSymbol(r.Symbol) {
			return stageTriads
		}
		return stageTheRest
	case "D form":
		if plainSymbol(r.Symbol) {
			return stageUp
		}
		return stageColours
	case "pentatonic boxes", "thirds", "sixths":
		return stageTheRest
	default:
		return stageColours
	}
}

// plainSymbol reports whether a chord symbol is one of the first that a player
// meets: major, minor, and their sevenths.
func plainSymbol(symbol string) bool { return slices.Contains([]string{"", "m", "7", "m7"}, symbol) }

// keysOf returns the keys of a mode that may be drawn, in the order they are
// met: those that the player named first, then round the circle of fifths from
// no sharps or flats outwards.
func (s Setup) keysOf(m theory.Mode) []theory.Key {
	var keys []theory.Key
	for _, k := range s.Keys {
		if k.Mode == m {
			keys = append(keys, k)
		}
	}
	if s.OnlyKeys {
		return keys
	}
	// Of two keys with as many signs the flat one comes first, save for six.
	farness := func(k theory.Key) int {
		if k.Signature() == s.otherSix() {
			return 2*6 + 1
		}
		return 2 * abs(k.Signature())
	}
	round := theory.KeysOf(m)
	slices.SortStableFunc(round, func(a, b theory.Key) int { return farness(a) - farness(b) })
	for _, k := range round {
		if !slices.Contains(keys, k) {
			keys = append(keys, k)
		}
	}
	return keys
}

// calledKeys returns the major keys in which shapes, walk-ups and progressions
// are drawn: one for each tonic that sounds, since what the hand does is the same
// in C sharp and in D flat.
func (s Setup) calledKeys() []theory.Key {
	var keys []theory.Key
	heard := map[int]bool{}
	for _, k := range s.keysOf(theory.Major) {
		if pc := k.Tonic.PitchClass(); !heard[pc] && (s.OnlyKeys || k.Signature() != s.otherSix()) {
			heard[pc] = true
			keys = append(keys, k)
		}
	}
	return keys
}

// allowed reports whether a MIDI number may be asked as a single note.
func (s Setup) allowed(midi int) bool {
	_, ok := s.inKeys(midi)
	return ok || !s.OnlyKeys
}

// inKeys returns the note of a MIDI number as the first of the player's keys
// spells it that has it.
func (s Setup) inKeys(midi int) (theory.Note, bool) {
	for _, k := range s.Keys {
		for _, n := range k.Scale() {
			if n.PitchClass() == midi%12 {
				return n, true
			}
		}
	}
	return theory.Note{}, false
}

// spelled names the note of a MIDI number: as the needs do, or by the keys where
// nothing else is asked.
func (s Setup) spelled(midi int, flats bool) theory.Note {
	if n, ok := s.neededNote(midi, flats); ok {
		return n
	}
	if n, ok := s.inKeys(midi); ok && s.OnlyKeys {
		return n
	}
	return theory.FromMIDI(midi, flats).Note
}

// noteAt names the note at a place.
func (s Setup) noteAt(at fretboard.Position, flats bool) theory.Note {
	return s.spelled(s.Neck.MIDI(at), flats)
}

// sharing reports whether two MIDI numbers are in one of the keys together, where
// nothing else is asked.
func (s Setup) sharing(a, b int) bool {
	if !s.OnlyKeys {
		return true
	}
	for _, k := range s.Keys {
		alone := Setup{Keys: []theory.Key{k}, OnlyKeys: true}
		if alone.allowed(a) && alone.allowed(b) {
			return true
		}
	}
	return false
}

// otherSix is the signature that the player does not write where six sharps
// stand against six flats.
func (s Setup) otherSix() int {
	if s.SixFlats {
		return 6
	}
	return -6
}

// keyStage returns when the key is met that comes rank-th in its mode.
func keyStage(rank int) int {
	switch {
	case rank < 5:
		return stageSpread
	case rank < 9:
		return stageWalks
	case rank < 12:
		return stageColours
	default:
		return stageTheRest
	}
}

func abs(n int) int { return max(n, -n) }
