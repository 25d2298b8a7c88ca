package chart

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"surefret/drills/theory"
)

// A reader reads one chart.
type reader struct {
	chart   Chart
	typed   bool       // every word is meant for a chord, as on a command line
	settled bool       // see [Options.Settled]
	key     theory.Key // that holds where the reader is
	given   bool       // whether the reader knew the key before it began
	quiet   bool       // what is not understood is only counted
	late    bool       // the chart says its key behind its first chord
	line    int        // from 1
	marks   int        // so far
	faults  []fault
	row     row // of the line that was read last: what is kept of it is copied
}

// A row is what was read of one line of music.
type row struct {
	marks  []Mark
	faults []fault
	words  int // what is no bar line
	chords int // of them, what is surely a chord
	doubts int // of them, what may as well be a word: I, Go
	near   int // not understood, but begun like a number: 6-2-5
	bars   int // bar lines
}

// fault records what was not understood.
func (r *reader) fault(column int, text, reading string) {
	if len(r.faults) < mostFaults {
		r.faults = append(r.faults, fault{r.line, column, text, reading})
	}
}

// err returns what was not understood, or nil.
func (r *reader) err(name string) error {
	if len(r.faults) == 0 {
		return nil
	}
	return &faults{name, r.faults}
}

// barSigns lists the bar lines, longer ones before those that begin them.
var barSigns = []string{":||:", ":|:", "||:", ":||", "[|:", "|:", ":|", "||", "|]", "|.", "‖", "|"}

// barSign returns the bar line that s begins with, or nothing. An end bar line "|."
// stands before space: elsewhere the dot is a beat.
func barSign(s string) string {
	if s[0] != '|' && s[0] != ':' && s[0] != '[' && s[0] != "‖"[0] {
		return ""
	}
	for _, sign := range barSigns {
		if rest, ok := strings.CutPrefix(s, sign); ok && (sign != "|." || rest == "" || rest[0] == ' ') {
			return sign
		}
	}
	return ""
}

// music reads a line of music from left to right.
func (r *reader) music(text string) (found row) {
	column, numbered := 0, !lettered(text)
	found.marks, found.faults = r.row.marks[:0], r.row.faults[:0]
	defer func() { r.row = found }()
	for at := 0; at < len(text); {
		switch sign, blank := barSign(text[at:]), space(text[at:]); {
		case blank > 0:
			column = after(column, rune(text[at]))
			at += blank
			continue
		case sign != "":
			found.bars++
			found.add(Mark{kind: barLine, Text: sign, at: column})
			at, column = at+len(sign), column+utf8.RuneCountInString(sign)
		default:
			end := at
			for end < len(text) && space(text[end:]) == 0 && barSign(text[end:]) == "" || end == at {
				_, size := utf8.DecodeRuneInString(text[end:])
				end += size
			}
			found.words++
			w := word{r: r, row: &found, text: text[at:end], before: text[:at], column: column, numbered: numbered, last: strings.TrimSpace(text[end:]) == ""}
			w.read()
			at, column = end, column+columns(text[at:end])
		}
		if r.marks+len(found.marks) > mostMarks || found.lost() && found.bars == 0 && !r.typed {
			break
		}
	}
	if !r.settled {
		r.endings(text, &found)
	}
	return found
}

// lettered reports whether a letter or a roman numeral stands on a line.
func lettered(text string) bool {
	for i, c := range text {
		if c < 'A' || c > 'V' || c == 'N' || c == 'R' {
			continue
		}
		if c != 'C' || !strings.HasSuffix(strings.TrimRight(text[:i], "./ "), "N") { // N.C.
			return true
		}
	}
	return false
}

// endings refuses |1 D | in a row of letters, whose 1 is an ending or a chord.
func (r *reader) endings(text string, found *row) {
	var w walk
	for i, m := range found.marks {
		if m.kind != Chord || m.In != Numbers || len(m.Text) > 1 || i == 0 || found.marks[i-1].kind != barLine {
			continue
		}
		for _, next := range found.marks[i+1:] {
			if next.kind == barLine {
				break
			}
			if next.kind == Chord && next.In == Letters {
				place := 1 + utf8.RuneCountInString(text[:w.to(text, m.at)])
				found.near++
				found.faults = append(found.faults, fault{r.line, place, m.written(), "an ending, or a chord? write [" + m.Text + ". or the chord by its letter"})
				break
			}
		}
	}
}

