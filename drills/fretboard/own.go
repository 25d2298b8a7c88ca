package fretboard

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"surefret/drills/theory"
)

// An OwnShape is a shape that the player wrote down: its frets at one place of the
// neck, "x x 11 9 10 x" from the lowest string, and the string of its root. Degrees
// are worked out from these, so that it moves as every shape does.
type OwnShape struct {
	Name       string `json:"name"`
	Frets      string `json:"frets"`
	RootString int    `json:"root_string"`
	Tuning     string `json:"tuning"` // that the frets are for, by its name or its pitches
}

// OwnFamily is the family of the player's own shapes.
const OwnFamily = "own shapes"

// KindTones are tones sounded together that make no chord that has a name.
const KindTones Kind = 3

var ownName = regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,39}$`)

// Recipe works the shape out. The error is one sentence: a name, frets or a root
// string that cannot be used.
func (o OwnShape) Recipe() (Recipe, error) {
	if !ownName.MatchString(o.Name) {
		return Recipe{}, fmt.Errorf("%q is no name for a shape: use small letters, digits and hyphens, 40 at most, like my-bell-chord", o.Name)
	}
	if _, err := Shape(o.Name); err == nil {
		return Recipe{}, fmt.Errorf("there is a shape called %s already: use another name", o.Name)
	}
	tuning, err := ParseTuning(o.Tuning)
	if err != nil {
		return Recipe{}, err
	}
	places, err := tuning.ReadFrets(o.Frets)
	if err == nil && len(places) < 2 {
		err = fmt.Errorf("%q is no shape: give frets on two strings or more", o.Frets)
	}
	if err != nil {
		return Recipe{}, err
	}
	root := slices.IndexFunc(places, func(p Position) bool { return p.String == o.RootString })
	if root < 0 {
		return Recipe{}, fmt.Errorf("string %d does not sound in %q: give the string of the root, one that has a fret", o.RootString, o.Frets)
	}
	r := Recipe{Name: o.Name, Family: OwnFamily, Root: o.RootString,
		Words: fmt.Sprintf("your shape %s, root on string %d", o.Name, o.RootString)}
	for _, p := range places {
		r.Tones = append(r.Tones, Tone{p.String, degreeAbove(tuning.midi(p) - tuning.midi(places[root]))})
	}
	r.name()
	return r, nil
}

// OwnRecipes works shapes out, without those that cannot be.
func OwnRecipes(shapes []OwnShape) (all []Recipe) {
	for _, o := range shapes {
		if r, err := o.Recipe(); err == nil {
			all = append(all, r)
		}
	}
	return all
}

// ReadFrets reads a fret for each string from the lowest, x for one that is silent:
// "x x 8 10 11 x", "x32010".
func (t Tuning) ReadFrets(text string) ([]Position, error) {
	words := strings.FieldsFunc(text, func(r rune) bool { return unicode.IsSpace(r) || r == ',' })
	if len(words) == 1 && len(words[0]) == t.Strings() { // "x32010"
		words = strings.Split(words[0], "")
	}
	if len(words) != t.Strings() {
		return nil, fmt.Errorf("%q has %s for %s: give a fret or x for each, from the lowest, like \"x x 8 10 11 x\"",
			text, Count(len(words), "fret"), Count(t.Strings(), "string"))
	}
	var places []Position
	for i, w := range words {
		if strings.EqualFold(w, "x") {
			continue
		}
		fret, err := strconv.Atoi(w)
		if err != nil || fret < 0 || fret > MostFrets {
			return nil, fmt.Errorf("%q in %q is no fret: give 0 to %d, or x for a string that is silent", w, text, MostFrets)
		}
		places = append(places, Position{t.Strings() - i, fret})
	}
	return places, nil
}

// degreeAbove spells a distance in semitones as players count degrees: 1 b2 2 b3 3 4
// b5 5 b6 6 b7 7, and below the root the same an octave down.
func degreeAbove(semitones int) theory.Interval {
	steps := [12]int{0, 1, 1, 2, 2, 3, 4, 4, 5, 5, 6, 6}
	octave := (semitones - mod(semitones, 12)) / 12
	return theory.Interval{Steps: 7*octave + steps[mod(semitones, 12)], Semitones: semitones}
}

// ownSymbols are the chords that a shape of one's own is looked for among.
var ownSymbols = strings.Split(",m,7,m7,maj7,6,m6,dim,aug,sus2,sus4,7sus4,add9,9,m9,maj9,dim7,m7b5,mM7,5", ",")

// name finds what the tones make together: an interval, or a chord on the root or on
// another of them.
func (r *Recipe) name() {
	if len(r.Tones) == 2 {
		above := r.Tones[1].Above.Plus(r.Tones[0].Above.Neg())
		r.Kind, r.Symbol = KindInterval, above.String()
		return
	}
	var sounding [12]bool
	for _, t := range r.Tones {
		sounding[mod(t.Above.Semitones, 12)] = true
	}
	c := theory.Note{Letter: theory.C}
	over := []theory.Interval{{}}
	for _, t := range r.Tones {
		if up := t.Above.Simple(); mod(t.Above.Semitones, 12) != 0 {
			over = append(over, theory.Interval{Steps: mod(up.Steps, 7), Semitones: mod(t.Above.Semitones, 12)})
		}
	}
	for _, iv := range over {
		for _, symbol := range ownSymbols {
			chord, err := theory.ParseChord(c.Add(iv).String() + symbol)
			if err != nil {
				continue
			}
			var tones [12]bool
			for _, n := range chord.Notes() {
				tones[n.PitchClass()] = true
			}
			if tones == sounding {
				r.Kind, r.Symbol, r.Over = KindChord, symbol, iv
				return
			}
		}
	}
	r.Kind = KindTones
}

// Degrees says the tones from the lowest string as players count them: "6 1 4".
func (r Recipe) Degrees() string {
	var words []string
	for _, t := range r.Tones {
		words = append(words, theory.DegreeOf(t.Above).String())
	}
	return strings.Join(words, " ")
}

// ownMark stands before the name of a shape of one's own in a song: the song may be read
// where nothing is known of the shape.
const ownMark = "own/"

// InSongs is how songs name the shape.
func (r Recipe) InSongs() string {
	if r.Family == OwnFamily {
		return ownMark + r.Name
	}
	return r.Name
}

// CheckInSong refuses a name that songs cannot have, in one sentence: no shape's, and not
// written as one of the player's own.
func CheckInSong(name string) error {
	if own, ok := strings.CutPrefix(name, ownMark); ok && ownName.MatchString(own) {
		return nil
	}
	_, err := Shape(name)
	return err
}

// Shape finds one of the player's own shapes, or any other, by its name, as it is or as
// songs have it.
func (fb Fretboard) Shape(name string) (Recipe, error) {
	own, marked := strings.CutPrefix(strings.ToLower(strings.TrimSpace(name)), ownMark)
	for _, r := range fb.Own {
		if r.Name == own {
			return r, nil
		}
	}
	if marked {
		return Recipe{}, fmt.Errorf("you have no shape called %s any more", own)
	}
	first := fb.Tuning.tuned()
	if fb.Tuning.Bass() {
		first = bassShapes
	}
	for _, r := range first {
		if r.Name == strings.ToLower(strings.TrimSpace(name)) {
			return r, nil
		}
	}
	return Shape(name)
}

// AllShapes returns every shape there is on fb, playable or not, the player's own last:
// those of standard tuning, those that its tuning has of its own, and grips that are
// found for it.
func (fb Fretboard) AllShapes() []Recipe {
	if fb.Tuning.Bass() {
		return slices.Concat(bassShapes, fb.Own)
	}
	all := fb.Tuning.tuned()
	for _, r := range Shapes {
		if !slices.ContainsFunc(all, func(own Recipe) bool { return own.Name == r.Name }) {
			all = append(all, r)
		}
	}
	if fb.Tuning.gaps() != Standard.gaps() {
		all = append(all, fb.found(all)...)
	}
	slices.SortStableFunc(all, func(a, b Recipe) int {
		return cmp.Compare(slices.Index(families, a.Family), slices.Index(families, b.Family))
	})
	return append(all, fb.Own...)
}
