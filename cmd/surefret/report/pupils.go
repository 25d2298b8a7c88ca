package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"strings"

	"github.com/charmbracelet/x/ansi"
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

// minutes says how long somebody practised.
func (p Pupil) minutes() string {
	if p.Last == "" {
		return "nothing practised yet"
	}
	return fmt.Sprintf("%.0f min in 7 days, %.0f in 28; last on %s", p.Week, p.Month, p.Last)
}

// block is a pupil in a column of text.
func (p Pupil) block(columns int) []string {
	var b strings.Builder
	fold(&b, columns, "", p.Name)
	fold(&b, columns, "", p.minutes())
	b.WriteByte('\n')
	p.Map.board(&b, columns, func(_ int, text string) string { return text })
	b.WriteByte('\n')
	for _, t := range p.Weak[:min(weakShown, len(p.Weak))] {
		fold(&b, columns, "", fmt.Sprintf("%2.0f %% %s", 100*t.Fluency, t.Name))
	}
	return strings.Split(strings.TrimRight(b.String(), "\n"), "\n")
}

// Text prints as many pupils beside each other as columns allow, each with his
// minutes, map and weakest topics.
func (ps Pupils) Text(columns int) string {
	const gap = 3
	wide := 0
	for _, p := range ps {
		wide = max(wide, 4+p.Map.Frets[1]-p.Map.Frets[0]+1)
	}
	beside := max(1, (columns+gap)/(wide+gap))
	var b strings.Builder
	fold(&b, columns, "", "A figure says how many answers in ten would be right and in time, * is 8 or more, a dot was not asked yet. Below: the weakest topics.")
	for i := 0; i < len(ps); i += beside {
		var blocks [][]string
		rows := 0
		for _, p := range ps[i:min(i+beside, len(ps))] {
			blocks = append(blocks, p.block(wide))
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
	"minutes": Pupil.minutes,
	"percent": func(v float64) string { return fmt.Sprintf("%.0f %%", 100*v) },
	"first":   func(ts []Topic) []Topic { return ts[:min(weakShown, len(ts))] },
	"picture": func(i int, m Map) template.HTML {
		names := strings.NewReplacer(`"title desc"`, fmt.Sprintf(`"title%d desc%d"`, i, i), `id="title"`, fmt.Sprintf(`id="title%d"`, i), `id="desc"`, fmt.Sprintf(`id="desc%d"`, i))
		return template.HTML(names.Replace(m.SVG())) // the map escapes what it writes
	},
}).Parse(pupilsText))

// HTML writes them as one page that needs nothing else: no network, no script.
func (ps Pupils) HTML(w io.Writer, today string) error {
	return pupilsPage.Execute(w, struct {
		Day    string
		Pupils Pupils
	}{today, ps})
}
