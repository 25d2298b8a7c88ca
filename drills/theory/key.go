package theory

import (
	"errors"
	"fmt"
	"slices"
	"strings"
)

// A Key is a tonic and a mode. The zero value is C major. A Key built by hand
// may have no signature; ParseKey and Check refuse those.
type Key struct {
	Tonic Note
	Mode  Mode
}

// ErrNoSignature marks a key that would need more than seven sharps or flats.
var ErrNoSignature = errors.New("no key signature")

// ParseKey reads a key: "Eb", "F#m", "C minor", "Bbmaj", "D dorian", "A
// harmonic minor", "F♯-". A key that no signature spells gets an error which
// wraps ErrNoSignature and names the key to write instead.
func ParseKey(s string) (Key, error) { return Names{}.ParseKey(s) }

// ParseKey reads a key whose tonic is named in the system.
func (names Names) ParseKey(s string) (Key, error) {
	tonic, rest, ok := names.scan(strings.TrimSpace(s))
	mode, err := ParseMode(strings.TrimSpace(rest))
	if !ok || err != nil && !strings.HasPrefix(rest, " ") {
		return Key{}, fmt.Errorf("%q is not a key: expected a tonic and a mode, like Eb, F#m or A harmonic minor", s)
	}
	if err != nil {
		return Key{}, fmt.Errorf("reading the key %q: %w", s, err)
	}
	k := Key{tonic, mode}
	if err := k.Check(); err != nil {
		return Key{}, err
	}
	return k, nil
}

// Check returns nil when a signature of at most seven sharps or flats spells
// k, and otherwise an error that wraps ErrNoSignature and offers the
// enharmonic key that has one.
func (k Key) Check() error {
	n := k.Signature()
	if abs(n) <= 7 {
		return nil
	}
	offer := SimplestKey(k.Tonic.PitchClass(), k.Mode, n < 0)
	return fmt.Errorf("%v has %w: it would need %s, seven is the most; write %v, which sounds the same",
		k, ErrNoSignature, countAccidentals(n), offer)
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
// clef, -7 to 7 for a key that passes Check. The harmonic and melodic minors
// have that of the natural minor; a church mode that of its major scale.
func (k Key) Signature() int { return k.Tonic.Fifths() + modes[k.Mode].signature }

// Accidentals returns the notes of the signature in the order in which they
// are written: F# C# G# ... or Bb Eb Ab ...
func (k Key) Accidentals() []Note {
	n := k.Signature()
	notes := make([]Note, 0, abs(n))
	for i := range abs(n) {
		if n > 0 {
			notes = append(notes, NoteAt(6+i))
		} else {
			notes = append(notes, NoteAt(-2-i))
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
		notes[i] = NoteAt(k.Tonic.Fifths() + place)
	}
	return notes
}

// Note returns the note on a degree of k, counted from the major scale of the
// tonic whatever the mode: b3 of A minor is C.
func (k Key) Note(d Degree) Note { return k.Tonic.Add(d.Interval()) }

// Relative returns the key with the same signature: the minor of a major key
// and the major of any other.
func (k Key) Relative() Key {
	if k.Mode == Major {
		return Key{k.Tonic.Add(Interval{-2, -3}), Minor}
	}
	return Key{NoteAt(k.Signature()), Major}
}

// Parallel returns the key on the same tonic: the natural minor of a key with
// a major third and the major of a key with a minor one. Where no signature
// spells it (G flat minor) the error is that of Check.
func (k Key) Parallel() (Key, error) {
	p := Key{k.Tonic, Minor}
	if k.Mode.Minor() {
		p.Mode = Major
	}
	return p, p.Check()
}

// Neighbours returns the keys next to k on the circle of fifths: a fifth below
// (one flat more) and a fifth above (one sharp more), in the same mode. Past
// seven accidentals the circle closes: above C sharp major lies A flat major.
func (k Key) Neighbours() (below, above Key) {
	return k.onCircle(-1), k.onCircle(1)
}

func (k Key) onCircle(fifths int) Key {
	n := Key{NoteAt(k.Tonic.Fifths() + fifths), k.Mode}
	if s := n.Signature(); s > 7 {
		return n.enharmonic(-12)
	} else if s < -7 {
		return n.enharmonic(12)
	}
	return n
}

// Enharmonic returns the other key that sounds as k and has a signature, and
// whether there is one: there is from five accidentals on.
func (k Key) Enharmonic() (Key, bool) {
	for _, fifths := range []int{-12, 12} {
		if e := k.enharmonic(fifths); abs(e.Signature()) <= 7 {
			return e, true
		}
	}
	return Key{}, false
}

func (k Key) enharmonic(fifths int) Key {
	return Key{NoteAt(k.Tonic.Fifths() + fifths), k.Mode}
}

// Contains reports whether n, so spelled, belongs to the scale of k.
func (k Key) Contains(n Note) bool {
	return slices.Contains(modes[k.Mode].places, n.Fifths()-k.Tonic.Fifths())
}

// KeysOf returns the fifteen keys of a mode in the order of the circle of
// fifths, from seven flats to seven sharps.
func KeysOf(m Mode) []Key {
	keys := make([]Key, 0, 15)
	for s := -7; s <= 7; s++ {
		keys = append(keys, Key{NoteAt(s - modes[m].signature), m})
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
	return Key{NoteAt(first + mod(7*pitchClass-first, 12)), m}
}
