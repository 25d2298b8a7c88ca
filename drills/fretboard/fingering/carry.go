package fingering

import (
	"math"
	"math/bits"
	"slices"

	"surefret/drills/fretboard"
)

// A carrying weighs what a player gives up where a part goes to another key, in
// the units of [effort].
type carrying struct {
	move float64 // times what getting from place to place takes
	home float64 // what of that and of each grip is forgiven, since the original asks for it too: 1 for all, 0 for nothing

	fret   float64 // per fret of hand position above the first
	high   float64 // per fret above the fifteenth, and above the original's
	ring   float64 // an open string that is stopped now, or whose ring the next note ends
	opened float64 // a stopped note that lies on an open string now
	grip   float64 // the same in a chord up the neck that had no open string: it is another grip

	start   float64 // for beginning on other strings
	note    float64 // per note on another string than its own
	slurred float64 // and besides where it is slurred, or slurred from
	chord   float64 // per chord on other strings, each note as many strings away
	reshape float64 // per chord whose notes do not stay together
	leave   float64 // a line that leaves its pattern of strings, per note
	regrip  float64 // and per chord

	mixed    float64 // per pitch that is played in more places than in the original
	unplayed float64 // per event that no hand plays
	octave   float64 // per note or chord in another octave than the rest
	near     float64 // per half step that all of it moves, up to six
	far      float64 // per half step beyond, where the other direction is the shorter
}

// keeping holds a part together, as a player does who knows it by hand. The
// numbers are our own, held to the lines in testdata.
var keeping = carrying{
	move: 0.6, home: 1, fret: 0.05, high: 0.8, ring: 1, opened: 1, grip: 3.5,
	start: 1.5, note: 0.15, slurred: 0.75, chord: 0.4, reshape: 3, leave: 0.8, regrip: 2,
	mixed: 1.5, unplayed: 20, octave: 2.5, near: 0.15, far: 1,
}

// fresh forgets where the notes lay and looks for the places that are easiest now. What
// it finds is compared with the other ways by [keeping].
var fresh = carrying{
	move: 1, fret: 0.08, high: 0.8, ring: 1, opened: 0.5, grip: 0.5, mixed: 1.5,
}

// carryEffort is what the hand does, without the position and the open strings that
// a [carrying] weighs by itself.
var carryEffort = func() effort {
	e := defaultEffort
	e.position, e.open = 0, 0
	return e
}()

const nearNut = 3 // up to here a hand that moves down finds open strings as they come

const highFret = 15 // frets above are narrow, and sound thin

// A carried is one event of a part on its way to another key.
type carried struct {
	index   int   // of its sound in the phrase
	sound   sound // as it is to sound
	was     []fretboard.Position
	octaves map[int]int // by note: semitones that it had to leave its octave
	slurred bool        // slurred, or slurred from
	over    bool        // an open string rings on over another here, in the original
	move    float64     // what getting here from the event before takes in the original
	hold    float64     // what holding it takes in the original
	low     int         // the lowest fret that is stopped in the original, 0 for none
	high    int         // the highest

	places []place
}

// A place is one way to hold an event.
type place struct {
	*state
	cost float64 // by itself
	away int8    // how many strings higher in number than in the original; unequally for a chord that is torn apart
	lost bool    // whether an open string is stopped
}

// unequally is how far a chord is away whose notes went to strings unequally far.
const unequally = 99

// A phrase is a run of events that is searched as a whole.
type phrase struct {
	graph  *graph
	weigh  *carrying
	events []carried
	movers []*mover

	slid     []int          // sounds that stay on their strings, being harmonics
	unplayed map[int]string // sounds that no hand plays in any octave, and why
	lost     float64        // what these cost

	before *place // where the hand comes from, nil at the beginning of a part
}

// weighWith works out what each place costs by itself.
func (ph *phrase) weighWith(w *carrying) {
	if ph.weigh == w {
		return
	}
	ph.weigh = w
	for i := range ph.events {
		c := &ph.events[i]
		states := ph.graph.states(&c.sound)
		if c.places == nil {
			c.places = make([]place, len(states))
		}
		for j := range states {
			c.places[j] = ph.weighPlace(c, &states[j])
		}
	}
}

func (ph *phrase) weighPlace(c *carried, st *state) place {
	w := ph.weigh
	p := place{state: st, away: st.strs[0] - int8(c.was[0].String)}
	p.cost = w.fret*float64(st.hand-1) + max(0, st.cost-w.home*c.hold)
	wasOpen, opened, high := false, 0, 0
	for j := range c.was {
		fret := c.sound.midi[j] - ph.graph.open[st.strs[j]]
		high = max(high, fret)
		wasOpen = wasOpen || c.was[j].Fret == 0
		switch {
		case c.was[j].Fret == 0 && fret > 0:
			p.cost, p.lost = p.cost+w.ring, true
		case c.was[j].Fret > 0 && fret == 0:
			opened++
		}
		if st.strs[j]-int8(c.was[j].String) != p.away {
			p.away = unequally
		}
	}
	if opened > 0 && len(c.was) > 1 && !wasOpen && c.low > nearNut {
		p.cost += w.grip
	} else {
		p.cost += w.opened * float64(opened)
	}
	p.cost += w.high * float64(max(0, high-max(highFret, c.high)))
	switch {
	case p.away == unequally:
		p.cost += w.reshape
	case p.away != 0 && len(c.was) > 1:
		p.cost += w.chord
	case p.away != 0 && c.slurred:
		p.cost += w.note + w.slurred
	case p.away != 0:
		p.cost += w.note
	}
	if c.octaves != nil {
		p.cost += w.octave
	}
	return p
}

