package fretboard

import (
	"fmt"
	"math"
	"slices"
)

// A Sound is what is to be fingered at one moment: a note or a chord.
type Sound struct {
	MIDI  []int   // MIDI key numbers, in any order
	Beats float64 // until the next sound; 0 means one beat
	From  []int   // for each note, the note of the sound before that it is slurred from, or -1; nil for none

	// At fixes the places of the notes. Nil leaves them to be found.
	At []Position

	span, fingers int    // what the hand can do besides, where it holds more in the original
	stopped       []bool // for each note, whether it may not lie on an open string; nil for none
}

// A Wish narrows where a path may go. The zero value leaves the whole neck and
// weighs with [DefaultEffort].
type Wish struct {
	Strings   []int // the strings that may be used; nil for all
	Low, High int   // the frets that may be stopped, open strings aside; 0, 0 for all
	NoOpen    bool  // open strings may not be used at all
	Effort    *Effort
}

// A Path is a fingering of sounds one after another.
type Path struct {
	Places [][]Position // for each sound its notes' places, in the order of MIDI
	Hands  []int        // for each sound the fret of the index finger
	Cost   float64      // by the [Effort] that was asked for
}

// An UnplayableError says which sound no hand can play.
type UnplayableError struct {
	Event int // index of the sound
	Why   string
}

func (e *UnplayableError) Error() string {
	return fmt.Sprintf("note or chord %d cannot be fingered: %s", e.Event+1, e.Why)
}

// Refinger returns the path of least effort through sounds. It is exact: a
// state is the place of every note together with the fret of the index finger,
// a chord is one state, and dynamic programming keeps the cheapest way to every
// state. Among equals it prefers high strings and low frets, so that the same
// input always gives the same path. It takes time in proportion to the sounds
// and to the square of the states of one, 15 to 30 for most.
//
// The error is an [*UnplayableError].
func (fb Fretboard) Refinger(sounds []Sound, w Wish) (Path, error) {
	return newGraph(fb, w).path(sounds)
}

// path is [Fretboard.Refinger] on a graph that may know the sounds already.
func (g *graph) path(sounds []Sound) (Path, error) {
	if len(sounds) == 0 {
		return Path{}, nil
	}
	layers := make([][]state, len(sounds))
	for i := range sounds {
		layers[i] = g.states(&sounds[i])
		if len(layers[i]) == 0 {
			return Path{}, &UnplayableError{i, g.whyNot(&sounds[i])}
		}
	}

	back := make([][]int16, len(sounds))
	size, notes := 0, 0
	for i := range layers {
		size, notes = size+len(layers[i]), notes+len(sounds[i].MIDI)
	}
	flatBack, flatPlaces := make([]int16, size), make([]Position, notes)
	cost := make([]float64, 0, 64)
	next := make([]float64, 0, 64)
	order := make([]int16, 0, 64) // the states before, the cheapest first
	for _, s := range layers[0] {
		cost = append(cost, s.cost)
	}
	var m *mover
	for i := 1; i < len(sounds); i++ {
		before, here := layers[i-1], layers[i]
		back[i], flatBack = flatBack[:len(here)], flatBack[len(here):]
		next = next[:0]
		beats := sounds[i-1].Beats
		if beats <= 0 {
			beats = 1
		}
		if i == 1 || sounds[i-1].Beats != sounds[i-2].Beats {
			m = g.effort.mover(beats)
		}
		order = order[:0]
		for k := range cost {
			order = append(order, int16(k))
			for at := k; at > 0 && cost[order[at]] < cost[order[at-1]]; at-- {
				order[at], order[at-1] = order[at-1], order[at]
			}
		}
		for j := range here {
			least, way := math.Inf(1), int16(0)
			for _, k := range order {
				if cost[k] >= least {
					break // no move costs less than nothing
				}
				if c := cost[k] + m.move(&before[k], &here[j], sounds[i].From); c < least {
					least, way = c, k
				}
			}
			next = append(next, least+here[j].cost)
			back[i][j] = way
		}
		cost, next = next, cost
	}

	at := 0
	for j := range cost {
		if cost[j] < cost[at] {
			at = j
		}
	}
	p := Path{Places: make([][]Position, len(sounds)), Hands: make([]int, len(sounds)), Cost: cost[at]}
	for i := len(sounds) - 1; i >= 0; i-- {
		s := &layers[i][at]
		n := len(sounds[i].MIDI)
		p.Places[i], flatPlaces = flatPlaces[:n:n], flatPlaces[n:]
		g.places(s, sounds[i].MIDI, p.Places[i])
		p.Hands[i] = int(s.hand)
		if i > 0 {
			at = int(back[i][at])
		}
	}
	return p, nil
}

