package fretboard

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
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
func (t *Tab) Write(events []Event) (string, error) {
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

// join puts the line of a row together again, string r+1 of its system.
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

// number writes the fret, or the x, of a note.
func (n Fretted) number() string {
	switch {
	case n.Dead:
		return "x"
	case n.Fret < 0:
		return "?"
	}
	return strconv.Itoa(n.Fret)
}

// set sets the events from first up to last, which fill one bar, and returns
// its rows, or nil if nothing changed.
func (t *Tab) set(first, last int, events []Event) [][]rune {
	from := t.spots[first]
	sys := t.systems[from.system]
	rows := make([][]rune, len(sys.rows))
	width := 0
	for r := range rows {
		rows[r] = slices.Clone(sys.rows[r].segments[from.segment])
		width = max(width, len(rows[r]))
	}
	changed, anew := false, make([]bool, last-first)
	for i := first; i < last; i++ {
		old := t.part.Events[i].Notes
		if slices.Equal(old, events[i].Notes) {
			continue
		}
		changed = true
		next := width
		if i+1 < last {
			next = t.spots[i+1].column
		}
		if !inPlace(rows, t.spots[i], old, next, events[i].Notes) {
			anew[i-first] = true
			for _, tok := range t.spots[i].tokens {
				for c := tok.start; c < tok.end; c++ {
					rows[tok.row][c] = '-'
				}
			}
		}
	}
	if !changed {
		return nil
	}
	if !slices.Contains(anew, true) {
		return rows
	}

	out := make([][]rune, len(rows))
	copyCells := func(start, end int, pad bool) {
		for r, cells := range rows {
			for c := start; c < end; c++ {
				if c < len(cells) {
					out[r] = append(out[r], cells[c])
				} else if pad {
					out[r] = append(out[r], '-')
				}
			}
		}
	}
	at := 0
	for i := first; i < last; i++ {
		start := t.spots[i].column
		for _, tok := range t.spots[i].tokens {
			start = min(start, int(tok.start))
		}
		start = max(start, at)
		copyCells(at, start, true)
		end := width
		if i+1 < last {
			end = t.spots[i+1].column
			for _, tok := range t.spots[i+1].tokens {
				end = min(end, int(tok.start))
			}
			for _, tok := range t.spots[i].tokens {
				end = max(end, int(tok.marks))
			}
		}
		at = end
		if !anew[i-first] {
			part(out, rows, start)
			copyCells(start, end, i+1 < last)
			continue
		}
		slot := slotOf(rows, start, end, t.spots[i].column-start, events[i].Notes)
		part(out, slot, 0)
		for r := range out {
			out[r] = append(out[r], slot[r]...)
		}
	}
	copyCells(at, width, false)
	return out
}

// inPlace overwrites the numbers of an event where they stand, if the notes
// stay on their strings, keep their marks and find room before the column of
// the next event. Numbers that grow or shrink must be aligned left, lest the
// chord fall apart.
func inPlace(rows [][]rune, at spot, old []Fretted, next int, notes []Fretted) bool {
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
		if size := len(n.number()); size != marks-number {
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
		text := n.number()
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
func slotOf(rows [][]rune, start, end, lead int, notes []Fretted) [][]rune {
	width := end - start
	for _, n := range notes {
		lead = max(lead, len([]rune(n.Before)))
	}
	for free := false; !free; {
		free = true
		for _, n := range notes {
			cells := rows[n.String-1]
			first := start + lead - len([]rune(n.Before))
			for c := first; c < min(end, len(cells), first+len(n.Before+n.number())); c++ {
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
		if room := max(width-lead-len(n.number()), 1); len(after) > room && !strings.ContainsAny(n.After, slurs+bends) {
			after = after[:room] // a long ~~~~ need not push the others apart
		}
		texts[i] = append([]rune(n.Before+n.number()), after...)
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
		copy(slot[n.String-1][lead-len([]rune(n.Before)):], texts[i])
	}
	return slot
}

// part puts a dash at the end of every row of out where what follows from
// column start of next would run two numbers together, or seem to slur them.
func part(out, next [][]rune, start int) {
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
