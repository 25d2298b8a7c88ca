package rehearse

import (
	"fmt"
	"math"
	"slices"

	"surefret/drills/fretboard"
	"surefret/drills/gig"
	"surefret/drills/theory"
)

// What the hand can play for each chord besides a shape: see [Run.As].
const (
	Roots   = "roots"
	Held    = "held"
	Walks   = "walks"
	Walking = "walking"
)

// topTriads are the small triads that are played above a band.
const topTriads = "triads-321"

// As sets what the hand plays for each change: its root, tones that stay while the bass
// moves, walks from one root to the next, a walking line, or the shape of a word ("tenths", "octaves",
// "triads", a name), where the chord has one: the one that lies nearest to what was
// played before. The root stays alone where there is none. It fails, with one sentence,
// where a word means nothing on this neck, or suits no chord of the run.
func (r *Run) As(word string, fb fretboard.Fretboard) error {
	for i := range r.Changes {
		c := &r.Changes[i]
		c.Hand, c.Walk = []fretboard.Position{c.Place}, false
	}
	if err := r.take(word, fb); err != nil {
		return err
	}
	r.lay(fb)
	if word == Walking {
		return r.line(fb)
	}
	return nil
}

// take sets what the hand holds.
func (r *Run) take(word string, fb fretboard.Fretboard) error {
	switch word {
	case Roots, Walking:
		return nil
	case Held:
		return r.hold(fb)
	case Walks:
		return r.walk(fb)
	case "triads":
		word = topTriads
	}
	recipes, err := fretboard.ShapesCalled(fb, word)
	if err != nil {
		return err
	}
	if !r.shape(fb, recipes) {
		return fmt.Errorf("no chord of this song has one of the shapes called %q: rehearse it as %s, %s or %s", word, Roots, Held, Walks)
	}
	return nil
}

// lowest plays the bass of each change, on the lowest strings, see [fretboard.Fretboard.Roots].
func (r *Run) lowest(fb fretboard.Fretboard) {
	var frets [][]int
	for _, c := range r.Changes {
		frets = append(frets, fretsOf(fb.Roots(c.Chord.Bass())))
	}
	for i, at := range way(frets) {
		c := &r.Changes[i]
		c.Place = fb.Roots(c.Chord.Bass())[at]
		c.Hand = []fretboard.Position{c.Place}
	}
	r.lay(fb)
}

func fretsOf(places []fretboard.Position) (frets []int) {
	for _, p := range places {
		frets = append(frets, p.Fret)
	}
	return frets
}

// shape plays shapes, and reports whether a chord has one.
func (r *Run) shape(fb fretboard.Fretboard, recipes []fretboard.Recipe) (some bool) {
	held := make([][]fretboard.Placement, len(r.Changes))
	frets := make([][]int, len(r.Changes))
	for i, c := range r.Changes {
		for _, p := range placements(c.Chord, fb, recipes) {
			held[i] = append(held[i], p)
			frets[i] = append(frets[i], p.Fret)
		}
		if some = some || len(held[i]) > 0; len(held[i]) == 0 {
			frets[i] = []int{c.Place.Fret}
		}
	}
	for i, at := range way(frets) {
		if len(held[i]) == 0 {
			continue
		}
		c := &r.Changes[i]
		c.Hand = held[i][at].Positions()
		if low := c.Hand[0]; slices.Contains(fb.Roots(c.Chord.Bass()), low) {
			c.Place = low // the fret that is asked is that of the shape
		}
	}
	return some
}

// placements are the places of shapes for a chord: with their root on the two lowest
// strings, where roots are asked, or else any.
func placements(c theory.Chord, fb fretboard.Fretboard, recipes []fretboard.Recipe) (low []fretboard.Placement) {
	var all []fretboard.Placement
	for _, recipe := range recipes {
		root, fits := under(recipe, c, fb)
		if !fits {
			continue
		}
		for _, p := range recipe.On(fb, root) {
			if !p.Playable() {
				continue
			}
			all = append(all, p)
			if slices.Contains(fb.Roots(root), p.Positions()[0]) {
				low = append(low, p)
			}
		}
	}
	if low == nil {
		return all
	}
	return low
}

