package fretboard

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"surefret/drills/theory"
)

// Tones of one voicing that stay while the chords of a song move below.

// A Keeping is two neighbouring tones that stay on their strings over every chord of a
// song, and how each chord is held under them.
type Keeping struct {
	Tones  []Held // the two that stay, the lower string first; no fingers
	Open   bool   // they ring open
	Chords []KeptChord
	Not    []theory.Chord // the few that do not take them: only open strings are kept without them
}

// A KeptChord is a chord under tones that stay.
type KeptChord struct {
	Chord  theory.Chord
	Places []Position // all that sounds, the lowest string first, the kept tones last
	cost   int
}

// Frets writes how a chord is held, from the lowest string: "x 0 2 2 0 0".
func (c KeptChord) Frets(fb Fretboard) string { return fb.WriteFrets(c.Places) }

// WriteFrets writes places that sound together, one a string, from the lowest string:
// "x 0 2 2 0 0".
func (fb Fretboard) WriteFrets(places []Position) string {
	words := slices.Repeat([]string{"x"}, fb.Tuning.Strings())
	for _, p := range places {
		words[fb.Tuning.Strings()-p.String] = fmt.Sprint(p.Fret)
	}
	return strings.Join(words, " ")
}

// Say says what stays: "B and E ring open on strings 2 and 1".
func (k Keeping) Say(names theory.Names) string {
	low, high := k.Tones[0], k.Tones[1]
	how := fmt.Sprintf("stay on strings %d and %d, at frets %d and %d", low.String, high.String, low.Fret, high.Fret)
	switch {
	case k.Open:
		how = fmt.Sprintf("ring open on strings %d and %d", low.String, high.String)
	case low.Fret == high.Fret:
		how = fmt.Sprintf("stay on strings %d and %d, at fret %d", low.String, high.String, low.Fret)
	}
	return fmt.Sprintf("%s and %s %s", names.Note(low.Pitch.Note), names.Note(high.Pitch.Note), how)
}

// keptUpTo is the highest fret at which tones are kept: further up there are no bass
// notes beside them.
const keptUpTo = 12

// Keep finds the tones of k that can stay on two neighbouring strings over all of the
// chords, each of which a hand holds with its bass below them: first two open strings,
// then two that are stopped, each the pair that suits the chords best. Where no open
// strings take all chords, those that three in four take are kept for these. It returns none
// on a bass, and where no pair suits: which tones suit a chord is common practice, no source.
func (fb Fretboard) Keep(k theory.Key, chords theory.Progression) []Keeping {
	var distinct theory.Progression
	for _, c := range chords {
		if !slices.Contains(distinct, c) {
			distinct = append(distinct, c)
		}
	}
	if len(distinct) < 2 || fb.Tuning.Strings() < 5 || fb.Tuning.Bass() {
		return nil
	}
	var pairs []keptPair
	for _, high := range []int{1, 2} {
		for f := range keptUpTo + 1 {
			for g := max(0, f-3); g <= f+3; g++ {
				low, top := Position{high + 1, g}, Position{high, f}
				if (f == 0) != (g == 0) || !fb.Has(low) || !fb.Has(top) {
					continue
				}
				if pair, ok := fb.pair(k, distinct, low, top); ok {
					pairs = append(pairs, pair)
				}
			}
		}
	}
	slices.SortStableFunc(pairs, func(a, b keptPair) int { return cmp.Compare(a.cost, b.cost) })
	var best [2]Keeping // open, stopped
	var least [2]int
	for _, p := range pairs {
		at := one(p.tones[0].Fret > 0)
		if best[at].Tones != nil && p.cost-2*len(distinct) >= least[at] {
			continue // no way to hold the chords would make it the better one
		}
		if keeping, cost, ok := fb.keep(p, distinct); ok && (best[at].Tones == nil || cost < least[at]) {
			best[at], least[at] = keeping, cost
		}
	}
	if _, like := fb.Tuning.Below(); !like && best[0].Tones != nil && len(best[0].Not) == 0 {
		best[1] = Keeping{} // a tuning with drones is played under these
	}
	return slices.DeleteFunc(best[:], func(k Keeping) bool { return k.Tones == nil })
}

