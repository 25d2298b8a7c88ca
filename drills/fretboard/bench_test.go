package fretboard

import (
	"strings"
	"testing"
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
	for _, how := range []How{SameStrings, Refingered} {
		b.Run(string(how), func(b *testing.B) {
			b.SetBytes(int64(len(text)))
			b.ReportAllocs()
			before := cpu()
			for b.Loop() {
				tab, err := ParseTab(text, guitar)
				if err != nil {
					b.Fatal(err)
				}
				m, err := tab.Part().Move(from, to, how)
				if err != nil {
					b.Fatal(err)
				}
				if _, err := tab.Write(m.Events); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64((cpu()-before).Microseconds())/1000/float64(b.N), "cpu-ms/op")
		})
	}
}
