package fingering

import (
	"bufio"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"surefret/drills/fretboard"
)

// A playedLine is a row of testdata/lines.txt.
type playedLine struct {
	name, from, to string
	part           fretboard.Part
	ways           []string
}

func readLines(t testing.TB) []playedLine {
	t.Helper()
	f, err := os.Open("testdata/lines.txt")
	must(t, err)
	defer f.Close()
	var lines []playedLine
	for s := bufio.NewScanner(f); s.Scan(); {
		row := strings.Split(s.Text(), " | ")
		if len(row) != 4 || strings.HasPrefix(row[0], "#") {
			continue
		}
		l := playedLine{name: row[0], part: lineOf(t, row[2]), ways: strings.Split(row[3], " or ")}
		fmt.Sscan(row[1], &l.from, &l.to)
		lines = append(lines, l)
	}
	return lines
}

// lineOf reads a line as testdata/lines.txt has it.
func lineOf(t testing.TB, text string) fretboard.Part {
	t.Helper()
	p := fretboard.Part{Neck: guitar}
	for _, event := range strings.Fields(text) {
		e := fretboard.Event{Bar: 1, Beats: 1}
		for _, word := range strings.Split(event, "+") {
			var n fretboard.Fretted
			word, n.Slurred = strings.CutPrefix(word, "~")
			if _, err := fmt.Sscanf(word, "%d/%d", &n.String, &n.Fret); err != nil {
				t.Fatalf("%s: %q: %v", text, word, err)
			}
			e.Notes = append(e.Notes, n)
		}
		p.Events = append(p.Events, e)
	}
	return p
}

// spellLine writes events as testdata/lines.txt does.
func spellLine(events []fretboard.Event) string {
	var words []string
	for _, e := range events {
		var notes []string
		for _, n := range slices.Backward(e.Notes) {
			word := fmt.Sprintf("%d/%d", n.String, n.Fret)
			if n.Slurred {
				word = "~" + word
			}
			notes = append(notes, word)
		}
		words = append(words, strings.Join(notes, "+"))
	}
	return strings.Join(words, " ")
}

// The first offer is the way that a player would choose in 27 lines of 30.
func TestTheFirstOfferIsThePlayersWay(t *testing.T) {
	lines, good := readLines(t), 0
	for _, l := range lines {
		all, err := Move(l.part, key(t, l.from), key(t, l.to), Asked{})
		must(t, err)
		got := spellLine(all[0].Events)
		if slices.Contains(l.ways, got) {
			good++
		} else {
			t.Logf("%s, %s to %s: %s, a player would choose %s", l.name, l.from, l.to, got, strings.Join(l.ways, " or "))
		}
	}
	if len(lines) != 30 || good < 27 {
		t.Errorf("%d of %d lines go as a player would choose, want 27 of 30", good, len(lines))
	}
}

// On short phrases no sequence of places is cheaper than the way that is found, with
// pitches that come again and chords among them.
func TestNoWayThroughAShortPhraseIsCheaper(t *testing.T) {
	rng := rand.New(rand.NewPCG(25, 3))
	mixing := 0
	for range 300 {
		p := fretboard.Part{Neck: guitar}
		for i := range 3 {
			e := fretboard.Event{Bar: 1, Beats: []float64{0.25, 1}[rng.IntN(2)], Notes: []fretboard.Fretted{{Position: fretboard.Position{String: 2 + rng.IntN(4), Fret: rng.IntN(13)}}}}
			if i == 2 && rng.IntN(4) > 0 {
				e.Notes = slices.Clone(p.Events[0].Notes) // the same again
			} else if rng.IntN(4) == 0 {
				e.Notes = append(e.Notes, fretboard.Fretted{Position: fretboard.Position{String: e.Notes[0].String - 1, Fret: e.Notes[0].Fret}})
			}
			p.Events = append(p.Events, e)
		}
		r := newRouter(p, wish{high: 14})
		ph := r.prepare(0, 3, rng.IntN(12)-3)
		if len(ph.events) < 3 {
			continue
		}
		w := []*carrying{&keeping, &fresh}[rng.IntN(2)]
		ph.weighWith(w)
		may := manner{any: true}.choose(ph.events)
		way, got := ph.search(may)
		if math.Abs(ph.costOf(way)-got) > 1e-9 {
			t.Fatalf("a way of %.3f is said to cost %.3f", ph.costOf(way), got)
		}
		if free, _ := ph.cheapest(may); ph.countMixed(free, nil) > 0 {
			mixing++
		}
		least := math.Inf(1)
		var try func(way []int16)
		try = func(way []int16) {
			if i := len(way); i < len(ph.events) {
				for _, j := range may[i] {
					try(append(way, j))
				}
				return
			}
			least = min(least, ph.costOf(way))
		}
		try(make([]int16, 0, 3))
		if math.Abs(least-got) > 1e-9 {
			t.Fatalf("%s: found %.3f, exhaustive search %.3f", spellLine(p.Events), got, least)
		}
	}
	if mixing < 3 {
		t.Errorf("only %d phrases would have mixed a pitch", mixing)
	}
}

// Two or three ways are offered, no two alike, and each can be asked for.
func TestOffersDifferAndCanBeAskedFor(t *testing.T) {
	for _, l := range readLines(t) {
		all := offers(t, l.part, l.from, l.to, Asked{})
		if len(all) > 3 {
			t.Errorf("%s: %d offers", l.name, len(all))
		}
		for i, m := range all {
			for _, other := range all[:i] {
				if other.Semitones == m.Semitones && other.How == m.How || spellLine(other.Events) == spellLine(m.Events) {
					t.Errorf("%s: %s and %s", l.name, other.Way(), m.Way())
				}
			}
			asked := Asked{How: m.How, Up: m.Semitones > 0, Down: m.Semitones < 0}
			if got := offers(t, l.part, l.from, l.to, asked)[0]; got.How != m.How || got.Semitones != m.Semitones {
				t.Errorf("%s: asked for %s, got %s", l.name, m.Way(), got.Way())
			}
		}
	}
	p := readLines(t)[1].part // tenths from G at fret 3
	for _, c := range []struct {
		asked Asked
		want  string
	}{
		{Asked{Up: true}, "a whole step up on the same strings"},
		{Asked{Octave: -1, How: SameStrings}, ""},
		{Asked{Octave: 1}, "14 half steps up 2 strings higher"},
		{Asked{Position: 5}, "a whole step up on the same strings but for 1 of 4"},
		{Asked{How: OtherStrings}, "a whole step up one string higher"},
	} {
		all, err := Move(p, key(t, "G"), key(t, "A"), c.asked)
		if c.want == "" {
			oneSentence(t, err)
			continue
		}
		m := all[0]
		if m.Way() != c.want {
			t.Errorf("%+v: %s, want %s: %s", c.asked, m.Way(), c.want, spellLine(m.Events))
		}
		for _, e := range m.Events {
			for _, n := range e.Notes {
				if at := c.asked.Position; at > 0 && n.Fret > 0 && (n.Fret < at || n.Fret > at+4) {
					t.Errorf("%s lies outside of position %d", n.Say(), at)
				}
			}
		}
	}
}
