package tablature

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"surefret/drills/fretboard"
)

// String returns the tablature as it was read, byte for byte.
func (t *Tab) String() string {
	var b strings.Builder
	for _, l := range t.lines {
		b.WriteString(l.text)
		b.WriteString(l.ending)
	}
	return b.String()
}

// Write returns the tablature with its events replaced by others, as many and
// in the same order. Only bars in which something changed are set anew; a bar
// grows where numbers need room, on all strings alike, and the text between
// systems is left alone. A fret below the nut is written as ?.
func (t *Tab) Write(events []fretboard.Event) (string, error) {
	if len(events) != len(t.spots) {
		return "", fmt.Errorf("writing tablature: %d events given for %d", len(events), len(t.spots))
	}
	lines := slices.Clone(t.lines)
	for i := 0; i < len(t.spots); {
		j := i
		changed := map[int][][]rune{} // segment: its rows, set anew
		for j < len(t.spots) && t.spots[j].system == t.spots[i].system {
			k := j
			for k < len(t.spots) && t.spots[k].system == t.spots[j].system && t.spots[k].segment == t.spots[j].segment {
				k++
			}
			if rows := t.set(j, k, events); rows != nil {
				changed[t.spots[j].segment] = rows
			}
			j = k
		}
		if len(changed) > 0 {
			sys := t.systems[t.spots[i].system]
			for r, row := range sys.rows {
				lines[sys.first+r].text = row.join(r, changed)
			}
		}
		i = j
	}
	var b strings.Builder
	for _, l := range lines {
		b.WriteString(l.text)
		b.WriteString(l.ending)
	}
	return b.String(), nil
}

// join puts the line of row r of its system together again.
func (row row) join(r int, changed map[int][][]rune) string {
	var b strings.Builder
	b.WriteString(row.label)
	for i, segment := range row.segments {
		b.WriteString(row.bars[i])
		if rows, ok := changed[i]; ok {
			segment = rows[r]
		}
		b.WriteString(string(segment))
	}
	b.WriteString(row.bars[len(row.segments)])
	b.WriteString(row.tail)
	return b.String()
}

// numberOf writes the fret, or the x, of a note.
func numberOf(n fretboard.Fretted) string {
	switch {
	case n.Dead:
		return "x"
	case n.Fret < 0:
		return "?"
	}
	return strconv.Itoa(n.Fret)
}

// A barSetting is one bar on its way to other events.
type barSetting struct {
	spots  []spot
	events []fretboard.Event
	rows   [][]rune // as they are, but for numbers overwritten in place
	width  int      // of the longest row
	anew   []bool   // the events that found no room in place
	out    [][]rune
	above  int // strings of the neck above the first row
}

// set sets the events from first up to last, which fill one bar, and returns
// its rows, or nil if nothing changed.
func (t *Tab) set(first, last int, events []fretboard.Event) [][]rune {
	sys := t.systems[t.spots[first].system]
	b := barSetting{
		spots: t.spots[first:last], events: events[first:last],
		rows: make([][]rune, len(sys.rows)), anew: make([]bool, last-first), out: make([][]rune, len(sys.rows)), above: t.part.Above,
	}
	for r := range b.rows {
		b.rows[r] = slices.Clone(sys.rows[r].segments[b.spots[0].segment])
		b.width = max(b.width, len(b.rows[r]))
	}
	switch {
	case !b.overwrite(t.part.Events[first:last]):
		return nil
	case !slices.Contains(b.anew, true):
		return b.rows
	}
	b.layOut()
	return b.out
}

// overwrite sets what it can where the old events stand, and clears the rest to
// be set anew. It reports whether anything changed.
func (b *barSetting) overwrite(was []fretboard.Event) (changed bool) {
	for i, at := range b.spots {
		if slices.Equal(was[i].Notes, b.events[i].Notes) {
			continue
		}
		changed = true
		next := b.width
		if i+1 < len(b.spots) {
			next = b.spots[i+1].column
		}
		if inPlace(b.rows, at, was[i].Notes, next, b.events[i].Notes) {
			continue
		}
		b.anew[i] = true
		for _, tok := range at.tokens {
			for c := tok.start; c < tok.end; c++ {
				b.rows[tok.row][c] = '-'
			}
		}
	}
	return changed
}

