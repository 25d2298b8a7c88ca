package gig

import (
	"fmt"
	"slices"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/fretboard/fingering"
	"surefret/drills/theory"
)

// A Sheet is one song worked out for tonight's key and one neck: a page to play
// from.
type Sheet struct {
	Title     string         `json:"title"`
	Learned   string         `json:"learned"`
	Called    string         `json:"called"`
	Signature string         `json:"signature"` // of the called key, in words
	Semitones int            `json:"semitones"` // from the learned to the called key, -5 to 6
	Tempo     float64        `json:"tempo,omitempty"`
	Sections  []SheetSection `json:"sections"`
	Chords    []SheetChord   `json:"chords"` // each once, in the order they come
	Shapes    []SheetShape   `json:"shapes,omitempty"`
	Kept      []SheetKept    `json:"kept,omitempty"` // tones that can stay over all chords: open strings, then stopped ones
	Walks     []SheetWalk    `json:"walks,omitempty"`
	Parts     []SheetPart    `json:"parts,omitempty"`
	Shapeless []string       `json:"shapeless,omitempty"` // chords that no shape of the song's is for, where it has shapes
	Breaks    []string       `json:"breaks"`              // what no longer works as learned, a sentence each
	Ways      []SheetWay     `json:"ways"`                // capo or tuning that would save it, as learned first but behind a high capo
	Rings     bool           `json:"rings,omitempty"`     // drones ring in the called key as well: Ways are no better than as it is
}

// A SheetSection is a section in tonight's key.
type SheetSection struct {
	Name    string   `json:"name,omitempty"`
	Numbers []string `json:"numbers"`
	Chords  []string `json:"chords"`
}

// A SheetChord is a chord of the song and where its bass, the root where there is
// no slash, lies on the two lowest strings.
type SheetChord struct {
	Number string               `json:"number"`
	Was    string               `json:"was"` // in the learned key
	Chord  string               `json:"chord"`
	Notes  []string             `json:"notes"`
	Roots  []fretboard.Position `json:"roots"`
}

// A SheetShape is where a movable shape lands for one chord.
type SheetShape struct {
	Shape string   `json:"shape"`
	Words string   `json:"words"`
	Chord string   `json:"chord"`         // what sounds: "Eb"
	For   []string `json:"for,omitempty"` // the chords it stands for, where they are others: "Ebmaj7"
	Frets string   `json:"frets"`         // from the lowest string, "7 x x 7 x x"
	Why   string   `json:"why,omitempty"` // no hand plays it there, and why

	Held fretboard.Placement `json:"-"` // that Frets prints, with its fingers
}

// A SheetKept is two tones that stay over the chords of the song, and how each is held
// under them.
type SheetKept struct {
	Words  string           `json:"words"` // "D and G stay on strings 2 and 1, at fret 3"
	Chords []SheetKeptChord `json:"chords"`
}

// A SheetKeptChord is one chord under them.
type SheetKeptChord struct {
	Chord string `json:"chord"`
	Frets string `json:"frets"` // from the lowest string, "x 3 2 0 3 3"
}

// A SheetWalk is a walk between two neighbouring chords.
type SheetWalk struct {
	From  string               `json:"from"`
	To    string               `json:"to"`
	Notes []string             `json:"notes"`
	Path  []fretboard.Position `json:"path"`
}

// Sheet works s out for a neck. Names writes notes and chords in the player's
// language.
func (s Song) Sheet(fb fretboard.Fretboard, names theory.Names) (Sheet, error) {
	learned, called, err := s.Keys()
	if err != nil {
		return Sheet{}, err
	}
	sh := Sheet{
		Title: s.Title, Learned: names.Key(learned), Called: names.Key(called),
		Signature: called.SignatureName(), Tempo: s.Tempo,
		Semitones: nearest(called.Tonic.PitchClass() - learned.Tonic.PitchClass()),
		Breaks:    []string{}, Ways: []SheetWay{},
	}
	var was, now theory.Progression
	for _, sec := range s.Sections {
		p, err := sec.in(learned)
		if err != nil {
			return Sheet{}, err
		}
		moved := p.Move(learned, called)
		sh.Sections = append(sh.Sections, section(sec.Name, moved, called, names))
		was, now = append(was, p...), append(now, moved...)
	}
	sh.addChords(was, now, called, fb, names)
	sh.addShapes(s.Shapes, now, fb, names)
	sh.addKept(now, called, fb, names)
	if !fb.Tuning.Bass() { // which walks all of the chart, see rehearse.Run.Walking
		sh.addWalks(now, called, fb, names)
	}
	sh.addParts(s.Parts, learned, called, fb, names)
	sh.addBreaks(was, now, fb, names)
	sh.addWays(was, learned, called, fb, names)
	return sh, nil
}