// Cost returns what the path over the given places takes at least, choosing
// only where the hand lies.
func (fb Fretboard) Cost(sounds []Sound, places [][]Position, w Wish) (float64, error) {
	fixed := slices.Clone(sounds)
	for i := range fixed {
		fixed[i].At = places[i]
	}
	p, err := fb.Refinger(fixed, w)
	return p.Cost, err
}

const maxStrings = 10

// A state is one way to hold a sound: a string for every note, and where the
// hand lies.
type state struct {
	strs    [maxStrings]int8 // the string of each note of the sound
	hand    int8             // the fret of the index finger, 1 or more
	fret    int8             // of the first note
	notes   int8
	opens   int8
	reached int8   // notes four or more frets above the index finger
	played  uint16 // bit s for string s
	fretted uint16
	cost    float64 // of holding it
}

// A graph finds the states of sounds on one neck, each kind of sound once.
type graph struct {
	fb     Fretboard
	wish   Wish
	effort Effort
	open   [maxStrings + 1]int // MIDI key numbers of the open strings
	usable [maxStrings + 1]bool
	single [128][]state
	chords map[string][]state
	rescue map[string]map[int]int // what otherOctaves found
}

func newGraph(fb Fretboard, w Wish) *graph {
	g := &graph{fb: fb, wish: w, effort: DefaultEffort, chords: map[string][]state{}, rescue: map[string]map[int]int{}}
	if w.Effort != nil {
		g.effort = *w.Effort
	}
	if g.wish.High == 0 {
		g.wish.High = fb.Last()
	}
	for s := 1; s <= fb.Tuning.Strings(); s++ {
		g.open[s] = fb.MIDI(Position{s, 0})
		g.usable[s] = w.Strings == nil || slices.Contains(w.Strings, s)
	}
	return g
}

// states returns every way to hold s within the wish, the cheap ones first
// where it does not matter.
func (g *graph) states(s *Sound) []state {
	if s.At != nil || s.stopped != nil || s.span > g.fb.reach() || s.fingers > handFingers {
		return g.search(s)
	}
	if len(s.MIDI) == 1 && s.MIDI[0] >= 0 && s.MIDI[0] < len(g.single) {
		known := &g.single[s.MIDI[0]]
		if *known == nil {
			*known = g.search(s)
		}
		return *known
	}
	key := s.key()
	found, known := g.chords[string(key[:len(s.MIDI)])]
	if !known {
		found = g.search(s)
		g.chords[string(key[:len(s.MIDI)])] = found
	}
	return found
}

// key names the chord among those with as many notes.
func (s *Sound) key() (key [maxStrings]byte) {
	for i, m := range s.MIDI[:min(len(s.MIDI), maxStrings)] {
		key[i] = byte(m)
	}
	return key
}

// search tries every string for every note, and for each choice that a hand
// can hold every place of the hand.
func (g *graph) search(s *Sound) []state {
	var found []state
	if len(s.MIDI) == 0 || len(s.MIDI) > g.fb.Tuning.Strings() {
		return nil
	}
	at := noStops
	g.place(s, 0, state{notes: int8(len(s.MIDI))}, &at, 0, 0, &found)
	return found
}

