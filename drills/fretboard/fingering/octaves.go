package fingering

import (
	"slices"

	"surefret/drills/fretboard"
)

// toOctaves takes a sound that no hand plays where it is an octave away, as a whole
// or some notes of it, and returns whether that helped.
func (g *graph) toOctaves(c *carried) bool {
	if c.octaves = g.wholeOctave(&c.sound); c.octaves == nil {
		c.octaves = g.otherOctaves(&c.sound)
	}
	return c.octaves != nil
}

// wholeOctave moves all notes of a sound by the same octave, if it can be played
// there, and returns which went where.
func (g *graph) wholeOctave(s *sound) map[int]int {
	for _, by := range []int{12, -12} {
		for j := range s.midi {
			s.midi[j] += by
		}
		if len(g.search(s)) > 0 {
			moved := map[int]int{}
			for j := range s.midi {
				moved[j] = by
			}
			return moved
		}
		for j := range s.midi {
			s.midi[j] -= by
		}
	}
	return nil
}

// otherOctaves makes a sound playable by moving as few of its notes as it can
// by an octave, and returns which went where; nil when nothing helps.
func (g *graph) otherOctaves(s *sound) map[int]int {
	midi := slices.Clone(s.midi)
	if len(midi) > fretboard.MaxStrings {
		return nil
	}
	key := s.key()
	if known, ok := g.rescue[string(key[:len(midi)])]; ok {
		for i, by := range known {
			s.midi[i] += by
		}
		return known
	}
	var try func(first, left int, moved map[int]int) map[int]int
	try = func(first, left int, moved map[int]int) map[int]int {
		if left == 0 {
			if len(g.search(s)) == 0 {
				return nil
			}
			return moved
		}
		for i := first; i < len(midi); i++ {
			for _, by := range []int{12, -12} {
				if slices.Contains(s.midi, midi[i]+by) {
					continue
				}
				s.midi[i] = midi[i] + by
				moved[i] = by
				if found := try(i+1, left-1, moved); found != nil {
					return found
				}
				s.midi[i] = midi[i]
				delete(moved, i)
			}
		}
		return nil
	}
	for n := 1; n <= len(midi); n++ {
		if found := try(0, n, map[int]int{}); found != nil {
			g.rescue[string(key[:len(midi)])] = found
			return found
		}
	}
	g.rescue[string(key[:len(midi)])] = nil
	return nil
}
