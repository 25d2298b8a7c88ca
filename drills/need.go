package drills

import (
	"cmp"
	"slices"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// A Need is a stretch of music that a player must be ready for.
type Need struct {
	Key     theory.Key
	Learned theory.Key         // the key it was learned in, Key where it has not moved
	Chords  theory.Progression // in Key
	Shapes  []string           // names of movable shapes that are used
	Parts   []string           // ids of the player's own parts
}

// walks reports whether the bass has this way to go in n, from the bass of a chord
// to that of the next, songs going round.
func (n Need) walks(m motion) bool {
	if n.Key.Mode != m.mode {
		return false
	}
	for i, chord := range n.Chords {
		next := n.Chords[(i+1)%len(n.Chords)]
		if n.Key.Degree(chord.Bass()).String() == m.from && n.Key.Degree(next.Bass()).String() == m.to {
			return true
		}
	}
	return false
}

// ItemsFor lists the items that a need draws on, each once, in the order in
// which they are met: the roots of its chords on the two lowest strings, the
// numbers and the signature of its key, the shapes, the walks between neighbouring
// chords, and the phrases of its parts. What this instrument does not have is left out. Titles name
// notes as the chords do.
func (c *Catalogue) ItemsFor(n Need) []Item {
	wanted := map[string]bool{keyID(n.Key, "signature"): true}
	titles := map[string]string{}
	s := c.setup
	s.needs = []Need{n}
	for _, chord := range n.Chords {
		for _, str := range lowFirst(s.Neck.Tuning)[:2] {
			open := s.Neck.Tuning.Open[str-1]
			up := (chord.Bass().PitchClass() - open.PitchClass() + 12) % 12
			for _, dir := range []string{"name", "find"} {
				id := noteID(open, up, dir)
				wanted[id], titles[id] = true, s.noteTitle(str, up, dir)
			}
		}
		numeral := n.Key.Numeral(chord)
		numeral.Over = theory.Interval{}
		for _, q := range []theory.Quality{numeral.Quality, numeral.Quality.Triad()} { // a 6-7 is found as the 6- is
			numeral.Quality = q
			wanted[keyID(n.Key, numeral.Number())] = true
		}
	}
	for _, m := range motions {
		if n.walks(m) {
			wanted[s.motionID(m)] = true
		}
	}
	for _, change := range Changes(n) {
		wanted[s.changeID(change)] = true
		wanted[s.walkingID(walkingBar{Change: change, time: 4})] = true
	}
	for _, name := range n.Shapes {
		if r, err := s.Neck.Shape(name); err == nil && r.Fits(s.Neck) == nil {
			wanted[s.shapeID(r, "place")] = true
		}
	}
	for _, own := range c.setup.Parts {
		if slices.Contains(n.Parts, own.ID) {
			for _, p := range own.phrases() {
				wanted[p.id()] = true
			}
		}
	}
	var items []Item
	for _, it := range c.items {
		if wanted[it.ID] {
			it.Title = cmp.Or(titles[it.ID], it.Title)
			items = append(items, it)
		}
	}
	return items
}

// Within returns the catalogue as needs have it: the same items, but a walk is
// asked in the keys that walk it, the placing of a shape over the chords that it is
// played on, from the key it was learned in, and sharps and flats are called as the
// chords call them, in titles too. A walk that none of those keys has room for, and
// what no need draws on, is asked in any key. Where nothing but some keys is asked,
// needs in other keys are left out.
func (c *Catalogue) Within(needs ...Need) *Catalogue {
	s := c.setup
	s.needs = slices.DeleteFunc(slices.Clone(needs), func(n Need) bool { return s.OnlyKeys && !slices.Contains(s.Keys, n.Key) })
	return NewCatalogue(s)
}

// neededKeys lists the keys in which the needs go the way of m, each once.
func (s Setup) neededKeys(m motion) []theory.Key {
	var keys []theory.Key
	for _, n := range s.needs {
		if n.walks(m) && !slices.Contains(keys, n.Key) {
			keys = append(keys, n.Key)
		}
	}
	return keys
}

// neededCalls lists the roots over which the needs play a shape, each once: those
// of the chords that have all its tones, or where none has, of any of their roots.
func (s Setup) neededCalls(r fretboard.Recipe) []call {
	for _, fitting := range []bool{true, false} {
		var calls []call
		for _, n := range s.needs {
			if !slices.Contains(n.Shapes, r.InSongs()) {
				continue
			}
			for _, chord := range n.Chords {
				root, fits := r.Under(chord)
				c := call{key: n.Key, learned: n.Learned, root: root}
				if (fits || !fitting) && !slices.Contains(calls, c) && len(s.placements(r, root)) > 0 {
					calls = append(calls, c)
				}
			}
		}
		if len(calls) > 0 {
			return calls
		}
	}
	return nil
}

// neededNote names the note of a MIDI number as a bass of the needs, with a flat
// or a sharp as asked where they have both. A natural keeps its plain name: no
// player calls the open string F flat because one chord does.
func (s Setup) neededNote(midi int, flats bool) (theory.Note, bool) {
	plain, other := theory.FromMIDI(midi, flats).Note, theory.FromMIDI(midi, !flats).Note
	named := func(name theory.Note) bool {
		return slices.ContainsFunc(s.needs, func(n Need) bool {
			return slices.ContainsFunc(n.Chords, func(c theory.Chord) bool { return c.Bass() == name })
		})
	}
	switch {
	case named(plain):
		return plain, true
	case named(other):
		return other, true
	}
	return plain, false
}
