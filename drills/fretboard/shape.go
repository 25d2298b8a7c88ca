package fretboard

import (
	"fmt"
	"slices"
	"strings"

	"surefret/drills/theory"
)

// A Recipe is a movable shape before it has frets: which tone of the chord
// sits on which string. The tuning at hand turns it into frets, so one recipe
// serves every tuning, capo and key.
type Recipe struct {
	Name   string // stable, made of trade words: "tenth-6-minor", "e-form-m7"
	Family string // one of [families]
	Words  string // as a player would say it: "minor tenth on strings 6 and 3"
	Kind   Kind
	Root   int    // the string that holds the root; see Over for held tones
	Symbol string // a chord's symbol without its root, "m7"; an interval, "m10"; a scale, "minor pentatonic"
	Tones  []Tone // from the lowest string to the highest

	// Over is the root of the chord above the root of the shape. It is the
	// unison, except where tones of the key are held over another chord: then
	// the root of the shape is the keynote.
	Over theory.Interval

	Bass    bool  // one of the shapes of a bass, see [bassShapes]
	Tuned   bool  // one that a tuning has of its own
	Ringing []int // strings that ring open besides, wherever the shape lies, the lowest first
}

// A Tone is one tone of a recipe.
type Tone struct {
	String int
	Above  theory.Interval // above the shape's root; negative below it
}

// A Kind says what the tones of a recipe make together.
type Kind int

const (
	KindInterval Kind = iota // two notes
	KindChord                // tones sounded together: a chord
	KindScale                // played one note at a time
)

// A Placement is a recipe laid on a neck at one fret.
type Placement struct {
	Recipe Recipe
	Root   theory.Note
	Fret   int    // of the root, on the recipe's root string
	Notes  []Held // from the lowest string to the highest
	Muted  []int  // strings that must not ring, the lowest first
	Span   int    // frets between the lowest and the highest fretted note
	Barres []Barre
	Why    string // why no hand plays it here, one sentence; "" when it can be played
}

// A Held is one sounding note of a placement.
type Held struct {
	Position
	Pitch  theory.Pitch    // spelled from the root
	Above  theory.Interval // above the root
	Finger int             // 1 to 4 for index to little finger; 0 for an open string, a scale or an unplayable shape
}

// Playable reports whether a hand can hold the placement.
func (p Placement) Playable() bool { return p.Why == "" }

// Positions returns the places of the notes, the lowest string first.
func (p Placement) Positions() []Position {
	var places []Position
	for _, n := range p.Notes {
		places = append(places, n.Position)
	}
	return places
}

// String prints the frets from the lowest string to the highest, x for a
// string that must not ring: "3 x x 4 x x". Two frets on one string are joined
// by a comma.
func (p Placement) String() string {
	strs := len(p.Muted)
	frets := map[int]string{}
	for _, n := range p.Notes {
		if _, twice := frets[n.String]; twice {
			frets[n.String] += ","
		} else {
			strs++
		}
		frets[n.String] += fmt.Sprint(n.Fret)
	}
	var words []string
	for s := strs; s >= 1; s-- {
		f, sounds := frets[s]
		if !sounds {
			f = "x"
		}
		words = append(words, f)
	}
	return strings.Join(words, " ")
}

// On lays the recipe on fb at every fret of its root string that gives root,
// from the nut up, playable or not: see [Placement.Why]. Notes are spelled from
// root. It returns none when the neck lacks one of the strings, or where
// nothing of the shape would lie on the neck; [Recipe.Fits] says why.
func (r Recipe) On(fb Fretboard, root theory.Note) []Placement {
	if r.missing(fb) != 0 {
		return nil
	}
	var all []Placement
	for _, p := range fb.Find(root, r.Root) {
		all = append(all, r.At(fb, root, p.Fret))
	}
	return all
}