// step returns what getting from one place to the next costs.
func (ph *phrase) step(a *place, c *carried, b *place, m *mover) float64 {
	w := ph.weigh
	cost := m.move(a.state, b.state, c.sound.from) - w.home*c.move
	if cost = w.move * cost; cost < 0 {
		cost = 0
	}
	if c.over && a.strs[0] == b.strs[0] {
		cost += w.ring
	}
	switch {
	case a.away == b.away || a.lost || b.lost:
	case a.notes > 1 || b.notes > 1:
		cost += w.regrip
	default:
		cost += w.leave
	}
	return cost
}

// enter returns what coming to a place of the first event costs.
func (ph *phrase) enter(p *place) float64 {
	if ph.before != nil {
		return ph.step(ph.before, &ph.events[0], p, ph.movers[0])
	}
	if p.away != 0 {
		return ph.weigh.start
	}
	return 0
}

// choices lists for each event the places that it may have, by index.
type choices [][]int16

// cheapest returns the place of every event on the cheapest way through the choices,
// and what it costs, mixed pitches aside; infinite where there is no way.
func (ph *phrase) cheapest(may choices) (way []int16, least float64) {
	sizes := make([]int, len(may))
	for i := range may {
		sizes[i] = len(may[i])
	}
	way, least = cheapestWay(sizes, func(i int, j int16) float64 {
		p := &ph.events[i].places[may[i][j]]
		if i == 0 {
			return p.cost + ph.enter(p)
		}
		return p.cost
	}, func(i int) func(from, to int16) float64 {
		before, c, m := ph.events[i-1].places, &ph.events[i], ph.movers[i]
		return func(from, to int16) float64 {
			return ph.step(&before[may[i-1][from]], c, &c.places[may[i][to]], m)
		}
	})
	for i, j := range way {
		way[i] = may[i][j]
	}
	return way, least
}

// mostTries bounds the searches for one phrase: enough for an exact answer where up
// to three pitches are mixed, and for a good one else.
const mostTries = 12

// search returns the cheapest way with what its mixed pitches cost. That a pitch
// lies here and then there is seen over the whole phrase alone. So the cheapest way
// is taken first as it is, and where it mixes a pitch, those are tried that keep it
// on one string.
func (ph *phrase) search(may choices) (best []int16, least float64) {
	const paid = -1
	least = math.Inf(1)
	rule := map[int]int{} // by pitch: the string that it must lie on
	tries := 0
	var try func(charged int)
	try = func(charged int) {
		if tries++; tries > mostTries {
			return
		}
		way, cost := ph.cheapest(ph.ruled(may, rule))
		if cost += ph.weigh.mixed * float64(charged); cost >= least {
			return
		}
		pitch, strs := ph.mixed(way, rule)
		if total := cost + ph.weigh.mixed*float64(ph.countMixed(way, rule)); total < least {
			best, least = way, total
		}
		if strs == nil {
			return
		}
		for _, r := range strs {
			rule[pitch] = r
			try(charged)
		}
		rule[pitch] = paid
		try(charged + 1)
		delete(rule, pitch)
	}
	try(0)
	return best, least
}

// ruled returns the choices that keep each ruled pitch on its string.
func (ph *phrase) ruled(may choices, rule map[int]int) choices {
	if len(rule) == 0 {
		return may
	}
	kept := make(choices, len(may))
	for i := range ph.events {
		c := &ph.events[i]
		kept[i] = may[i]
		for n, midi := range c.sound.midi {
			if str := rule[midi]; str > 0 {
				kept[i] = slices.DeleteFunc(slices.Clone(kept[i]), func(j int16) bool { return int(c.places[j].strs[n]) != str })
			}
		}
	}
	return kept
}

// costOf returns what a way costs.
func (ph *phrase) costOf(way []int16) float64 {
	cost := ph.enter(&ph.events[0].places[way[0]])
	for i, j := range way {
		c := &ph.events[i]
		cost += c.places[j].cost
		if i > 0 {
			cost += ph.step(&ph.events[i-1].places[way[i-1]], c, &c.places[j], ph.movers[i])
		}
	}
	return cost + ph.weigh.mixed*float64(ph.countMixed(way, nil))
}

// countMixed counts the pitches without a rule that a way mixes.
func (ph *phrase) countMixed(way []int16, rule map[int]int) int {
	n := 0
	ph.eachMixed(way, rule, func(int) bool { n++; return true })
	return n
}

// mixed returns a pitch without a rule that a way mixes, and the strings that it may
// lie on; none where there is no such pitch.
func (ph *phrase) mixed(way []int16, rule map[int]int) (pitch int, strs []int) {
	ph.eachMixed(way, rule, func(midi int) bool {
		pitch = midi
		for _, at := range ph.graph.fb.Places(midi) {
			strs = append(strs, at.String)
		}
		return false
	})
	return pitch, strs
}

// eachMixed yields the pitches without a rule that a way plays on more strings than
// the original does.
func (ph *phrase) eachMixed(way []int16, rule map[int]int, yield func(midi int) bool) {
	var now, was [128]uint16
	for i, j := range way {
		c := &ph.events[i]
		for n, midi := range c.sound.midi {
			if midi >= 0 && midi < len(now) {
				now[midi] |= 1 << c.places[j].strs[n]
				was[midi] |= 1 << c.was[n].String
			}
		}
	}
	for midi := range now {
		if _, ruled := rule[midi]; !ruled && bits.OnesCount16(now[midi]) > bits.OnesCount16(was[midi]) && !yield(midi) {
			return
		}
	}
}
