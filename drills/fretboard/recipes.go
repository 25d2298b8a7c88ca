package fretboard

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"surefret/drills/theory"
)

// Shapes is the working set of movable shapes, in the order of [families].
var Shapes = slices.Concat(
	tenths(), octaves(), thirdsAndSixths(), powerChords(), triads(), forms(), overOtherTones(), heldTones(), pentatonics(),
)

// families lists the families of shapes.
var families = []string{
	barres, modalGrips, drones,
	"tenths", "octaves", "thirds", "sixths", "power chords", "triads",
	"E form", "A form", "C form", "G form", "D form", "third in the bass", "fifth in the bass", foundGrips, "held tones",
	"root and fifth", "scales", "arpeggios", "pentatonic boxes", OwnFamily,
}

// A two-string shape is one interval, whatever the strings.
func twoStrings(name, family, words string, low, high int, interval, tone string) Recipe {
	return Recipe{
		Name: name, Family: family, Words: fmt.Sprintf("%s on strings %d and %d", words, low, high),
		Kind: KindInterval, Root: low, Symbol: interval,
		Tones: []Tone{{low, theory.Interval{}}, {high, tones(tone)[0]}},
	}
}

func tenths() []Recipe {
	var all []Recipe
	for low := 7; low >= 4; low-- {
		all = append(all,
			twoStrings(fmt.Sprintf("tenth-%d-major", low), "tenths", "major tenth", low, low-3, "M10", "10"),
			twoStrings(fmt.Sprintf("tenth-%d-minor", low), "tenths", "minor tenth", low, low-3, "m10", "b10"))
	}
	return all
}

func octaves() []Recipe {
	var all []Recipe
	for _, s := range [][2]int{{7, 5}, {6, 4}, {5, 3}, {4, 2}, {3, 1}, {6, 3}, {5, 2}} {
		all = append(all, twoStrings(fmt.Sprintf("octave-%d-%d", s[0], s[1]), "octaves", "octave", s[0], s[1], "P8", "8"))
	}
	return all
}

func thirdsAndSixths() []Recipe {
	var all []Recipe
	for _, k := range []struct{ name, family, quality, tone, interval string }{
		{"third", "thirds", "major", "3", "M3"}, {"third", "thirds", "minor", "b3", "m3"},
		{"sixth", "sixths", "major", "6", "M6"}, {"sixth", "sixths", "minor", "b6", "m6"},
	} {
		for apart := 1; apart <= 2; apart++ {
			if k.name == "third" && apart == 2 {
				continue // its notes lie a hand apart
			}
			for low := 6; low > apart; low-- {
				all = append(all, twoStrings(fmt.Sprintf("%s-%d-%d-%s", k.name, low, low-apart, k.quality),
					k.family, k.quality+" "+k.name, low, low-apart, k.interval, k.tone))
			}
		}
	}
	return all
}

func powerChords() []Recipe {
	var all []Recipe
	add := func(low int, name, words, tokens string) {
		r := chord(low, fmt.Sprintf("power-%d%s", low, name), "power chords", words, "5", tokens)
		if name == "-inverted" {
			r.Root = low - 1
		}
		all = append(all, r)
	}
	for low := 7; low >= 3; low-- {
		add(low, "", fmt.Sprintf("power chord, root on string %d", low), "1 5")
		add(low, "-octave", fmt.Sprintf("power chord with its octave, root on string %d", low), "1 5 8")
		add(low, "-inverted", fmt.Sprintf("power chord with the fifth in the bass, on strings %d and %d", low, low-1), "-4 1")
	}
	return all
}

func triads() []Recipe {
	qualities := []struct{ name, symbol, third, fifth string }{
		{"major", "", "3", "5"}, {"minor", "m", "b3", "5"}, {"diminished", "dim", "b3", "b5"}, {"augmented", "aug", "3", "#5"},
	}
	var all []Recipe
	for low := 6; low >= 3; low-- {
		set := fmt.Sprintf("%d%d%d", low, low-1, low-2)
		for _, q := range qualities {
			third, fifth := tones(q.third)[0], tones(q.fifth)[0]
			octave := theory.Interval{Steps: 7, Semitones: 12}
			below := func(iv theory.Interval) theory.Interval { return iv.Plus(octave.Neg()) }
			for i, inv := range []struct {
				name  string
				tones [3]theory.Interval
			}{
				{"root", [3]theory.Interval{{}, third, fifth}},
				{"first", [3]theory.Interval{below(third), below(fifth), {}}},
				{"second", [3]theory.Interval{below(fifth), {}, third}},
			} {
				r := Recipe{
					Name:   fmt.Sprintf("triad-%s-%s-%s", set, q.name, inv.name),
					Family: "triads", Kind: KindChord, Symbol: q.symbol,
					Words: fmt.Sprintf("%s triad on strings %d %d %d, %s", q.name, low, low-1, low-2,
						[]string{"root position", "first inversion", "second inversion"}[i]),
					Root: low - []int{0, 2, 1}[i],
				}
				for k, iv := range inv.tones {
					r.Tones = append(r.Tones, Tone{low - k, iv})
				}
				all = append(all, r)
			}
		}
	}
	return all
}

