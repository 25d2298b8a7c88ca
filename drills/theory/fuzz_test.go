package theory_test

import (
	"testing"

	. "surefret/drills/theory"
)

// Whatever is typed, reading never panics, and what is read prints so that it
// reads back as itself. More seeds are in testdata/fuzz.

var systems = []Names{{}, {Signs: true}, {System: Solfege}, {System: Solfege, Signs: true}, {System: German}}

func FuzzParseNote(f *testing.F) {
	for _, s := range []string{"F#", "f♯", "G♭", "Fx", "B𝄫", "Bbb", "Sib", "Ré", "Fisis", "Heses", "H#", "E2", "Bb-1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, names := range systems {
			if n, err := names.Parse(s); err == nil {
				if back, err := names.Parse(names.Note(n)); err != nil || back != n {
					t.Errorf("%q is %v, which prints as %q and reads as %v, %v", s, n, names.Note(n), back, err)
				}
			}
		}
		if p, err := ParsePitch(s); err == nil {
			if back, err := ParsePitch(p.String()); err != nil || back != p {
				t.Errorf("%q is %v, which reads as %v, %v", s, p, back, err)
			}
		}
	})
}

func FuzzParseInterval(f *testing.F) {
	for _, s := range []string{"m3", "-P5", "M10", "AA4", "dd7", "minor tenth", "descending octave", "compound major third", "tritone"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		iv, err := ParseInterval(s)
		if err != nil {
			return
		}
		if back, err := ParseInterval(iv.String()); iv.Number() <= 29 && (err != nil || back != iv) {
			t.Errorf("%q is %v, which reads as %v, %v", s, iv, back, err)
		}
		_ = iv.Name()
		_ = iv.Invert()
	})
}

func FuzzParseKey(f *testing.F) {
	for _, s := range []string{"Eb", "F#m", "C minor", "A harmonic minor", "D dorian", "G# major", "Si bémol", "Es dur", "H moll", "Bb-"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, names := range systems {
			k, err := names.ParseKey(s)
			if err != nil {
				continue
			}
			if back, err := names.ParseKey(names.Key(k)); err != nil || back != k {
				t.Errorf("%q is %v, which reads as %v, %v", s, k, back, err)
			}
			if n := len(k.Scale()); n < 5 || n > 7 || k.Check() != nil {
				t.Errorf("%q is %v, with %d notes, %v", s, k, n, k.Check())
			}
		}
	})
}

func FuzzParseChord(f *testing.F) {
	for _, s := range []string{"Bm", "F#m7b5", "A/C#", "C7(b9,#11)", "Cm/maj7", "E7alt", "C6/9/E", "Solm7", "Asus4", "Asasus4", "Dø", "Faddb13no5"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, names := range systems {
			c, err := names.ParseChord(s)
			if err != nil {
				continue
			}
			if back, err := names.ParseChord(names.Chord(c)); err != nil || back != c {
				t.Errorf("%q is %v, which prints as %q and reads as %v, %v", s, c, names.Chord(c), back, err)
			}
			if c.Notes()[0] != c.Bass() {
				t.Errorf("%q is %v over %v", s, c.Notes(), c.Bass())
			}
		}
	})
}

func FuzzParseNumeral(f *testing.F) {
	for _, s := range []string{"6-", "2-7", "5/7", "b7", "vi7", "V7/V", "bVII", "vii°7", "iiø7", "I64", "V6/5", "imaj7", "#iv°/ii/3"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		n, err := ParseNumeral(s)
		if err != nil {
			return
		}
		_ = n.FromMinor()
		for _, d := range []Degree{DegreeOf(n.Interval()), n.Bass()} {
			if d.Alter < -2 || d.Alter > 2 {
				return // past double accidentals there is nothing to read
			}
		}
		if back, err := ParseNumeral(n.Roman()); err != nil || back != n {
			t.Errorf("%q is %v, which prints as %q and reads as %v, %v", s, n, n.Roman(), back, err)
		}
		plain := Numeral{Degree: DegreeOf(n.Interval()), Quality: n.Quality, Over: n.Over} // V/V is 2
		if back, err := ParseNumeral(n.Number()); err != nil || back != plain {
			t.Errorf("%q is %v, which prints as %q and reads as %v, %v", s, n, n.Number(), back, err)
		}
	})
}

func FuzzParseProgression(f *testing.F) {
	for _, s := range []string{"G D Em C", "1 5 6- 4", "I-V-vi-IV", "| C / / / | % |", "b7 bVII Bb", "6-4", "Dm7, G7; Cmaj7"} {
		f.Add(s, "C")
	}
	f.Add("4 1 6- 5", "D")
	f.Add("IV V/V V i", "Ab minor")
	f.Fuzz(func(t *testing.T, s, key string) {
		k, err := ParseKey(key)
		if err != nil {
			return
		}
		p, err := ParseProgression(s, k)
		if err != nil {
			return
		}
		if len(p) == 0 {
			t.Errorf("%q is no chords and no error", s)
		}
		if best := p.Keys()[0]; best.Fit < 0 || best.Fit > 1 {
			t.Errorf("%q fits %v", s, best)
		}
		for i, c := range p.Move(k, Key{}) {
			if c.Quality != p[i].Quality || !c.Root.Enharmonic(p[i].Root.Add(k.To(Key{}))) {
				t.Errorf("%q: %v in %v became %v", s, p[i], k, c)
			}
		}
	})
}
