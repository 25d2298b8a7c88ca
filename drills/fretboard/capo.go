package fretboard

import (
	"cmp"
	"fmt"
	"slices"

	"surefret/drills/theory"
)

// A Choice is one way to sound in a key while the hand plays another's shapes:
// sounding = fingered + capo - detuned, in half steps.
type Choice struct {
	Capo    int // the fret, counted from the nut; 0 for none
	Detuned int // half steps that every string is tuned down from now, 0 for none
	Shapes  theory.Key
	Open    int // how many of the key's five common chords have an open form, 0 to 5

	home bool // whether the chord of the keynote is one of them
}

// commonDegrees are the chords that most songs in a major key are made of: 1,
// 2-, 4, 5 and 6-, by index into its triads. Those of a minor key are its
// relative's.
var commonDegrees = []int{0, 1, 3, 4, 5}

// Choices returns the ways to play in a key with a capo at fret 1 to 7, without
// one, as fb is now, or tuned down, to at most a whole step below standard; what
// a player would try first comes first. A tuning that is none of the guitar's usual ones
// is not tuned down besides: see [Tuning.Below]. A bass has none.
func (fb Fretboard) Choices(k theory.Key) []Choice {
	lower, like := fb.Tuning.Below()
	if fb.Tuning.Bass() || fb.Tuning.Strings() < fewestOpen {
		return nil
	}
	var all []Choice
	rings := fb.Tuning.openChords()
	add := func(capo, detuned int) {
		neck := Fretboard{Tuning: fb.Tuning.Down(detuned), Capo: capo}
		c := Choice{Capo: capo, Detuned: detuned, Shapes: neck.ShapeKey(k)}
		c.Open, c.home = countOpen(c.Shapes, rings)
		// The hand thinks in major and minor shapes, whatever the mode.
		if c.Shapes.Mode = theory.Major; k.Mode.Minor() {
			c.Shapes.Mode = theory.Minor
		}
		all = append(all, c)
	}
	for capo := range WayCapo + 1 {
		add(capo, 0)
	}
	if fb.Capo > WayCapo {
		add(fb.Capo, 0)
	}
	for detuned := 1; like && detuned <= WayDetune-max(lower, 0); detuned++ {
		add(0, detuned)
	}
	slices.SortStableFunc(all, func(a, b Choice) int { return cmp.Compare(b.worth(), a.worth()) })
	return all
}

// ShapeKey returns the key whose shapes the hand plays where another sounds: with
// a capo a lower one, on strings tuned down a higher one. Tablature and shapes
// are in this key, what a singer calls is in the other.
func (fb Fretboard) ShapeKey(sounding theory.Key) theory.Key {
	lower, _ := fb.Tuning.Below()
	if (lower-fb.Capo)%12 == 0 {
		return sounding
	}
	return theory.SimplestKey(mod(sounding.Tonic.PitchClass()+lower-fb.Capo, 12), sounding.Mode, sounding.Signature() < 0)
}

// worth weighs open chords, that of the keynote twice, against the trouble of
// having them, in thirds of a chord: a capo costs one for every fret, since the
// neck grows short and thin above it; tuning down costs a whole chord for every
// half step, since it takes a minute and goes back after the song. Common
// practice, no source.
func (c Choice) worth() int {
	chords := c.Open
	if c.home {
		chords++
	}
	return 3*chords - c.Capo - 3*c.Detuned
}

// Below returns how many half steps t lies below standard tuning, less than zero
// for above, and whether its five highest strings stand to each other as those of
// standard tuning do, so that open chords have their forms there. A sixth string
// may be tuned by itself, as in drop D: few open chords need it.
func (t Tuning) Below() (halfSteps int, like bool) {
	const needed = 5
	if t.Strings() < needed {
		return 0, false
	}
	for i, open := range t.Open[:needed] {
		by := Standard.Open[i].MIDI() - open.MIDI()
		if i > 0 && by != halfSteps {
			return 0, false
		}
		halfSteps = by
	}
	return halfSteps, true
}

// EvenlyBelow reports whether every string of t lies as far below or above that of
// standard tuning.
func (t Tuning) EvenlyBelow() bool {
	lower, like := t.Below()
	return like && t.Strings() == Standard.Strings() && Standard.Open[5].MIDI()-t.Open[5].MIDI() == lower
}

