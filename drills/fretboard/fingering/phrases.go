package fingering

import (
	"encoding/binary"
	"math"
	"slices"

	"surefret/drills/fretboard"
)

// mostNotes is how many events are searched as one phrase: longer parts are cut at
// bar lines, and each phrase begins where the one before ends.
const mostNotes = 64

// A route is a part's way to another key: where each event goes.
type route struct {
	semitones int
	how       How
	places    [][]fretboard.Position // by event, nil where no hand plays it
	octaves   map[int]map[int]int    // by event and note: semitones that it left its octave
	slid      map[int]bool           // the events that stay on their strings, being harmonics
	unplayed  map[int]string         // by event why no hand plays it in any octave
	away      map[int8]int           // how many events went how many strings away
	elsewhere bool                   // whether most events left their octave
	cost      float64
}

// A router finds the routes of one part.
type router struct {
	part   fretboard.Part
	graph  *graph
	sounds []sound
	events []int // the index of each sound's event
}

func newRouter(p fretboard.Part, w wish) *router {
	w.effort = &carryEffort
	for str := p.Above + 1; str <= p.Neck.Tuning.Strings(); str++ {
		w.strings = append(w.strings, str)
	}
	r := &router{part: p, graph: newGraph(p.Neck, w)}
	r.sounds, r.events = soundsOf(p)
	return r
}

// A found is the way through one phrase.
type found struct {
	*phrase
	places [][]fretboard.Position // of its events
	away   []int8
	last   *place
	cost   float64
}

// A manner is one of the ways to go that are compared.
type manner struct {
	weigh *carrying
	any   bool // any place will do
	away  int8 // else those that lie as many strings away; any for an event that has none
}

// mannersFor lists the manners that are worth comparing: the best of all, the best
// on the same strings, on strings that lie one or two over, and with new places; or
// those that how asks for.
func mannersFor(how How) []manner {
	all := map[How][]manner{
		SameStrings:  {{weigh: &keeping}},
		OtherStrings: {{weigh: &keeping, away: 1}, {weigh: &keeping, away: -1}, {weigh: &keeping, away: 2}, {weigh: &keeping, away: -2}},
		Refingered:   {{weigh: &fresh, any: true}},
	}
	if how != "" {
		return all[how]
	}
	manners := []manner{{weigh: &keeping, any: true}}
	for _, h := range hows {
		manners = append(manners, all[h]...)
	}
	return manners
}

// choose lists what a manner allows.
func (m manner) choose(events []carried) choices {
	may := make(choices, len(events))
	for i := range events {
		places := events[i].places
		all := m.any || !slices.ContainsFunc(places, func(p place) bool { return p.away == m.away })
		for j := range places {
			if all || places[j].away == m.away {
				may[i] = append(may[i], int16(j))
			}
		}
	}
	return may
}

// find returns the cheapest route by n half steps in each manner.
func (r *router) find(n int, manners []manner) []route {
	all := make([]route, len(manners))
	for i := range all {
		all[i] = route{
			semitones: n, places: make([][]fretboard.Position, len(r.part.Events)), octaves: map[int]map[int]int{},
			slid: map[int]bool{}, unplayed: map[int]string{}, away: map[int8]int{},
			cost: keeping.near*float64(min(max(n, -n), 6)) + keeping.far*float64(max(max(n, -n)-6, 0)),
		}
	}
	known := map[string]*found{} // phrases come again
	var key []byte
	before := make([]*place, len(manners))
	for first := 0; first < len(r.sounds); {
		end := r.phraseEnd(first)
		var ph *phrase
		for i, m := range manners {
			key = r.key(append(key[:0], byte(i)), first, end, before[i])
			f := known[string(key)]
			if f == nil {
				if ph == nil {
					ph = r.prepare(first, end, n)
				}
				f = ph.through(m, before[i])
				known[string(key)] = f
			}
			all[i].add(f, r.events[first:end])
			before[i] = f.last
		}
		if ph != nil {
			for i := range ph.events {
				ph.events[i].places = nil // long parts have many
			}
		}
		first = end
	}
	return all
}