// forms are the five open chord forms made movable. Tones run from string 6.
func forms() []Recipe {
	var all []Recipe
	for _, f := range []struct {
		form   string
		root   int
		chords []string // symbol, then tones
	}{
		{"E", 6, []string{
			"", "1 5 8 10 12 15",
			"m", "1 5 8 b10 12 15",
			"7", "1 5 b7 10 12 15",
			"m7", "1 5 b7 b10 12 15",
			"maj7", "1 5 7 10 12 15",
			"sus2", "1 5 9 12 12 15",
			"sus4", "1 5 8 11 12 15",
			"add9", "1 5 9 10 12 15",
			"7sus4", "1 5 b7 11 12 15",
		}},
		{"A", 5, []string{
			"", "x 1 5 8 10 12",
			"m", "x 1 5 8 b10 12",
			"7", "x 1 5 b7 10 12",
			"m7", "x 1 5 b7 b10 12",
			"maj7", "x 1 5 7 10 12",
			"sus2", "x 1 5 8 9 12",
			"sus4", "x 1 5 8 11 12",
			"add9", "x 1 5 9 10 12",
			"7sus4", "x 1 5 b7 11 12",
		}},
		{"C", 5, []string{
			"", "x 1 3 5 8 10",
			"m", "x 1 b3 5 8 x",
			"7", "x 1 3 b7 8 x",
			"m7", "x 1 b3 b7 8 12",
			"maj7", "x 1 3 5 7 10",
			"sus2", "x 1 2 5 8 12",
			"sus4", "x 1 4 5 8 11",
			"add9", "x 1 3 5 9 10",
		}},
		{"G", 6, []string{
			"", "1 3 5 8 10 15",
			"m", "1 b3 5 8 12 15",
			"7", "1 3 5 8 10 b14",
			"m7", "1 b3 b7 b10 12 x",
			"maj7", "1 3 5 8 10 14",
			"sus2", "1 2 5 8 12 15",
			"sus4", "1 4 5 8 11 15",
			"add9", "1 3 5 9 10 x",
		}},
		{"D", 4, []string{
			"", "x x 1 5 8 10",
			"m", "x x 1 5 8 b10",
			"7", "x x 1 5 b7 10",
			"m7", "x x 1 5 b7 b10",
			"maj7", "x x 1 5 7 10",
			"sus2", "x x 1 5 8 9",
			"sus4", "x x 1 5 8 11",
			"add9", "x x 1 3 5 9",
		}},
	} {
		for i := 0; i < len(f.chords); i += 2 {
			symbol := f.chords[i]
			r := chord(6, strings.ToLower(f.form)+"-form-"+quality(symbol), f.form+" form",
				fmt.Sprintf("%s form, %s, root on string %d", f.form, quality(symbol), f.root), symbol, f.chords[i+1])
			r.Root = f.root
			all = append(all, r)
		}
	}
	for _, c := range [][2]string{{"sus2", "-4 1 2"}, {"sus4", "-4 1 4"}} {
		r := chord(3, "d-form-top-"+c[0], "D form", "D form on the top three strings, "+c[0]+", root on string 2", c[0], c[1])
		r.Root = 2
		all = append(all, r)
	}
	return all
}

// overOtherTones are chords over their own third, the first inversions that bands
// write as D/F#, and over their own fifth, as in C/G.
func overOtherTones() []Recipe {
	var all []Recipe
	for _, c := range []struct {
		name, words  string
		root         int
		symbol, tone string
	}{
		{"third-6-major", "major over its third on string 6, root on string 4", 4, "", "-b6 x 1 5 8 x"},
		{"third-6-minor", "minor over its third on string 6, root on string 4", 4, "m", "-6 x 1 5 8 x"},
		{"third-6-maj7", "major seventh over its third on string 6, root on string 4", 4, "maj7", "-b6 x 1 5 7 x"},
		{"third-5-major", "major over its third on string 5, root on string 3", 3, "", "x -b6 -4 1 3 x"},
		{"third-5-minor", "minor over its third on string 5, root on string 3", 3, "m", "x -6 -4 1 b3 x"},
		{"third-5-major-wide", "major over its third on string 5, root on string 3, fifth on top", 3, "", "x -b6 x 1 5 x"},
		{"third-5-minor-wide", "minor over its third on string 5, root on string 3, fifth on top", 3, "m", "x -6 x 1 5 x"},
		{"fifth-6-major", "C form over its fifth on string 6, root on string 5", 5, "", "-4 1 3 5 8 10"},
		{"fifth-6-a-major", "A form over its fifth on string 6, root on string 5", 5, "", "-4 1 5 8 10 12"},
		{"fifth-6-a-minor", "A form, minor, over its fifth on string 6, root on string 5", 5, "m", "-4 1 5 8 b10 12"},
		{"fifth-5-major", "D form over its fifth on string 5, root on string 4", 4, "", "x -4 1 5 8 10"},
		{"fifth-5-minor", "D form, minor, over its fifth on string 5, root on string 4", 4, "m", "x -4 1 5 8 b10"},
	} {
		bass, _, _ := strings.Cut(c.name, "-")
		r := chord(6, "over-"+c.name, bass+" in the bass", c.words, c.symbol, c.tone)
		r.Root = c.root
		all = append(all, r)
	}
	return all
}

