package drills

import (
	"slices"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// The stages in which items are met. The order is ours, as a guitarist would teach it,
// with no study behind it: roots live on the low strings, so these come first, and at
// once what is played on them; what a band calls every week comes before what it calls
// once a year.
const (
	stageFirstNotes  = iota - 1 // of a beginner, see Setup.Beginner
	stageLowNaturals            // natural notes on the two lowest strings
	stageBasics                 // what is played on them at once, see Item.Basic
	stageLowOthers              // sharps and flats there
	stageForms                  // E and A forms, the other power chords, all numbers of the first keys
	stageWalks                  // the other walk-ups of major keys, F Bb Eb Ab, the first minor keys
	stageFourth                 // the fourth string from below, and what has its root there
	stageThird
	stageSecond
	stageFirst
	stageTriads     // small triads on the three highest strings
	stageMoreTriads // on the next three
	stageColours    // suspended and held tones, major sevenths, thirds in the bass
	stageLowTriads  // triads on the low strings, boxes, the other C, G and D forms
	stageSixths     // thirds and sixths, every other interval
	stageLast       // diminished and augmented, far keys
)

// Basic reports whether an item is one of the forty that nobody should wait for: who
// plays every day meets them within three weeks. They are octaves, tenths and power
// chords on the two lowest strings; fourths, fifths and thirds there; walk-ups between
// 1, 4 and 5; and of the first five keys the signature, the 4 and the 5.
func (it Item) Basic() bool { return it.Stage == stageBasics }

// lowFirst lists the strings from the lowest to the highest.
func lowFirst(t fretboard.Tuning) []int {
	strs := make([]int, 0, t.Strings())
	for str := t.Strings(); str >= 1; str-- {
		strs = append(strs, str)
	}
	return strs
}

// on names strings by their open pitches, as ids do: "E2-A2-D3".
func (s Setup) on(strs []int) string {
	var open []string
	for _, str := range strs {
		open = append(open, s.Neck.Tuning.Open[str-1].String())
	}
	return strings.Join(open, "-")
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
		return min(stageFourth+rank-2, stageFirst)
	}
}

// natural reports whether a MIDI number is a note without an accidental.
func natural(midi int) bool {
	return slices.Contains([]int{0, 2, 4, 5, 7, 9, 11}, midi%12)
}

// common reports whether a pattern is a fourth, a fifth, an octave, a third or a tenth.
func (s Setup) common(p pattern) bool {
	return slices.Contains([]int{3, 4, 5, 7, 12, 15, 16}, s.gap(p)+p.offset)
}

// intervalStage returns when a pattern is met: the common ones from the lowest strings
// first, and the gap between the strings that is tuned unlike its neighbours soon
// after, before the hand has learned that all gaps are alike.
func (s Setup) intervalStage(p pattern) int {
	strs := s.Neck.Tuning.Strings()
	neighbours := p.low-p.high == 1
	odd := neighbours && s.gap(p) != s.gap(pattern{low: strs, high: strs - 1})
	switch {
	case !s.common(p):
		return stageSixths
	case neighbours && p.low >= strs-1:
		return stageBasics
	case odd || p.low >= strs-1 && p.low-p.high <= 3:
		return stageForms
	case neighbours:
		return stageTriads
	default:
		return stageMoreTriads
	}
}

// shapeStage returns when a shape is met, never before the notes of its root's string;
// read, when it is drawn to be read.
func shapeStage(t fretboard.Tuning, r fretboard.Recipe, read bool) int {
	stage := shapeKindStage(t, r, read)
	if rank := t.Strings() - r.Root; rank > 1 {
		return max(stage, noteStage(rank, true))
	}
	return stage
}