// add takes over the way through one phrase, whose sounds are those of events.
func (rt *route) add(f *found, events []int) {
	rt.cost += f.cost
	for i := range f.events {
		rt.places[events[f.events[i].index]] = f.places[i]
		rt.away[f.away[i]]++
		if moved := f.events[i].octaves; moved != nil {
			rt.octaves[events[f.events[i].index]] = moved
		}
	}
	for _, k := range f.slid {
		rt.slid[events[k]] = true
	}
	for k, why := range f.unplayed {
		rt.unplayed[events[k]] = why
	}
}

// phraseEnd returns where the phrase ends that begins with a sound: with the part,
// or before the bar that would make it too long.
func (r *router) phraseEnd(first int) int {
	if len(r.sounds)-first <= mostNotes {
		return len(r.sounds)
	}
	bar := func(k int) int { return r.part.Events[r.events[k]].Bar }
	end := first + mostNotes
	for end > first+1 && bar(end) == bar(end-1) {
		end--
	}
	if end == first+1 {
		return first + mostNotes // one endless bar
	}
	return end
}

// key appends what the way through a phrase depends on.
func (r *router) key(key []byte, first, end int, before *place) []byte {
	for k := first; k < end; k++ {
		e := &r.part.Events[r.events[k]]
		for _, n := range e.Notes {
			slurred := byte(0)
			if n.Slurred {
				slurred = 1
			}
			key = append(key, byte(n.String), byte(n.Fret), slurred)
			key = append(append(append(key, n.Before...), 0), n.After...)
			if n.Dead {
				key = append(key, 'x')
			}
		}
		key = binary.LittleEndian.AppendUint64(key, math.Float64bits(e.Beats))
	}
	if before != nil {
		lost := byte(0)
		if before.lost {
			lost = 1
		}
		key = append(key, byte(before.away), lost, byte(before.hand), byte(before.fret), byte(before.notes))
		key = binary.LittleEndian.AppendUint16(binary.LittleEndian.AppendUint16(key, before.played), before.fretted)
		for _, s := range before.strs {
			key = append(key, byte(s))
		}
	}
	return key
}

// prepare returns the sounds from first up to end moved n half steps, those that
// have a place, with what the original asks of the hand.
func (r *router) prepare(first, end, n int) *phrase {
	ph := &phrase{graph: r.graph, unplayed: map[int]string{}}
	before := -1
	for k := first; k < end; k++ {
		notes := r.part.Events[r.events[k]].Notes
		if slices.ContainsFunc(notes, func(n fretboard.Fretted) bool { return harmonicOf(n) > 0 }) {
			ph.slid = append(ph.slid, k-first) // harmonics lie where the nodes are
			ph.lost += keeping.octave * float64(nodesLost(r.part.Neck, notes, n))
			continue
		}
		c := r.carry(k, n)
		c.index = k - first
		if len(r.graph.states(&c.sound)) == 0 && !r.graph.toOctaves(&c) {
			ph.unplayed[c.index] = r.graph.whyNot(&c.sound)
			ph.lost += keeping.unplayed
			continue
		}
		if before != k-1 {
			c.sound.from = nil // what it was slurred from is not there
		}
		if len(ph.events) > 0 && before == k-1 {
			c.follows(&ph.events[len(ph.events)-1])
		}
		before = k
		ph.events = append(ph.events, c)
	}
	if len(ph.events) > 0 {
		ph.weighHome()
	}
	return ph
}

// carry returns a sound moved n half steps.
func (r *router) carry(k, n int) carried {
	notes := r.part.Events[r.events[k]].Notes
	c := carried{sound: r.sounds[k], was: r.sounds[k].at}
	c.sound.at = nil
	c.sound.midi = slices.Clone(c.sound.midi)
	for j := range c.sound.midi {
		c.sound.midi[j] += n
	}
	if len(c.sound.midi) > 1 {
		c.sound.span, c.sound.fingers = needs(notes)
	}
	c.sound.stopped = stoppedNotes(notes)
	_, c.low, c.high = heldBy(notes, 0)
	return c
}

