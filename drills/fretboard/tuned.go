package fretboard

import (
	"fmt"
	"slices"
	"strings"

	"surefret/drills/theory"
)

// Shapes that a tuning has of its own: barres where the open strings are a chord, modal
// grips and drones, power barres below a dropped string. What players of these tunings
// use is common practice, no source.

// Families of shapes that tunings have of their own, and of those found for a tuning.
const (
	barres     = "barres"
	modalGrips = "modal grips"
	drones     = "drones"
	foundGrips = "grips"
)

// gaps writes how many half steps apart the strings are, from the lowest: "7 5 5 4 5".
func (t Tuning) gaps() string {
	var words []string
	for i := len(t.Open) - 2; i >= 0; i-- {
		words = append(words, fmt.Sprint(t.Open[i].MIDI()-t.Open[i+1].MIDI()))
	}
	return strings.Join(words, " ")
}

// tuned returns the shapes that t has of its own.
func (t Tuning) tuned() (all []Recipe) {
	gaps := " " + t.gaps()
	if strings.HasPrefix(gaps, " 7 5 ") {
		all = powerBarres(t.Strings())
	}
	for _, own := range tunedShapes {
		if strings.HasSuffix(gaps, own.gaps) {
			all = append(all, own.shapes...)
		}
	}
	for i := range all {
		all[i].Tuned = true
	}
	return all
}

// tunedShapes are the shapes of tunings by the gaps of their highest strings: five of
// open G, six of open D and of DADGAD.
var tunedShapes = []struct {
	gaps   string
	shapes []Recipe
}{
	{" 7 5 4 3", []Recipe{
		chord(5, "barre-5-major", barres, "one-finger barre, root on string 5", "", "1 5 8 10 12"),
		chord(5, "barre-5-minor", barres, "minor, the index a fret below the barre, root on string 5", "m", "1 5 8 b10"),
		chord(4, "barre-4-relative-minor", barres, "relative minor on the barre, root on string 4", "m", "1 b3 5 8"),
		chord(4, "barre-4-relative-m7", barres, "relative minor seventh on the barre, root on string 4", "m7", "1 b3 5 b7"),
		chord(5, "barre-5-7", barres, "barre with the seventh on string 1, root on string 5", "7", "1 5 8 10 b14"),
		chord(5, "barre-5-sus4", barres, "barre with the fourth on string 2, root on string 5", "sus4", "1 5 8 11 12"),
	}},
	{" 7 5 4 3 5", []Recipe{
		chord(6, "barre-6-major", barres, "one-finger barre, root on string 6", "", "1 5 8 10 12 15"),
		chord(6, "barre-6-minor", barres, "minor, the index a fret below the barre, root on string 6", "m", "1 5 8 b10"),
		chord(5, "barre-5-relative-minor", barres, "relative minor on the barre, root on string 5", "m", "1 b3 5 8 b10"),
		chord(5, "barre-5-relative-m7", barres, "relative minor seventh on the barre, root on string 5", "m7", "1 b3 5 b7 b10"),
		chord(6, "barre-6-7", barres, "barre with the seventh on string 2, root on string 6", "7", "1 5 8 10 b14 15"),
		chord(6, "barre-6-sus4", barres, "barre with the fourth on string 3, root on string 6", "sus4", "1 5 8 11 12 15"),
	}},
	{" 7 5 5 2 5", []Recipe{
		chord(6, "modal-6", modalGrips, "modal grip without a third, root on string 6", "5", "1 5 8 12 12 15"),
		chord(6, "modal-6-sus4", modalGrips, "one-finger barre, sus4, root on string 6", "sus4", "1 5 8 11 12 15"),
		chord(5, "modal-5-sus4", modalGrips, "modal grip with the fourth on top, root on string 5", "sus4", "1 5 8 8 11"),
		chord(4, "modal-4", modalGrips, "modal grip without a third, root on string 4", "5", "1 5 5 8"),
		drone(6, "drone-6-major", "major chord under the drones", "1 5 8 10"),
		drone(6, "drone-6-minor", "minor chord under the drones", "1 5 8 b10"),
		drone(5, "drone-5-octave", "root, fifth and octave under the drones", "1 5 8"),
		drone(4, "drone-4-major", "major third under the drones", "1 3"),
		drone(4, "drone-4-minor", "minor third under the drones", "1 b3"),
	}},
}

// drone makes a shape that moves under the two highest strings, which ring open.
func drone(low int, name, words, tokens string) Recipe {
	r := chord(low, name, drones, fmt.Sprintf("%s on strings 2 and 1, root on string %d", words, low), "", tokens)
	r.Kind, r.Ringing = KindTones, []int{2, 1}
	return r
}

