package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"surefret/cmd/surefret/ink"
)

// A Topic is what a player calls one thing, with how much of it is known.
type Topic struct {
	Name    string  `json:"name"`    // "tenths, root on string 6"
	Fluency float64 `json:"fluency"` // of what was asked, the mean probability of right in time
	Asked   int     `json:"asked"`   // items
	Items   int     `json:"items"`
}

// A Pupil is what one practice looks like beside others.
type Pupil struct {
	Name    string   `json:"name"`    // of the file
	File    string   `json:"file"`    // where it is
	Players []string `json:"players"` // ids, none where no settings were saved
	Last    string   `json:"last"`    // day of the last answer, "" for none
	Answers int      `json:"answers"`
	Week    float64  `json:"minutes_in_7_days"`
	Month   float64  `json:"minutes_in_28_days"`
	Weak    []Topic  `json:"weak"` // the weakest first
	Map     Map      `json:"map"`
}

// Pupils are several practices side by side.
type Pupils []Pupil

// weakShown is how many weak topics of each pupil are named.
const weakShown = 3

// minutes says how long somebody practised, and the last day in words.
func (p Pupil) minutes(last string) string {
	if p.Last == "" {
		return "nothing practised yet"
	}
	return fmt.Sprintf("%.0f min in 7 days, %.0f in 28; last on %s", p.Week, p.Month, last)
}

// block is a pupil in a column of text.
func (p Pupil) block(columns int, look ink.Look) []string {
	var b strings.Builder
	b.WriteString(look.Paint(ink.Strong, p.Name) + "\n")
	fold(&b, columns, "", p.minutes(long(p.Last)))
	b.WriteByte('\n')
	if len(p.Map.Places) > 0 {
		b.WriteString(strings.Join(p.Map.picture(columns, look).Draw().Lines, "\n") + "\n")
	}
	b.WriteByte('\n')
	for _, t := range p.Weak[:min(weakShown, len(p.Weak))] {
		fold(&b, columns, "", fmt.Sprintf("%2d %% %s", percent(t.Fluency), t.Name))
	}
	return strings.Split(strings.TrimRight(b.String(), "\n"), "\n")
}

// Text prints as many pupils beside each other as columns allow, each with his
// minutes, map and weakest topics.
func (ps Pupils) Text(columns int, look ink.Look) string {
	const gap, wide = 3, 36 // of a neck of eleven frets, as narrow as it gets and a little more
	beside := max(1, (columns+gap)/(wide+gap))
	var b strings.Builder
	b.WriteString(look.Paint(ink.Strong, Many(len(ps), "practice")+" side by side") + "\n")
	for _, p := range ps[:min(1, len(ps))] {
		b.WriteString(strings.Join(p.Map.Legend(columns, look), "\n") + "\n")
	}
	fold(&b, columns, "", "Below each neck: the weakest topics.")
	for i := 0; i < len(ps); i += beside {
		var blocks [][]string
		rows := 0
		for _, p := range ps[i:min(i+beside, len(ps))] {
			blocks = append(blocks, p.block(wide, look))
			rows = max(rows, len(blocks[len(blocks)-1]))
		}
		b.WriteByte('\n')
		for r := range rows {
			line := ""
			for k, block := range blocks {
				if r < len(block) {
					line += strings.Repeat(" ", max(0, k*(wide+gap)-ansi.StringWidth(line))) + block[r]
				}
			}
			b.WriteString(strings.TrimRight(line, " ") + "\n")
		}
	}
	return b.String()
}

//go:embed pupils.html.tmpl
var pupilsText string

var pupilsPage = template.Must(template.New("pupils").Funcs(template.FuncMap{
	"minutes": func(p Pupil) string { return p.minutes(long(p.Last)) },
	"percent": func(v float64) string { return fmt.Sprintf("%d %%", percent(v)) },
	"first":   func(ts []Topic) []Topic { return ts[:min(weakShown, len(ts))] },
	"picture": Map.pagePicture,
	"legend":  Map.legendWords,
}).Parse(pupilsText))

// HTML writes them as one page that needs nothing else: no network, no script.
func (ps Pupils) HTML(w io.Writer, today string) error {
	return pupilsPage.Execute(w, struct {
		Day    string
		Pupils Pupils
		tones
	}{long(today), ps, pageTones})
}
