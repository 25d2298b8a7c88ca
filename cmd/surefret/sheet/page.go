// Package sheet writes a gig's page: what to play in the keys that are called,
// what breaks there, and how ready the player is; as text for a terminal, in full
// sentences for those who listen, and as HTML for the music stand.
package sheet

import (
	"fmt"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/gig"
)

// A Page is what there is to show of one gig.
type Page struct {
	Name      string     `json:"name"`
	Day       string     `json:"day"`
	Note      string     `json:"note,omitempty"`
	Readiness *Readiness `json:"readiness,omitempty"` // not there when the day is past
	Songs     []Song     `json:"songs"`
}

// A Song is one song of it worked out, with how ready the player is for it.
type Song struct {
	gig.Sheet
	Shaky     bool       `json:"shaky,omitempty"`     // the player said so after the gig
	Now       float64    `json:"fluent_now"`          // predicted share of its items, 0 to 1
	Readiness *Readiness `json:"readiness,omitempty"` // its part of the gig's
	Weak      []string   `json:"weak"`                // what this player is least sure of, in words
}

// facts are the short ones under a title.
func (s Song) facts() []string {
	facts := []string{s.Signature}
	if s.Semitones != 0 {
		facts = append(facts, fmt.Sprintf("learned in %s, now %s", s.Learned, sayShift(s.Semitones)))
	}
	if s.Tempo > 0 {
		facts = append(facts, fmt.Sprintf("%d beats a minute", s.Tempo))
	}
	if s.Shaky {
		facts = append(facts, "shaky last time")
	}
	return facts
}

// Watch tells what tonight's key costs and what to do about it, a sentence a
// line: what breaks, what would save it, the parts, and what to practise.
func (s Song) Watch() []string {
	var lines []string
	if len(s.Shapeless) > 0 {
		lines = append(lines, "No shape of yours for "+sentence(strings.Join(s.Shapeless, ", ")))
	}
	for _, b := range s.Breaks {
		lines = append(lines, "Breaks: "+sentence(b))
	}
	for _, way := range s.Ways {
		lines = append(lines, "Way out: "+sentence(way.Words+": "+strings.Join(way.Chords, ", ")))
	}
	for _, part := range s.Parts {
		lines = append(lines, sayPart(part)...)
	}
	if r := s.Readiness; r != nil {
		lines = append(lines, r.short())
	} else {
		lines = append(lines, fmt.Sprintf("Fluent now: %.0f %%.", 100*s.Now))
	}
	if len(s.Weak) > 0 {
		lines = append(lines, "Practise: "+sentence(strings.Join(s.Weak, "; ")))
	}
	return lines
}

// mostBroken is how much of what a part loses is printed one by one.
const mostBroken = 3

// sayPart tells how a part fares in tonight's key and the best way out.
func sayPart(part gig.SheetPart) []string {
	if part.Fault != "" {
		return []string{"Part " + sentence(part.Fault)}
	}
	lines := []string{"Part " + part.Name + ": " + sentence(part.Moved)}
	for i, problem := range part.Problems {
		if i == mostBroken {
			lines = append(lines, fmt.Sprintf("And %d more like these.", len(part.Problems)-i))
			break
		}
		lines = append(lines, sentence(problem))
	}
	switch {
	case len(part.Ways) > 0:
		lines = append(lines, "Best way out: "+sentence(part.Ways[0]))
	case part.Breaks > 0:
		lines = append(lines, "No other way breaks less.")
	}
	return lines
}

// sentence ends a text with a full stop.
func sentence(text string) string { return strings.TrimRight(text, ".") + "." }

// sectionName names a section that has no name.
func sectionName(name string) string {
	if name == "" {
		return "chords"
	}
	return name
}

// sayShift says how far a song has moved: "3 half steps down".
func sayShift(semitones int) string {
	if semitones < 0 {
		return fretboard.Steps(-semitones) + " down"
	}
	return fretboard.Steps(semitones) + " up"
}

// Day says a day with its weekday: "Saturday 5 December 2026".
func Day(day string) string {
	t, err := gig.ParseDay(day)
	if err != nil {
		return day
	}
	return t.Format("Monday 2 January 2006")
}
