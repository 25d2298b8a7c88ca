package drills

import (
	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// A Need is a stretch of music that a player must be ready for.
type Need struct {
	Key    theory.Key
	Chords theory.Progression // in Key
	Shapes []string           // names of movable shapes that are used
}

// ItemsFor lists the items that a need draws on, each once, in the order in
// which they are met: the roots of its chords on the two lowest strings, the
// numbers and the signature of its key, the shapes, and the walks between
// neighbouring chords. What this instrument does not have is left out.
func (c *Catalogue) ItemsFor(n Need) []Item {
	wanted := map[string]bool{keyID(n.Key, "signature"): true}
	s := c.setup
	for i, chord := range n.Chords {
		for _, str := range lowFirst(s.Neck.Tuning)[:2] {
			open := s.Neck.Tuning.Open[str-1]
			up := (chord.Bass().PitchClass() - open.PitchClass() + 12) % 12
			wanted[noteID(open, up, "name")] = true
			wanted[noteID(open, up, "find")] = true
		}
		numeral := n.Key.Numeral(chord)
		numeral.Over = theory.Interval{}
		wanted[keyID(n.Key, numeral.Number())] = true
		if next := n.Chords[(i+1)%len(n.Chords)]; next.Root != chord.Root {
			for _, m := range motions {
				if m.mode == n.Key.Mode && m.from == n.Key.Degree(chord.Root).String() && m.to == n.Key.Degree(next.Root).String() {
					wanted[s.motionID(m)] = true
				}
			}
		}
	}
	for _, name := range n.Shapes {
		if r, err := fretboard.Shape(name); err == nil && r.Fits(s.Neck) == nil {
			wanted[s.shapeID(r, "place")] = true
		}
	}
	var items []Item
	for _, it := range c.items {
		if wanted[it.ID] {
			items = append(items, it)
		}
	}
	return items
}
