package theory

import "testing"

// Whatever is typed, reading never panics, and what is read prints so that it
// reads back as itself. More seeds are in testdata/fuzz.

func seeds(f *testing.F, texts ...string) {
	for _, s := range texts {
		f.Add(s)
	}
}

// inEachSystem reads s with names of each system and what it prints as again.
func inEachSystem[T comparable](t *testing.T, s string, read func(Names, string) (T, error), print func(Names, T) string) {
	for system := range German + 1 {
		names := Names{system}
		if v, err := read(names, s); err == nil {
			if back, err := read(names, print(names, v)); err != nil || back != v {
				t.Errorf("%q is %v, which prints as %q and reads as %v, %v", s, v, print(names, v), back, err)
			}
		}
	}
}

func FuzzParseNote(f *testing.F) {
	seeds(f, "F#", "f♯", "G♭", "Fx", "B𝄫", "Bbb", "Sib", "Ré", "Fisis", "Heses", "H#", "E2", "Bb-1", "F sharp", "si bémol", "A double flat")
	f.Fuzz(func(t *testing.T, s string) {
		inEachSystem(t, s, Names.Parse, Names.Note)
		inEachSystem(t, s, func(_ Names, s string) (Pitch, error) { return ParsePitch(s) }, func(_ Names, p Pitch) string { return p.String() })
	})
}

func FuzzParseInterval(f *testing.F) {
	seeds(f, "m3", "-P5", "M10", "AA4", "dd7", "minor tenth", "descending octave", "compound major third", "tritone", "b3", "10", "perfect 5th")
	f.Fuzz(func(t *testing.T, s string) {
		iv, err := ParseInterval(s)
		if err != nil {
			return
		}
		if back, err := ParseInterval(iv.String()); iv.number() <= 29 && (err != nil || back != iv) {
			t.Errorf("%q is %v, which reads as %v, %v", s, iv, back, err)
		}
		_ = iv.Name()
	})
}

func FuzzParseKey(f *testing.F) {
	seeds(f, "Eb", "F#m", "C minor", "A harmonic minor", "D dorian", "G# major", "Si bémol", "Es dur", "H moll", "Bb-", "B flat minor")
	f.Fuzz(func(t *testing.T, s string) { inEachSystem(t, s, Names.ParseKey, Names.Key) })
}

func FuzzParseChord(f *testing.F) {
	seeds(f, "Bm", "F#m7b5", "A/C#", "C7(b9,#11)", "Cm/maj7", "E7alt", "C6/9/E", "Solm7", "Asus4", "Asasus4", "Dø", "Faddb13no5", "F sharp minor 7")
	f.Fuzz(func(t *testing.T, s string) {
		inEachSystem(t, s, Names.ParseChord, Names.Chord)
		if c, err := ParseChord(s); err == nil && c.Notes()[0] != c.Bass() {
			t.Errorf("%q is %v over %v", s, c.Notes(), c.Bass())
		}
	})
}

func FuzzParseNumeral(f *testing.F) {
	seeds(f, "6-", "2-7", "5/7", "b7", "vi7", "V7/V", "bVII", "vii°7", "iiø7", "I64", "V6/5", "imaj7", "#iv°/ii/3", "flat 7")
	f.Fuzz(func(t *testing.T, s string) {
		n, err := ParseNumeral(s)
		if err != nil {
			return
		}
		_ = n.FromMinor()
		plain := Numeral{Degree: DegreeOf(n.Interval()), Quality: n.Quality, Over: n.Over} // V/V is 2
		if abs(plain.Alter) > 2 || abs(n.bass().Alter) > 2 {
			return // past double accidentals there is nothing to read
		}
		if back, err := ParseNumeral(n.Roman()); err != nil || back != n {
			t.Errorf("%q is %v, which prints as %q and reads as %v, %v", s, n, n.Roman(), back, err)
		}
		if back, err := ParseNumeral(n.Number()); err != nil || back != plain {
			t.Errorf("%q is %v, which prints as %q and reads as %v, %v", s, n, n.Number(), back, err)
		}
	})
}
