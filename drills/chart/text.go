package chart

import (
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"surefret/drills/theory"
)

// Bounds that keep a mistake from becoming a page of nonsense, and a file that is
// none from taking the memory of many.
const (
	Largest     = 1 << 18 // bytes of a file; a chart of 200 bars has some five thousand
	mostLines   = 5000
	longestLine = 2000 // bytes
	longestWord = 64   // bytes of a chord with what stands around it
	mostMarks   = 20000
)

var (
	fieldForm    = formOf(`^(\s*(?i:(title|key|tempo|bpm|time|metre|meter|capo))\s*[:=][\s\x{a0}]*)(.*?)[\s\x{a0}]*$`)
	capoForm     = formOf(`^(?i:(?:(?:on|at) )?(?:the )?(?:fret )?(\d{1,2})(?:st|nd|rd|th)?(?: fret)?)(?:[,;]?\s*\(?(?i:play(?: in)?)\s+([^)\s]+)\)?)?$`)
	bareCapo     = formOf(`^(\s*(?i:capo)\s+)((?i:(?:(?:on|at) )?(?:the )?(?:fret )?)\d.*?)\s*$`)
	tempoForm    = formOf(`^(?:♩\s*=\s*)?(\d{2,3}(?:\.\d{1,2})?)(?:\s*(?i:bpm))?$`)
	bracketForm  = formOf(`^\s*\[([^\[\]]*[^\[\]\s][^\[\]]*)\](.*)$`)
	colonForm    = formOf(`^\s*([^:|]{1,40}):(.*)$`)
	sectionWords = `(?i:intro|introduction|verse|strophe|chorus|refrain|pre-?chorus|bridge|middle(?: eight| 8)?|solo|instrumental|interlude|break|turnaround|vamp|tag|coda|outro|end|ending|hook|part|section|riff)`
	headingForm  = formOf(`^\s*(` + sectionWords + `(?:\s+(?:\d{1,2}|[A-Z]))?)\s*(\(?[x×]\s?\d{1,2}\)?)?\s*$`)
	namedForm    = formOf(`^\s*` + sectionWords + `\b`)
	remarkForm   = formOf(`^[^:|]{0,30}\b(?i:tuning|tuned|strum\w*|pattern|picking|range|notes?|(?:original|recorded|recording|album|male|female|suggested) key)\b[^:|]{0,30}:`)
	headTimes    = formOf(`^\s*\(?[x×]\s?(\d{1,2})\)?:?\s*$`)
)

// readText reads chords over lyrics, and bar charts.
func (r *reader) readText(text string) {
	s := &r.chart.Sections
	*s = append(*s, Section{})
	var above *songLine // a line of music that words may follow
	body := false       // whether anything but fields has come
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		r.line = i + 1
		now := &(*s)[len(*s)-1]
		switch {
		case i == len(lines)-1 && line == "":
			continue
		case strings.TrimSpace(line) == "":
			now.lines = append(now.lines, songLine{text: line})
		case r.typed:
			r.keep(now, r.music(line), musicLine)
		case r.field(line, now):
		case above == nil && strings.Contains(line, ":") && remarkForm().MatchString(line) && !namedForm().MatchString(line):
			now.lines = append(now.lines, songLine{text: line}) // its letters are notes or strokes
		case r.heading(line):
			body = true
		case r.isMusic(line, now):
			body = true
			above = &now.lines[len(now.lines)-1]
			continue
		case above != nil:
			above.sing(line)
		case !body && r.chart.Title == "":
			r.chart.Title = strings.TrimSpace(line)
			now.lines = append(now.lines, songLine{kind: fieldLine, field: "title", text: line})
		default:
			now.lines = append(now.lines, songLine{text: line})
		}
		above = nil
		if r.marks > mostMarks {
			r.fault(1, line, "too much: a chart has at most "+strconv.Itoa(mostMarks)+" signs")
			return
		}
	}
}

// keep adds a line of music, and what is not understood of it.
func (r *reader) keep(s *Section, found row, kind lineKind) {
	for _, f := range found.faults {
		r.fault(f.column, f.text, f.reading)
	}
	r.marks += len(found.marks)
	s.lines = append(s.lines, songLine{kind: kind, marks: slices.Clone(found.marks)})
}

