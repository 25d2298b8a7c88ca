package fingering

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
	"surefret/testdata/oracle"
)

// closedEffort avoids open strings, as parts that are to be moved do.
var closedEffort = func() effort {
	e := defaultEffort
	e.open = 1.5
	return e
}()

// The first eight are common practice, no source: how method books finger these
// scales, tunes and chords in open and closed position.
func TestRefingeringFindsWhatIsTaught(t *testing.T) {
	closed := wish{effort: &closedEffort}
	for _, c := range []struct {
		name, notes string
		wish        wish
		want        string
	}{
		{"C major, open position", "C3 D3 E3 F3 G3 A3 B3 C4", wish{}, "5/3 4/0 4/2 4/3 3/0 3/2 2/0 2/1"},
		{"G major, two octaves", "G2 A2 B2 C3 D3 E3 F#3 G3 A3 B3 C4 D4 E4 F#4 G4", wish{},
			"6/3 5/0 5/2 5/3 4/0 4/2 4/4 3/0 3/2 2/0 2/1 2/3 1/0 1/2 1/3"},
		{"C major, closed", "C3 D3 E3 F3 G3 A3 B3 C4", closed, "5/3 5/5 4/2 4/3 4/5 3/2 3/4 3/5"},
		{"G major, closed", "G2 A2 B2 C3 D3 E3 F#3 G3 A3 B3 C4 D4 E4 F#4 G4", closed,
			"6/3 6/5 5/2 5/3 5/5 4/2 4/4 4/5 3/2 3/4 3/5 2/3 2/5 1/2 1/3"},
		{"an old tune about a star", "C3 C3 G3 G3 A3 A3 G3 F3 F3 E3 E3 D3 D3 C3", wish{}, "5/3 5/3 3/0 3/0 3/2 3/2 3/0 4/3 4/3 4/2 4/2 4/0 4/0 5/3"},
		{"open chords", "C3+E3+G3+C4+E4 F2+C3+F3+A3+C4+F4 G2+B2+D3+G3+B3+F4 C3+E3+G3+C4+E4", wish{},
			"5/3 4/2 3/0 2/1 1/0; 6/1 5/3 4/3 3/2 2/1 1/1; 6/3 5/2 4/0 3/0 2/0 1/1; 5/3 4/2 3/0 2/1 1/0"},
		{"tenths in G", "G2+B3 A2+C4 B2+D4 C3+E4 D3+F#4", closed, "6/3 3/4; 6/5 3/5; 5/2 2/3; 5/3 2/5; 5/5 2/7"},
	} {
		p, _ := leastEffort(guitar, sounds(t, c.notes), c.wish)
		if got := spellPath(p.places); got != c.want {
			t.Errorf("%s:\n got %s\nwant %s", c.name, got, c.want)
		}
	}
}

// Every event's places sound what was asked, and no walk through the states of
// a short part is cheaper than the path found.
func TestRefingeringEqualsExhaustiveSearch(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	tried := 0
	for range 400 {
		var part []sound
		midi := 45 + rng.IntN(20)
		for range 3 {
			midi = min(max(midi+rng.IntN(15)-7, 42), 80)
			s := sound{midi: []int{midi}, beats: []float64{0.25, 0.5, 1}[rng.IntN(3)]}
			if rng.IntN(4) == 0 {
				s.midi = append(s.midi, midi+3+rng.IntN(14))
			}
			part = append(part, s)
		}
		w := wish{effort: &defaultEffort}
		if rng.IntN(2) == 0 {
			w.effort = &closedEffort
		}
		p, playable := leastEffort(guitar, part, w)
		if !playable {
			continue
		}
		tried++
		for i, s := range part {
			for j, at := range p.places[i] {
				if guitar.MIDI(at) != s.midi[j] {
					t.Fatalf("%s sounds %d, want %d", at.Say(), guitar.MIDI(at), s.midi[j])
				}
			}
		}
		// Every combination of places, each with its own best hand.
		least := math.Inf(1)
		var try func(i int, places [][]fretboard.Position)
		try = func(i int, places [][]fretboard.Position) {
			if i == len(part) {
				if p, playable := fixed(part, places, w); playable {
					least = min(least, p.cost)
				}
				return
			}
			for _, a := range guitar.Places(part[i].midi[0]) {
				if len(part[i].midi) == 1 {
					try(i+1, append(places[:i:i], []fretboard.Position{a}))
					continue
				}
				for _, b := range guitar.Places(part[i].midi[1]) {
					if a.String != b.String && (a.Fret == 0 || b.Fret == 0 || max(a.Fret-b.Fret, b.Fret-a.Fret) <= 4) {
						try(i+1, append(places[:i:i], []fretboard.Position{a, b}))
					}
				}
			}
		}
		try(0, nil)
		if math.Abs(least-p.cost) > 1e-9 {
			t.Fatalf("%v: found a path of %.3f, exhaustive search one of %.3f", part, p.cost, least)
		}
	}
	if tried < 300 {
		t.Errorf("only %d parts were searched", tried)
	}
}

