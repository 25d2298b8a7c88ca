package drills

import (
	"fmt"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// How a bandmate names what is asked.

// inKey names a key as players do who are in it: "F", "C# minor".
func (s Setup) inKey(k theory.Key) string {
	if k.Mode == theory.Major {
		return s.Names.Note(k.Tonic)
	}
	return s.Names.Key(k)
}

// over says what a shape stands for over a root: "Bm7", "B".
func (s Setup) over(r fretboard.Recipe, root theory.Note) string {
	if c, ok := chordOver(r, root); ok {
		return s.Names.Chord(c)
	}
	return s.Names.Note(root)
}

// chordOver is the chord that a shape makes over a root, its bass by a name that bands
// say: Aaug/F and not Aaug/E#.
func chordOver(r fretboard.Recipe, root theory.Note) (theory.Chord, bool) {
	c, ok := r.Chord(root)
	if bass := c.Bass(); ok && c.Slashed() && unsaid(bass) {
		c = c.WithBass(theory.FromMIDI(60+bass.PitchClass(), bass.Alter < 0).Note)
	}
	return c, ok
}

// said names a shape over a root, with what tells it from the others of its family:
// "Am7 in the A form", "major tenth on G, strings 6 and 3".
func (s Setup) said(r fretboard.Recipe, root theory.Note) string {
	over := s.over(r, root)
	words, rest, _ := strings.Cut(r.Words, ", ")
	switch {
	case r.Kind == fretboard.KindInterval:
		name, strs, _ := strings.Cut(r.Words, " on ")
		return fmt.Sprintf("%s on %s, %s", name, over, strs)
	case r.Kind == fretboard.KindScale:
		box, _, _ := strings.Cut(rest, ",")
		if r.Family == "root and fifth" {
			return strings.Replace(words, "fifth", "fifth of "+over, 1)
		}
		if strings.HasPrefix(box, "root on ") { // asked with the fret
			return over + " " + words
		}
		return fmt.Sprintf("%s %s, %s", over, words, box)
	case r.Family == "triads": // the inversion says the bass
		name, strs, _ := strings.Cut(words, " on ")
		return fmt.Sprintf("%s %s, %s, %s", s.Names.Note(root), name, rest, strs)
	case r.Family == "power chords" && r.Over == (theory.Interval{}) && r.Tones[0].String != r.Root:
		return fmt.Sprintf("%s, %s", over, sayStrings(stringsOf(r)))
	case r.Family == "power chords":
		return over + strings.TrimPrefix(bare(r.Words), "power chord")
	case r.Family == "third in the bass":
		top := ""
		if strings.HasSuffix(rest, "fifth on top") {
			top = " and the fifth on top"
		}
		return fmt.Sprintf("%s, the third on string %d%s", over, r.Tones[0].String, top)
	case r.Family == "fifth in the bass":
		form, _, _ := strings.Cut(words, " ")
		return fmt.Sprintf("%s in the %s form, the fifth on string %d", over, form, r.Tones[0].String)
	case r.Family == "held tones":
		return fmt.Sprintf("%s with %s", over, s.heldWords(r, root))
	case strings.HasSuffix(r.Family, " form"):
		return fmt.Sprintf("%s in the %s", over, words)
	}
	return fmt.Sprintf("%s as %s", over, r.Words)
}

// heldWords says which tones stay, and where: "D and A held on strings 1 and 2".
func (s Setup) heldWords(r fretboard.Recipe, root theory.Note) string {
	top := r.Tones[len(r.Tones)-1]
	if !strings.HasPrefix(r.Name, "held-1-5") {
		return fmt.Sprintf("%s held on string %d", s.Names.Note(root), top.String)
	}
	fifth := r.Tones[len(r.Tones)-2]
	return fmt.Sprintf("%s and %s held on strings %d and %d", s.Names.Note(root), s.Names.Note(root.Add(fifth.Above)), top.String, fifth.String)
}

// plainly spells a note that has two accidentals as players call it: F## is G.
func plainly(n theory.Note) theory.Note {
	if abs(n.Alter) > 1 {
		return theory.FromMIDI(60+n.PitchClass(), n.Alter < 0).Note
	}
	return n
}

// sayTold names a note in what is told and drawn.
func (s Setup) sayTold(n theory.Note) string { return s.Names.Note(plainly(n)) }

// kind names a shape without its place: "minor tenth", "A-form m7", "minor triad".
func kind(r fretboard.Recipe) string {
	words, rest, _ := strings.Cut(r.Words, ", ")
	if form, _, ok := strings.Cut(words, " form"); ok && strings.HasSuffix(r.Family, " form") {
		quality, _, _ := strings.Cut(rest, ",")
		return form + "-form " + quality
	}
	for _, end := range []string{" on ", " over ", " held "} {
		words, _, _ = strings.Cut(words, end)
	}
	switch r.Family {
	case "pentatonic boxes":
		return words + " box"
	case "held tones":
		return "held-tone shape"
	case "third in the bass", "fifth in the bass":
		tone, _, _ := strings.Cut(r.Family, " ")
		return "chord over its " + tone
	case "power chords":
		if r.Tones[0].String != r.Root {
			return "power chord over its fifth"
		}
		return "power chord"
	}
	return words
}

// sayStrings names strings as players do, the lowest first: "strings 6 to 1",
// "strings 6 and 3", "strings 5, 3 and 2".
func sayStrings(strs []int) string {
	last := len(strs) - 1
	if last > 1 && strs[0]-strs[last] == last {
		return fmt.Sprintf("strings %d to %d", strs[0], strs[last])
	}
	words := make([]string, len(strs))
	for i, str := range strs {
		words[i] = fmt.Sprint(str)
	}
	if last == 0 {
		return "string " + words[0]
	}
	return "strings " + listed(words, "and")
}