// place chooses a string for note i. low and high are the fretted bounds of
// the notes placed before it, 0 while none is fretted.
func (g *graph) place(s *Sound, i int, st state, at *stops, low, high int, found *[]state) {
	if i == len(s.MIDI) {
		g.hands(s, st, at, low, high, found)
		return
	}
	strs, last := len(g.fb.Tuning.Open), g.fb.Last()
	for str := 1; str <= strs; str++ {
		fret := s.MIDI[i] - g.open[str]
		if at[str] >= 0 || fret < 0 || fret > last {
			continue
		}
		if s.At != nil {
			if s.At[i] != (Position{str, fret}) {
				continue
			}
		} else if fret == 0 && s.stopped != nil && s.stopped[i] {
			continue
		} else if !g.usable[str] || fret == 0 && g.wish.NoOpen || fret > 0 && (fret < g.wish.Low || fret > g.wish.High) {
			continue
		}
		// The same pitch twice: the first on the higher string, lest every
		// such chord be found twice.
		if i > 0 && s.At == nil && s.MIDI[i] == s.MIDI[i-1] && int(st.strs[i-1]) > str {
			continue
		}
		nlow, nhigh := low, high
		if fret > 0 {
			if low == 0 || fret < low {
				nlow = fret
			}
			nhigh = max(high, fret)
			if s.At == nil && nhigh-nlow > max(g.fb.reach(), s.span) {
				continue
			}
		}
		next := st
		next.strs[i] = int8(str)
		next.played |= 1 << str
		if i == 0 {
			next.fret = int8(fret)
		}
		if fret == 0 {
			next.opens++
		} else {
			next.fretted |= 1 << str
		}
		at[str] = int8(fret)
		g.place(s, i+1, next, at, nlow, nhigh, found)
		at[str] = -1
	}
}

// hands adds the states of one choice of places: the index finger may lie up
// to a stretch below the highest note, but not above the lowest. An open
// string leaves the hand where it likes.
func (g *graph) hands(s *Sound, st state, at *stops, low, high int, found *[]state) {
	fingers, skipped := 0, 0
	if st.notes > 1 {
		fingers = at.fingers(low, high)
		if fingers > max(handFingers, s.fingers) {
			return
		}
		skipped = at.skipped()
	}
	first, last := max(high-max(g.fb.reach(), s.span), 1), low
	if st.fretted == 0 {
		first, last = 1, max(g.fb.Last()-handFingers+1, 1)
	} else if first > last { // places given beyond a stretch
		first = last
	}
	for h := first; h <= last; h++ {
		st.hand, st.reached = int8(h), 0
		for s := range at {
			if int(at[s])-h >= handFingers {
				st.reached++
			}
		}
		st.cost = g.effort.hold(&st, high-low, fingers, skipped)
		*found = append(*found, st)
	}
}

// places writes a state out.
func (g *graph) places(st *state, midi []int, ps []Position) {
	for i, m := range midi {
		str := int(st.strs[i])
		ps[i] = Position{str, m - g.open[str]}
	}
}

// whyNot says why s has no state.
func (g *graph) whyNot(s *Sound) string {
	if len(s.MIDI) > g.fb.Tuning.Strings() {
		return fmt.Sprintf("it has %d notes for %d strings", len(s.MIDI), g.fb.Tuning.Strings())
	}
	for _, m := range s.MIDI {
		if g.search(&Sound{MIDI: []int{m}, At: nil}) == nil {
			return fmt.Sprintf("%s has no place on these strings and frets", plain(m, true))
		}
	}
	return "its notes lie too far apart for one hand"
}

// otherOctaves makes a sound playable by moving as few of its notes as it can
// by an octave, and returns which went where; nil when nothing helps.
func (g *graph) otherOctaves(s *Sound) map[int]int {
	midi := slices.Clone(s.MIDI)
	if len(midi) > maxStrings {
		return nil
	}
	key := s.key()
	if known, ok := g.rescue[string(key[:len(midi)])]; ok {
		for i, by := range known {
			s.MIDI[i] += by
		}
		return known
	}
	var try func(first, left int, moved map[int]int) map[int]int
	try = func(first, left int, moved map[int]int) map[int]int {
		if left == 0 {
			if len(g.search(s)) == 0 {
				return nil
			}
			return moved
		}
		for i := first; i < len(midi); i++ {
			for _, by := range []int{12, -12} {
				if slices.Contains(s.MIDI, midi[i]+by) {
					continue
				}
				s.MIDI[i] = midi[i] + by
				moved[i] = by
				if found := try(i+1, left-1, moved); found != nil {
					return found
				}
				s.MIDI[i] = midi[i]
				delete(moved, i)
			}
		}
		return nil
	}
	for n := 1; n <= len(midi); n++ {
		if found := try(0, n, map[int]int{}); found != nil {
			g.rescue[string(key[:len(midi)])] = found
			return found
		}
	}
	g.rescue[string(key[:len(midi)])] = nil
	return nil
}