func TestWhatNoHandPlaysIsNamed(t *testing.T) {
	for notes, why := range map[string]string{
		"D2": "D2 has no place", "E2+F2": "too far apart", "E2+G2+B2+D3+F3+A3+C4": "7 notes for 6 strings",
	} {
		all := sounds(t, notes)
		if got := newGraph(guitar, wish{}).whyNot(&all[0]); !strings.Contains(got, why) {
			t.Errorf("%s: %s", notes, got)
		}
		if p, playable := leastEffort(guitar, all, wish{}); playable {
			t.Errorf("%s is played as %v", notes, p.places)
		}
	}
}

func TestWishesAreKept(t *testing.T) {
	w := wish{strings: []int{6, 5, 4}, low: 5, high: 9}
	p, _ := leastEffort(guitar, sounds(t, "A2 B2 C#3 D3 E3 F#3 G#3 A3"), w)
	if len(p.places) != 8 {
		t.Fatal("a scale within four frets is not played")
	}
	for _, places := range p.places {
		if at := places[0]; at.String < 4 || at.Fret > 9 || at.Fret > 0 && at.Fret < 5 {
			t.Errorf("%s was not allowed", at.Say())
		}
	}
	slur := sounds(t, "A3 B3")
	if p, _ := leastEffort(guitar, slur, wish{}); spellPath(p.places) != "3/2 2/0" {
		t.Errorf("A and B struck one by one lie at %v", p.places)
	}
	slur[1].from = []int{0}
	if p, playable := leastEffort(guitar, slur, wish{}); !playable || p.places[0][0].String != p.places[1][0].String {
		t.Errorf("a hammer-on was parted over two strings: %v", p.places)
	}
	if p, playable := leastEffort(guitar, nil, w); !playable || p.cost != 0 {
		t.Errorf("an empty part costs %v", p.cost)
	}
}

// sounds reads notes parted by spaces, those of a chord joined by +.
func sounds(t testing.TB, notes string) []sound {
	t.Helper()
	var all []sound
	for _, event := range strings.Fields(notes) {
		var s sound
		for _, name := range strings.Split(event, "+") {
			p, err := theory.ParsePitch(name)
			must(t, err)
			s.midi = append(s.midi, p.MIDI())
		}
		all = append(all, s)
	}
	return all
}

// spellPath writes a path: notes by spaces, or chords by semicolons.
func spellPath(path [][]fretboard.Position) string {
	var events []string
	between := " "
	for _, places := range path {
		events = append(events, fretboard.WritePlaces(places))
		if len(places) > 1 {
			between = "; "
		}
	}
	return strings.Join(events, between)
}

func BenchmarkFingering(b *testing.B) {
	// Every chord shape over C wherever it lies: hardly a chord comes twice.
	var forms []string
	for _, r := range fretboard.Shapes {
		for _, p := range r.On(guitar, theory.Note{}) {
			if r.Kind == fretboard.KindChord && p.Playable() {
				var names []string
				for _, n := range p.Notes {
					names = append(names, n.Pitch.String())
				}
				forms = append(forms, strings.Join(names, "+"))
			}
		}
	}
	for _, c := range []struct{ name, notes string }{
		{"all shapes", strings.Join(forms, " ")},
		{"melody", "G2 A2 B2 C3 D3 E3 F#3 G3 A3 B3 C4 D4 E4 F#4 G4 F#4 E4 D4 C4 B3"},
		{"chords", "C3+E3+G3+C4+E4 F2+C3+F3+A3+C4+F4 G2+B2+D3+G3+B3+F4 A2+E3+A3+C4+E4"},
	} {
		b.Run(c.name, func(b *testing.B) {
			part := sounds(b, c.notes)
			for len(part) < 1000 && c.name != "all shapes" {
				part = append(part, part...)
			}
			notes := 0
			for _, s := range part {
				notes += len(s.midi)
			}
			b.ReportAllocs()
			before := oracle.CPU()
			for b.Loop() {
				if _, playable := leastEffort(guitar, part, wish{}); !playable {
					b.Fatal("no hand plays it")
				}
			}
			b.ReportMetric(float64((oracle.CPU()-before).Nanoseconds())/1000/float64(b.N)/float64(notes), "cpu-µs/note")
		})
	}
}