// lost reports whether so little of a line is music that it need not be read on.
func (found *row) lost() bool { return len(found.faults) > 8 && 2*len(found.faults) > found.words }

// add adds a mark, tight where the last one ends just before it.
func (found *row) add(m Mark) {
	if n := len(found.marks); n > 0 {
		last := found.marks[n-1]
		m.tight = last.at+columns(last.written()) == m.at
	}
	found.marks = append(found.marks, m)
}

// before returns the kind of the last mark so far, Join where there is none.
func (found *row) before() Kind {
	if len(found.marks) == 0 {
		return joinMark
	}
	return found.marks[len(found.marks)-1].kind
}

// chord reads a chord with what is written around it. Of what is no chord it
// returns the nearest reading.
func (r *reader) chord(text string) (m Mark, reading string) {
	m.pre, m.Text, m.post = around(text)
	if m.Text == "" {
		return m, "no chord"
	}
	switch first := strings.TrimLeft(m.Text, "b#♭♯"); {
	case first != "" && first[0] >= '0' && first[0] <= '9':
		m.In = Numbers
		reading = r.number(&m)
	case first != "" && strings.ContainsRune("IViv", rune(first[0])):
		m.In = Romans
		reading = r.roman(&m)
	default:
		reading = r.letters(&m)
	}
	return m, reading
}

// around takes off what is written around a chord: (C), (4 and 5) of a split bar,
// <1> and ◇1, ^1, 1... and G///.
func around(text string) (pre, core, post string) {
	core = text
	for again := true; again && core != ""; {
		again = false
		first, size := utf8.DecodeRuneInString(core)
		last, lastSize := utf8.DecodeLastRuneInString(core)
		switch {
		case first == '(' && (closing(core) == len(core)-1 || closing(core) < 0), first == '<', first == '^', first == '>', strings.ContainsRune(diamonds, first):
			pre, core, again = pre+core[:size], core[size:], true
		case last == ')' && strings.Count(core, ")") > strings.Count(core, "("), last == '>', strings.ContainsRune(diamonds, last), last == '.', last == '/':
			post, core, again = core[len(core)-lastSize:]+post, core[:len(core)-lastSize], true
		}
	}
	return pre, core, post
}

// closing returns where the bracket that s begins with is closed, or -1.
func closing(s string) int {
	depth := 0
	for i := range len(s) {
		switch s[i] {
		case '(':
			depth++
		case ')':
			if depth--; depth == 0 {
				return i
			}
		}
	}
	return -1
}

// letters reads a chord symbol.
func (r *reader) letters(m *Mark) (reading string) {
	first, _ := utf8.DecodeRuneInString(m.Text)
	if r.quiet && unicode.IsLower(first) { // which most of what is sung does
		return "no chord"
	}
	c, suffix, bass, err := r.chart.Names.ParseSymbol(m.Text)
	if err != nil || !r.typed && unicode.IsLower(first) || strings.ContainsRune(m.Text, ' ') {
		return r.nearest(m.Text)
	}
	m.chord, m.suffix, m.slash, m.In = c, suffix, bass != "", Letters
	return ""
}

// nearest returns the nearest reading of what is no chord.
func (r *reader) nearest(text string) string {
	if r.quiet {
		return "no chord"
	}
	first, size := utf8.DecodeRuneInString(text)
	rest := text[size:]
	switch {
	case unicode.IsLower(first) && !r.typed:
		if upper := string(unicode.ToUpper(first)) + rest; r.reads(upper) {
			if minor := string(unicode.ToUpper(first)) + "m" + rest; r.reads(minor) {
				upper += " or " + minor
			}
			return upper + "? a chord begins with a capital"
		}
	case first == 'H' && r.chart.Names.System == theory.English && r.reads("B"+rest):
		return "B" + rest + "? H is a German name, which the setting of note names turns on"
	}
	for end := len(text) - 1; end > 0; end-- {
		if utf8.RuneStart(text[end]) && r.reads(text[:end]) {
			return text[:end] + "? the rest says nothing"
		}
	}
	return "no chord: use a letter A to G, a number 1 to 7 or a roman numeral, and what belongs to it"
}

// reads reports whether a text is a chord symbol.
func (r *reader) reads(text string) bool {
	first, _ := utf8.DecodeRuneInString(text)
	_, err := r.chart.Names.ParseChord(text)
	return err == nil && unicode.IsUpper(first)
}
