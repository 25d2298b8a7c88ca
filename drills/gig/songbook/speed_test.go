package songbook

import (
	"fmt"
	"strings"
	"testing"

	"surefret/drills/chart"
	"surefret/drills/theory"
)

// twoHundredBars is a chart of 200 bars with words, and a song book with its chords.
func twoHundredBars() (text, pro, book string) {
	var t, p, b strings.Builder
	t.WriteString("Tin Umbrella\nKey: G\nTempo: 96\n")
	p.WriteString("{title: Tin Umbrella}\n{key: G}\n{tempo: 96}\n")
	b.WriteString("[[song]]\ntitle = \"Tin Umbrella\"\nlearned = \"G\"\ncalled = \"G\"\ntempo = 96\n")
	for i := range 10 {
		fmt.Fprintf(&t, "\n[Verse %d]\n", i+1)
		fmt.Fprintf(&p, "\n{start_of_verse: Verse %d}\n", i+1)
		fmt.Fprintf(&b, "\n[[song.section]]\nname = \"Verse %d\"\nchords = \"", i+1)
		for range 5 {
			t.WriteString("| G . D/F# .  | Em7 . C . | Am7 . . .  | C/D . D7(b9) . |\nTin umbrella over the quay, it rattles when the rain\n")
			p.WriteString("[G]Tin um[D/F#]brella [Em7]over [C]the quay, it [Am7]rattles [C/D]when the [D7(b9)]rain\n")
			b.WriteString("G D/F# Em7 C Am7 C/D D7(b9) ")
		}
		p.WriteString("{end_of_verse}\n")
		b.WriteString("\"\n")
	}
	return t.String(), p.String(), b.String()
}

// A chart of 200 bars is read, moved and written; beside it the same song is read as
// a song book.
func BenchmarkTwoHundredBars(b *testing.B) {
	text, pro, book := twoHundredBars()
	to, err := theory.ParseKey("Ab")
	if err != nil {
		b.Fatal(err)
	}
	for name, chartText := range map[string]string{"x.txt": text, "x.cho": pro} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				charts, err := chart.Read(name, chartText, chart.Options{})
				if err != nil {
					b.Fatal(err)
				}
				moved, err := charts[0].Move(to, 0)
				if err != nil {
					b.Fatal(err)
				}
				_ = moved.String()
			}
		})
	}
	b.Run("toml", func(b *testing.B) {
		for b.Loop() {
			if _, err := Read("b.toml", book); err != nil {
				b.Fatal(err)
			}
		}
	})
}