// nearest folds a distance in semitones to the shorter way, -5 to 6.
func nearest(semitones int) int {
	up := (semitones%12 + 12) % 12
	if up > 6 {
		return up - 12
	}
	return up
}

func section(name string, p theory.Progression, k theory.Key, names theory.Names) SheetSection {
	sec := SheetSection{Name: name}
	for _, c := range p {
		sec.Numbers = append(sec.Numbers, k.Numeral(c).Number())
		sec.Chords = append(sec.Chords, names.Chord(c))
	}
	return sec
}

func (sh *Sheet) addChords(was, now theory.Progression, k theory.Key, fb fretboard.Fretboard, names theory.Names) {
	seen := map[theory.Chord]bool{}
	for i, c := range now {
		if seen[c] {
			continue
		}
		seen[c] = true
		sc := SheetChord{Number: k.Numeral(c).Number(), Was: names.Chord(was[i]), Chord: names.Chord(c)}
		for _, n := range c.Notes() {
			sc.Notes = append(sc.Notes, names.Note(n))
		}
		sc.Roots = fb.Roots(c.Bass())
		sh.Chords = append(sh.Chords, sc)
	}
}

// addShapes lays each shape over the chords it fits: a minor shape over the
// minor chords, an interval without a third over all. It lists the chords that none
// is for.
func (sh *Sheet) addShapes(shapes []string, now theory.Progression, fb fretboard.Fretboard, names theory.Names) {
	served := map[theory.Chord]bool{}
	for _, name := range shapes {
		r, err := fb.Shape(name)
		if err != nil { // one of the player's own that he removed
			sh.Shapes = append(sh.Shapes, SheetShape{Shape: name, Why: err.Error()})
			continue
		}
		if err := r.Fits(fb); err != nil {
			sh.Shapes = append(sh.Shapes, SheetShape{Shape: r.Name, Words: r.Words, Why: err.Error()})
			continue
		}
		landed := map[theory.Note]int{}
		for _, c := range now {
			root, fits := r.Under(c)
			if !fits {
				continue
			}
			served[c] = true
			at, ok := landed[root]
			if !ok {
				at = len(sh.Shapes)
				landed[root] = at
				sh.Shapes = append(sh.Shapes, land(r, root, c, fb, names))
			}
			s := &sh.Shapes[at]
			if name := names.Chord(c.WithBass(c.Root)); name != s.Chord && !slices.Contains(s.For, name) {
				s.For = append(s.For, name)
			}
		}
	}
	for _, c := range now {
		if name := names.Chord(c); len(shapes) > 0 && !served[c] && !slices.Contains(sh.Shapeless, name) {
			sh.Shapeless = append(sh.Shapeless, name)
		}
	}
}

// land places a shape where a hand can hold it, as low on the neck as it goes.
func land(r fretboard.Recipe, root theory.Note, c theory.Chord, fb fretboard.Fretboard, names theory.Names) SheetShape {
	sounds, ok := r.Chord(root)
	if !ok {
		sounds = c // two tones are no chord: it goes by the first that it is for
	}
	s := SheetShape{Shape: r.Name, Words: r.Words, Chord: names.Chord(sounds.WithBass(sounds.Root))} // the shape has a bass of its own
	places := r.On(fb, root)
	for _, p := range places {
		if p.Playable() {
			s.Frets, s.Held = p.String(), p
			return s
		}
		s.Why = p.Why
	}
	return s
}

// addKept lists the tones that can stay while the bass moves.
func (sh *Sheet) addKept(now theory.Progression, k theory.Key, fb fretboard.Fretboard, names theory.Names) {
	for _, keeping := range fb.Keep(k, now) {
		kept := SheetKept{Words: keeping.Say(names)}
		var bare []string
		for _, c := range keeping.Chords {
			if third := c.Chord.Notes()[1]; isThird(c.Chord.Root, third) && !sounds(fb, c.Places, third) {
				bare = append(bare, names.Chord(c.Chord))
			}
			kept.Chords = append(kept.Chords, SheetKeptChord{names.Chord(c.Chord), c.Frets(fb)})
		}
		if len(bare) > 0 {
			kept.Words += "; no third in " + strings.Join(bare, ", ")
		}
		if len(keeping.Not) > 0 {
			var not []string
			for _, c := range keeping.Not {
				not = append(not, names.Chord(c))
			}
			kept.Words += "; not over " + strings.Join(not, ", ")
		}
		sh.Kept = append(sh.Kept, kept)
	}
}

func isThird(root, n theory.Note) bool {
	up := (n.PitchClass() - root.PitchClass() + 12) % 12
	return up == 3 || up == 4
}