// powerBarres are played with one finger where the lowest string is tuned down a whole
// step. The first two have the names that they have in every tuning.
func powerBarres(low int) []Recipe {
	named := func(name, family, words, symbol, tokens string) Recipe {
		return chord(low, fmt.Sprintf("power-%d%s", low, name), family, fmt.Sprintf("%s, root on string %d", words, low), symbol, tokens)
	}
	return []Recipe{
		named("", "power chords", "power chord, one finger", "5", "1 5"),
		named("-octave", "power chords", "power chord with its octave, one finger", "5", "1 5 8"),
		named("-sus2", barres, "power barre with the second on top", "sus2", "1 5 9"),
		named("-sus4", barres, "power barre over four strings, sus4", "sus4", "1 5 8 11"),
	}
}

// tunedNames are the shapes of all tunings, for those who look one up by its name.
func tunedNames() (all []Recipe) {
	for low := 5; low <= 7; low++ {
		all = append(all, powerBarres(low)[2:]...)
	}
	for _, own := range tunedShapes {
		all = append(all, own.shapes...)
	}
	return all
}

// usual is a standard tuning of as many strings, from which shapes are bent; it reports
// false where there is none.
func (t Tuning) usual() (Tuning, bool) {
	switch n := t.Strings(); {
	case n == SevenStrings.Strings():
		return SevenStrings, true
	case n <= Standard.Strings():
		return Standard, true
	}
	return Tuning{}, false
}

// bearable is how much more than in standard tuning a bent shape may take: a fret more
// of the hand.
const bearable = EffortSpan + 0.01

// bent returns nil where a shape of standard tuning lies on fb as it does there, or bent
// to frets that take about as much of the hand; else an error, one sentence. A form is
// its frets: bent it is none.
func (r Recipe) bent(fb Fretboard) error {
	usual, ok := fb.Tuning.usual()
	if r.Tuned || r.Family == OwnFamily || !ok || r.missing(Fretboard{Tuning: usual}) != 0 {
		return nil
	}
	home := fb
	home.Tuning, home.Capo = usual, 0
	here, taught := r.middle(fb), r.middle(home)
	if slices.Equal(here.frets(), taught.frets()) {
		return nil
	}
	if strings.HasSuffix(r.Family, " form") || r.Family == "fifth in the bass" {
		return fmt.Errorf("%s is no form of %s: its frets belong to another tuning", r.Name, fb.Tuning.Name)
	}
	if here.effort() > taught.effort()+bearable {
		return fmt.Errorf("%s is left out in %s: bent to its strings it would span %s, and take more of the hand than in standard tuning", r.Name, fb.Tuning.Name, Count(here.Span, "fret"))
	}
	return nil
}

// middle lays a recipe in the middle of a neck without end, to be measured.
func (r Recipe) middle(fb Fretboard) Placement {
	const fret = 18
	fb.Frets, fb.Capo = MostFrets, 0
	return r.At(fb, theory.FromMIDI(fb.MIDI(Position{r.Root, fret}), true).Note, fret)
}

// frets returns how far each note lies from the root.
func (p Placement) frets() (all []int) {
	for _, n := range p.Notes {
		all = append(all, n.Fret-p.Fret)
	}
	return all
}

// effort returns what holding a placement takes.
func (p Placement) effort() float64 {
	g := gripping{span: p.Span, barres: p.Barres}
	for _, n := range p.Notes {
		g.fingers = append(g.fingers, n.Finger)
	}
	return g.effort(p.Positions())
}

// effort returns what a hand that holds places so does, by [EffortSpan] and the like; a barre with
// another finger than the index is as far to reach as a note four frets away.
func (g gripping) effort(places []Position) float64 {
	fingers := map[int]bool{}
	low, reached := MostFrets, 0
	for i, p := range places {
		if p.Fret > 0 {
			low = min(low, p.Fret)
			if i < len(g.fingers) && g.fingers[i] > 0 {
				fingers[g.fingers[i]] = true
			}
		}
	}
	for _, p := range places {
		reached += one(p.Fret >= low+defaultStretch)
	}
	for _, b := range g.barres {
		reached += one(b.Fret > low)
	}
	return EffortSpan*float64(g.span) + EffortFinger*float64(max(len(fingers)-1, 0)) + EffortReach*float64(reached) + EffortSkip*float64(max(stopsOf(places).Skipped()-2, 0))
}

// foundSymbols are the chords that grips are looked for.
var foundSymbols = []string{"", "m", "7", "m7"}

// stringGained is what a string more is worth to a grip, in the units of [EffortSpan].
const stringGained = 0.15

