package fretboard

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// A Barre is one finger laid over several strings at one fret.
type Barre struct {
	Fret     int
	From, To int // strings, From the lower in pitch: 6 to 1 is a full barre
}

// defaultStretch is how many frets a hand spans when [Fretboard.Stretch] says
// nothing.
const defaultStretch = 4

// HandFingers are those that stop strings: the thumb lies behind the neck.
const HandFingers = 4

// What holding a grip takes, in units of no name: 1 is about the trouble of crossing two
// strings with a finger. The numbers are our own, chosen so that what every method book
// teaches comes out as taught, which the tests hold them to.
const (
	EffortReach  = 1.2 // per note stopped four frets above the index finger
	EffortSpan   = 0.3 // per fret from the lowest to the highest
	EffortFinger = 0.1 // per finger beyond the first
	EffortSkip   = 2   // per silent string inside beyond two
)

// exceptions are the nine forms, of those most played, that hands hold otherwise than
// [grip]'s rule. Two books of chord diagrams have them so, chords-db 0.5.1 and jtab 1.3.2
// on npm, to which a test holds these and every other form that the books know.
var exceptions = func() map[Stops]gripping {
	all := map[Stops]gripping{}
	for _, e := range []struct {
		name, frets, fingers string
		upTo                 int // how many frets up the neck, 0 for open forms
	}{
		{"Em", "0 2 2 0 0 0", "0 2 3 0 0 0", 0},
		{"Em7", "0 2 0 0 0 0", "0 2 0 0 0 0", 0},
		{"Esus4", "0 2 2 2 0 0", "0 2 3 4 0 0", 0},
		{"A7", "x 0 2 0 2 0", "x 0 2 0 3 0", 0},
		{"Cmaj7", "x 3 2 0 0 0", "x 3 2 0 0 0", 0},
		{"Dsus2", "x x 0 2 3 0", "x x 0 1 3 0", 0},
		{"Dsus4", "x x 0 2 3 3", "x x 0 1 3 4", 0},
		{"Gmaj7", "3 2 0 0 0 2", "3 2 0 0 0 1", 0},
		{"D form, major seventh: the ring finger flat", "x x 1 3 3 3", "x x 1 3 3 3", MostFrets - 3},
	} {
		frets, fingers := strings.Fields(e.frets), strings.Fields(e.fingers)
		for up := range e.upTo + 1 {
			at, g := NoStops, gripping{}
			low, high := MostFrets, 0
			for i := range frets {
				fret, err := strconv.Atoi(frets[i])
				if err != nil {
					continue
				}
				finger, _ := strconv.Atoi(fingers[i])
				g.fingers = append(g.fingers, finger)
				at[len(frets)-i] = int8(fret + up)
				if fret > 0 {
					low, high = min(low, fret+up), max(high, fret+up)
				}
			}
			g.span = high - low
			if e.upTo > 0 {
				g.barres = []Barre{{high, 3, 1}}
			}
			all[at] = g
		}
	}
	return all
}()

// A gripping is what a hand must do to hold some places at once.
type gripping struct {
	span    int
	fingers []int // one per place, in the order given; nil when it cannot be held
	barres  []Barre
	why     string
}

// grip finds fingers for places, given from the lowest string up: those of
// [exceptions], or else by rule. The index lies flat where neighbouring strings
// share the lowest fret, and no string that rings open lies in its way. Every other
// fretted note gets a finger of its own while there are enough; then the lowest
// fret is barred, then the next. A barre stops a run of strings if every string
// within it is unplayed or stopped at the same fret or above. This gives the
// fingerings that are taught for the full barre forms. A scale is played a note at
// a time: only its reach is asked.
func grip(fb Fretboard, places []Position, scale bool) gripping {
	low, high, why := bounds(fb, places)
	g := gripping{span: high - low, why: why}
	if why != "" || scale {
		return g
	}
	at := stopsOf(places)
	if e, ok := exceptions[*at]; ok {
		return e
	}
	order := byFret(places)
	fingers := len(order)
	if flat, ok := at.indexFlat(low); ok {
		g.barres = append(g.barres, flat)
		fingers -= flat.From - flat.To
	}
	for f := low; f <= high && fingers > HandFingers; f++ {
		runs, notes := at.runs(f, nil)
		if len(g.barres) == 0 || g.barres[0].Fret != f {
			fingers -= notes - len(runs)
		}
		for _, r := range runs {
			if r.From != r.To && !slices.Contains(g.barres, r) {
				g.barres = append(g.barres, r)
			}
		}
	}
	if fingers > HandFingers {
		g.why = fmt.Sprintf("it takes %d fingers, even with barres", fingers)
		return g
	}
	g.giveFingers(places, order, low, fingers)
	return g
}

