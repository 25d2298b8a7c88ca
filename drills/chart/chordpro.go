package chart

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// directiveForm splits a directive into its name, what parts it from its value, and
// its value. A selector behind a dash belongs to the name.
var directiveForm = formOf(`^\s*\{\s*([A-Za-z_][A-Za-z0-9_]*)(-[A-Za-z0-9_!]+)?(\s*[:\s]\s*)?(.*?)\s*\}\s*$`)

// shortNames are the abbreviations of the specification.
var shortNames = map[string]string{
	"t": "title", "c": "comment", "ci": "comment_italic", "cb": "comment_box", "ns": "new_song",
	"soc": "start_of_chorus", "eoc": "end_of_chorus", "sov": "start_of_verse", "eov": "end_of_verse", "sob": "start_of_bridge", "eob": "end_of_bridge",
	"sot": "start_of_tab", "eot": "end_of_tab", "sog": "start_of_grid", "eog": "end_of_grid",
}

var (
	nextForm  = formOf(`\}\s*\{`)
	labelForm = formOf(`\blabel\s*=\s*(?:"([^"]*)"|'([^']*)')`)
	shapeForm = formOf(`^(?:shape\s*=\s*(?:"[^"]*"|'[^']*')|[0-9+x]*[0-9])\s*:?\s*`)
)

// asIs are the environments whose lines are neither lyrics nor chords.
var asIs = map[string]bool{"tab": true, "abc": true, "ly": true, "svg": true, "textblock": true, "strum": true}

// readChordPro reads ChordPro.
func (r *reader) readChordPro(text string) {
	s := &r.chart.Sections
	*s = append(*s, Section{})
	inside := "" // the environment that is open
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		r.line = i + 1
		now := &(*s)[len(*s)-1]
		parts := directiveForm().FindStringSubmatch(line)
		switch {
		case i == len(lines)-1 && line == "":
		case parts != nil && nextForm().MatchString(line):
			r.fault(1, line, "two directives? give each a line of its own")
		case parts != nil:
			inside = r.directive(line, parts, inside)
		case asIs[inside] || strings.TrimSpace(line) == "" || line[0] == '#':
			now.lines = append(now.lines, songLine{text: line})
		case strings.HasPrefix(strings.TrimSpace(line), "{"):
			if strings.Contains(line, "}") {
				r.fault(1, line, "a directive? give it a line of its own, and begin its name with a letter")
				break
			}
			r.fault(1, line, "a directive? close it with }, and begin its name with a letter")
		case inside == "grid":
			r.grid(line, now)
		default:
			r.lyrics(line, now)
		}
		if r.marks > mostMarks {
			r.fault(1, line, "too much: a chart has at most "+strconv.Itoa(mostMarks)+" signs")
			return
		}
	}
	if inside != "" {
		r.fault(1, lines[len(lines)-1], "the end, and the "+inside+" is still open: close it with {end_of_"+inside+"}")
	}
}

// directive reads a directive, and returns the environment that is open after it.
func (r *reader) directive(line string, parts []string, inside string) string {
	s := &r.chart.Sections
	now := &(*s)[len(*s)-1]
	name, value := strings.ToLower(parts[1]), parts[4]
	if long, ok := shortNames[name]; ok {
		name = long
	}
	kind, starts := strings.CutPrefix(name, "start_of_")
	ended, ends := strings.CutPrefix(name, "end_of_")
	switch {
	case starts && inside != "":
		r.fault(1, line, "a "+kind+" within the "+inside+": close that first with {end_of_"+inside+"}")
	case starts:
		*s = append(*s, Section{Name: labelOf(kind, value), Kind: kind, head: line})
		return kind
	case ends && ended != inside && inside != "":
		r.fault(1, line, "the end of a "+ended+", and a "+inside+" is open: write {end_of_"+inside+"}")
	case ends:
		now.foot = line
		*s = append(*s, Section{})
		return ""
	case name == "chorus":
		*s = append(*s, Section{Name: labelOf(name, value), Kind: "recall", head: line}, Section{})
		if inside != "" {
			r.fault(1, line, "a chorus within the "+inside+": close that first with {end_of_"+inside+"}")
		}
	case name == "transpose":
		r.fault(1, line, "the chords below are meant in another key: write them in the key they are played in, as 'surefret song move' does")
	case strings.HasPrefix(name, "comment") && inside == "" && headingForm().MatchString(value):
		found := headingForm().FindStringSubmatch(value)
		times, _ := countOf(found[2])
		*s = append(*s, Section{Name: found[1], head: line, Times: times})
	default:
		now.lines = append(now.lines, r.fieldOf(line, name, value, parts[2] != ""))
	}
	return inside
}