// At lays the recipe on fb with its root, spelled as root, at one fret of the
// root string. The neck must have all the strings.
func (r Recipe) At(fb Fretboard, root theory.Note, fret int) Placement {
	p := Placement{Recipe: r, Root: root, Fret: fret}
	base := octaveAt(root, fb.MIDI(Position{r.Root, fret}))
	sounding := make([]bool, fb.Tuning.Strings()+1)
	for _, t := range r.Tones {
		pitch := base.Add(t.Above)
		at := Position{t.String, pitch.MIDI() - fb.MIDI(Position{t.String, 0})}
		p.Notes = append(p.Notes, Held{Position: at, Pitch: pitch, Above: t.Above})
		sounding[t.String] = true
	}
	for _, str := range r.Ringing {
		at := Position{str, 0}
		above := degreeAbove(fb.MIDI(at) - base.MIDI())
		p.Notes = append(p.Notes, Held{Position: at, Pitch: base.Add(above), Above: above})
		sounding[str] = true
	}
	for s := fb.Tuning.Strings(); s >= 1; s-- {
		if !sounding[s] {
			p.Muted = append(p.Muted, s)
		}
	}
	g := grip(fb, p.Positions(), r.Kind == KindScale)
	p.Span, p.Barres, p.Why = g.span, g.barres, g.why
	for i := range g.fingers {
		p.Notes[i].Finger = g.fingers[i]
	}
	return p
}

// Fits returns nil when the recipe is a movable shape on fb, one that a hand
// holds somewhere without the help of open strings, else an error, one
// sentence, that says why not.
func (r Recipe) Fits(fb Fretboard) error {
	if s := r.missing(fb); s != 0 {
		return fmt.Errorf("%s needs string %d, and the tuning %q has %d strings", r.Name, s, fb.Tuning.Name, fb.Tuning.Strings())
	}
	if fb.Tuning.Bass() && !r.Bass && r.Family != OwnFamily {
		return fmt.Errorf("%s is a shape of a guitar: a bass has its own, as 'surefret shape list' says", r.Name)
	}
	why := "it does not fit between the nut and the last fret"
	for f := range fb.Last() + 1 {
		p := r.At(fb, theory.FromMIDI(fb.MIDI(Position{r.Root, f}), true).Note, f)
		if slices.ContainsFunc(p.Notes[:len(r.Tones)], func(n Held) bool { return n.Fret <= 0 || n.Fret > fb.Last() }) {
			continue
		}
		if p.Playable() {
			return r.bent(fb)
		}
		why = p.Why
	}
	return fmt.Errorf("%s cannot be played in %s: %s", r.Name, fb.Tuning.Name, why)
}

// Chord returns the chord that the recipe makes over a root, with its slash bass
// where the lowest tone is not the chord's root: "D/F#". Its tones may leave out
// the fifth. It reports false for intervals and scales.
func (r Recipe) Chord(root theory.Note) (theory.Chord, bool) {
	if r.Kind != KindChord {
		return theory.Chord{}, false
	}
	c, err := theory.ParseChord(root.Add(r.Over).String() + r.Symbol)
	if err != nil {
		return theory.Chord{}, false
	}
	return c.WithBass(root.Add(r.Tones[0].Above)), true
}

// Under returns the root that the recipe is laid on to sound in chord c, and
// whether all its tones are then tones of c: a minor shape goes under the minor
// chords, an interval without a third under all.
func (r Recipe) Under(c theory.Chord) (root theory.Note, fits bool) {
	root = c.Root.Add(r.Over.Neg())
	tones := c.Notes()
	return root, !slices.ContainsFunc(r.Tones, func(t Tone) bool {
		return !slices.ContainsFunc(tones, root.Add(t.Above).Enharmonic)
	})
}

// missing returns a string that the recipe needs and the neck lacks, or 0.
func (r Recipe) missing(fb Fretboard) int {
	for _, t := range r.Tones {
		if t.String > fb.Tuning.Strings() {
			return t.String
		}
	}
	return 0
}

// octaveAt gives note n the octave in which it sounds the MIDI key number,
// which must be of its pitch class.
func octaveAt(n theory.Note, midi int) theory.Pitch {
	p := theory.Pitch{Note: n}
	p.Octave = (midi - p.MIDI()) / 12
	return p
}
