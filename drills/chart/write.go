package chart

import "strings"

// String writes the chart in its format, as it was read but for spacing. Where a
// chord that was moved has no room above its words, what follows it moves on: words
// stay as they are.
func (c Chart) String() string {
	var b strings.Builder
	for _, s := range c.Sections {
		lines := s.Lines
		if len(lines) > 0 && lines[0].Kind == Same {
			b.WriteString(strings.TrimRight(rowOf(lines[0], s.Head), " ") + "\n")
			lines = lines[1:]
		} else if s.Head != "" {
			b.WriteString(s.Head + "\n")
		}
		for _, l := range lines {
			c.writeLine(&b, l)
		}
		if s.Foot != "" {
			b.WriteString(s.Foot + "\n")
		}
	}
	return b.String()
}

// Row writes the music of a chart alone, in one row.
func (c Chart) Row() string {
	var rows []string
	for _, s := range c.Sections {
		for _, l := range s.Lines {
			if len(l.Marks) > 0 {
				rows = append(rows, strings.Fields(rowOf(l, ""))...)
			}
		}
	}
	return strings.Join(rows, " ")
}

func (c Chart) writeLine(b *strings.Builder, l Line) {
	switch {
	case l.Kind == Plain:
		b.WriteString(l.Text)
	case l.Kind == Field:
		b.WriteString(l.Label + l.Text)
		if c.Format == ChordPro {
			b.WriteByte('}')
		}
	case c.Format == ChordPro && l.Sung:
		writeLyrics(b, l)
	default:
		b.WriteString(rowOf(l, ""))
		if l.Sung {
			b.WriteString("\n" + l.Words)
		}
	}
	b.WriteByte('\n')
}

// writeLyrics writes words with [chords] in them.
func writeLyrics(b *strings.Builder, l Line) {
	at := 0
	for _, m := range l.Marks {
		to := max(min(m.At, len(l.Words)), at)
		b.WriteString(l.Words[at:to] + "[" + m.written() + "]")
		at = to
	}
	b.WriteString(l.Words[at:])
}

// written is a mark with what is written around it.
func (m Mark) written() string { return m.Pre + m.Text + m.Post }

// rowOf writes a line of music behind what stands before it on the line, each mark in
// its column or as soon after it as there is room.
func rowOf(l Line, before string) string {
	var b strings.Builder
	b.WriteString(before)
	end, w := columns(before), walk{}
	for i, m := range l.Marks {
		column := m.At
		if l.Sung {
			column = w.columnOf(l.Words, m.At)
		}
		switch {
		case m.Tight:
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
