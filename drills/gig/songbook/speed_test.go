package songbook

import (
	"fmt"
	"strings"
	"testing"

	"surefret/drills/chart"
	"surefret/drills/theory"
)

// twoHundredBars is a chart of 200 bars with words, and song books of it: with its
// chords alone, and with the same bars.
func twoHundredBars() (text, pro, chords, bars string) {
	const fourBars = "| G . D/F# .  | Em7 . C . | Am7 . . .  | C/D . D7(b9) . |"
	var t, p, b, same strings.Builder
	t.WriteString("Tin Umbrella\nKey: G\nTempo: 96\n")
	p.WriteString("{title: Tin Umbrella}\n{key: G}\n{tempo: 96}\n")
	const head = "[[song]]\ntitle = \"Tin Umbrella\"\nlearned = \"G\"\ncalled = \"G\"\ntempo = 96\n"
	b.WriteString(head)
	same.WriteString(head)
	for i := range 10 {
		fmt.Fprintf(&t, "\n[Verse %d]\n", i+1)
		fmt.Fprintf(&p, "\n{start_of_verse: Verse %d}\n", i+1)
		section := fmt.Sprintf("\n[[song.section]]\nname = \"Verse %d\"\nchords = \"", i+1)
		b.WriteString(section)
		same.WriteString(section)
		for range 5 {
			same.WriteString(fourBars + " ")
			t.WriteString(fourBars + "\nTin umbrella over the quay, it rattles when the rain\n")
			p.WriteString("[G]Tin um[D/F#]brella [Em7]over [C]the quay, it [Am7]rattles [C/D]when the [D7(b9)]rain\n")
			b.WriteString("G D/F# Em7 C Am7 C/D D7(b9) ")
		}
		p.WriteString("{end_of_verse}\n")
		b.WriteString("\"\n")
		same.WriteString("\"\n")
	}
	return t.String(), p.String(), b.String(), same.String()
}

// Reading a book costs what checking its song does, and little else: counted in what is
// allocated, whatever the machine.
func TestTheChordsOfABookAreParsedOnce(t *testing.T) {
	_, _, _, book := twoHundredBars()
	songs, err := Read("b.toml", book)
	if err != nil {
		t.Fatal(err)
	}
	once := testing.AllocsPerRun(3, func() { err = songs[0].Check() })
	if read := testing.AllocsPerRun(3, func() { _, err = Read("b.toml", book) }); read > 1.5*once || err != nil {
		t.Errorf("reading allocates %v times, checking %v: %v", read, once, err)
	}
}

// A chart of 200 bars is read, moved and written; beside it the same song is read as
// a song book.
func BenchmarkTwoHundredBars(b *testing.B) {
	text, pro, chords, bars := twoHundredBars()
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
	for name, book := range map[string]string{"toml, chords alone": chords, "toml, the same bars": bars} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := Read("b.toml", book); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