// fieldOf reads a directive that tells a fact; any other is kept as it is.
func (r *reader) fieldOf(line, name, value string, selected bool) songLine {
	if name == "meta" {
		name, value, _ = strings.Cut(value, " ")
		value = strings.TrimSpace(value)
	}
	switch name {
	case "title", "key", "tempo", "time", "capo":
	default:
		return songLine{text: line}
	}
	if selected || value == "" {
		return songLine{text: line} // for another instrument, or nothing
	}
	at := strings.LastIndex(line, value)
	r.fact(name, value, 1+utf8.RuneCountInString(line[:at]))
	return songLine{kind: fieldLine, field: name, label: line[:at], text: value}
}

// labelOf returns the label of a section; one without goes by its kind, but for grids,
// which are only a way to write.
func labelOf(kind, value string) string {
	if found := labelForm().FindStringSubmatch(value); found != nil {
		return found[1] + found[2]
	}
	if kind == "grid" {
		return shapeForm().ReplaceAllString(value, "")
	}
	if value == "" {
		value = strings.ToUpper(kind[:min(1, len(kind))]) + strings.ReplaceAll(kind[min(1, len(kind)):], "_", " ")
	}
	return value
}

// lyrics reads a line of words with [chords] in it.
func (r *reader) lyrics(line string, s *Section) {
	if !strings.Contains(line, "[") && r.bare(line) {
		r.fault(1, line, "chords? give each brackets, like [G]; words that look like them go behind []")
		return
	}
	l := songLine{kind: musicLine, sung: true}
	var words strings.Builder
	for at := 0; at < len(line); {
		open := strings.IndexByte(line[at:], '[')
		if open < 0 {
			words.WriteString(line[at:])
			break
		}
		words.WriteString(line[at : at+open])
		at += open
		place := 1 + utf8.RuneCountInString(line[:at])
		length := strings.IndexByte(line[at:], ']')
		if length < 0 {
			r.fault(place, line[at:], "a chord? close it with ]")
			return
		}
		if m, ok := r.bracket(line[at+1:at+length], place); ok {
			m.at = words.Len()
			l.marks = append(l.marks, m)
		}
		if at += length + 1; r.marks+len(l.marks) > mostMarks {
			break
		}
	}
	r.marks += len(l.marks)
	if l.words = words.String(); len(l.marks) == 0 {
		l = songLine{text: l.words}
	}
	s.lines = append(s.lines, l)
}

// bare reports whether a line is chords and nothing else, as they stand over lyrics.
func (r *reader) bare(line string) bool {
	r.quiet = true
	found := r.music(line)
	r.quiet = false
	return len(found.faults) == 0 && (found.chords > 1 || found.chords > 0 && found.bars > 0)
}

// bracket reads what stands in brackets.
func (r *reader) bracket(text string, place int) (Mark, bool) {
	if text == "" || text[0] == '*' {
		return Mark{kind: remark, Text: text}, true
	}
	trimmed := strings.Trim(text, " \t")
	found := r.music(trimmed)
	if len(found.faults) == 0 && len(found.marks) == 1 {
		return found.marks[0], true
	}
	if trimmed == "" {
		r.fault(place, "["+text+"]", "nothing? leave it out, or write []")
	} else if len(found.faults) > 0 {
		f := found.faults[0]
		r.fault(place+1, f.text, f.reading+", or a remark, [*"+clip(trimmed)+"]")
	} else {
		r.fault(place+1, trimmed, "several chords? give each its own brackets, or write it as a remark, [*"+clip(trimmed)+"]")
	}
	return Mark{}, false
}

// grid reads a line of a grid: what stands before its first bar line and behind its
// last is a margin, and no music.
func (r *reader) grid(line string, s *Section) {
	first, last := -1, -1
	for at := 0; at < len(line); {
		if sign := barSign(line[at:]); sign != "" {
			if first < 0 {
				first = at
			}
			at += len(sign)
			last = at
			continue
		}
		_, size := utf8.DecodeRuneInString(line[at:])
		at += size
	}
	switch {
	case first < 0:
		first, last = len(line), len(line)
	case timesForm().MatchString(strings.TrimSpace(line[last:])):
		last = len(line)
	}
	var all row
	note := func(from, to int) {
		text := strings.TrimSpace(line[from:to])
		if text == "" {
			return
		}
		from += strings.Index(line[from:to], text)
		if found := r.music(text); to == len(line) && len(found.faults) == 0 && found.chords > 0 && found.marks[len(found.marks)-1].kind != timesMark {
			r.fault(1+utf8.RuneCountInString(line[:from]), text, "a bar? close it with |; behind the last bar line is a margin")
		}
		all.add(Mark{kind: remark, Text: text, at: columns(line[:from])})
	}
	note(0, first)
	found := r.music(strings.Repeat(" ", columns(line[:first])) + line[first:last])
	for _, f := range found.faults {
		f.column += utf8.RuneCountInString(line[:first]) - columns(line[:first])
		r.fault(f.column, f.text, f.reading)
	}
	for _, m := range found.marks {
		all.add(m)
	}
	if last < len(line) {
		note(last, len(line))
	}
	r.keep(s, all, musicLine)
}