// countOpen counts the common chords of k that ring open, and reports whether the chord
// of the keynote is one of them.
func countOpen(k theory.Key, rings func(theory.Chord, theory.Key) bool) (n int, home bool) {
	home = rings(k.Triads()[0], k)
	if k.Mode.Minor() {
		k = k.Relative()
	}
	triads := k.Triads()
	for _, d := range commonDegrees {
		if rings(triads[d], k) {
			n++
		}
	}
	return n, home
}

// What a chord that rings open takes: common practice, no source. In standard tuning
// these are C A G E D Am Em Dm.
const (
	fewestOpen  = 4 // strings that sound
	openStopped = 3 // of them stopped, at most
)

// openChords returns whether a chord of a key has an open form on the strings of t, as
// its shapes are named: from a root on one of the lower strings every string up to the
// first sounds, at least one of them open, and none is stopped above fret 3. Where the open strings are not those of
// standard tuning, one may add the second, the fourth or the minor seventh of the chord,
// and stand for its third, and grips reach up to fret 5 under them.
func (t Tuning) openChords() func(theory.Chord, theory.Key) bool {
	lower, like := t.Below()
	highest := 5
	if like {
		highest = 3
	}
	open := make([]int, t.Strings()+1)
	for i, p := range t.Open {
		open[i+1] = p.MIDI() + lower
	}
	return func(c theory.Chord, k theory.Key) bool {
		notes := c.Notes()
		tone := func(midi int) int { // its index in the chord, or -1
			return slices.IndexFunc(notes, func(n theory.Note) bool { return n.PitchClass() == mod(midi, 12) })
		}
		colours := func(midi int) bool {
			above := mod(midi-notes[0].PitchClass(), 12)
			return !like && slices.Contains([]int{2, 5, 10}, above) &&
				slices.ContainsFunc(k.Scale(), func(n theory.Note) bool { return n.PitchClass() == mod(midi, 12) })
		}
		var from func(str, stopped, rung int, sounds [3]bool) bool
		from = func(str, stopped, rung int, sounds [3]bool) bool {
			if str == 0 {
				return rung > 0 && sounds[2] && (sounds[1] || !like)
			}
			for fret := range highest + 1 {
				i, more := tone(open[str]+fret), sounds
				if fret > 0 && (i < 0 || stopped == openStopped) || i < 0 && !colours(open[str]) {
					continue
				}
				if i >= 0 {
					more[i] = true
				}
				if from(str-1, stopped+one(fret > 0), rung+one(fret == 0), more) {
					return true
				}
			}
			return false
		}
		for root := t.Strings(); root >= fewestOpen; root-- {
			for fret := range highest + 1 {
				if tone(open[root]+fret) == 0 && from(root-1, one(fret > 0), one(fret == 0), [3]bool{true}) {
					return true
				}
			}
		}
		return false
	}
}

// Roots returns where a note lies on the low strings up to the twelfth fret, the lowest
// string first: where players look for the root of a chord. These are the two lowest of
// a guitar of six strings and of a bass of four, and with more strings the three lowest.
func (fb Fretboard) Roots(n theory.Note) []Position {
	low, usual := 2, Standard.Strings()
	if fb.Tuning.Bass() {
		usual = Bass.Strings()
	}
	if fb.Tuning.Strings() > usual {
		low = 3
	}
	roots := []Position{}
	for s := fb.Tuning.Strings(); s > max(fb.Tuning.Strings()-low, 0); s-- {
		if first := fb.Find(n, s); len(first) > 0 {
			roots = append(roots, first[0])
		}
	}
	return roots
}

// How far a player goes for a way out.
const (
	WayCapo   = 7 // the highest fret that a capo is offered at
	WayDetune = 2 // half steps below standard: more, and no string set for it sounds
)

// SayDown says how to tune t down: "tune every string down a half step", or where it is
// down already "tune every string down a half step more".
func (t Tuning) SayDown(halfSteps int) string {
	how := "tune every string down " + Steps(halfSteps)
	if lower, _ := t.Below(); lower > 0 {
		how += " more"
	}
	return how
}

// Steps says a number of half steps as players do: "a half step", "a whole
// step", "3 half steps".
func Steps(n int) string {
	switch n {
	case 1:
		return "a half step"
	case 2:
		return "a whole step"
	}
	return fmt.Sprintf("%d half steps", n)
}