func shapeKindStage(t fretboard.Tuning, r fretboard.Recipe, read bool) int {
	low := r.Root >= t.Strings()-1
	upper := stageFourth + max(0, t.Strings()-2-r.Root) // as the notes of its root's string
	plain := plainSymbol(r.Symbol)
	if r.Bass {
		return bassStage(r, low, upper)
	}
	switch r.Family {
	case "octaves", "tenths", "power chords":
		basic := len(r.Tones) == 2 && r.Tones[0].String == r.Root && (r.Family != "octaves" || r.Tones[0].String-r.Tones[1].String == 2)
		switch {
		case low && basic && !(read && r.Family == "tenths"):
			return stageBasics
		case low:
			return stageForms
		}
		return upper
	case "E form", "A form":
		if plain {
			return stageForms
		}
	case "D form":
		if plain {
			return upper
		}
		if !strings.HasPrefix(r.Symbol, "sus") {
			return stageLowTriads
		}
	case "C form", "G form":
		if !plain {
			return stageLowTriads
		}
	case "triads":
		switch {
		case !plain:
			return stageLast
		case r.Tones[0].String == 3:
			return stageTriads
		case r.Tones[0].String == 4:
			return stageMoreTriads
		}
		return stageLowTriads
	case "barres", "modal grips":
		return stageForms
	case "drones":
		return stageFourth
	case "grips":
		if r.Symbol == "" || r.Symbol == "m" {
			return stageForms
		}
		return stageColours
	case "pentatonic boxes":
		return stageLowTriads
	case "thirds", "sixths":
		return stageSixths
	}
	return stageColours
}

// bassStage returns when a shape of a bass is met, whose root is on one of the two lowest
// strings or above: octaves, root and fifth, scales, arpeggios. What walks from chord to
// chord comes behind them, see walkupItems and walkingItems.
func bassStage(r fretboard.Recipe, low bool, upper int) int {
	switch first := map[string]int{"octaves": stageBasics, "root and fifth": stageBasics, "scales": stageLowOthers, "arpeggios": stageForms}[r.Family]; {
	case r.Family == "tenths":
		return stageColours
	case first == 0:
		return stageLowTriads // boxes
	case low:
		return first
	}
	return upper
}

// plainSymbol reports whether a chord symbol is one of the first that a player
// meets: major, minor, and their sevenths.
func plainSymbol(symbol string) bool { return slices.Contains([]string{"", "m", "7", "m7"}, symbol) }

// called lists the signatures of the keys of a mode in the order in which bands call
// them, sharps above zero. Common practice, no source.
func called(m theory.Mode) []int {
	if m == theory.Major { // G D A E C, F Bb Eb Ab, B Db F# Gb, C# Cb
		return []int{1, 2, 3, 4, 0, -1, -2, -3, -4, 5, -5, 6, -6, 7, -7}
	}
	// A E D B F#, C# G C F, G# Bb D# Eb, A# Ab
	return []int{0, 1, -1, 2, 3, 4, -2, -3, -4, 5, -5, 6, -6, 7, -7}
}

// keysOf returns the keys of a mode that may be drawn, in the order they are
// met: those that the player named first, then as bands call them.
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
	order := called(m)
	place := func(k theory.Key) int {
		if signs := k.Signature(); abs(signs) == 6 && s.SixFlats { // the one that the player writes comes first
			return slices.Index(order, -signs)
		}
		return slices.Index(order, k.Signature())
	}
	all := theory.KeysOf(m)
	slices.SortStableFunc(all, func(a, b theory.Key) int { return place(a) - place(b) })
	for _, k := range all {
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
		if s.Naturals && k.Tonic.Alter != 0 {
			continue
		}
		if pc := k.Tonic.PitchClass(); !heard[pc] && (s.OnlyKeys || k.Signature() != s.otherSix()) {
			heard[pc] = true
			keys = append(keys, k)
		}
	}
	return keys
}

// mostMinor is how many minor keys are drawn: one for each tonic that sounds.
const mostMinor = 12

// drawnKeys returns the keys of a mode in which what has a key of its own is drawn where no
// gig asks for it: [Setup.calledKeys], or the first minor ones.
func (s Setup) drawnKeys(m theory.Mode) []theory.Key {
	if m == theory.Major {
		return s.calledKeys()
	}
	keys := s.keysOf(m)
	return keys[:min(mostMinor, len(keys))]
}

// CalledKeys lists the major keys that bands call, the ones called most first, each sound
// once.
func CalledKeys() []theory.Key { return Setup{}.calledKeys() }

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

// keyStage returns when something of the key is met that comes rank-th in its mode.
func keyStage(m theory.Mode, rank int, what string) int {
	first := m == theory.Major && rank < 5
	switch {
	case first && (what == "signature" || what == "4" || what == "5"):
		return stageBasics
	case first:
		return stageForms
	case rank < 9 && m == theory.Major, rank < 5:
		return stageWalks
	case rank < 9:
		return stageFirst
	case rank < 12:
		return stageColours
	}
	return stageLast
}

func abs(n int) int { return max(n, -n) }
