package theory

import (
	"fmt"
	"strings"
)

// A Chord is a root and a quality, over its root or over another bass. It is
// comparable. The zero value is the C major triad.
type Chord struct {
	Root    Note
	Quality Quality
	Over    Interval // from the root up to a slash bass, within the octave; zero is no slash
}

// ParseChord reads the symbols that players write: a root, a suffix, and a
// slash with another bass. "Bm", "B-", "Bmin", "F#m7b5", "Bø", "Asus4",
// "A/C#", "Gmaj9", "GΔ9", "D5", "C7(b9,#11)", "Cm/maj7", "E7alt", "Fno3". The
// error says what in the symbol can't be read.
func ParseChord(s string) (Chord, error) { return Names{}.ParseChord(s) }

// ParseChord reads a chord symbol whose root and bass are named in the system.
func (names Names) ParseChord(s string) (Chord, error) {
	c, _, _, err := names.ParseSymbol(s)
	return c, err
}

// ParseSymbol is ParseChord, and returns besides how the quality and the bass were
// written; a symbol without a slash has no bass.
func (names Names) ParseSymbol(s string) (c Chord, suffix, bass string, err error) {
	symbol := strings.TrimSpace(s)
	n, suffix, ok := names.scan(symbol)
	if !ok {
		return Chord{}, "", "", fmt.Errorf("%q is not a chord: begin with %s", s, names.expected())
	}
	c = Chord{Root: n}
	if i := strings.LastIndexByte(suffix, '/'); i >= 0 {
		if n, rest, ok := names.scan(strings.TrimSpace(suffix[i+1:])); ok && rest == "" {
			c, suffix, bass = c.WithBass(n), suffix[:i], suffix[i+1:]
		}
	}
	if c.Quality, err = parseQuality(suffix); err != nil {
		return Chord{}, "", "", fmt.Errorf("%q is not a chord: %w; use a symbol like Bm7, F#m7b5, Asus4 or A/C#", s, err)
	}
	return c, suffix, bass, nil
}

// String prints the one canonical symbol of c: "Bm7", "F#m7b5", "A/C#".
func (c Chord) String() string { return Names{}.Chord(c) }

// Slashed reports whether c is written over a bass other than its root.
func (c Chord) Slashed() bool { return c.Over != Interval{} }

// Bass returns the lowest note: the root where there is no slash.
func (c Chord) Bass() Note { return c.Root.Add(c.Over) }

// WithBass returns c over another bass. Over its own root it has no slash.
func (c Chord) WithBass(n Note) Chord {
	c.Over = c.Root.upTo(n)
	return c
}

// transpose returns c moved by iv, root and bass alike.
func (c Chord) transpose(iv Interval) Chord {
	bass := c.Bass().Add(iv).writable()
	c.Root = c.Root.Add(iv).writable()
	return c.WithBass(bass)
}

// Intervals returns the tones of c above its root, lowest first, whatever the
// bass.
func (c Chord) Intervals() []Interval { return c.Quality.intervals() }

// Notes spells c from the bass up: the tones in thirds from the root, begun at
// the bass when that is one of them (A/C# is C# E A), and a foreign bass put
// before them (C/D is D C E G).
func (c Chord) Notes() []Note {
	ivs := c.Intervals()
	notes := make([]Note, 0, len(ivs)+1)
	bass := c.inversion(ivs)
	if bass < 0 {
		notes, bass = append(notes, c.Bass()), 0
	}
	for i := range ivs {
		notes = append(notes, c.Root.Add(ivs[(bass+i)%len(ivs)]))
	}
	return notes
}

// inversion returns which of the tones above the root is in the bass, 0 for the
// root, or -1 when the bass is none of them.
func (c Chord) inversion(ivs []Interval) int {
	for i, iv := range ivs {
		if DegreeOf(iv) == DegreeOf(c.Over) {
			return i
		}
	}
	return -1
}

// Enharmonic reports whether c and d sound the same: every tone and the bass.
func (c Chord) Enharmonic(d Chord) bool {
	return c.Bass().Enharmonic(d.Bass()) && pitchClasses(c.Notes()) == pitchClasses(d.Notes())
}

// pitchClasses returns a set with one bit for each pitch class.
func pitchClasses(notes []Note) (set uint16) {
	for _, n := range notes {
		set |= 1 << n.PitchClass()
	}
	return set
}