// layOut writes the bar event by event, wider where one needs room.
func (b *barSetting) layOut() {
	at := 0
	for i, spot := range b.spots {
		start := max(spot.begins(), at)
		b.copyCells(at, start, true)
		at = b.width
		if i+1 < len(b.spots) {
			at = b.spots[i+1].begins()
			for _, tok := range spot.tokens {
				if !b.anew[i] { // what is set anew has left these cells
					at = max(at, int(tok.marks))
				}
			}
		}
		if !b.anew[i] {
			keepApart(b.out, b.rows, start)
			b.copyCells(start, at, i+1 < len(b.spots))
			continue
		}
		slot := slotOf(b.rows, b.above, start, at, spot.column-start, b.events[i].Notes)
		keepApart(b.out, slot, 0)
		for r := range b.out {
			b.out[r] = append(b.out[r], slot[r]...)
		}
	}
	b.copyCells(at, b.width, false)
}

// begins returns the first column that the event takes, marks before its numbers
// included.
func (s spot) begins() int {
	first := s.column
	for _, tok := range s.tokens {
		first = min(first, int(tok.start))
	}
	return first
}

// copyCells copies the columns from start to end as they are, rows that are too
// short filled up with dashes if pad says so.
func (b *barSetting) copyCells(start, end int, pad bool) {
	for r, cells := range b.rows {
		for c := start; c < end; c++ {
			if c < len(cells) {
				b.out[r] = append(b.out[r], cells[c])
			} else if pad {
				b.out[r] = append(b.out[r], '-')
			}
		}
	}
}

// inPlace overwrites the numbers of an event where they stand, if the notes
// stay on their strings, keep their marks and find room before the column of
// the next event. Numbers that grow or shrink must be aligned left, lest the
// chord fall apart.
func inPlace(rows [][]rune, at spot, old []fretboard.Fretted, next int, notes []fretboard.Fretted) bool {
	if len(old) != len(notes) {
		return false
	}
	resized, aligned := false, true
	for i, n := range notes {
		if n.String != old[i].String || n.Before != old[i].Before || n.After != old[i].After {
			return false
		}
		tok := at.tokens[i]
		number, marks := int(tok.number), int(tok.marks)
		cells := rows[tok.row]
		aligned = aligned && number == at.column
		if size := len(numberOf(n)); size != marks-number {
			resized = true
			end := number + size
			if n.After != "" || end > next || end > len(cells) || end < len(cells) && !isFill(cells[end]) {
				return false
			}
		}
	}
	if resized && !aligned {
		return false
	}
	for i, n := range notes {
		tok := at.tokens[i]
		cells := rows[tok.row][tok.number:]
		text := numberOf(n)
		for c := range int(tok.marks - tok.number) {
			cells[c] = '-'
		}
		for c := range len(text) {
			cells[c] = rune(text[c])
		}
	}
	return true
}

// slotOf sets the notes of one event in the columns from start to end, their
// numbers aligned left at lead or as far right of it as signs of other events
// demand, in as many columns as they need.
func slotOf(rows [][]rune, above, start, end, lead int, notes []fretboard.Fretted) [][]rune {
	width := end - start
	for _, n := range notes {
		lead = max(lead, len([]rune(n.Before)))
	}
	for free := false; !free; {
		free = true
		for _, n := range notes {
			cells := rows[n.String-1-above]
			first := start + lead - len([]rune(n.Before))
			for c := first; c < min(end, len(cells), first+len(n.Before+numberOf(n))); c++ {
				free = free && isFill(cells[c])
			}
		}
		if !free {
			lead++
		}
	}
	texts := make([][]rune, len(notes))
	for i, n := range notes {
		after := []rune(n.After)
		if room := max(width-lead-len(numberOf(n)), 1); len(after) > room && !strings.ContainsAny(n.After, fretboard.Slurs+fretboard.Bends) {
			after = after[:room] // a long ~~~~ need not push the others apart
		}
		texts[i] = append([]rune(n.Before+numberOf(n)), after...)
		width = max(width, lead-len([]rune(n.Before))+len(texts[i]))
	}
	slot := make([][]rune, len(rows))
	for r, cells := range rows {
		slot[r] = make([]rune, width)
		for c := range slot[r] {
			slot[r][c] = '-'
			if start+c < min(end, len(cells)) {
				slot[r][c] = cells[start+c]
			}
		}
	}
	for i, n := range notes {
		copy(slot[n.String-1-above][lead-len([]rune(n.Before)):], texts[i])
	}
	return slot
}

// keepApart puts a dash at the end of every row of out where what follows from
// column start of next would run two numbers together, or seem to slur them.
func keepApart(out, next [][]rune, start int) {
	for r := range out {
		if len(out[r]) == 0 || start >= len(next[r]) || !isDigit(next[r][start]) {
			continue
		}
		if isDigit(out[r][len(out[r])-1]) {
			for r := range out {
				out[r] = append(out[r], '-')
			}
			return
		}
	}
}