func one(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// A keptPair is two places that may be kept, with how far their tones are from the
// chords and how far up the neck they lie.
type keptPair struct {
	tones [2]Held
	cost  int
}

// pair looks whether the tones of two places suit all of the chords.
func (fb Fretboard) pair(k theory.Key, chords theory.Progression, places ...Position) (pair keptPair, ok bool) {
	pair.cost = one(places[0].String == 3) + places[0].Fret/4
	scale := k.Scale()
	for i, p := range places {
		at := slices.IndexFunc(scale, func(n theory.Note) bool { return n.PitchClass() == fb.MIDI(p)%12 })
		if at < 0 {
			return pair, false
		}
		pair.tones[i] = Held{Position: p, Pitch: octaveAt(scale[at], fb.MIDI(p))}
		if number := k.Degree(scale[at]).Number; number != 1 && number != 5 {
			pair.cost += 3
		}
		for _, c := range chords {
			by, ok := suits(scale[at], c)
			if !ok && places[0].Fret > 0 {
				return pair, false
			}
			if ok {
				pair.cost += by
			}
		}
	}
	return pair, true
}

// notTaken is worse than anything that holding the chords may cost: tones that all of them
// take come first.
const notTaken = 100

// keep looks whether every chord can be held under a pair, and how well.
func (fb Fretboard) keep(pair keptPair, chords theory.Progression) (Keeping, int, bool) {
	kept, total := Keeping{Open: pair.tones[0].Fret == 0, Tones: pair.tones[:]}, pair.cost
	for _, c := range chords {
		held, ok := fb.under(c, pair.tones[0].Position, pair.tones[1].Position)
		for _, tone := range pair.tones {
			_, suit := suits(tone.Pitch.Note, c)
			ok = ok && suit
		}
		if !ok {
			kept.Not = append(kept.Not, c)
			total += notTaken
			continue
		}
		kept.Chords = append(kept.Chords, held)
		total += held.cost
	}
	return kept, total, len(kept.Not) == 0 || kept.Open && 4*len(kept.Chords) >= 3*len(chords)
}

// Holds says why no hand holds places below the tones that are kept, "" where one does.
func (k Keeping) Holds(fb Fretboard, places []Position) string {
	return grip(fb, append(slices.Clone(places), k.Tones[0].Position, k.Tones[1].Position), false).why
}

// suits says how far a tone that is kept is from a chord: 0 for one of its own, 1 for a
// sixth, a minor chord's seventh or a ninth, 2 for a major seventh and for a fourth,
// which takes the place of the third. What is a
// half step from a tone of the chord, or would turn it into another, does not suit.
func suits(n theory.Note, c theory.Chord) (cost int, ok bool) {
	if slices.ContainsFunc(c.Notes(), n.Enharmonic) {
		return 0, true
	}
	switch above := (n.PitchClass() - c.Root.PitchClass() + 12) % 12; {
	case above == 2, above == 9 && !c.Quality.Minor():
		return 1, true
	case above == 10 && c.Quality.Minor():
		return 1, true
	case above == 5, above == 11 && !c.Quality.Minor():
		return 2, true
	}
	return 0, false
}

// under holds a chord below two tones that are kept: its bass on one of the three lowest
// strings, or of the four of seven, and on those between what of the chord the hand reaches. A fourth that is
// kept leaves no room for the third, but for a minor one that rings open.
func (fb Fretboard) under(c theory.Chord, low, top Position) (KeptChord, bool) {
	suspended := false
	for _, p := range []Position{low, top} {
		suspended = suspended || (fb.MIDI(p)-c.Root.PitchClass()+12)%12 == 5 && !slices.ContainsFunc(c.Notes(), func(n theory.Note) bool { return n.PitchClass() == fb.MIDI(p)%12 })
	}
	third := c.Notes()[1]
	var tones []theory.Note
	for i, n := range c.Notes() {
		if !(suspended && i == 1) {
			tones = append(tones, n)
		}
	}
	may := tones
	if suspended = suspended && low.Fret == 0 && c.Quality.Minor(); suspended {
		may = append(slices.Clone(tones), third)
	}
	_, like := fb.Tuning.Below() // there the grips are those that players of standard tuning know
	best := KeptChord{Chord: c}
	strs := fb.Tuning.Strings()
	for bass := strs; bass > low.String && bass > min(strs-3, 3); bass-- {
		for _, at := range fb.Find(c.Bass(), bass) {
			if at.Fret > keptUpTo {
				continue
			}
			fb.fill([]Position{at}, bass-1, may, low, top, func(places []Position) {
				thirdAt := slices.IndexFunc(places, func(p Position) bool { return fb.MIDI(p)%12 == third.PitchClass() })
				if suspended && thirdAt >= 0 && places[thirdAt].Fret > 0 {
					return
				}
				g := grip(fb, places, false)
				if g.why != "" || !(like && strs <= Standard.Strings()) && !g.bearable(places) || !like && len(places) < fullGrip && low.Fret > 0 {
					return
				}
				cost := fb.keptCost(places, tones)
				if suspended && thirdAt >= 0 {
					cost-- // it sounds, and takes no finger
				}
				if best.Places == nil || cost < best.cost {
					best.cost, best.Places = cost, slices.Clone(places)
				}
			})
		}
	}
	return best, best.Places != nil
}

// mostKept is what holding a chord may take while tones stay, by [EffortSpan] and the like: as much
// as the full barre over a ring finger that lies flat, "x 1 3 3 3 1".
var mostKept = 2*EffortSpan + 3*EffortFinger + EffortReach

// fullGrip is how many strings sound at least under tones that are stopped, where the open
// strings of a tuning would give as many: chosen.
const fullGrip = 5

// bearable reports whether a hand holds places through a song: it takes no more than
// [mostKept], and the fingers behind the index have no more than a fret each.
func (g gripping) bearable(places []Position) bool {
	for i, a := range g.fingers {
		for j, b := range g.fingers {
			if a > 1 && b > a && places[j].Fret-places[i].Fret > b-a {
				return false
			}
		}
	}
	return g.effort(places) <= mostKept
}

// fill tries what of the tones may sound on the strings from str down to the kept ones.
func (fb Fretboard) fill(places []Position, str int, tones []theory.Note, low, top Position, try func([]Position)) {
	if str == low.String {
		try(append(slices.Clone(places), low, top))
		return
	}
	fb.fill(places, str-1, tones, low, top, try) // silent
	for _, n := range tones {
		for _, at := range fb.Find(n, str) {
			if far := max(places[0].Fret, low.Fret, top.Fret); at.Fret <= far+fb.Reach() {
				fb.fill(append(slices.Clone(places), at), str-1, tones, low, top, try)
			}
		}
	}
}

// keptCost is how far a way to hold a chord is from a good one: tones of the chord that
// are missing, silent strings within, a wide hand, and open strings that a hand up the
// neck would have to leave free.
func (fb Fretboard) keptCost(places []Position, tones []theory.Note) int {
	cost := 2 * stopsOf(places).Skipped()
	for i, n := range tones {
		if !slices.ContainsFunc(places, func(p Position) bool { return fb.MIDI(p)%12 == n.PitchClass() }) {
			cost += []int{9, 4, 2, 3}[min(i, 3)]
		}
	}
	low, high, _ := bounds(fb, places)
	if within := places[1 : len(places)-2]; low >= 3 && slices.ContainsFunc(within, func(p Position) bool { return p.Fret == 0 }) {
		cost += 5
	}
	return cost + (high-low)*(high-low)/3 + cmp.Compare(places[0].Fret, 5)
}
