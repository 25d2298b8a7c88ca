package fretboard

import (
	"fmt"
	"slices"

	"surefret/drills/theory"
)

// highestBass is the highest pitch of the highest open string of a bass: D3. A bass of
// six strings has C3 there, a guitar tuned low B3 or more.
const highestBass = 50

// Bass reports whether the tuning is that of a bass, by how low it lies. On a bass one
// plays lines of single notes: it has shapes of its own, and no capo.
func (t Tuning) Bass() bool { return t.Strings() > 0 && t.Open[0].MIDI() <= highestBass }

// bassShapes is the working set of a bass, in the order in which bassists meet them:
// octaves, root and fifth, scales, arpeggios, pentatonic boxes, tenths. Common practice,
// no source.
var bassShapes = slices.Concat(bassOctaves(), rootAndFifth(), bassLines(), bassBoxes(), bassTenths())

// bassOctaves are those that lie two strings and two frets apart where strings are
// tuned in fourths.
func bassOctaves() []Recipe { return taken(octaves(), "octave-5-3", "octave-4-2", "octave-3-1") }

func bassTenths() []Recipe {
	return taken(tenths(), "tenth-5-major", "tenth-5-minor", "tenth-4-major", "tenth-4-minor")
}

// taken returns the recipes of some names, for a bass.
func taken(from []Recipe, names ...string) (all []Recipe) {
	for _, name := range names {
		r := from[slices.IndexFunc(from, func(r Recipe) bool { return r.Name == name })]
		r.Bass = true
		all = append(all, r)
	}
	return all
}

func rootAndFifth() (all []Recipe) {
	for low := 5; low >= 3; low-- {
		all = append(all, bassLine(low, "root-fifth-octave", "root and fifth", "root and fifth with octave", "1", "5", "8"))
	}
	return all
}

// bassLines are scales of one octave and arpeggios, from a root on each string that has
// room for them.
func bassLines() (all []Recipe) {
	for _, l := range []struct {
		name, family, words string
		strings             []string // tones, from the lowest string
	}{
		{"scale-major", "scales", "major scale", []string{"1 2", "3 4 5", "6 7 8"}},
		{"scale-minor", "scales", "minor scale", []string{"1 2 b3", "4 5 b6", "b7 8"}},
		{"arpeggio-major", "arpeggios", "major arpeggio", []string{"1", "3 5", "8"}},
		{"arpeggio-m7", "arpeggios", "minor seventh arpeggio", []string{"1 b3", "5", "b7"}},
	} {
		for low := 5; low >= 3; low-- {
			all = append(all, bassLine(low, l.name, l.family, l.words, l.strings...))
		}
	}
	return all
}

// bassLine makes a recipe of the tones on each string from the root's on, played one at a
// time.
func bassLine(low int, name, family, words string, byString ...string) Recipe {
	r := Recipe{Name: fmt.Sprintf("%s-%d", name, low), Family: family, Kind: KindScale, Root: low, Symbol: words,
		Words: fmt.Sprintf("%s, root on string %d", words, low), Bass: true}
	for i, on := range byString {
		for _, above := range tones(on) {
			r.Tones = append(r.Tones, Tone{low - i, above})
		}
	}
	return r
}

// bassBoxes are the pentatonic boxes on the four highest strings.
func bassBoxes() []Recipe {
	all := pentatonics()
	for i := range all {
		r := &all[i]
		r.Bass = true
		r.Tones = slices.Clone(r.Tones[:8])
		root := slices.IndexFunc(r.Tones, func(t Tone) bool { return t.Above == theory.Interval{} })
		for n := range r.Tones {
			r.Tones[n].String -= 2
		}
		r.Root = r.Tones[root].String
	}
	return all
}
