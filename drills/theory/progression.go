package theory

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// A Progression is a row of chords.
type Progression []Chord

// ParseProgression reads chords apart by spaces, commas or bar lines, each
// written as a name ("Em7"), a number ("6-") or a roman numeral ("vi"), mixed
// if need be; the last two are read in k. A dash may join names or romans
// ("I-V-vi-IV"), % repeats the chord before, and rhythm slashes are passed
// over. The error says which chord can't be read.
func ParseProgression(s string, k Key) (Progression, error) { return Names{}.ParseProgression(s, k) }

// ParseProgression reads a progression whose chords are named in the system.
func (names Names) ParseProgression(s string, k Key) (Progression, error) {
	var p Progression
	for _, token := range Fields(s, betweenChords) {
		switch {
		case token == "/" || token == "-":
			continue
		case token == "%" && len(p) > 0:
			p = append(p, p[len(p)-1])
			continue
		}
		c, err := names.readChord(token, k)
		if err == nil {
			p = append(p, c)
			continue
		}
		joined, ok := names.splitJoined(token, k)
		if !ok {
			return nil, fmt.Errorf("reading chord %d of the progression: %w", len(p)+1, err)
		}
		p = append(p, joined...)
	}
	if len(p) == 0 {
		return nil, fmt.Errorf("%q holds no chord: expected names, numbers or roman numerals, like G D Em C, 1 5 6- 4 or I V vi IV", s)
	}
	return p, nil
}

func betweenChords(r rune) bool { return strings.ContainsRune(" \t\r\n,;|:–—→", r) }

// readChord reads one chord of either kind. A figure or a numeral, with or
// without accidentals, can't begin a chord name, save that b6 could be a
// lower-case B6: it is a degree.
func (names Names) readChord(token string, k Key) (Chord, error) {
	_, _, number := scanDegree(token)
	if _, _, _, roman := scanRoman(token); !number && !roman {
		return names.ParseChord(token)
	}
	n, err := ParseNumeral(token)
	if err != nil {
		return Chord{}, err
	}
	return k.Chord(n), nil
}

// splitJoined reads I-V-vi-IV or G-D-Em-C. Numbers stay whole: in 6-4 the
// dash could be a minor chord's own.
func (names Names) splitJoined(token string, k Key) (Progression, bool) {
	parts := strings.Split(token, "-")
	p := make(Progression, len(parts))
	for i, part := range parts {
		if _, _, number := scanDegree(part); number {
			return nil, false
		}
		c, err := names.readChord(part, k)
		if err != nil {
			return nil, false
		}
		p[i] = c
	}
	return p, len(p) > 1
}

// String prints the chord names, apart by spaces: "G D Em C".
func (p Progression) String() string { return p.join(Chord.String) }

// Numbers prints p by number, as seen from k: "1 5 6- 4".
func (p Progression) Numbers(k Key) string {
	return p.join(func(c Chord) string { return k.Numeral(c).Number() })
}

// Romans prints p in roman numerals, as seen from k: "I V vi IV".
func (p Progression) Romans(k Key) string {
	return p.join(func(c Chord) string { return k.Numeral(c).Roman() })
}

func (p Progression) join(print func(Chord) string) string {
	words := make([]string, len(p))
	for i, c := range p {
		words[i] = print(c)
	}
	return strings.Join(words, " ")
}

// Move returns p moved from one key to another: every chord keeps its number,
// and its spelling follows the new key.
func (p Progression) Move(from, to Key) Progression {
	moved := make(Progression, len(p))
	iv := from.To(to)
	for i, c := range p {
		moved[i] = c.Transpose(iv)
	}
	return moved
}

// A KeyFit is a key that a progression may be in.
type KeyFit struct {
	Key Key
	Fit float64 // 0 to 1, in thousandths: 1 when every chord belongs to it and all signs point to it
}

// Keys proposes the keys that p may be in, all thirty, best first. The fit
// weighs how far each chord belongs to the key, a minor key owning its major
// dominant too, and then the signs of a tonic: p begins on it, ends on it,
// arrives at it from its dominant. Spelling counts: F# major and Gb major are
// different proposals. The weights are ours.
func (p Progression) Keys() []KeyFit {
	fits := make([]KeyFit, 0, 30)
	for _, k := range Keys() {
		fits = append(fits, KeyFit{k, math.Round(1000*p.fit(k)) / 1000})
	}
	slices.SortStableFunc(fits, func(a, b KeyFit) int {
		switch {
		case a.Fit > b.Fit:
			return -1
		case a.Fit < b.Fit:
			return 1
		}
		return abs(a.Key.Signature()) - abs(b.Key.Signature())
	})
	return fits
}

// What the fit is made of: the shares add up to 1.
const (
	belongs  = 0.72
	begins   = 0.08
	ends     = 0.08
	cadences = 0.12
)

func (p Progression) fit(k Key) float64 {
	if len(p) == 0 {
		return 0
	}
	scale := k.Scale()
	fit, cadence := 0.0, 0.0
	for i, c := range p {
		fit += belongs * k.belonging(c, scale) / float64(len(p))
		next := p[(i+1)%len(p)] // songs go round
		if !k.tonic(next) || len(p) == 1 {
			continue
		}
		switch n := k.Numeral(c); {
		case n.Degree == Degree{5, 0} && n.Quality == Seventh:
			cadence = max(cadence, 1)
		case n.Degree == Degree{5, 0} && n.Quality.Triad() == MajorTriad:
			cadence = max(cadence, 0.75)
		case n.Degree == Degree{5, 0} && n.Quality.Triad() == Power:
			cadence = max(cadence, 0.5)
		case n.Degree.Number == 4 || n.Degree.Number == 5 || n.Degree == Degree{7, -1}:
			cadence = max(cadence, 0.25)
		}
	}
	fit += cadences * cadence
	if k.tonic(p[0]) {
		fit += begins
	}
	if k.tonic(p[len(p)-1]) {
		fit += ends
	}
	return fit
}

// tonic reports whether c is the tonic chord of k: its triad, or the power
// chord, whatever is stacked on it.
func (k Key) tonic(c Chord) bool {
	triad := c.Quality.Triad()
	if c.Root != k.Tonic {
		return false
	}
	return triad == Power || triad.Minor() == k.Mode.Minor() && triad.tones().any(fifth)
}

// belonging returns how far c belongs to k: 1 when all its tones do, less than
// half otherwise.
func (k Key) belonging(c Chord, scale []Note) float64 {
	ivs := c.Intervals()
	in := 0
	for _, iv := range ivs {
		if n := c.Root.Add(iv); slices.Contains(scale, n) || k.raised(c, n) {
			in++
		}
	}
	if in == len(ivs) {
		return 1
	}
	return 0.4 * float64(in) / float64(len(ivs))
}

// raised reports whether n is the leading tone of a minor key, in one of the
// chords that have it: V and vii°.
func (k Key) raised(c Chord, n Note) bool {
	if !k.Mode.Minor() || k.Degree(n) != (Degree{7, 0}) {
		return false
	}
	d := k.Degree(c.Root)
	return d == Degree{5, 0} || d == Degree{7, 0}
}
