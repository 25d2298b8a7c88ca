package screen

// pausePage hides the question, so that a pause gives no time to work it out.
func (m *practice) pausePage() []string {
	page := append(m.indent(m.header()), "")
	return append(page, m.indent(
		m.o.Look.paint(strong, "Paused."), "",
		"The clock stands still. Shake out your hands, look into the distance.")...)
}

// helpPage tells the keys, and what practice should not cost.
func (m *practice) helpPage() []string {
	text := []string{
		"Notes      a letter, then # s + for sharp or b f - for flat",
		"Frets      the number, or left and right and Enter, or the mouse",
		"Places     6/3 or just 63; or the arrows and Space, or the mouse",
		"Words      intervals, chords and keys are typed and end with Enter",
		"",
		"The clock runs from the question to the first key of the answer.",
		"Backspace clears; u takes an answer back right after it was given.",
		"Enter or Space ends an answer that could go on, like 1 on the way to 12.",
		"Questions that you miss come back. Pauses are not counted.",
		"",
		"Start with the volume low, in headphones above all. Rest every quarter",
		"of an hour. Stop when something hurts or tingles, and ask a teacher",
		"or a doctor: no exercise is worth an injured hand or ear.",
	}
	page := append(m.indent(m.o.Look.paint(strong, "How to answer")), "")
	if m.height < 20 {
		page = page[:1]
	}
	for _, l := range text {
		page = append(page, m.indent(wrapKeep(l, m.measure())...)...)
	}
	return page
}

// wrapKeep wraps a line only where it is too long, and keeps its columns.
func wrapKeep(line string, width int) []string {
	if len(line) <= width {
		return []string{line}
	}
	return wrap(line, width)
}

// closingPage is the summary.
func (m *practice) closingPage() []string {
	page := append(m.indent(m.o.Look.paint(strong, "That was it.")), "")
	for _, l := range m.summary.Lines() {
		page = append(page, m.indent(wrap(l, min(m.measure(), 76))...)...)
		page = append(page, "")
	}
	return page[:len(page)-1]
}
