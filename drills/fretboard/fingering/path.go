package fingering

import (
	"fmt"
	"math"
	"slices"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// A wish narrows where a path may go. The zero value leaves the whole neck and
// weighs with [defaultEffort].
type wish struct {
	strings   []int // the strings that may be used; nil for all
	low, high int   // the frets that may be stopped, open strings aside; 0, 0 for all
	effort    *effort
}

// A path is a fingering of sounds one after another.
type path struct {
	places [][]fretboard.Position // for each sound its notes' places, in the order of MIDI
	cost   float64                // by the [effort] that was asked for
}

// leastEffort returns the path of least effort through sounds, and false where there is
// one that no hand can play. It is exact: a
// state is the place of every note together with the fret of the index finger,
// a chord is one state, and dynamic programming keeps the cheapest way to every
// state. Among equals it prefers high strings and low frets, so that the same
// input always gives the same path. It takes time in proportion to the sounds
// and to the square of the states of one, 15 to 30 for most.
func leastEffort(fb fretboard.Fretboard, sounds []sound, w wish) (path, bool) {
	if len(sounds) == 0 {
		return path{}, true
	}
	g, layers := newGraph(fb, w), make([][]state, len(sounds))
	for i := range sounds {
		if layers[i] = g.states(&sounds[i]); len(layers[i]) == 0 {
			return path{}, false
		}
	}
	way, cost := g.cheapest(sounds, layers, moversOf(sounds, &g.effort))
	return g.lay(sounds, layers, way, cost), true
}

// cheapest returns the state of every sound on the cheapest path.
func (g *graph) cheapest(sounds []sound, layers [][]state, movers []*mover) (way []int16, least float64) {
	sizes := make([]int, len(layers))
	for i := range layers {
		sizes[i] = len(layers[i])
	}
	return cheapestWay(sizes, func(i int, j int16) float64 { return layers[i][j].cost }, func(i int) func(from, to int16) float64 {
		before, here, m := layers[i-1], layers[i], movers[i]
		return func(from, to int16) float64 { return m.move(&before[from], &here[to], sounds[i].from) }
	})
}

// moversOf returns for each sound how the hand moves to it, in the time that the
// sound before leaves.
func moversOf(sounds []sound, e *effort) []*mover {
	movers := make([]*mover, len(sounds))
	known := map[float64]*mover{}
	for i := range sounds {
		beats := 1.0
		if i > 0 && sounds[i-1].beats > 0 {
			beats = sounds[i-1].beats
		}
		if known[beats] == nil {
			known[beats] = e.mover(beats)
		}
		movers[i] = known[beats]
	}
	return movers
}

// cheapestWay finds by dynamic programming the cheapest way through layers of so many
// choices, one of each layer. A choice costs something alone, and so does the step to
// it from one of layer i-1, nothing or more. Where a layer has no choice the way is nil
// and costs infinitely much.
func cheapestWay(sizes []int, alone func(i int, j int16) float64, steps func(i int) func(from, to int16) float64) (way []int16, least float64) {
	total := 0
	for _, n := range sizes {
		if n == 0 {
			return nil, math.Inf(1)
		}
		total += n
	}
	back, flat := make([][]int16, len(sizes)), make([]int16, total)
	cost, next := make([]float64, 0, 64), make([]float64, 0, 64)
	order := make([]int16, 0, 64) // the choices before, the cheapest first
	for i, n := range sizes {
		back[i], flat = flat[:n], flat[n:]
		order = byCost(order[:0], cost)
		next = next[:0]
		var step func(from, to int16) float64
		if i > 0 {
			step = steps(i)
		}
		for j := range int16(n) {
			least, from := math.Inf(1), int16(0)
			if i == 0 {
				least = 0
			}
			for _, k := range order {
				if cost[k] >= least {
					break // no step costs less than nothing
				}
				if c := cost[k] + step(k, j); c < least {
					least, from = c, k
				}
			}
			next = append(next, least+alone(i, j))
			back[i][j] = from
		}
		cost, next = next, cost
	}
	least = slices.Min(cost)
	way = make([]int16, len(sizes))
	at := int16(slices.Index(cost, least))
	for i := len(way) - 1; i >= 0; i-- {
		way[i], at = at, back[i][at]
	}
	return way, least
}

// byCost appends the indices of cost, the cheapest first, equals as they come.
func byCost(order []int16, cost []float64) []int16 {
	for k := range cost {
		order = append(order, int16(k))
		for at := k; at > 0 && cost[order[at]] < cost[order[at-1]]; at-- {
			order[at], order[at-1] = order[at-1], order[at]
		}
	}
	return order
}

// lay writes a way through the layers out.
func (g *graph) lay(sounds []sound, layers [][]state, way []int16, cost float64) path {
	notes := 0
	for _, s := range sounds {
		notes += len(s.midi)
	}
	flat := make([]fretboard.Position, notes)
	p := path{places: make([][]fretboard.Position, len(sounds)), cost: cost}
	for i, j := range way {
		n := len(sounds[i].midi)
		p.places[i], flat = flat[:n:n], flat[n:]
		g.places(&layers[i][j], sounds[i].midi, p.places[i])
	}
	return p
}

// A state is one way to hold a sound: a string for every note, and where the
// hand lies.
type state struct {
	strs    [fretboard.MaxStrings]int8 // the string of each note of the sound
	hand    int8                       // the fret of the index finger, 1 or more
	fret    int8                       // of the first note
	notes   int8
	opens   int8
	reached int8   // notes four or more frets above the index finger
	played  uint16 // bit s for string s
	fretted uint16
	cost    float64 // of holding it
}

// A graph finds the states of sounds on one neck, each kind of sound once.
type graph struct {
	fb     fretboard.Fretboard
	wish   wish
	effort effort
	open   [fretboard.MaxStrings + 1]int // MIDI key numbers of the open strings
	usable [fretboard.MaxStrings + 1]bool
	strs   int // how many strings there are
	last   int // the last fret
	reach  int
	found  []state // by the search that goes on
	single [128][]state
	chords map[string][]state
	rescue map[string]map[int]int // what otherOctaves found
}

func newGraph(fb fretboard.Fretboard, w wish) *graph {
	g := &graph{fb: fb, wish: w, effort: defaultEffort, chords: map[string][]state{}, rescue: map[string]map[int]int{}}
	if w.effort != nil {
		g.effort = *w.effort
	}
	if g.wish.high == 0 {
		g.wish.high = fb.Last()
	}
	g.strs, g.last, g.reach = fb.Tuning.Strings(), fb.Last(), fb.Reach()
	for s := 1; s <= g.strs; s++ {
		g.open[s] = fb.MIDI(fretboard.Position{String: s, Fret: 0})
		g.usable[s] = w.strings == nil || slices.Contains(w.strings, s)
	}
	return g
}

// states returns every way to hold s within the wish, the cheap ones first
// where it does not matter.
func (g *graph) states(s *sound) []state {
	if s.at != nil || s.stopped != nil || s.span > g.reach || s.fingers > fretboard.HandFingers {
		return g.search(s)
	}
	if len(s.midi) == 1 && s.midi[0] >= 0 && s.midi[0] < len(g.single) {
		known := &g.single[s.midi[0]]
		if *known == nil {
			*known = g.search(s)
		}
		return *known
	}
	key := s.key()
	found, known := g.chords[string(key[:len(s.midi)])]
	if !known {
		found = g.search(s)
		g.chords[string(key[:len(s.midi)])] = found
	}
	return found
}

// key names the chord among those with as many notes.
func (s *sound) key() (key [fretboard.MaxStrings]byte) {
	for i, m := range s.midi[:min(len(s.midi), fretboard.MaxStrings)] {
		key[i] = byte(m)
	}
	return key
}

// search tries every string for every note, and for each choice that a hand
// can hold every place of the hand.
func (g *graph) search(s *sound) []state {
	if len(s.midi) == 0 || len(s.midi) > g.strs {
		return nil
	}
	h := holding{graph: g, sound: s, at: fretboard.NoStops, reach: max(g.reach, s.span)}
	g.found = g.found[:0]
	h.place(0, state{notes: int8(len(s.midi))}, 0, 0)
	return slices.Clone(g.found)
}

// A holding looks for the ways to hold one sound.
type holding struct {
	*graph
	sound *sound
	at    fretboard.Stops // of the notes that have a string
	reach int             // how many frets the hand spans for this sound
}

// place chooses a string for note i. low and high are the fretted bounds of
// the notes placed before it, 0 while none is fretted.
func (h *holding) place(i int, st state, low, high int) {
	s := h.sound
	if i == len(s.midi) {
		h.hands(st, low, high)
		return
	}
	for str := 1; str <= h.strs; str++ {
		fret := s.midi[i] - h.open[str]
		if h.at[str] >= 0 || fret < 0 || fret > h.last || !h.may(i, fretboard.Position{String: str, Fret: fret}) {
			continue
		}
		// The same pitch twice: the first on the higher string, lest every
		// such chord be found twice.
		if i > 0 && s.at == nil && s.midi[i] == s.midi[i-1] && int(st.strs[i-1]) > str {
			continue
		}
		nlow, nhigh := low, high
		if fret > 0 {
			if low == 0 || fret < low {
				nlow = fret
			}
			nhigh = max(high, fret)
			if s.at == nil && nhigh-nlow > h.reach {
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
		h.at[str] = int8(fret)
		h.place(i+1, next, nlow, nhigh)
		h.at[str] = -1
	}
}

// may reports whether note i may lie at p, a place on the neck.
func (h *holding) may(i int, p fretboard.Position) bool {
	s, w := h.sound, &h.wish
	switch {
	case s.at != nil:
		return s.at[i] == p
	case !h.usable[p.String]:
		return false
	case p.Fret == 0:
		return s.stopped == nil || !s.stopped[i]
	}
	return p.Fret >= w.low && p.Fret <= w.high
}

// hands adds the states of one choice of places: the index finger may lie up
// to a stretch below the highest note, but not above the lowest. An open
// string leaves the hand where it likes.
func (h *holding) hands(st state, low, high int) {
	fingers, skipped := 0, 0
	if st.notes > 1 {
		fingers = h.at.Fingers(low, high)
		if fingers > max(fretboard.HandFingers, h.sound.fingers) {
			return
		}
		skipped = h.at.Skipped()
	}
	first, last := max(high-h.reach, 1), low
	if st.fretted == 0 {
		first, last = 1, max(h.last-fretboard.HandFingers+1, 1)
	} else if first > last { // places given beyond a stretch
		first = last
	}
	for hand := first; hand <= last; hand++ {
		st.hand, st.reached = int8(hand), 0
		if high-hand >= fretboard.HandFingers {
			for s := 1; s <= h.strs; s++ {
				if int(h.at[s])-hand >= fretboard.HandFingers {
					st.reached++
				}
			}
		}
		st.cost = h.effort.hold(&st, high-low, fingers, skipped)
		h.graph.found = append(h.graph.found, st)
	}
}

// places writes a state out.
func (g *graph) places(st *state, midi []int, ps []fretboard.Position) {
	for i, m := range midi {
		str := int(st.strs[i])
		ps[i] = fretboard.Position{String: str, Fret: m - g.open[str]}
	}
}

// whyNot says why s has no state.
func (g *graph) whyNot(s *sound) string {
	if len(s.midi) > g.strs {
		return fmt.Sprintf("it has %d notes for %d strings", len(s.midi), g.fb.Tuning.Strings())
	}
	for _, m := range s.midi {
		if len(g.search(&sound{midi: []int{m}})) == 0 {
			return fmt.Sprintf("%s has no place on these strings and frets", theory.FromMIDI(m, true))
		}
	}
	return "its notes lie too far apart for one hand"
}
