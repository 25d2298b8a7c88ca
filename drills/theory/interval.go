package theory

// An Interval is a vector: how many letters and how many semitones lie between
// two pitches, both negative when it falls. {2, 3} is a minor third up,
// {-1, 0} a descending diminished second. The zero value is the unison.
type Interval struct {
	Steps     int // letters: 1 for a second, 7 for an octave
	Semitones int
}

// Between returns the interval from p to q.
func Between(p, q Pitch) Interval {
	return Interval{
		Steps:     7*(q.Octave-p.Octave) + int(q.Letter-p.Letter),
		Semitones: q.MIDI() - p.MIDI(),
	}
}

// Add returns p moved by iv. It is exact: the letter moves by the steps, and
// the accidental is what the semitones leave over.
func (p Pitch) Add(iv Interval) Pitch {
	letter := int(p.Letter) + iv.Steps
	q := Pitch{Note{Letter: Letter(mod(letter, 7))}, p.Octave + floorDiv(letter, 7)}
	q.Alter = p.MIDI() + iv.Semitones - q.MIDI()
	return q
}

// Add returns n moved by iv, octave left aside.
func (n Note) Add(iv Interval) Note { return Pitch{n, 4}.Add(iv).Note }

// Plus returns the interval iv followed by jv.
func (iv Interval) Plus(jv Interval) Interval {
	return Interval{iv.Steps + jv.Steps, iv.Semitones + jv.Semitones}
}

// Neg returns iv the other way: up becomes down.
func (iv Interval) Neg() Interval { return Interval{-iv.Steps, -iv.Semitones} }