// sounds reports whether a note is among places.
func sounds(fb fretboard.Fretboard, places []fretboard.Position, n theory.Note) bool {
	return slices.ContainsFunc(places, func(p fretboard.Position) bool { return fb.MIDI(p)%12 == n.PitchClass() })
}

// addWalks fingers a walk between neighbouring chords, each once.
func (sh *Sheet) addWalks(now theory.Progression, k theory.Key, fb fretboard.Fretboard, names theory.Names) {
	seen := map[[2]theory.Note]bool{}
	for i, c := range now {
		next := now[(i+1)%len(now)]
		pair := [2]theory.Note{c.Bass(), next.Bass()}
		if seen[pair] {
			continue
		}
		line, ok := WalkBetween(fb, k, c, next, fretboard.Position{})
		if !ok {
			continue
		}
		seen[pair] = true
		w := SheetWalk{From: names.Chord(c), To: names.Chord(next)}
		for _, n := range line.Notes() {
			w.Notes = append(w.Notes, names.Note(n))
		}
		w.Path = line.Path
		sh.Walks = append(sh.Walks, w)
	}
}

// WalkBetween fingers a walk between two chords whose basses lie a third or a fourth
// apart, by the shorter way and with the tones of the chord that it leaves: what a bass
// can walk in one bar. It begins at a place, the zero value for the best one, and reports
// false where they lie otherwise, or where the neck has no room.
func WalkBetween(fb fretboard.Fretboard, k theory.Key, from, to theory.Chord, at fretboard.Position) (fretboard.Line, bool) {
	apart := nearest(to.Bass().PitchClass() - from.Bass().PitchClass())
	if apart > -3 && apart < 3 || apart > 5 || apart < -5 {
		return fretboard.Line{}, false
	}
	if rising := (theory.Key{Tonic: k.Tonic, Mode: theory.MelodicMinor}); k.Mode == theory.Minor && apart > 0 && slices.Contains(from.Notes(), rising.Scale()[6]) {
		k = rising // the chord has the leading tone
	}
	line, err := fingering.Walk{Down: apart < 0, Over: from, At: at}.On(fb, k, from.Bass(), to.Bass())
	return line, err == nil
}

// addBreaks says what of the learned key no longer works, each thing once: roots
// that rang as open strings, parts, and shapes that no hand can hold.
func (sh *Sheet) addBreaks(was, now theory.Progression, fb fretboard.Fretboard, names theory.Names) {
	seen := map[theory.Note]bool{}
	var lost []string
	for i, c := range was {
		if fb.Tuning.Bass() {
			break // its notes are damped as they go
		}
		if seen[c.Bass()] || !ringsOpen(c.Bass(), fb) || ringsOpen(now[i].Bass(), fb) {
			continue
		}
		seen[c.Bass()] = true
		lost = append(lost, names.Note(c.Bass())+", now "+names.Note(now[i].Bass()))
	}
	if len(lost) > 0 {
		sh.Breaks = append(sh.Breaks, noLongerOpen+strings.Join(lost, "; "))
	}
	for _, p := range sh.Parts {
		switch {
		case p.Fault != "":
		case p.Breaks > 0:
			sh.Breaks = append(sh.Breaks, fmt.Sprintf("The part %s cannot be played as it is written", p.Name))
		case len(p.Problems) > 0:
			sh.Breaks = append(sh.Breaks, fmt.Sprintf("The part %s can be played in %s, but: %s", p.Name, sh.Called, p.Costs))
		}
	}
	for i, s := range sh.Shapes {
		alike := func(t SheetShape) bool { return t.Frets == "" && t.Shape == s.Shape && t.Why == s.Why }
		switch {
		case s.Frets != "" || slices.IndexFunc(sh.Shapes, alike) < i:
		case s.Chord == "": // not on this neck, for no chord
			sh.Breaks = append(sh.Breaks, s.Why)
		default:
			var chords []string
			for _, t := range sh.Shapes[i:] {
				if alike(t) {
					chords = append(chords, t.Chord)
				}
			}
			sh.Breaks = append(sh.Breaks, fmt.Sprintf("The %s cannot be held for %s: %s", s.Words, strings.Join(chords, ", "), s.Why))
		}
	}
}

// ringsOpen reports whether a note is one of the three lowest open strings.
func ringsOpen(n theory.Note, fb fretboard.Fretboard) bool {
	for str := fb.Tuning.Strings(); str > fb.Tuning.Strings()-3; str-- {
		if at := fb.Find(n, str); len(at) > 0 && at[0].Fret == 0 {
			return true
		}
	}
	return false
}
