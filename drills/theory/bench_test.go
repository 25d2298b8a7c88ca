package theory_test

import (
	"testing"
	"time"

	. "surefret/drills/theory"
)

func BenchmarkParseNote(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := ParseNote("Bbb"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkParseChord(b *testing.B) {
	for _, s := range []string{"Bm", "F#m7b5", "A/C#", "C7(b9,#11)"} {
		b.Run(s, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := ParseChord(s); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkParseNumeral(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := ParseNumeral("2-7"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSpell(b *testing.B) {
	k := mustKey(b, "Gb")
	b.ReportAllocs()
	for b.Loop() {
		_ = Spell(59, k)
	}
}

func BenchmarkTransposePitch(b *testing.B) {
	p, iv := mustPitch(b, "Bb3"), Interval{Steps: 2, Semitones: 3}
	b.ReportAllocs()
	for b.Loop() {
		p = p.Add(iv)
		p = p.Add(iv.Neg())
	}
}

func BenchmarkMoveProgression(b *testing.B) {
	from, to := mustKey(b, "D"), mustKey(b, "Gb")
	p, err := ParseProgression("D A/C# Bm G Em7 A7 Dsus4 D", from)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		_ = p.Move(from, to)
	}
}

func BenchmarkNameChord(b *testing.B) {
	notes := mustChord(b, "F#m7b5").Notes()
	b.ReportAllocs()
	for b.Loop() {
		_ = ChordsOf(notes...)
	}
}

// The whole table that teaching keys needs: signature, scale, triads and
// sevenths with their notes, numbers and numerals, of all thirty keys. It is
// to be built in less than a millisecond, and the fastest run, which a busy
// machine disturbs least, must show it.
func BenchmarkThirtyKeys(b *testing.B) {
	b.ReportAllocs()
	fastest := time.Hour
	for b.Loop() {
		start := time.Now()
		for _, k := range Keys() {
			_, _ = k.Accidentals(), k.Scale()
			for _, chords := range [][]Chord{k.Triads(), k.Sevenths()} {
				for _, c := range chords {
					n := k.Numeral(c)
					_, _, _ = c.Notes(), n.Number(), n.Roman()
				}
			}
		}
		fastest = min(fastest, time.Since(start))
	}
	b.ReportMetric(float64(fastest.Nanoseconds()), "fastest-ns")
	if fastest > time.Millisecond {
		b.Errorf("the table took %v at best, more than a millisecond", fastest)
	}
}
