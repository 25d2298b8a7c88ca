package chart

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"

	"surefret/drills/theory"
)

// Options say how a chart is read.
type Options struct {
	Names theory.Names
	Key   theory.Key // that the chart is in where it does not say so
	Keyed bool       // whether Key is given

	// Settled is for chords that were kept before anything was asked about: what could be
	// two things is then one of them, as it was always read. 15 is a fifth over 1, V7/ii
	// leads to ii, x3 repeats.
	Settled bool

	minor bool // its numerals are those of a minor key
}

// Read reads the charts of a file: one, or in ChordPro one for each {new_song}. The
// name tells the format where its ending does, and stands in errors, which are
// [*faults] where something was not understood.
func Read(name, text string, o Options) ([]Chart, error) {
	base := filepath.Base(name)
	switch {
	case len(text) > Largest:
		return nil, fmt.Errorf("%s is no chart: it has more than %d KB", base, Largest>>10)
	case !utf8.ValidString(text) || strings.ContainsRune(text, 0):
		return nil, fmt.Errorf("%s is not UTF-8 text: save it as UTF-8", base)
	}
	text = strings.ReplaceAll(strings.TrimPrefix(text, "\ufeff"), "\r\n", "\n")
	text = strings.ReplaceAll(text, "\r", "\n") // as old files end their lines
	if strings.Count(text, "\n") > mostLines {
		return nil, fmt.Errorf("%s is no chart: it has more than %d lines", base, mostLines)
	}
	number := 0
	for line := range strings.Lines(text) {
		if number++; len(line) > longestLine {
			return nil, &faults{base, []fault{{number, 1, line, fmt.Sprintf("too long a line: a chart's have at most %d letters", longestLine)}}}
		}
	}
	format := FormatOf(name, text)
	if format == Text {
		c, err := read(base, text, 1, o, format, false)
		return []Chart{c}, err
	}
	var charts []Chart
	for from, line := 0, 1; from >= 0; {
		song, next := text[from:], -1
		if at := newSong().FindStringIndex(song[min(1, len(song)):]); at != nil {
			next = from + at[0] + 1
			song = text[from:next]
		}
		c, err := read(base, song, line, o, format, false)
		if err != nil {
			return nil, err
		}
		if c.marks() > 0 || c.Title != "" || next < 0 && len(charts) == 0 {
			charts = append(charts, c)
		}
		line, from = line+strings.Count(song, "\n"), next
	}
	return charts, nil
}

// newSong is where another song begins in a ChordPro file.
var newSong = formOf(`(?mi)^\s*\{\s*(?:ns|new_song)\b`)

// ReadTyped reads chords that were typed on a command line or into a field: every
// word is meant for one. Letters may be small, and chords may stand apart by a
// comma, a colon or a semicolon.
func ReadTyped(text string, o Options) (Chart, error) {
	for line := range strings.Lines(text) {
		if len(line) > longestLine || len(text) > Largest {
			return Chart{}, fmt.Errorf("it is too long: at most %d letters a line", longestLine)
		}
	}
	if !strings.Contains(text, "\n") {
		return read("", text, 0, o, Text, true)
	}
	return read("", text, 1, o, Text, true)
}

func read(name, text string, line int, o Options, format Format, typed bool) (Chart, error) {
	r := &reader{chart: Chart{Format: format, Names: o.Names}, typed: typed, settled: o.Settled, key: o.Key, given: o.Keyed}
	r.chart.Key = r.key
	if format == ChordPro {
		r.readChordPro(text)
	} else {
		r.readText(text)
	}
	if r.late { // numbers count from it
		o.Key, o.Keyed = r.chart.Key, true
		return read(name, text, line, o, format, typed)
	}
	if !r.chart.Keyed && !o.Keyed && !o.minor && r.chart.onMinor() {
		o.Key.Mode, o.minor = theory.Minor, true
		return read(name, text, line, o, format, typed)
	}
	for i := range r.faults {
		r.faults[i].line += line - 1
	}
	r.chart.Keyed = r.chart.Keyed || o.Keyed
	return r.chart, r.err(name)
}

// onMinor reports whether numerals stand for a minor key: one of them is i.
func (c Chart) onMinor() bool {
	for _, s := range c.Sections {
		for _, l := range s.lines {
			for _, m := range l.marks {
				if m.kind == Chord && m.In == Romans && minorOne().MatchString(m.Text) {
					return true
				}
			}
		}
	}
	return false
}

var minorOne = formOf(`^i(?:$|[^iv])`)

var (
	anyDirective = formOf(`(?m)^\s*\{[A-Za-z_][^{}\n]*\}\s*$`)
	inLyrics     = formOf(`(?:[^\s\]] ?\[[A-H1-7IViv][^\]\n]{0,12}\])|(?:\[[A-H1-7IViv][^\]\n]{0,12}\] ?[^\s\[(|x×])`)
)

// FormatOf tells the format of a chart by the ending of its name, or else by what
// only ChordPro has: directives in braces, and chords in brackets among words.
func FormatOf(name, text string) Format {
	switch strings.ToLower(filepath.Ext(name)) {
	case ".cho", ".crd", ".chopro", ".chordpro", ".chord", ".pro":
		return ChordPro
	}
	text = strings.ReplaceAll(text, "\u00a0", " ")
	if strings.Contains(text, "{") && anyDirective().MatchString(text) || strings.Contains(text, "[") && slices.ContainsFunc(strings.Split(text, "\n"), func(line string) bool {
		return strings.Contains(line, "[") && inLyrics().MatchString(line)
	}) {
		return ChordPro
	}
	return Text
}