// isMusic takes a line if it is music: each word of it is, and one of them surely;
// or it begins with a bar line; or more than half of it is chords.
func (r *reader) isMusic(line string, s *Section) bool {
	trimmed := strings.TrimSpace(line)
	r.quiet = true
	found := r.music(line)
	if r.quiet = false; found.lost() && barSign(trimmed) == "" {
		return false
	}
	sure := found.chords > 0 || found.bars > 0
	for _, m := range found.marks {
		sure = sure || m.kind == NoChord
	}
	sure = sure || found.near > 0
	far := len(found.faults) - found.near // from any chord
	whole := far == 0 && len(found.marks)+found.near > 0
	if !(whole && sure || barSign(trimmed) != "" && found.bars > 0 || found.chords+found.near > 1 && 2*far < found.words+found.bars || r.small(line)) {
		return false
	}
	if len(found.faults) > 0 {
		found = r.music(line)
	}
	if bareMeter().MatchString(trimmed) {
		r.fault(1+strings.Index(line, trimmed), trimmed, "a metre, or a chord over a bass? write ("+trimmed+") behind the next bar line, or | "+trimmed+" |")
	}
	r.keep(s, found, musicLine)
	return true
}

// small reports whether a line is chords that begin with small letters, and not only
// with those that are words.
func (r *reader) small(line string) bool {
	words, sure := strings.Fields(line), false
	for _, w := range words {
		if w[0] >= 0x80 || r.chart.Names.System == theory.Solfege || !r.reads(strings.ToUpper(w[:1])+w[1:]) {
			return false
		}
		sure = sure || w[0] >= 'a' && w != "a" && w != "am"
	}
	return sure && len(words) > 1
}

// sing puts words under a line of music: each mark then stands at an offset in them.
func (l *songLine) sing(words string) {
	l.words, l.sung = words, true
	var w walk
	for i := range l.marks {
		if l.marks[i].tight {
			l.marks[i].at = l.marks[i-1].at
		} else {
			l.marks[i].at = w.to(words, l.marks[i].at)
		}
	}
}

// field reads a fact about the song: "Key: G", "Capo 1, play G".
func (r *reader) field(line string, s *Section) bool {
	if value := strings.TrimSpace(line); r.marks == 0 && bareMeter().MatchString(value) {
		label := line[:strings.Index(line, value)]
		r.fact("time", value, 1+utf8.RuneCountInString(label))
		s.lines = append(s.lines, songLine{kind: fieldLine, field: "time", label: label, text: value})
		return true
	}
	if len(line) > 200 || !strings.ContainsAny(line, ":=") && !strings.Contains(line, "apo ") && !strings.Contains(line, "APO ") {
		return false
	}
	parts := fieldForm().FindStringSubmatch(line)
	if parts == nil {
		if parts = bareCapo().FindStringSubmatch(line); parts == nil {
			return false
		}
		parts = []string{parts[0], parts[1], "capo", parts[2]}
	}
	name := strings.ToLower(parts[2])
	switch name {
	case "bpm":
		name = "tempo"
	case "metre", "meter":
		name = "time"
	}
	r.fact(name, parts[3], 1+utf8.RuneCountInString(parts[1]))
	s.lines = append(s.lines, songLine{kind: fieldLine, field: name, label: parts[1], text: parts[3]})
	return true
}

// fact takes the value of a field.
func (r *reader) fact(name, value string, column int) {
	c := &r.chart
	switch name {
	case "title":
		if c.Title == "" {
			c.Title = value
		}
	case "key":
		r.setKey(value, column)
	case "tempo":
		parts := tempoForm().FindStringSubmatch(value)
		if parts == nil {
			r.fault(column, value, "no tempo: give beats a minute, like 96 or 96.5")
			return
		}
		if c.Tempo == 0 {
			c.Tempo, _ = strconv.ParseFloat(parts[1], 64)
		}
	case "time":
		m, ok := parseMeter(value)
		if !ok {
			r.fault(column, value, "no metre: give it like 3/4")
			return
		}
		if c.Time == (Meter{}) {
			c.Time = m
		}
	case "capo":
		r.setCapo(value, column)
	}
}

