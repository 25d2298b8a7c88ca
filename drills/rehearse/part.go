package rehearse

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"surefret/drills"
	"surefret/drills/fretboard"
)

// Part is the word for the song's own part, see [Run.AsParts].
const Part = "part"

// A Phrase is a bar of a part of the player's own.
type Phrase struct {
	Own  string // id of the part, see [drills.OwnPart]
	Name string // of the part
	Bar  int    // from 1
}

// String says a phrase: "intro, bar 2".
func (p Phrase) String() string { return fmt.Sprintf("%s, bar %d", p.Name, p.Bar) }

// AsParts puts parts of the song, moved to the key of the run, in place of its changes:
// what is answered and judged then is each bar of theirs, by its first note. A part lies
// where a section of the song bears a word of its name, each time that it comes; the first
// of those that do not lies at the beginning where no other does. The error is one sentence.
func (r *Run) AsParts(fb fretboard.Fretboard, parts []drills.OwnPart) error {
	var changes []Change
	taken := map[int]bool{} // bars that have a phrase
	for _, placed := range []bool{true, false} {
		for _, own := range parts {
			var from [][2]int
			if placed {
				from = r.named(own.Name)
			} else if len(changes) == 0 {
				from = [][2]int{{0, len(r.Bars)}}
			}
			for _, stretch := range from {
				phrases, err := r.phrases(fb, own, stretch)
				if err != nil {
					return fmt.Errorf("the part %s: %w", own.Name, err)
				}
				for _, c := range phrases {
					if !taken[c.Bar] {
						changes = append(changes, c)
					}
				}
				for _, c := range phrases {
					taken[c.Bar] = true
				}
			}
		}
	}
	if len(changes) == 0 {
		return fmt.Errorf("nothing of its parts can be played here")
	}
	slices.SortFunc(changes, func(a, b Change) int { return a.Bar - b.Bar })
	r.Changes = changes
	return nil
}

// named lists the stretches of bars, from one to before another, in a section that bears
// a word of a name.
func (r Run) named(name string) (all [][2]int) {
	words := func(text string) []string {
		return strings.FieldsFunc(strings.ToLower(text), func(c rune) bool { return !unicode.IsLetter(c) })
	}
	for i, b := range r.Bars {
		if !slices.ContainsFunc(words(b.Section), func(w string) bool { return slices.Contains(words(name), w) }) {
			continue
		}
		if last := len(all) - 1; i > 0 && r.Bars[i-1].Section == b.Section && last >= 0 && all[last][1] == i {
			all[last][1] = i + 1
		} else {
			all = append(all, [2]int{i, i + 1})
		}
	}
	return all
}

// phrases lays a part from a bar on, as far as it goes and its stretch does.
func (r Run) phrases(fb fretboard.Fretboard, own drills.OwnPart, stretch [2]int) (all []Change, err error) {
	offers, err := drills.MovePart(own.Part, own.Learned, r.Key)
	if err != nil {
		return nil, err
	}
	events := offers[0].Events
	beats := 0.0
	for _, e := range events {
		beats += e.Beats
	}
	// A part may begin with a rest, of which its events say nothing; it ends with a bar.
	at := math.Ceil(beats/fretboard.ReadBeats-Slack)*fretboard.ReadBeats - beats
	for _, e := range events {
		bar := stretch[0] + e.Bar - 1
		from := at - fretboard.ReadBeats*float64(e.Bar-events[0].Bar)
		at += e.Beats
		s, ok := struck(e, fb)
		if bar >= stretch[1] {
			break
		}
		if !ok {
			continue
		}
		b := r.Bars[bar]
		s.At = b.Start + from/fretboard.ReadBeats*b.Length
		last := len(all) - 1
		if last >= 0 && all[last].Bar == bar {
			all[last].Then = append(all[last].Then, s)
			all[last].Hand = append(all[last].Hand, s.Places...)
			continue
		}
		if last >= 0 {
			all[last].Length = s.At - all[last].At
		}
		low := s.Places[0]
		c := Change{
			Bar: bar, At: s.At, Length: b.Start + b.Length - s.At, First: true, Place: low, Pitch: fb.MIDI(low),
			Hand: slices.Clone(s.Places), Main: s, Phrase: Phrase{own.ID, own.Name, e.Bar},
		}
		if now := r.ChangeAt(b.Start); now >= 0 {
			c.Chord = r.Changes[now].Chord
		}
		all = append(all, c)
	}
	return all, nil
}

// struck is what an event strikes anew, the lowest string first: not what is damped, and
// not what is slurred from the note before.
func struck(e fretboard.Event, fb fretboard.Fretboard) (Step, bool) {
	var places []fretboard.Position
	for _, n := range e.Notes {
		if !n.Dead && !n.Slurred && fb.Has(n.Position) {
			places = append(places, n.Position)
		}
	}
	slices.SortFunc(places, func(a, b fretboard.Position) int { return b.String - a.String })
	return step(0, fb, places...), len(places) > 0
}
