package fingering

import (
	"reflect"
	"slices"
	"strings"
	"testing"
)

// weights are what [keeping] and [fresh] weigh, by name, but for keeping.unplayed, which
// has a test of its own.
func weights() map[string]*float64 {
	k, f := &keeping, &fresh
	return map[string]*float64{
		"move": &k.move, "home": &k.home, "fret": &k.fret, "high": &k.high, "ring": &k.ring, "opened": &k.opened,
		"grip": &k.grip, "start": &k.start, "note": &k.note, "slurred": &k.slurred, "chord": &k.chord,
		"reshape": &k.reshape, "leave": &k.leave, "regrip": &k.regrip, "mixed": &k.mixed, "octave": &k.octave,
		"near": &k.near, "far": &k.far, "fresh move": &f.move, "fresh fret": &f.fret, "fresh high": &f.high,
		"fresh ring": &f.ring, "fresh opened": &f.opened, "fresh grip": &f.grip, "fresh mixed": &f.mixed,
	}
}

// without sets a weight to nothing for as long as do takes.
func without(weight *float64, do func()) {
	was := *weight
	defer func() { *weight = was }()
	*weight = 0
	do()
}

// Each weight decides where a line goes that the thirty leave open: without it another
// way is offered first. A guitarist's eye, no source.
func TestEachWeightDecidesALine(t *testing.T) {
	lines, left := readLines(t), weights()
	given := 0
	for _, c := range []carrying{keeping, fresh} {
		for i := range reflect.TypeFor[carrying]().NumField() {
			if !reflect.ValueOf(c).Field(i).IsZero() {
				given++
			}
		}
	}
	if given != len(left)+1 {
		t.Errorf("of %d weights %d are tried", given, len(left)+1)
	}
	again := Asked{How: Refingered}
	for _, c := range []struct {
		weights, line, to string
		asked             Asked
		want              string
	}{
		{"high, regrip", "tenths from D that run out of neck downward", "Bb", Asked{Up: true}, "4/8+1/10 4/7+1/8 4/5+1/6 4/1+1/3"},
		{"home, grip, reshape", "octave riff on strings 6 and 4", "E", Asked{}, "5/7+3/9 5/7+3/9 5/10+3/12 5/9+3/11"},
		{"chord", "triads on strings 4 3 2", "E", Asked{}, "4/2+3/1+2/0 4/2+3/2+2/2 4/4+3/4+2/4"},
		{"slurred", "Lantern on the Quay, up a whole step", "F", Asked{}, "5/8 3/5 2/6 3/5 4/7 ~4/8 ~4/7 5/8"},
		{"ring, mixed", "riff on the open low E", "A", Asked{}, "5/0 5/0 5/3 5/0 5/5 5/3"},
		{"octave", "riff on the open low E", "Db", Asked{}, "6/9 6/9 5/7 6/9 5/9 5/7"},
		{"near", "walk from the open A, in one position", "F", Asked{}, "6/1 6/3 6/5 5/1"},
		{"far", "triads on the top strings", "Bb", Asked{}, "4/3+3/3+2/3 4/5+3/3+2/4 4/7+3/5+2/6"},
		{"fret, leave", "minor pentatonic, box 1", "Em", Asked{}, "6/0 6/3 5/0 5/2 4/0 4/2 3/0 3/2 2/0 2/3 1/0 1/3"},
		{"leave", "minor pentatonic, box 1", "Ebm", Asked{}, "6/11 6/14 5/11 5/13 4/11 4/13 3/11 3/13 2/11 2/14 1/11 1/14"},
		{"move, start, note, opened", "walk from the open A, in one position", "C", Asked{}, "5/3 5/5 4/2 4/3"},

		{"fresh move", "pentatonic lick with pull-offs", "Cm", again, "1/6 ~1/3 2/6 ~2/4 3/5"},
		{"fresh opened", "pentatonic lick with pull-offs", "Gm", again, "2/6 ~2/3 3/5 ~3/3 4/5"},
		{"fresh fret", "riff on the open low E", "C", again, "5/3 5/3 4/1 5/3 4/3 4/1"},
		{"fresh high", "minor pentatonic, box 1", "Gm", Asked{How: Refingered, Up: true}, "5/10 5/13 4/10 4/12 3/10 3/12 2/11 2/13 1/10 1/13 1/15 1/18"},
		{"fresh ring", "riff on the open A", "Db", again, "5/4 4/6 4/4 5/7 5/4"},
		{"fresh grip", "octave riff down to the low E", "E", again, "6/0+4/2 6/3+4/5 4/0+2/3 6/0+4/2"},
		{"fresh mixed", "octave riff down to the low E", "E", Asked{How: Refingered, Up: true}, "4/2+1/0 4/5+1/3 4/0+2/3 4/2+1/0"},
	} {
		l := lines[slices.IndexFunc(lines, func(l playedLine) bool { return l.name == c.line })]
		first := func() string { return spellLine(offers(t, l.part, l.from, c.to, c.asked)[0].Events) }
		if got := first(); got != c.want {
			t.Errorf("%s, %s to %s: %s, want %s", c.line, l.from, c.to, got, c.want)
		}
		for _, name := range strings.Split(c.weights, ", ") {
			without(weights()[name], func() {
				if first() == c.want {
					t.Errorf("%s, %s to %s: goes there without %q, too", c.line, l.from, c.to, name)
				}
			})
			delete(left, name)
		}
	}
	for name := range left {
		t.Errorf("no line tries %q", name)
	}
}

// A way with a chord that no hand plays comes after those that can be played, and one on
// which most went to another octave after the way that leads there.
func TestWhatCanBePlayedComesFirst(t *testing.T) {
	for _, c := range []struct {
		line, from, to string
		frets, want    int
	}{
		{"6/0+5/2+4/2+3/1+2/0+1/0 6/0+5/2+4/2", "E", "Eb", 12, 11},
		{"6/3+5/2+4/0+3/0+2/0+1/3", "G", "E", 22, 9},
	} {
		p := lineOf(t, c.line)
		p.Neck.Frets = c.frets
		first := func() int { return offers(t, p, c.from, c.to, Asked{})[0].Semitones }
		if got := first(); got != c.want {
			t.Errorf("%s, %s to %s: %d half steps, want %d", c.line, c.from, c.to, got, c.want)
		}
		without(&keeping.unplayed, func() {
			if first() == c.want {
				t.Errorf("%s, %s to %s: what no hand plays costs nothing, and it goes there all the same", c.line, c.from, c.to)
			}
		})
	}
}
