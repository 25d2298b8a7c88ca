package gig

import (
	"fmt"
	"slices"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// A SheetWay is a capo or a lower tuning that gives the hand a key it knows
// while the song sounds in the called one.
type SheetWay struct {
	Words   string   `json:"words"`   // "put the capo at fret 3 and play it as learned, in G major"
	Capo    int      `json:"capo"`    // the fret, counted from the nut; 0 for none
	Detuned int      `json:"detuned"` // half steps that every string is tuned down from now
	Shapes  string   `json:"shapes"`  // the key that the hand plays in
	Chords  []string `json:"chords"`  // what the hand plays for each of the song's chords
	Learned bool     `json:"learned"` // whether the hand plays what it learned
}

// How far the hands go for the key that was learned.
const (
	highestCapo  = 7
	usualCapo    = 5 // above it little of the neck is left: shapes of another key further down come first
	lowestDetune = 2 // half steps below standard; slacker strings buzz: common practice, no source
)

const noLongerOpen = "No longer open: "

// addWays looks for the capo or tuning that saves what the called key breaks:
// the one that brings the learned key back into the hand, and the best that has
// more open chords. Nothing broken, nothing to save. Where drones ring in the called key as
// it is, a low capo that gives as many of them is told as well.
func (sh *Sheet) addWays(was theory.Progression, learned, called theory.Key, fb fretboard.Fretboard, names theory.Names) {
	if len(sh.Breaks) == 0 || fb.Tuning.Bass() {
		return
	}
	up := (sh.Semitones + 12) % 12
	lower, like := fb.Tuning.Below()
	lowest := 0
	if like {
		lowest = min(max(lower, 0)-lowestDetune, 0)
	}
	choices := fb.Choices(called)
	now := slices.IndexFunc(choices, func(c fretboard.Choice) bool { return c.Capo == fb.Capo && c.Detuned == 0 })
	highest, better := highestCapo, choices[:max(now, 0)]
	sh.Rings = !like && now == 0 && len(sh.Breaks) == 1 && strings.HasPrefix(sh.Breaks[0], noLongerOpen)
	if sh.Rings {
		highest, better = usualCapo, choices[1:]
	}
	hand := fb.ShapeKey(learned) // the key whose chords the hand has learned
	for _, capo := range []int{fb.Capo + up, fb.Capo + up - 12} {
		if capo < lowest || capo > highest || capo == fb.Capo {
			continue
		}
		sh.addWay(fretboard.Choice{Capo: max(capo, 0), Detuned: max(-capo, 0), Shapes: hand}, true, was, learned, fb, names)
	}
	for _, c := range better {
		switch {
		case sh.Rings && (len(sh.Ways) > 0 || c.Capo > highest || c.Open < choices[now].Open), !sh.Rings && c.Open <= choices[now].Open:
			continue
		case c.Shapes.Tonic.PitchClass() != hand.Tonic.PitchClass():
			sh.addWay(c, false, was, learned, fb, names)
			if n := len(sh.Ways); n > 1 && sh.Ways[0].Capo > max(usualCapo, c.Capo) {
				slices.Reverse(sh.Ways)
			}
			return
		case len(sh.Ways) > 0:
			return // the learned key is the best there is
		}
	}
}

// addWay tells one way.
func (sh *Sheet) addWay(c fretboard.Choice, asLearned bool, was theory.Progression, learned theory.Key, fb fretboard.Fretboard, names theory.Names) {
	var how string
	switch {
	case c.Capo > 0:
		how = fmt.Sprintf("put the capo at fret %d", c.Capo)
	case c.Detuned > 0:
		how = fb.Tuning.SayDown(c.Detuned)
	default:
		how = "take the capo off"
	}
	if fb.Capo > 0 && c.Detuned > 0 {
		how = "take the capo off, " + how
	}
	play := "play it as learned, in "
	if !asLearned {
		play = "play the chords of "
	}
	w := SheetWay{
		Words: how + " and " + play + names.Key(c.Shapes), Capo: c.Capo, Detuned: c.Detuned,
		Shapes: names.Key(c.Shapes), Learned: asLearned,
	}
	seen := map[theory.Chord]bool{}
	for _, chord := range was.Move(learned, c.Shapes) {
		if !seen[chord] {
			seen[chord] = true
			w.Chords = append(w.Chords, names.Chord(chord))
		}
	}
	sh.Ways = append(sh.Ways, w)
}
