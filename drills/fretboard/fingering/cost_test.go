package fingering

import (
	"math"
	"testing"

	"surefret/drills/fretboard"
)

// Each weight does what its comment says.
func TestMovesCostWhatTheyAreSaidTo(t *testing.T) {
	fretted := func(str, fret, hand int) state {
		return state{strs: [fretboard.MaxStrings]int8{int8(str)}, hand: int8(hand), fret: int8(fret), notes: 1, fretted: 1 << str, played: 1 << str}
	}
	open := state{strs: [fretboard.MaxStrings]int8{3}, hand: 1, notes: 1, opens: 1, played: 1 << 3}
	e := defaultEffort
	for _, c := range []struct {
		name  string
		a, b  state
		beats float64
		from  []int
		want  float64
	}{
		{"staying", fretted(3, 2, 2), fretted(3, 4, 2), 1, nil, 0},
		{"to the next string", fretted(3, 2, 2), fretted(2, 4, 2), 1, nil, e.cross},
		{"two strings on", fretted(3, 2, 2), fretted(1, 4, 2), 1, nil, e.cross + e.crossMore},
		{"hopping with a finger", fretted(3, 2, 2), fretted(2, 2, 2), 1, nil, e.cross + e.hop},
		{"moving three frets", fretted(3, 2, 2), fretted(3, 5, 5), 1, nil, e.shift + 3*e.shiftFret},
		{"moving in a quarter beat", fretted(3, 2, 2), fretted(3, 5, 5), 0.25, nil, 2 * (e.shift + 3*e.shiftFret)},
		{"moving over an open string", open, fretted(3, 5, 5), 1, nil, e.shiftOpen * (e.shift + 4*e.shiftFret)},
		{"parting a slur", fretted(3, 2, 2), fretted(2, 4, 2), 1, []int{0}, e.cross + e.slur},
		{"slurring on one string", fretted(3, 2, 2), fretted(3, 4, 2), 1, []int{0}, 0},
	} {
		if got := e.mover(c.beats).move(&c.a, &c.b, c.from); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s costs %.2f, want %.2f", c.name, got, c.want)
		}
	}
}

// What a phrase begins with is found again only where all that its first step reads is
// the same.
func TestAWayIsFoundAgainOnlyAfterTheSamePlace(t *testing.T) {
	r := newRouter(fretboard.Part{Neck: fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}}, wish{})
	at := func(change func(*place)) string {
		p := place{state: &state{hand: 3, fret: 3, notes: 1, played: 1 << 6, fretted: 1 << 6}}
		change(&p)
		return string(r.key(nil, 0, 0, &p))
	}
	same := at(func(*place) {})
	for name, change := range map[string]func(*place){
		"away":    func(p *place) { p.away = 1 },
		"lost":    func(p *place) { p.lost = true },
		"hand":    func(p *place) { p.hand = 2 },
		"fret":    func(p *place) { p.fret = 4 },
		"notes":   func(p *place) { p.notes = 2 },
		"strings": func(p *place) { p.strs[0] = 5 },
		"played":  func(p *place) { p.played |= 1 << 1 },
		"fretted": func(p *place) { p.fretted |= 1 << 1 },
	} {
		if at(change) == same {
			t.Errorf("another %s before it makes no difference", name)
		}
	}
}
