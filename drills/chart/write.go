package chart

import "strings"

// String writes the chart in its format, as it was read but for spacing. Where a
// chord that was moved has no room above its words, what follows it moves on: words
// stay as they are.
func (c Chart) String() string {
	var b strings.Builder
	for _, s := range c.Sections {
		lines := s.lines
		if len(lines) > 0 && lines[0].kind == sameLine {
			b.WriteString(strings.TrimRight(rowOf(lines[0], s.head), " ") + "\n")
			lines = lines[1:]
		} else if s.head != "" {
			b.WriteString(s.head + "\n")
		}
		for _, l := range lines {
			c.writeLine(&b, l)
		}
		if s.foot != "" {
			b.WriteString(s.foot + "\n")
		}
	}
	return b.String()
}

// Row writes the music of a chart alone, in one row.
func (c Chart) Row() string {
	var rows []string
	for _, s := range c.Sections {
		for _, l := range s.lines {
			if len(l.marks) > 0 {
				rows = append(rows, strings.Fields(rowOf(l, ""))...)
			}
		}
	}
	return strings.Join(rows, " ")
}

func (c Chart) writeLine(b *strings.Builder, l songLine) {
	switch {
	case l.kind == plainLine:
		b.WriteString(l.text)
	case l.kind == fieldLine:
		b.WriteString(l.label + l.text)
		if c.Format == ChordPro {
			b.WriteByte('}')
		}
	case c.Format == ChordPro && l.sung:
		writeLyrics(b, l)
	default:
		b.WriteString(rowOf(l, ""))
		if l.sung {
			b.WriteString("\n" + l.words)
		}
	}
	b.WriteByte('\n')
}

// writeLyrics writes words with [chords] in them.
func writeLyrics(b *strings.Builder, l songLine) {
	at := 0
	for _, m := range l.marks {
		to := max(min(m.at, len(l.words)), at)
		b.WriteString(l.words[at:to] + "[" + m.written() + "]")
		at = to
	}
	b.WriteString(l.words[at:])
}

// written is a mark with what is written around it.
func (m Mark) written() string { return m.pre + m.Text + m.post }

// rowOf writes a line of music behind what stands before it on the line, each mark in
// its column or as soon after it as there is room.
func rowOf(l songLine, before string) string {
	var b strings.Builder
	b.WriteString(before)
	end, w := columns(before), walk{}
	for i, m := range l.marks {
		column := m.at
		if l.sung {
			column = w.columnOf(l.words, m.at)
		}
		switch {
		case m.tight:
			column = end
		case i > 0:
			column = max(column, end+1)
		default:
			column = max(column, end)
		}
		b.WriteString(strings.Repeat(" ", column-end))
		b.WriteString(m.written())
		end = column + columns(m.written())
	}
	return b.String()
}
