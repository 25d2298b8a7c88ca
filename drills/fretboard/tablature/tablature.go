// Package tablature reads and writes ASCII tablature as players mail it to each other. It
// keeps every character that it read: an unchanged part is written with the same bytes, and
// of a changed one only the bars that changed are set anew.
//
// It uses [surefret/drills/fretboard] for parts and necks.
package tablature

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"surefret/drills/fretboard"
)

// A Tab is a file of ASCII tablature: systems of as many lines as the neck has
// strings, string 1 on top, and text between them that is kept as it is. It
// keeps every character that it read, so that writing an unchanged part gives
// the same bytes.
type Tab struct {
	part    fretboard.Part
	lines   []tabLine
	systems []system
	spots   []spot // one per event of part
	says    bool   // a line of the text says the tuning

	tokens []token             // what spots are cut from
	notes  []fretboard.Fretted // what events are cut from
	found  []scanned           // the numbers of the bar that is being read
}

// A tabLine is one line of the file with the line ending that it had.
type tabLine struct{ text, ending string }

// A system is one set of lines that are read together.
type system struct {
	first int // the index of its first line
	bar   int // how many bars come before it
	rows  []row
}

// A row is one string of one system. Its cells are cut at the bar lines:
// bars[0] stands before segment 0, bars[1] after it, and so on.
type row struct {
	label    string // whatever stands before the first cell
	bars     []string
	segments [][]rune
	columns  []int // the column of each segment in the line, from 0
	tail     string
}

// A spot says where an event stands in its file.
type spot struct {
	system, segment int
	column          int // of the first number's first digit
	tokens          []token
}

// A token says which cells of a row one number takes, with its marks.
type token struct {
	row                       int16
	start, number, marks, end int32 // of the marks before, the number, the marks after, and one past them
}

// A tabError says what is wrong with a tablature and where.
type tabError struct {
	line, column int // from 1
	problem      string
}

func (e *tabError) Error() string {
	return fmt.Sprintf("line %d, column %d: %s", e.line, e.column, e.problem)
}

// Parse reads tablature for a neck; its capo is where fret 0 lies. It takes
// tablature as people write it: with labels or without, bars that do not line
// up, numbers of two digits aligned left or right, Windows line ends, tabs and
// text between the systems. The marks h p / \ ~ x ( ), and the rarer b r s t v
// ^ * < > [ ] = . + are carried along.
//
// A line of the text that says the tuning, "Tuning: drop D" or "Tuning: D A D G B E", is
// what the tablature is for, whatever the neck's own.
//
// The error is a [*tabError].
func Parse(text string, fb fretboard.Fretboard) (*Tab, error) {
	t := &Tab{part: fretboard.Part{Neck: fb}}
	for len(text) > 0 {
		line, rest, found := strings.Cut(text, "\n")
		l := tabLine{text: line}
		if found {
			l.ending = "\n"
		}
		if s, ok := strings.CutSuffix(line, "\r"); ok {
			l.text, l.ending = s, "\r"+l.ending
		}
		t.lines, text = append(t.lines, l), rest
	}
	t.makeRoom()
	if said, ok := t.saysTuning(); ok {
		t.says = true
		if !fb.Tuning.EvenlyBelow() || !slices.Equal(said.Open, fretboard.Standard.Open) { // many keep it for a guitar tuned down as a whole
			fb.Tuning = said
			t.part.Neck = fb
		}
	}
	strs := fb.Tuning.Strings()
	for i := 0; i < len(t.lines); {
		n := 0
		for i+n < len(t.lines) && looksLikeTab(t.lines[i+n].text) {
			n++
		}
		if n == 0 {
			i++
			continue
		}
		if few, above := t.some(i, n); few > 0 && len(t.systems) == 0 {
			strs, t.part.Above = few, above
			t.part.Neck.Tuning.Open = fb.Tuning.Open[: above+few : above+few]
		}
		if n%strs != 0 {
			if !t.holdsFrets(i, n) { // a ruled line in the text
				i += n
				continue
			}
			return nil, &tabError{i + 1, 1, fmt.Sprintf("found %s of tablature together, expected %d, string 1 on top: where it is for other strings, name these in front of their lines%s", fretboard.Count(n, "line"), strs, likely(t.labels(i, n)))}
		}
		for ; n > 0; n -= strs {
			if err := t.readSystem(i); err != nil {
				return nil, err
			}
			i += strs
		}
	}
	if len(t.systems) == 0 {
		return nil, &tabError{1, 1, fmt.Sprintf("found no tablature: use %d lines of dashes and frets, string 1 on top", strs)}
	}
	return t, nil
}

// makeRoom makes room for as many numbers as the text can hold, so that the slices
// which events are cut from never grow.
func (t *Tab) makeRoom() {
	n := 0
	for _, l := range t.lines {
		digit := false
		for _, c := range []byte(l.text) {
			was := digit
			digit = c >= '0' && c <= '9'
			if digit && !was || c == 'x' || c == 'X' {
				n++
			}
		}
	}
	t.tokens, t.notes = make([]token, 0, n), make([]fretboard.Fretted, 0, n)
}

// Part returns the part that the tablature holds.
func (t *Tab) Part() fretboard.Part { return t.part }

