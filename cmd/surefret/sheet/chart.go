package sheet

import (
	"cmp"
	"fmt"
	"strings"
	"unicode/utf8"

	"surefret/cmd/surefret/ink"
	"surefret/drills/chart"
)

// A Chart is a song's chart, bar by bar, for scripts and for the echo of what was read.
type Chart struct {
	Title    string         `json:"title"`
	Key      string         `json:"key,omitempty"`      // of the chords
	Sounding string         `json:"sounding,omitempty"` // with the capo
	Capo     int            `json:"capo,omitempty"`
	Tempo    float64        `json:"tempo,omitempty"`
	Time     string         `json:"time,omitempty"`
	Sections []ChartSection `json:"sections"`
}

// A ChartSection is a section and its bars.
type ChartSection struct {
	Name     string     `json:"name,omitempty"`
	Times    int        `json:"times,omitempty"`    // how often it is played, where its heading says so
	Recalled bool       `json:"recalled,omitempty"` // it calls for the bars of a section before
	Bars     []ChartBar `json:"bars"`
}

// A ChartBar is one bar, in letters and in numbers.
type ChartBar struct {
	Chords  []string `json:"chords"`            // with "." and "/" for beats; none where the key is not known
	Numbers []string `json:"numbers"`           // none where the key is not known
	Ending  string   `json:"ending,omitempty"`  // "1"
	Opens   bool     `json:"opens,omitempty"`   // a repeat begins with it
	Repeats int      `json:"repeats,omitempty"` // one ends with it, played that often
	Same    bool     `json:"same,omitempty"`    // it is written as a sign that repeats what came before
}

// ChartOf works a chart out.
func ChartOf(c chart.Chart) Chart {
	page := Chart{Title: c.Title, Capo: c.Capo, Tempo: c.Tempo, Sections: []ChartSection{}}
	if c.Keyed {
		page.Key = c.Names.Key(c.Key)
	}
	if c.Keyed && c.Capo > 0 {
		page.Sounding = c.Names.Key(c.Sounding())
	}
	if c.Time.Beats > 0 {
		page.Time = c.Time.String()
	}
	for i, s := range c.Sections {
		from := c.Source(i)
		bars := c.Bars(from)
		if len(bars) == 0 {
			continue
		}
		sec := ChartSection{Name: strings.TrimSpace(cmp.Or(s.Name, c.Sections[from].Name)), Times: s.Times, Recalled: from != i}
		if kind := c.Sections[from].Kind; sec.Name == "" && (kind == "verse" || kind == "chorus" || kind == "bridge") {
			sec.Name = kind
		}
		for _, b := range bars {
			sec.Bars = append(sec.Bars, barOf(c, b))
		}
		page.Sections = append(page.Sections, sec)
	}
	return page
}

func barOf(c chart.Chart, b chart.Bar) ChartBar {
	bar := ChartBar{Chords: []string{}, Numbers: []string{}, Ending: b.Ending, Opens: b.Opens, Repeats: b.Closes, Same: b.Same}
	for _, beat := range b.Beats {
		chord, number := beat.Mark.Text, beat.Mark.Text
		switch beat.Kind {
		case chart.Chord:
			letters := beat.Mark.In == chart.Letters
			if chord = ""; c.Keyed || letters {
				chord = c.Names.Chord(beat.Chord)
			}
			if number = ""; c.Keyed || !letters {
				number = b.Key.Numeral(beat.Chord).Number()
			}
		case chart.Hold:
			chord, number = ".", "."
		case chart.Slash:
			chord, number = "/", "/"
		}
		around := func(text string) string {
			if beat.Diamond {
				text = "<" + text + ">"
			}
			if beat.Push {
				text = "^" + text
			}
			return text
		}
		if chord != "" {
			bar.Chords = append(bar.Chords, around(chord))
		}
		if number != "" {
			bar.Numbers = append(bar.Numbers, around(number))
		}
	}
	return bar
}

// Text prints a chart as it was understood: title, key and tempo, then the bars of each
// section in letters and below them in numbers, figures raised as on a gig's page.
func (c Chart) Text(ascii bool) string {
	facts := c.Key
	if c.Sounding != "" {
		facts = fmt.Sprintf("%s with the capo at fret %d, sounding %s", c.Key, c.Capo, c.Sounding)
	}
	if c.Tempo > 0 {
		facts += fmt.Sprintf(", %g beats a minute", c.Tempo)
	}
	lines := []string{c.Title + ": " + facts}
	for _, s := range c.Sections {
		if head := s.head(); head != "" {
			lines = append(lines, head)
		}
		if s.Recalled {
			continue
		}
		for from := 0; from < len(s.Bars); from += 4 {
			bars := s.Bars[from:min(from+4, len(s.Bars))]
			lines = append(lines, twoRows(bars, ascii)...)
		}
	}
	return strings.Join(lines, "\n") + "\n"
}

// head is what stands over a section: "verse", "chorus (x2)", "chorus, as before".
func (s ChartSection) head() string {
	head := s.Name
	if s.Times > 1 {
		head += fmt.Sprintf(" (x%d)", s.Times)
	}
	if s.Recalled {
		head += ", as before"
	}
	return strings.TrimSpace(head)
}

// twoRows prints bars in letters and in numbers, one below the other.
func twoRows(bars []ChartBar, ascii bool) []string {
	var rows [2]string
	has := [2]bool{}
	for _, b := range bars {
		two := b.rows(ascii)
		width := max(utf8.RuneCountInString(two[0]), utf8.RuneCountInString(two[1]))
		for i, row := range two {
			rows[i] += row + strings.Repeat(" ", width-utf8.RuneCountInString(row))
		}
		has[0], has[1] = has[0] || len(b.Chords) > 0, has[1] || len(b.Numbers) > 0
	}
	var all []string
	for i, row := range rows {
		if has[i] {
			all = append(all, "  "+row+"|")
		}
	}
	return all
}

// rows prints a bar in letters and in numbers, from its bar line on.
func (b ChartBar) rows(ascii bool) [2]string {
	sign := "|"
	if b.Opens {
		sign = "|:"
	}
	if b.Ending != "" {
		sign += b.Ending + "."
	}
	rows := [2]string{sign + " " + strings.Join(b.Chords, " ") + " ", sign + " "}
	for _, n := range b.Numbers {
		rows[1] += ink.Raised(n, ascii) + " "
	}
	if b.Repeats > 1 {
		end := ":"
		if b.Repeats > 2 {
			end = fmt.Sprintf(":x%d ", b.Repeats)
		}
		width := max(utf8.RuneCountInString(rows[0]), utf8.RuneCountInString(rows[1]))
		for i, row := range rows {
			rows[i] = row + strings.Repeat(" ", width-utf8.RuneCountInString(row)) + end
		}
	}
	return rows
}
