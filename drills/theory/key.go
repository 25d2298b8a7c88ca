package theory

import (
	"fmt"
	"slices"
	"strings"
)

// A Key is a tonic and a mode. The zero value is C major. A Key built by hand
// may have no signature; ParseKey refuses those.
type Key struct {
	Tonic Note
	Mode  Mode
}

// ParseKey reads a key: "Eb", "F#m", "C minor", "Bbmaj", "D dorian", "A
// harmonic minor", "F♯-". A key that no signature spells gets an error which
// names the key to write instead.
func ParseKey(s string) (Key, error) { return Names{}.ParseKey(s) }

// ParseKey reads a key whose tonic is named in the system.
func (names Names) ParseKey(s string) (Key, error) {
	k, _, err := names.scanKey(s)
	return k, err
}

// scanKey is [Names.ParseKey]; known reports whether s names a key, even one that no
// signature spells.
func (names Names) scanKey(s string) (k Key, known bool, err error) {
	tonic, rest, ok := names.scan(strings.TrimSpace(s))
	mode, err := parseMode(strings.TrimSpace(rest))
	if !ok || err != nil && !strings.HasPrefix(rest, " ") {
		return Key{}, false, fmt.Errorf("%q is not a key: use a key like Eb, F#m or A harmonic minor", s)
	}
	if err != nil {
		return Key{}, false, fmt.Errorf("reading the key %q: %w", s, err)
	}
	k = Key{tonic, mode}
	if err := k.check(names); err != nil {
		return Key{}, true, err
	}
	return k, true, nil
}

// check returns nil when a signature of at most seven sharps or flats spells
// k, and otherwise an error that offers the key that sounds the same and has one.
func (k Key) check(names Names) error {
	n := k.Signature()
	if abs(n) <= 7 {
		return nil
	}
	offer := SimplestKey(k.Tonic.PitchClass(), k.Mode, n < 0)
	return fmt.Errorf("%s would need %s, seven is the most: use %s, which sounds the same",
		names.Key(k), countAccidentals(n), names.Key(offer))
}

func countAccidentals(n int) string {
	switch {
	case n == 1:
		return "1 sharp"
	case n == -1:
		return "1 flat"
	case n < 0:
		return fmt.Sprintf("%d flats", -n)
	}
	return fmt.Sprintf("%d sharps", n)
}

// String prints k in words: "Eb major", "F# minor", "D dorian".
func (k Key) String() string { return Names{}.Key(k) }

// Short prints k as a chord chart would: "Eb", "F#m"; modes other than major
// and natural minor in words.
func (k Key) Short() string {
	switch k.Mode {
	case Major:
		return k.Tonic.String()
	case Minor:
		return k.Tonic.String() + "m"
	}
	return k.String()
}

// Signature returns the number of sharps (positive) or flats (negative) at the
// clef, -7 to 7 for a key that ParseKey reads. The harmonic and melodic minors
// have that of the natural minor; a church mode that of its major scale.
func (k Key) Signature() int { return k.Tonic.fifths() + modes[k.Mode].signature }

// Accidentals returns the notes of the signature in the order in which they
// are written: F# C# G# ... or Bb Eb Ab ...
func (k Key) Accidentals() []Note {
	n := k.Signature()
	notes := make([]Note, 0, abs(n))
	for i := range abs(n) {
		if n > 0 {
			notes = append(notes, noteAt(6+i))
		} else {
			notes = append(notes, noteAt(-2-i))
		}
	}
	return notes
}

// SignatureName says the signature in words: "3 flats", "1 sharp", "no sharps
// or flats".
func (k Key) SignatureName() string {
	if n := k.Signature(); n != 0 {
		return countAccidentals(n)
	}
	return "no sharps or flats"
}

// Scale returns the notes of k, rising from the tonic, which is not repeated
// at the top. 5, 6 or 7 notes.
func (k Key) Scale() []Note {
	notes := make([]Note, len(modes[k.Mode].places))
	for i, place := range modes[k.Mode].places {
		notes[i] = noteAt(k.Tonic.fifths() + place)
	}
	return notes
}

// Note returns the note on a degree of k, counted from the major scale of the
// tonic whatever the mode: b3 of A minor is C.
func (k Key) Note(d Degree) Note { return k.Tonic.Add(d.interval()) }

// Relative returns the key with the same signature: the minor of a major key
// and the major of any other.
func (k Key) Relative() Key {
	if k.Mode == Major {
		return Key{k.Tonic.Add(Interval{-2, -3}), Minor}
	}
	return Key{noteAt(k.Signature()), Major}
}

// Contains reports whether n, so spelled, belongs to the scale of k.
func (k Key) Contains(n Note) bool {
	return slices.Contains(modes[k.Mode].places, n.fifths()-k.Tonic.fifths())
}

// KeysOf returns the fifteen keys of a mode in the order of the circle of
// fifths, from seven flats to seven sharps.
func KeysOf(m Mode) []Key {
	keys := make([]Key, 0, 15)
	for s := -7; s <= 7; s++ {
		keys = append(keys, Key{noteAt(s - modes[m].signature), m})
	}
	return keys
}

// Keys returns the thirty keys: fifteen major, then fifteen minor.
func Keys() []Key { return append(KeysOf(Major), KeysOf(Minor)...) }

// SimplestKey returns the key on a pitch class (0 is C, 11 is B; others are
// taken modulo 12) with the fewest accidentals. Where six sharps stand against
// six flats, flats decides.
func SimplestKey(pitchClass int, m Mode, flats bool) Key {
	// From -5 to 6, or with flats from -6 to 5, each pitch class comes once.
	first := -5
	if flats {
		first = -6
	}
	first -= modes[m].signature
	return Key{noteAt(first + mod(7*pitchClass-first, 12)), m}
}

// Triads returns the seven triads that stand on the scale of k, in thirds of
// the scale: C Dm Em F G Am Bdim in C major. Scales with fewer than seven
// notes have none, and the result is nil.
func (k Key) Triads() []Chord {
	scale := k.Scale()
	if len(scale) != 7 {
		return nil
	}
	chords := make([]Chord, 7)
	for i, n := range scale {
		third, fifth := n.upTo(scale[(i+2)%7]), n.upTo(scale[(i+4)%7])
		chords[i].Root = n
		chords[i].Quality, _ = qualityOf([]Interval{third, fifth})
	}
	return chords
}

// To returns the interval from the tonic of k up to that of another key,
// within the octave: what transposing from one to the other adds to every
// note. Subtract an octave to go the other way.
func (k Key) To(to Key) Interval { return k.Tonic.upTo(to.Tonic) }
