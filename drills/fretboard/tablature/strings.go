package tablature

import (
	"fmt"
	"slices"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// Which strings a tablature is for: its labels name them, a line of its text may say the
// tuning, else they are the neck's own.

// Says reports whether a line of the text says the tuning.
func (t *Tab) Says() bool { return t.says }

// IsFor reports whether the tablature is for the strings of a tuning, or for some of them.
func (t *Tab) IsFor(tuning fretboard.Tuning) bool {
	open := t.part.Neck.Tuning.Open
	return len(open) <= len(tuning.Open) && slices.Equal(open, tuning.Open[:len(open)])
}

// saysTuning returns the tuning that a line of the text says, by its name or its open
// strings from the lowest, with their octaves or without; false where none does.
func (t *Tab) saysTuning() (fretboard.Tuning, bool) {
	for _, l := range t.lines {
		word, rest, ok := strings.Cut(l.text, ":")
		if !ok || !strings.EqualFold(strings.TrimSpace(word), "tuning") {
			continue
		}
		rest = strings.TrimSpace(rest)
		words := strings.FieldsFunc(rest, func(r rune) bool { return r == ' ' || r == ',' || r == '-' })
		for _, system := range []theory.System{theory.English, theory.German, theory.Solfege} {
			names := theory.Names{System: system}
			if tuning, err := fretboard.ReadTuning(rest, names); err == nil {
				return tuning, true
			}
			if open, ok := readNotes(words, names); ok {
				slices.Reverse(open)
				return fretboard.TuningOf(open)
			}
		}
	}
	return fretboard.Tuning{}, false
}

func readNotes(words []string, names theory.Names) (notes []theory.Note, ok bool) {
	for _, w := range words {
		n, err := names.Parse(w)
		if err != nil {
			return nil, false
		}
		notes = append(notes, n)
	}
	return notes, true
}

// some returns which strings the tablature is for whose n lines begin at line i, where
// these are fewer than the neck has and its labels name neighbours among them, as D A E B
// does four of a bass of five: how many, of those that leave out fewest, and how many lie
// above them; else none. The part then stays on those strings.
func (t *Tab) some(i, n int) (few, above int) {
	open := t.part.Neck.Tuning.Open
	if n%len(open) == 0 && fretboard.NameStrings(t.labels(i, len(open)), open) {
		return 0, 0
	}
	for few := len(open) - 1; few >= fretboard.FewestStrings; few-- {
		names := t.labels(i, min(n, few+1)) // and begins again
		for above := 0; n%few == 0 && names != nil && above+few <= len(open); above++ {
			if fretboard.NameStrings(names, open[above:above+few]) && !isOther(names[:few], open[above:]) {
				return few, above
			}
		}
	}
	return 0, 0
}

// isOther reports whether names are those of a tuning that lies elsewhere: G D A E is a
// bass, and not four strings of a guitar.
func isOther(names []theory.Note, open []theory.Pitch) bool {
	t, ok := fretboard.TuningOf(names)
	return ok && !slices.Equal(t.Open, open[:len(names)])
}

// checkLabels makes sure that the tablature is for this tuning and not written
// upside down, as far as its labels tell: they name the strings of the tuning,
// or those of the standard one, which many keep for a guitar tuned down as a whole.
func (t *Tab) checkLabels(sys system) error {
	tuning := t.part.Neck.Tuning
	names := t.labels(sys.first, len(sys.rows))
	if names == nil {
		return nil // not all strings are named
	}
	fit := func(tuning fretboard.Tuning) int {
		for i, n := range names {
			if i += t.part.Above; i >= len(tuning.Open) || !n.Enharmonic(tuning.Open[i].Note) {
				return i
			}
		}
		return -1
	}
	wrong := fit(tuning)
	if wrong < 0 || fit(fretboard.Standard) < 0 && tuning.EvenlyBelow() {
		return nil
	}
	slices.Reverse(names)
	if fit(tuning) < 0 {
		return &tabError{sys.first + 1, 1, "the labels run from the lowest string, expected string 1 on top"}
	}
	slices.Reverse(names)
	return &tabError{sys.first + wrong - t.part.Above + 1, 1, fmt.Sprintf("string %d is labelled %s, expected %s as in the tuning %q: name the tuning that the tablature is for%s, or correct the label",
		wrong+1, names[wrong-t.part.Above], tuning.Open[wrong].Note, tuning.Name, likely(names))}
}

// likely says the first tuning whose strings labels name; "" where there is none.
func likely(names []theory.Note) string {
	if t, ok := fretboard.TuningOf(names); ok {
		return fmt.Sprintf(", as %q has these strings", t.Name)
	}
	return ""
}

// labels returns the notes that n lines from i are labelled with; nil where one is not.
// Among strings of which one is called H, a German B is the note below it.
func (t *Tab) labels(i, n int) (names []theory.Note) {
	var labels []string
	var in theory.Names
	for _, l := range t.lines[i : i+n] {
		label := strings.TrimRight(strings.TrimSpace(tabLabel(l.text, false)), "0123456789)]")
		if strings.EqualFold(label, "h") {
			in.System = theory.German
		}
		labels = append(labels, label)
	}
	names, _ = readNotes(labels, in)
	return names
}
