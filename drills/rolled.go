package drills

import (
	"fmt"
	"slices"

	"surefret/drills/fretboard"
)

// mostRolled is how many notes a grip may have to be rolled: with more it was not tried
// how well they are heard.
const mostRolled = 3

// playRolled is how a grip is played: rolled, since notes that are struck together cannot
// be told apart, least of all an octave from its lower note. Each of the ways is right, all
// of them lie on the same strings, and the first note says which one it is. What write makes
// of the places that were heard is the answer; those behind a wrong one are as they should be.
func (s Setup) playRolled(ways [][]fretboard.Position, write func(heard []fretboard.Position) (string, error)) *Playing {
	p := &Playing{How: "Roll it slowly: one string after another, the lowest first.", Line: true}
	var heard []fretboard.Position
	var midis []int
	wanted := func(i int) (want []int) {
		for _, way := range ways {
			want = append(want, s.Neck.MIDI(way[i]))
		}
		return want
	}
	p.want = wanted(0)
	p.take = func(p *Playing, midi int) (string, error) {
		i, strs := len(heard), ways[0]
		at := s.onString(strs[i].String, midi)
		right := slices.Contains(p.want, midi)
		switch {
		case right:
			ways = slices.DeleteFunc(slices.Clone(ways), func(way []fretboard.Position) bool { return way[i] != at })
		case slices.Contains(midis, midi):
			return "", fmt.Errorf("heard %s once more and no note after it: roll it again", s.heardNote(midi))
		case i+1 < len(strs) && slices.Contains(wanted(i+1), midi):
			return "", fmt.Errorf("did not hear note %d: roll it again, more slowly", i+1)
		case !s.Neck.Has(at):
			return "", fmt.Errorf("heard %s, which string %d has not: roll it again, string %d first", s.heardNote(midi), at.String, strs[0].String)
		}
		heard, midis = append(heard, at), append(midis, midi)
		if right && len(heard) < len(strs) {
			p.want = wanted(len(heard))
			return "", nil
		}
		return write(append(slices.Clone(heard), ways[0][len(heard):]...))
	}
	p.say = func(int) string { return s.sayHeard(midis) }
	return p
}

// rollShape is how all notes of a shape are played, over any root where it is right.
func (s Setup) rollShape(placed []fretboard.Placement) *Playing {
	var ways [][]fretboard.Position
	for _, p := range placed {
		ways = append(ways, p.Positions())
	}
	return s.playRolled(ways, func(heard []fretboard.Position) (string, error) { return fretboard.WritePlaces(heard), nil })
}

// rollInterval is how the other end of an interval is played: with the end that is shown.
func (s Setup) rollInterval(low, high, shown fretboard.Position) *Playing {
	return s.playRolled([][]fretboard.Position{{low, high}}, func(heard []fretboard.Position) (string, error) {
		if !slices.Contains(heard, shown) {
			return "", fmt.Errorf("that did not begin or end at %s: roll both notes again, the lower string first", say(shown))
		}
		to := heard[0]
		if to == shown {
			to = heard[1]
		}
		return fmt.Sprint(to.Fret), nil
	})
}
