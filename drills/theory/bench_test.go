package theory

import "testing"

func BenchmarkParseChord(b *testing.B) {
	for _, s := range []string{"Bm", "F#m7b5", "C7(b9,#11)"} {
		b.Run(s, func(b *testing.B) {
			for b.Loop() {
				must(b, ParseChord, s)
			}
		})
	}
}

func BenchmarkSpell(b *testing.B) {
	k := must(b, ParseKey, "Gb")
	for b.Loop() {
		_ = Spell(59, k)
	}
}

// The whole table that teaching keys needs, of all thirty keys.
func BenchmarkThirtyKeys(b *testing.B) {
	for b.Loop() {
		for _, k := range Keys() {
			_, _ = k.Accidentals(), k.Scale()
			for _, c := range k.Triads() {
				n := k.Numeral(c)
				_, _, _ = c.Notes(), n.Number(), n.Roman()
			}
		}
	}
}
