package fingering

import (
	"fmt"
	"slices"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// A Way is one way out of what a move breaks.
type Way struct {
	kind    wayKind
	Message string // one sentence, with what it still breaks
}

// A wayKind says what a way out asks of the player.
type wayKind string

const (
	wayCapoOn   wayKind = "capo"   // the shapes of a lower key behind a capo
	wayTuneDown wayKind = "detune" // all strings tuned lower
)

// waysOut ranks the ways out of a move m with a capo or a lower tuning: what breaks
// less comes first, then what changes less, then a capo. Only ways that leave less
// broken or changed are offered, and more open strings where some are lost; to a bass none is, which has no capo and is not tuned
// lower for a song.
func waysOut(p fretboard.Part, m Moved) []Way {
	if len(m.Problems) == 0 || p.Neck.Tuning.Bass() {
		return nil
	}
	offers := capoWays(p, m)
	offers = append(offers[:min(2, len(offers))], lowerWay(p, m)...)
	open := openString.index()
	offers = slices.DeleteFunc(offers, func(o offer) bool {
		saves := m.Broken() > o.move.Broken() || m.tally[open] == 0 || o.move.tally[open] < m.tally[open]
		return !saves || o.move.tally.compare(m.tally) >= 0
	})
	slices.SortStableFunc(offers, func(a, b offer) int { return a.move.tally.compare(b.move.tally) })
	var ways []Way
	for _, o := range offers {
		ways = append(ways, o.Way)
	}
	return ways
}

// An offer is a way out with the move that it makes.
type offer struct {
	Way
	move Moved
}

// bestOf offers the move that breaks least.
func bestOf(kind wayKind, tried []Moved, say func(Moved) string) offer {
	o := slices.MinFunc(tried, compareMoves)
	left := o.tally.String()
	if left != nothingBreaks {
		left = "still " + left
	}
	return offer{Way{kind, say(o) + ": " + left}, o}
}

func compareOffers(a, b offer) int { return compareMoves(a.move, b.move) }

// capoWays offers a capo at each fret, and to take off the one that there is, what breaks
// least first.
func capoWays(p fretboard.Part, m Moved) []offer {
	var capos []offer
	for fret := range min(fretboard.WayCapo+p.Neck.Capo, fretboard.HighestCapo) + 1 {
		c := fret - p.Neck.Capo
		how := fmt.Sprintf("put a capo at fret %d", fret)
		switch {
		case c == 0:
			continue
		case fret == 0:
			how = "take the capo off"
		case p.Neck.Capo > 0:
			how = fmt.Sprintf("put the capo at fret %d", fret)
		}
		neck := p.Neck
		neck.Capo = fret
		capos = append(capos, bestOf(wayCapoOn, shifts(p, neck, directions(m.From, m.To)[0]-c, &m.tally), func(o Moved) string {
			return how + " and " + m.playIn(o.Semitones)
		}))
	}
	slices.SortStableFunc(capos, compareOffers)
	return capos
}

// lowerWay offers the best of the lower tunings, if there is room for one.
func lowerWay(p fretboard.Part, m Moved) []offer {
	var detuned []offer
	lower, like := p.Neck.Tuning.Below()
	for d := 1; like && d <= fretboard.WayDetune-max(lower, 0); d++ {
		neck := p.Neck
		neck.Tuning = neck.Tuning.Down(d)
		detuned = append(detuned, bestOf(wayTuneDown, shifts(p, neck, directions(m.From, m.To)[0]+d, &m.tally), func(o Moved) string {
			return p.Neck.Tuning.SayDown(d) + " and " + m.playIn(o.Semitones)
		}))
	}
	slices.SortStableFunc(detuned, compareOffers)
	return detuned[:min(1, len(detuned))]
}

// shifts tries n semitones, and the same pitch class on the other side of zero, as
// far as they stay below the limit.
func shifts(p fretboard.Part, neck fretboard.Fretboard, n int, limit *tally) []Moved {
	n = mod(n, 12)
	tried := []Moved{trial(p, neck, n, limit)}
	if n > 0 {
		tried = append(tried, trial(p, neck, n-12, limit))
	}
	return tried
}

// playIn says which shapes the hand plays after a shift by n.
func (m Moved) playIn(n int) string {
	if n == 0 {
		return "play it as written, in " + m.short(m.From) + " shapes"
	}
	k := theory.SimplestKey(mod(m.From.Tonic.PitchClass()+n, 12), m.From.Mode, m.From.Signature() < 0)
	return "play it in " + m.short(k) + " shapes"
}

// short is the short name of a key in the player's names: "Eb", "Fism".
func (m Moved) short(k theory.Key) string {
	return m.names.Note(k.Tonic) + strings.TrimPrefix(k.Short(), k.Tonic.String())
}