// follows notes what joins c to the event before.
func (c *carried) follows(before *carried) {
	if c.sound.from != nil {
		c.slurred, before.slurred = true, true
	}
	if len(c.was) == 1 && len(before.was) == 1 {
		a, b := before.was[0], c.was[0]
		c.over = a.String != b.String && a.Fret == 0
	}
}

// through searches a phrase in one manner.
func (ph *phrase) through(m manner, before *place) *found {
	f := &found{phrase: ph, last: before, cost: ph.lost}
	if len(ph.events) == 0 {
		return f
	}
	ph.before = before
	ph.weighWith(m.weigh)
	may := m.choose(ph.events)
	var way []int16
	var cost float64
	if m.any {
		way, cost = ph.search(may)
	} else {
		way, _ = ph.cheapest(may)
		cost = ph.costOf(way)
	}
	if m.weigh != &keeping { // compared with the others by what it keeps
		ph.weighWith(&keeping)
		cost = ph.costOf(way)
	}
	f.cost += cost
	for i, j := range way {
		c := &ph.events[i]
		p := c.places[j]
		places := make([]fretboard.Position, len(c.sound.midi))
		ph.graph.places(p.state, c.sound.midi, places)
		f.places, f.away = append(f.places, places), append(f.away, p.away)
		f.last = &p
	}
	return f
}

// weighHome works out how the hand moves, and what the original asks of it.
func (ph *phrase) weighHome() {
	home := make([]sound, len(ph.events))
	g := ph.graph
	for i := range ph.events {
		c := &ph.events[i]
		home[i] = sound{midi: make([]int, len(c.was)), at: c.was, beats: c.sound.beats, from: c.sound.from,
			span: c.sound.span, fingers: c.sound.fingers}
		for j, at := range c.was {
			home[i].midi[j] = g.open[at.String] + at.Fret
		}
	}
	ph.movers = moversOf(home, &g.effort)
	layers := make([][]state, len(home))
	for i := range home {
		if layers[i] = g.states(&home[i]); len(layers[i]) == 0 {
			return // more than any hand does: all that it takes elsewhere counts
		}
	}
	way, _ := g.cheapest(home, layers, ph.movers)
	for i, j := range way {
		c := &ph.events[i]
		c.hold = layers[i][j].cost
		if i > 0 {
			c.move = ph.movers[i].move(&layers[i-1][way[i-1]], &layers[i][j], c.sound.from)
		}
	}
}

// routes returns the ways to go so many half steps, the cheapest first.
func (r *router) routes(semitones []int, how How) []route {
	var all []route
	manners := mannersFor(how)
	for _, n := range semitones {
		for i, rt := range r.find(n, manners) {
			if 2*len(rt.octaves) > len(r.events) { // it is a move by another number
				rt.elsewhere, rt.cost = true, rt.cost+keeping.unplayed
			}
			if away := manners[i].away; away == 0 || rt.away[away] > 0 {
				all = append(all, rt)
			}
		}
	}
	for i := range all {
		all[i].how = how
		if how == "" {
			all[i].how = all[i].name()
		}
	}
	slices.SortStableFunc(all, func(a, b route) int {
		switch {
		case a.cost < b.cost:
			return -1
		case a.cost > b.cost:
			return 1
		}
		return 0
	})
	return all
}

// like reports whether two routes go the same way.
func (rt *route) like(other *route) bool {
	return rt.semitones == other.semitones && rt.how == other.how
}

// bearable is how much more than the best an offer may cost.
func (r *router) bearable() float64 { return 6 + float64(len(r.events))/2 }

// name says how most of a route goes.
func (rt *route) name() How {
	all, other := 0, 0
	for away, n := range rt.away {
		all += n
		if away != 0 && away != unequally {
			other = max(other, n)
		}
	}
	switch {
	case 2*rt.away[0] >= all:
		return SameStrings
	case 2*other >= all:
		return OtherStrings
	}
	return Refingered
}