// heldTones keep tones of the key ringing on top while the chords change below.
// Their root is the keynote, the top one.
func heldTones() []Recipe {
	var all []Recipe
	for _, c := range []struct{ held, over, symbol, tone string }{
		{"1-5", "1", "", "-15 -b13 -11 -8 -4 1"},
		{"1-5", "4", "add9", "x -12 -b10 -8 -4 1"},
		{"1-5", "5", "sus4", "x x -11 -b7 -4 1"},
		{"1-5", "6", "m7", "-b17 -b13 -b10 -8 -4 1"},
		{"1-5", "2", "7sus4", "x -b14 -b10 -8 -4 1"},
		{"1", "1", "", "x -8 -b6 -4 1 x"},
		{"1", "4", "", "x x -5 -b3 1 x"},
		{"1", "5", "sus4", "-11 x -b7 -4 1 x"},
		{"1", "6", "m", "x -b10 -b6 -b3 1 x"},
	} {
		words := fmt.Sprintf("keynote held on string 2 over the %s of the key, %s", c.over, quality(c.symbol))
		if c.held == "1-5" {
			words = fmt.Sprintf("keynote and fifth held on strings 1 and 2 over the %s of the key, %s", c.over, quality(c.symbol))
		}
		r := chord(6, "held-"+c.held+"-over-"+c.over, "held tones", words, c.symbol, c.tone)
		r.Root, r.Over = r.Tones[len(r.Tones)-1].String, tones(c.over)[0]
		all = append(all, r)
	}
	return all
}

// pentatonics are boxes of two notes a string. Box 1 starts from the keynote,
// box 2 from the next note of the scale.
func pentatonics() []Recipe {
	var all []Recipe
	for _, s := range []struct{ name, scale string }{{"minor", "1 b3 4 5 b7"}, {"major", "1 2 3 5 6"}} {
		scale := tones(s.scale)
		for box := range scale {
			r := Recipe{
				Name: fmt.Sprintf("pentatonic-%d-%s", box+1, s.name), Family: "pentatonic boxes", Kind: KindScale,
				Symbol: s.name + " pentatonic",
				Words:  fmt.Sprintf("%s pentatonic, box %d, two notes a string", s.name, box+1),
			}
			for i := range 12 {
				n := box + i
				iv := scale[n%5].Plus(theory.Interval{Steps: 7 * (n / 5), Semitones: 12 * (n / 5)})
				if box > 0 { // count from the keynote inside the box
					iv = iv.Plus(theory.Interval{Steps: -7, Semitones: -12})
				}
				r.Tones = append(r.Tones, Tone{6 - i/2, iv})
				if iv == (theory.Interval{}) {
					r.Root = 6 - i/2
				}
			}
			all = append(all, r)
		}
	}
	return all
}

// chord writes a recipe from its tones, string low first.
func chord(low int, name, family, words, symbol, tokens string) Recipe {
	r := Recipe{Name: name, Family: family, Words: words, Kind: KindChord, Root: low, Symbol: symbol}
	for i, tok := range strings.Fields(tokens) {
		if tok != "x" {
			r.Tones = append(r.Tones, Tone{low - i, tones(tok)[0]})
		}
	}
	return r
}

// quality is the word for a chord's symbol.
func quality(symbol string) string {
	switch symbol {
	case "":
		return "major"
	case "m":
		return "minor"
	}
	return symbol
}

// tones reads the tones of a recipe, written as numbers of the major scale from
// the root: b10 is a minor tenth above it, -b6 a minor sixth below.
func tones(s string) []theory.Interval {
	var all []theory.Interval
	for _, tok := range strings.Fields(s) {
		size := strings.TrimPrefix(tok, "-")
		n, err := strconv.Atoi(strings.TrimLeft(size, "#b"))
		if err != nil {
			panic("recipe with the tone " + tok)
		}
		major := [7]int{0, 2, 4, 5, 7, 9, 11}
		iv := theory.Interval{Steps: n - 1, Semitones: 12*((n-1)/7) + major[(n-1)%7] + strings.Count(size, "#") - strings.Count(size, "b")}
		if size != tok {
			iv = iv.Neg()
		}
		all = append(all, iv)
	}
	return all
}