// found looks for movable grips of the commonest chords with their roots on the three
// lowest strings, where shapes has none: at most a dozen, each the easiest. A grip is
// called by its degrees from the lowest string: "grip-6-1-5-1-b3".
func (fb Fretboard) found(shapes []Recipe) (all []Recipe) {
	lowest := fb.Tuning.Strings()
	for root := lowest; root > max(lowest-3, 2); root-- {
		for _, symbol := range foundSymbols {
			has := slices.ContainsFunc(shapes, func(r Recipe) bool {
				return r.Kind == KindChord && r.Root == root && r.Symbol == symbol && len(r.Tones) > 3 && r.Tones[0].String == root && r.Fits(fb) == nil
			})
			if has {
				continue
			}
			if r, ok := fb.easiest(root, symbol); ok {
				all = append(all, r)
			}
		}
	}
	return all
}

// easiest returns the grip of a chord over a root on one string, on neighbouring strings
// from it up, that takes least; of those that are as easy the one with the most strings.
func (fb Fretboard) easiest(root int, symbol string) (best Recipe, ok bool) {
	tones := chordTones(symbol)
	least := 0.0
	var try func(degrees []int)
	try = func(degrees []int) {
		if len(degrees) >= min(4, fb.Tuning.Strings()) {
			if r, complete := grips(root, tones, degrees); complete {
				p := r.middle(fb)
				cost := p.effort() - stringGained*float64(len(degrees))
				if p.Playable() && p.Span < defaultStretch && (!ok || cost < least) {
					best, least, ok = r, cost, true
				}
			}
		}
		if len(degrees) == root || len(degrees) == 6 {
			return
		}
		for d := range tones {
			next := append(slices.Clone(degrees), d)
			if r, _ := grips(root, tones, next); r.middle(fb).Span < defaultStretch {
				try(next)
			}
		}
	}
	try([]int{0})
	return best, ok
}

// chordTones are the degrees of a chord that a grip may have; all but the fifth of a
// seventh chord it must.
func chordTones(symbol string) []string {
	third := "3"
	if strings.HasPrefix(symbol, "m") {
		third = "b3"
	}
	if strings.HasSuffix(symbol, "7") {
		return []string{"1", third, "b7", "5"}
	}
	return []string{"1", third, "5"}
}

// grips makes the recipe whose tones rise from the root on a string, one a string, and
// reports whether every tone that must be there is.
func grips(root int, named []string, degrees []int) (r Recipe, complete bool) {
	words := make([]string, len(degrees))
	for i, d := range degrees {
		words[i] = named[d]
	}
	complete = true
	for i := range min(len(named), 3) {
		complete = complete && slices.Contains(degrees, i)
	}
	return gripOf(root, words), complete
}

// gripOf makes the recipe of degrees that rise from the root, "1 5 1 b3".
func gripOf(root int, degrees []string) Recipe {
	r := Recipe{
		Name:   fmt.Sprintf("grip-%d-%s", root, strings.Join(degrees, "-")),
		Family: foundGrips, Kind: KindChord, Root: root, Tuned: true,
	}
	octave := theory.Interval{Steps: 7, Semitones: 12}
	above := theory.Interval{}
	for i, d := range degrees {
		iv := tones(d)[0]
		for i > 0 && iv.Semitones <= above.Semitones {
			iv = iv.Plus(octave)
		}
		above = iv
		r.Tones = append(r.Tones, Tone{root - i, iv})
	}
	for _, symbol := range foundSymbols {
		all := chordTones(symbol)
		if !slices.ContainsFunc(degrees, func(d string) bool { return !slices.Contains(all, d) }) && slices.Contains(degrees, all[1]) {
			r.Symbol = symbol
			break
		}
	}
	r.Words = fmt.Sprintf("grip %s, %s, root on string %d", strings.Join(degrees, " "), quality(r.Symbol), root)
	return r
}

// readGrip reads the name of a grip that was found, in whatever tuning it was.
func readGrip(name string) (Recipe, bool) {
	rest, ok := strings.CutPrefix(name, "grip-")
	words := strings.Split(rest, "-")
	if !ok || len(words) < 4 || len(words) > 7 || words[1] != "1" {
		return Recipe{}, false
	}
	root := int(words[0][0] - '0')
	if len(words[0]) != 1 || root < len(words)-1 || root > MaxStrings || slices.ContainsFunc(words[1:], func(d string) bool {
		return !slices.Contains([]string{"1", "3", "b3", "5", "b7"}, d)
	}) {
		return Recipe{}, false
	}
	return gripOf(root, words[1:]), true
}