// bounds returns the lowest and highest fret that is stopped, and why no hand
// reaches all places.
func bounds(fb Fretboard, places []Position) (low, high int, why string) {
	for _, p := range places {
		switch {
		case p.Fret < 0:
			return 0, 0, fmt.Sprintf("string %d would lie %s below the nut", p.String, Count(-p.Fret, "fret"))
		case p.Fret > fb.Last():
			return 0, 0, fmt.Sprintf("string %d would need fret %d, and the neck ends at %d", p.String, p.Fret, fb.Last())
		case p.Fret == 0:
			continue
		case low == 0 || p.Fret < low:
			low = p.Fret
		}
		high = max(high, p.Fret)
	}
	if reach := fb.Reach(); high-low > reach {
		why = fmt.Sprintf("it needs a stretch of %s, and your hand is set to %d", Count(high-low, "fret"), reach)
	}
	return low, high, why
}

// giveFingers gives each fretted place its finger, in order.
func (g *gripping) giveFingers(places []Position, order []int, low, fingers int) {
	g.fingers = make([]int, len(places))
	last, left := 0, fingers
	for _, i := range order {
		p := places[i]
		if j := slices.IndexFunc(g.barres, func(b Barre) bool {
			return b.Fret == p.Fret && p.String < b.From && p.String >= b.To
		}); j >= 0 {
			first := slices.Index(places, Position{g.barres[j].From, p.Fret})
			g.fingers[i] = g.fingers[first]
			continue
		}
		// A finger a fret where there are fingers to spare.
		last = min(max(last+1, p.Fret-low+1), HandFingers-left+1)
		left--
		g.fingers[i] = last
	}
}

// Reach returns how many frets the hand spans.
func (fb Fretboard) Reach() int {
	if fb.Stretch == 0 {
		return defaultStretch
	}
	return fb.Stretch
}

// byFret orders the fretted places as fingers are given out: by fret, and on
// one fret from the lowest string up.
func byFret(places []Position) []int {
	var order []int
	for i, p := range places {
		if p.Fret > 0 {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(i, j int) int {
		if a, b := places[i], places[j]; a.Fret != b.Fret {
			return a.Fret - b.Fret
		} else {
			return b.String - a.String
		}
	})
	return order
}

// Stops holds the fret of each string by its number, -1 where it is not played.
type Stops [MaxStrings + 1]int8

// NoStops plays no string.
var NoStops = func() (at Stops) {
	for i := range at {
		at[i] = -1
	}
	return at
}()

func stopsOf(places []Position) *Stops {
	at := NoStops
	for _, p := range places {
		at[p.String] = int8(p.Fret)
	}
	return &at
}

// runs appends to buf the runs of strings that one finger each can stop at fret
// f, and counts the notes that lie there. A run of one note is a plain finger.
func (at *Stops) runs(f int, buf []Barre) (runs []Barre, notes int) {
	running := false
	for s := MaxStrings; s >= 1; s-- {
		switch fret := int(at[s]); {
		case fret == f:
			notes++
			if !running {
				buf = append(buf, Barre{f, s, s})
			}
			buf[len(buf)-1].To = s
			running = true
		case fret >= 0 && fret < f:
			running = false
		}
	}
	return buf, notes
}

// Fingers counts the fingers that the fretted notes take, barring from the
// lowest fret while there are more than a hand has.
func (at *Stops) Fingers(low, high int) int {
	n := 0
	for s := 1; s <= MaxStrings; s++ {
		if at[s] > 0 {
			n++
		}
	}
	var buf [MaxStrings]Barre
	for f := max(low, 1); f <= high && n > HandFingers; f++ {
		runs, notes := at.runs(f, buf[:0])
		n -= notes - len(runs)
	}
	return n
}

// indexFlat returns the strings on which the index lies flat at the lowest fret:
// two or more neighbours that hold all notes of that fret, with no open string
// between the finger's tip and string 1.
func (at *Stops) indexFlat(low int) (Barre, bool) {
	var flat Barre
	for s := MaxStrings; s >= 1; s-- {
		fret := int(at[s])
		switch {
		case fret == 0 && flat.From > 0:
			return flat, false
		case fret != low || low == 0:
		case flat.From == 0:
			flat = Barre{low, s, s}
		case flat.To != s+1:
			return flat, false
		default:
			flat.To = s
		}
	}
	return flat, flat.From > flat.To
}

// Skipped counts the silent strings between the outermost sounding ones.
func (at *Stops) Skipped() int {
	first, last, played := 0, 0, 0
	for s := 1; s <= MaxStrings; s++ {
		if at[s] >= 0 {
			if first == 0 {
				first = s
			}
			last = s
			played++
		}
	}
	return last - first + 1 - played
}

// Count says how many there are of a thing: "1 fret", "3 frets".
func Count(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}
