package theory

// Triads returns the seven triads that stand on the scale of k, in thirds of
// the scale: C Dm Em F G Am Bdim in C major. Scales with fewer than seven
// notes have none, and the result is nil.
func (k Key) Triads() []Chord { return k.stack(3) }

// Sevenths returns the seven seventh chords that stand on the scale of k, nil
// for scales with fewer than seven notes.
func (k Key) Sevenths() []Chord { return k.stack(4) }

// stack builds a chord of so many thirds on every degree.
func (k Key) stack(size int) []Chord {
	scale := k.Scale()
	if len(scale) != 7 {
		return nil
	}
	chords := make([]Chord, 7)
	ivs := make([]Interval, size)
	for i, n := range scale {
		for j := range ivs {
			ivs[j] = n.upTo(scale[(i+2*j)%7])
		}
		chords[i].Root = n
		chords[i].Quality, _ = QualityOf(ivs)
	}
	return chords
}

// To returns the interval from the tonic of k up to that of another key,
// within the octave: what transposing from one to the other adds to every
// note. Subtract an octave to go the other way.
func (k Key) To(to Key) Interval { return k.Tonic.upTo(to.Tonic) }
