package tablature

import (
	"slices"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// WriteMoved is [Tab.Write] for events in another key: chord names that stand
// alone on lines of the text are moved with them, each over what it stood over, and
// written in the player's names.
func (t *Tab) WriteMoved(events []fretboard.Event, from, to theory.Key, names theory.Names) (string, error) {
	page, err := t.Write(events)
	if err != nil || from == to {
		return page, err
	}
	before, after := t.texts(), strings.SplitAfter(page, "\n")
	for i := range t.lines {
		if in, ok := t.namesChords(i, names); ok {
			text := strings.TrimRight(after[i], "\r\n")
			moved := func(c theory.Chord) string { return names.Chord(theory.Progression{c}.Move(from, to)[0]) }
			after[i] = moveNames(text, t.shiftOver(i, before, after), in, moved) + after[i][len(text):]
		}
	}
	return strings.Join(after, ""), nil
}

// texts returns the lines as they were read, without their ends.
func (t *Tab) texts() []string {
	texts := make([]string, len(t.lines))
	for i := range t.lines {
		texts[i] = t.lines[i].text
	}
	return texts
}

// namesChords reports whether line i stands in the text and is made of chord names
// alone, "G  D/F#  Em" or "| G | D |", and in which names: the player's, or English where
// they are none, and the other way about where a string is labelled in English.
func (t *Tab) namesChords(i int, names theory.Names) (in theory.Names, ok bool) {
	for _, sys := range t.systems {
		if i >= sys.first && i < sys.first+len(sys.rows) {
			return in, false
		}
	}
	words := strings.FieldsFunc(t.lines[i].text, betweenNames)
	order := []theory.Names{names, {}}
	if names.System == theory.German && t.labelledB() {
		slices.Reverse(order)
	}
	for _, in := range order {
		if len(words) > 0 && !slices.ContainsFunc(words, func(w string) bool { _, err := in.ParseChord(w); return err != nil || w[0] < 'A' || w[0] > 'Z' }) {
			return in, true
		}
	}
	return in, false
}

// labelledB reports whether a string that sounds B is labelled B, which in German is Bb.
func (t *Tab) labelledB() bool {
	for _, sys := range t.systems {
		for r, row := range sys.rows {
			open := t.part.Neck.Tuning.Open[t.part.Above+r].Note
			if label := strings.TrimSpace(row.label); open == (theory.Note{Letter: theory.B}) && strings.EqualFold(label, "B") {
				return true
			}
		}
	}
	return false
}

func betweenNames(r rune) bool { return r == '|' || r == ' ' || r == '\t' }

// shiftOver returns how many columns further right a column of line i has come to
// stand in the system right below it, whose bars may have grown.
func (t *Tab) shiftOver(i int, before, after []string) func(column int) int {
	for _, sys := range t.systems {
		if sys.first != i+1 {
			continue
		}
		was, is := barColumns(before[sys.first]), barColumns(strings.TrimRight(after[sys.first], "\r\n"))
		return func(column int) int {
			shift := 0
			for b := range was {
				if b < len(is) && was[b] <= column+1 { // a bar of names may stand over the label
					shift = is[b] - was[b]
				}
			}
			return shift
		}
	}
	return func(int) int { return 0 }
}

// barColumns returns the columns of the bar lines.
func barColumns(line string) []int {
	var columns []int
	for i, r := range []rune(line) {
		if isBar(r) {
			columns = append(columns, i)
		}
	}
	return columns
}

// moveNames writes the chord names of a line as they are moved. Each keeps its column,
// shifted, as far as the name before leaves room.
func moveNames(line string, shift func(column int) int, in theory.Names, moved func(theory.Chord) string) string {
	out, cells := []rune{}, []rune(line)
	for i := 0; i < len(cells); {
		if betweenNames(cells[i]) && cells[i] != '|' {
			i++
			continue
		}
		end := i + 1
		for cells[i] != '|' && end < len(cells) && !betweenNames(cells[end]) {
			end++
		}
		word := string(cells[i:end])
		if c, err := in.ParseChord(word); err == nil {
			word = moved(c)
		}
		at := i + shift(i)
		if len(out) > 0 && at <= len(out) && word != "|" {
			at = len(out) + 1
		}
		for len(out) < at {
			out = append(out, ' ')
		}
		out = append(out, []rune(word)...)
		i = end
	}
	return string(out)
}
