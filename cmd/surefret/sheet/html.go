package sheet

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
)

//go:embed gig.html.tmpl
var gigHTML string

var gigTemplate = template.Must(template.New("gig").Funcs(template.FuncMap{
	"day":      Day,
	"ready":    (*Readiness).say,
	"practise": Song.practise,
	"shift":    Song.shift,
	"key":      func(s standSheet) string { return s.key },
}).Parse(gigHTML))

// HTML writes the gig as one page that needs nothing else: no network, no script. It
// reads from a music stand in light and dark, and prints a sheet a song, or more where
// there is too much, on A4 and Letter; what to practise has a page of its own.
func (page Page) HTML(w io.Writer) error {
	shown := struct {
		Page
		Sheets []standSheet
	}{Page: page}
	for i, s := range page.Songs {
		next := page.next(i)
		for n, sheet := range s.sheets(page.Name + Day(page.Day) + next) {
			sheet.ID, sheet.Number, sheet.Next, sheet.Left = fmt.Sprintf("song-%d-%d", i+1, n+1), i+1, next, s.left
			shown.Sheets = append(shown.Sheets, sheet)
		}
	}
	return gigTemplate.Execute(w, shown)
}