// holdsFrets reports whether any of n lines from i holds a number.
func (t *Tab) holdsFrets(i, n int) bool {
	for _, l := range t.lines[i : i+n] {
		if strings.ContainsAny(l.text, "0123456789") {
			return true
		}
	}
	return false
}

// readSystem reads the system whose first line is at index first.
func (t *Tab) readSystem(first int) error {
	strs := t.part.Neck.Tuning.Strings() - t.part.Above
	sys := system{first: first}
	if n := len(t.systems); n > 0 {
		sys.bar = t.systems[n-1].bar + len(t.systems[n-1].rows[0].segments)
	}
	byNumber := numbered(t.lines[first : first+strs])
	for s := range strs {
		line := t.lines[first+s].text
		r, err := cut(line, tabLabel(line, byNumber), first+s+1)
		if err != nil {
			return err
		}
		sys.rows = append(sys.rows, r)
	}
	if err := t.checkLabels(sys); err != nil {
		return err
	}
	sys.dropTails()
	longest := 0
	for _, r := range sys.rows {
		longest = max(longest, len(r.segments))
	}
	for i, r := range sys.rows {
		if len(r.segments) != longest {
			return &tabError{first + i + 1, 1, fmt.Sprintf("string %d has %s in this system, expected %d as on the longest string",
				t.part.Above+i+1, fretboard.Count(len(r.segments), "bar"), longest)}
		}
	}
	t.systems = append(t.systems, sys)
	for seg := range longest {
		if err := t.readSegment(len(t.systems)-1, seg); err != nil {
			return err
		}
	}
	return nil
}

// dropTails takes the dashes that some strings have after the last bar line of the
// others for what follows the system: people draw lines on by a cell or two.
func (sys *system) dropTails() {
	shortest := len(sys.rows[0].segments)
	for _, r := range sys.rows {
		shortest = min(shortest, len(r.segments))
	}
	for i := range sys.rows {
		r := &sys.rows[i]
		last := len(r.segments) - 1
		if last != shortest || last < 1 || r.bars[last+1] != "" || slices.ContainsFunc(r.segments[last], func(c rune) bool { return !isFill(c) }) {
			continue
		}
		r.tail = string(r.segments[last]) + r.tail
		r.segments, r.columns, r.bars = r.segments[:last], r.columns[:last], r.bars[:last+1]
	}
}

// readSegment reads one bar of a system into events.
func (t *Tab) readSegment(s, seg int) error {
	sys := &t.systems[s]
	width, err := t.scan(sys, seg)
	if err != nil {
		return err
	}
	found := t.found
	// The dash behind a bar line takes no time; more of them are a rest.
	first, pad := width, int32(1)
	if len(found) > 0 {
		first = found[0].number
		pad = min(pad, first)
	}
	beats := func(columns int32) float64 { return float64(columns) / float64(width-pad) * fretboard.ReadBeats }
	if n := len(t.part.Events); n > 0 && first > pad {
		t.part.Events[n-1].Beats += beats(first - pad)
	}
	for len(found) > 0 {
		n := together(found)
		column, next := found[0].number, width
		if n < len(found) {
			next = found[n].number
		}
		slices.SortFunc(found[:n], func(a, b scanned) int { return int(a.row) - int(b.row) })
		firstToken, firstNote := len(t.tokens), len(t.notes)
		for _, f := range found[:n] {
			t.tokens, t.notes = append(t.tokens, f.token), append(t.notes, f.note)
		}
		t.spots = append(t.spots, spot{system: s, segment: seg, column: int(column), tokens: t.tokens[firstToken:]})
		t.part.Events = append(t.part.Events, fretboard.Event{
			Bar: sys.bar + seg + 1, Beats: beats(next - column),
			Notes: t.notes[firstNote:len(t.notes):len(t.notes)],
		})
		found = found[n:]
	}
	return nil
}

// scan finds the numbers of one bar, from left to right, and how wide it is.
func (t *Tab) scan(sys *system, seg int) (width int32, err error) {
	numbers := 0
	for i := range sys.rows {
		cells := sys.rows[i].segments[seg]
		width = max(width, int32(len(cells)))
		for _, c := range cells {
			if isNumber(c) {
				numbers++
			}
		}
	}
	t.found = slices.Grow(t.found[:0], numbers)
	for i := range sys.rows {
		r := &sys.rows[i]
		var bad *fault
		if t.found, bad = tokenize(t.found, r.segments[seg], i, t.part.Above+i+1); bad != nil {
			return 0, &tabError{sys.first + i + 1, r.columns[seg] + bad.at + 1, bad.problem}
		}
	}
	slices.SortFunc(t.found, func(a, b scanned) int {
		return cmp.Or(cmp.Compare(a.number, b.number), cmp.Compare(a.row, b.row))
	})
	return width, nil
}

// together counts the numbers that sound with the first: those whose columns
// overlap, 10 over a 9 that is aligned left or right.
func together(found []scanned) int {
	start, end := found[0].number, found[0].marks
	var taken uint16
	n := 0
	for n < len(found) && (found[n].number == start || found[n].number < end) && taken&(1<<found[n].row) == 0 {
		if found[n].number == start {
			end = max(end, found[n].marks)
		}
		taken |= 1 << found[n].row
		n++
	}
	return n
}
