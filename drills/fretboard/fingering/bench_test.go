package fingering

import (
	"math/rand/v2"
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/fretboard/tablature"
	"surefret/testdata/oracle"
)

// thousandBars is a part of a thousand bars: the riff of the tests and a bar of
// chords, four bars a system.
func thousandBars() string {
	rows := [6]string{
		"-----------------|-0-------3-------|",
		"-----3-----------|-1-------0-------|",
		"---2---2---------|-0-------0-------|",
		"-0-------4h5p4-0-|-2-------0-------|",
		"-----------------|-3-------2-------|",
		"-----------------|---------3-------|",
	}
	var b strings.Builder
	for range 250 {
		for i, r := range rows {
			b.WriteString("eBGDAE"[i:i+1] + "|" + r + r + "\n")
		}
		b.WriteString("\n")
	}
	return b.String()
}

func BenchmarkThousandBars(b *testing.B) {
	text := thousandBars()
	from, to := key(b, "D"), key(b, "Eb")
	for _, how := range []How{SameStrings, Refingered, ""} {
		b.Run(string(how), func(b *testing.B) {
			b.SetBytes(int64(len(text)))
			b.ReportAllocs()
			before := oracle.CPU()
			for b.Loop() {
				tab, err := tablature.Parse(text, guitar)
				must(b, err)
				m, err := Move(tab.Part(), from, to, Asked{How: how})
				must(b, err)
				if _, err := tab.Write(m[0].Events); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64((oracle.CPU()-before).Microseconds())/1000/float64(b.N), "cpu-ms/op")
		})
	}
}

// BenchmarkPhrase moves 64 notes over the whole neck, every way that there is.
func BenchmarkPhrase(b *testing.B) {
	rng := rand.New(rand.NewPCG(6, 4))
	p := fretboard.Part{Neck: guitar}
	at := fretboard.Position{String: 4, Fret: 5}
	for i := range 64 {
		at.String = min(max(at.String+rng.IntN(3)-1, 1), 6)
		at.Fret = min(max(at.Fret+rng.IntN(7)-3, 0), 14)
		p.Events = append(p.Events, fretboard.Event{Bar: 1 + i/8, Beats: 0.5, Notes: []fretboard.Fretted{{Position: at}}})
	}
	before := oracle.CPU()
	for b.Loop() {
		if _, err := Move(p, key(b, "D"), key(b, "Bb"), Asked{}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64((oracle.CPU()-before).Microseconds())/1000/float64(b.N), "cpu-ms/op")
}