// under returns the root on which a shape is laid for a chord. Over another bass two tones
// stand on that one where both are of the chord, and a shape on the low strings has no
// place.
func under(recipe fretboard.Recipe, c theory.Chord, fb fretboard.Fretboard) (root theory.Note, fits bool) {
	if c.Bass() == c.Root {
		return recipe.Under(c)
	}
	if recipe.Kind != fretboard.KindInterval {
		if recipe.Tones[0].String > fb.Tuning.Strings()-2 {
			return root, false
		}
		return recipe.Under(c)
	}
	for _, t := range recipe.Tones {
		n := c.Bass().Add(t.Above)
		if !slices.ContainsFunc(c.Notes(), func(o theory.Note) bool { return o.PitchClass() == n.PitchClass() }) {
			return root, false
		}
	}
	return c.Bass(), true
}

// hold keeps two tones over all chords.
func (r *Run) hold(fb fretboard.Fretboard) error {
	var chords []fretboard.KeptChord
	for _, k := range fb.Keep(r.Key, r.progression()) {
		if len(k.Not) == 0 { // the pair that suits best
			chords = k.Chords
			break
		}
	}
	if chords == nil {
		return fmt.Errorf("no two tones can stay over every chord of this song: rehearse it as %s or %s", Roots, Walks)
	}
	for i := range r.Changes {
		c := &r.Changes[i]
		at := slices.IndexFunc(chords, func(k fretboard.KeptChord) bool { return k.Chord == c.Chord })
		if at < 0 {
			continue
		}
		c.Hand = chords[at].Places
		if low := c.Hand[0]; slices.Contains(fb.Roots(c.Chord.Bass()), low) {
			c.Place = low
		}
	}
	return nil
}

// walk walks from the bass of each change to the next, where there is a walk. The next one
// goes on from where it arrives; where the neck has no room from there, the notes between
// are those of the place that suits it best. It goes on from that place where the walk
// before arrives above the strings on which roots are asked.
func (r *Run) walk(fb fretboard.Fretboard) error {
	some := false
	var at fretboard.Position // where the walk before arrived, the zero value for none
	for i := range len(r.Changes) - 1 {
		c, next := &r.Changes[i], &r.Changes[i+1]
		line, ok := gig.WalkBetween(fb, r.Key, c.Chord, next.Chord, at)
		if !ok {
			line, ok = gig.WalkBetween(fb, r.Key, c.Chord, next.Chord, fretboard.Position{})
			if none := (fretboard.Position{}); ok && at != none { // the hand is there
				line.Path[0] = at
			}
		}
		if at = (fretboard.Position{}); !ok {
			continue
		}
		c.Hand, c.Walk, some = line.Path, true, true
		if slices.Contains(fb.Roots(c.Chord.Bass()), line.Path[0]) {
			c.Place = line.Path[0]
		}
		if end := line.Path[len(line.Path)-1]; slices.Contains(fb.Roots(next.Chord.Bass()), end) {
			at, next.Place, next.Hand = end, end, []fretboard.Position{end}
		}
	}
	if !some {
		return fmt.Errorf("no two neighbouring chords of this song have a walk between them: rehearse it as %s", Roots)
	}
	return nil
}

// height is what a fret up the neck costs beside one on the way. In the demo's songs, each
// in twelve keys, the roots then lie at fret 2.8 in the mean and 8 at the highest, and the
// hand goes 1.5 frets a change; at 0.1 it goes up to 11, and at 2 it goes 1.7.
const height = 0.5

// way finds the cheapest way through frets, one of those that each step has: it pays for
// the frets that the hand goes, and for how high it comes. It returns the index of each.
func way(frets [][]int) []int {
	type step struct {
		cost float64
		from int // index among the frets of the step before
	}
	if len(frets) == 0 {
		return nil
	}
	steps := make([][]step, len(frets))
	for i := range frets {
		for _, f := range frets[i] {
			best := step{}
			if i > 0 {
				best.cost = math.Inf(1)
				for j, g := range frets[i-1] {
					if cost := steps[i-1][j].cost + math.Abs(float64(f-g)); cost < best.cost {
						best = step{cost, j}
					}
				}
			}
			best.cost += height * float64(f)
			steps[i] = append(steps[i], best)
		}
	}
	at := 0
	for j, s := range steps[len(steps)-1] {
		if s.cost < steps[len(steps)-1][at].cost {
			at = j
		}
	}
	ways := make([]int, len(frets))
	for i := len(steps) - 1; i >= 0; i-- {
		ways[i] = at
		at = steps[i][at].from
	}
	return ways
}