// setKey takes a key: the first is the chart's, a later one holds from there on.
func (r *reader) setKey(value string, column int) {
	k, err := r.chart.Names.ParseKey(value)
	if err != nil {
		if value != "" && value[0] == 'H' && r.chart.Names.System == theory.English {
			r.fault(column, value, "B"+value[1:]+"? H is a German name, which the setting of note names turns on")
			return
		}
		r.fault(column, value, "no key: give it like Eb, F#m or A minor")
		return
	}
	if !r.chart.Keyed {
		if r.chart.Keyed = true; r.marks == 0 || !r.given {
			r.chart.Key, r.late = k, r.marks > 0
		}
	}
	r.key = k
}

// setCapo takes a capo. Where it says what the hand plays, that is the key of
// the chords, and a key given before is the one that sounds.
func (r *reader) setCapo(value string, column int) {
	parts := capoForm().FindStringSubmatch(value)
	fret := 0
	if parts != nil {
		fret, _ = strconv.Atoi(parts[1])
	}
	if fret == 0 || fret > 12 {
		if value != "0" {
			r.fault(column, value, "no fret for a capo: give it like 2, or 1, play G")
		}
		return
	}
	r.chart.Capo = fret
	if parts[2] == "" {
		return
	}
	hand, err := r.chart.Names.ParseKey(parts[2])
	if err != nil {
		r.fault(column, value, "no key to play in: give it like 1, play G")
		return
	}
	if pc := (hand.Tonic.PitchClass() + fret) % 12; r.chart.Keyed && r.chart.Key.Tonic.PitchClass() != pc && r.chart.Key != hand {
		r.fault(column, value, "a capo there on "+r.chart.Names.Key(hand)+" does not sound as "+r.chart.Names.Key(r.chart.Key)+": correct one of them")
		return
	}
	r.key, r.chart.Key, r.chart.Keyed = hand, hand, true
}

func parseMeter(value string) (Meter, bool) {
	parts := bareMeter().FindStringSubmatch(strings.Trim(value, "() "))
	if parts == nil {
		return Meter{}, false
	}
	beats, _ := strconv.Atoi(parts[1])
	unit, _ := strconv.Atoi(parts[2])
	return Meter{beats, unit}, beats > 0 && beats <= 32
}

// heading begins a section where a line says so: [Verse 1], Chorus x2, Bridge:, or
// Intro: and its chords.
func (r *reader) heading(line string) bool {
	head := strings.TrimRight(line, " \t")
	begin := func(name string, times int) *Section {
		r.chart.Sections = append(r.chart.Sections, Section{Name: strings.TrimSpace(name), head: head, Times: times})
		return &r.chart.Sections[len(r.chart.Sections)-1]
	}
	first := strings.TrimLeft(head, " \t")[0]
	if first == '|' || first != '[' && len(head) > 40 && !strings.Contains(head, ":") {
		return false // nearly every line
	}
	if parts := bracketForm().FindStringSubmatch(head); parts != nil {
		if times, ok := countOf(parts[2]); ok {
			begin(parts[1], times)
			return true
		}
		return r.headedMusic(head, len(head)-len(parts[2]), true, begin)
	}
	if parts := headingForm().FindStringSubmatch(head); parts != nil {
		times, _ := countOf(parts[2])
		begin(parts[1], times)
		return true
	}
	parts := colonForm().FindStringSubmatch(head)
	if parts == nil {
		return false
	}
	if times, ok := countOf(parts[2]); ok && len(strings.Fields(parts[1])) <= 5 {
		begin(parts[1], times)
		return true
	}
	return r.headedMusic(head, len(head)-len(parts[2]), namedForm().MatchString(parts[1]), begin)
}

// countOf reads how often a section is played behind its heading; nothing is 0.
func countOf(text string) (int, bool) {
	if strings.TrimSpace(text) == "" {
		return 0, true
	}
	parts := headTimes().FindStringSubmatch(text)
	if parts == nil {
		return 0, false
	}
	n, _ := strconv.Atoi(parts[1])
	return n, true
}

// headedMusic begins a section with music on the line of its heading. Behind what
// is surely a heading, more than half must be music; behind another word, all.
func (r *reader) headedMusic(line string, at int, named bool, begin func(string, int) *Section) bool {
	found := r.music(strings.Repeat(" ", utf8.RuneCountInString(line[:at])) + line[at:])
	if found.chords+found.bars == 0 && found.doubts == 0 || len(found.faults) > 0 && (!named || 2*len(found.faults) >= found.words) {
		return false
	}
	s := begin(strings.Trim(line[:at], "[]: \t"), 0)
	s.head = line[:at]
	r.keep(s, found, sameLine)
	return true
}
