package sheet

import (
	"fmt"
	"strings"

	"surefret/cmd/surefret/report"
	"surefret/cmd/surefret/spoken"
	"surefret/drills/fretboard"
	"surefret/drills/fretboard/tablature"
	"surefret/drills/gig"
	"surefret/drills/rehearse"
	"surefret/drills/theory"
)

// A WalkedSection is a walking line through a section of a song, for a bass.
type WalkedSection struct {
	Name string      `json:"name,omitempty"`
	Bars []WalkedBar `json:"bars"`
}

// A WalkedBar is a bar of it.
type WalkedBar struct {
	Notes []WalkedNote `json:"notes"` // none where nothing sounds
	quart float64      // quarter notes
}

// A WalkedNote is a note of it. Its chord is named where it begins.
type WalkedNote struct {
	Chord    string             `json:"chord,omitempty"`
	Note     string             `json:"note"`
	At       fretboard.Position `json:"at"`
	Quarters float64            `json:"quarters"` // how long it is, in quarter notes

	from float64 // the start of its bar
}

// walkedThrough walks through the chart of a song on a bass, each section once; nil on
// other instruments and where the neck has no room.
func walkedThrough(s gig.Song, fb fretboard.Fretboard, names theory.Names) (all []WalkedSection) {
	if !fb.Tuning.Bass() {
		return nil
	}
	r, err := rehearse.Written(s, fb)
	if err != nil {
		return nil
	}
	line, err := r.Walking(fb)
	if err != nil {
		return nil
	}
	for i, bar := range r.Bars {
		if i == 0 || bar.Section != r.Bars[i-1].Section {
			all = append(all, WalkedSection{Name: bar.Section})
		}
		walked := WalkedBar{Notes: []WalkedNote{}, quart: bar.Length}
		for len(line) > 0 && line[0].Bar == i {
			n := WalkedNote{Note: names.Note(line[0].Pitch.Note), At: line[0].Place, Quarters: line[0].Length, from: line[0].At - bar.Start}
			if line[0].Enters {
				n.Chord = names.Chord(line[0].Chord)
			}
			walked.Notes, line = append(walked.Notes, n), line[1:]
		}
		last := &all[len(all)-1]
		last.Bars = append(last.Bars, walked)
	}
	return all
}

func (w WalkedSection) title() string {
	if w.Name == "" {
		return "Walking line"
	}
	return "Walking line, " + w.Name
}

// quarterWide is how many columns of tablature a quarter note has.
const quarterWide = 3

// walkedSystems writes a line as tablature on all strings, chord names above, four bars a
// system as in the chart.
func (s Song) walkedSystems(w WalkedSection) (all []tablature.System) {
	label := 0
	for str := 1; str <= s.neck.Tuning.Strings(); str++ {
		label = max(label, len([]rune(s.stringName(str))))
	}
	for i, bar := range w.Bars {
		if i %= 4; i == 0 {
			all = append(all, tablature.System{Names: true})
		}
		rows := make([]string, 1+s.neck.Tuning.Strings()) // chord names, then the strings
		for str := range rows {
			switch {
			case str > 0 && i == 0:
				rows[str] = fmt.Sprintf("%-*s|", label, s.stringName(str))
			case i == 0:
				rows[str] = strings.Repeat(" ", label+1)
			}
		}
		bar.write(rows)
		last := &all[len(all)-1]
		last.Bars = append(last.Bars, rows)
	}
	return all
}

// write adds the bar to rows of equal width, a row of chord names and one for each string.
func (b WalkedBar) write(rows []string) {
	wide := func(row int) int { return len([]rune(rows[row])) }
	fill := func(to int) { // the strings, with dashes
		for str := 1; str < len(rows); str++ {
			rows[str] += strings.Repeat("-", max(0, to-wide(str)))
		}
	}
	fill(wide(1) + 1)
	start := wide(1)
	column := func(quarters float64) int { return start + int(quarterWide*quarters+0.5) }
	for _, n := range b.Notes {
		fill(column(n.from))
		if n.Chord != "" {
			fill(wide(0) + 1)
			rows[0] += strings.Repeat(" ", wide(1)-wide(0)) + n.Chord
		}
		start += max(0, wide(1)-column(n.from)) // a long name has taken more
		rows[n.At.String] += fmt.Sprint(n.At.Fret)
		fill(wide(n.At.String) + 1)
	}
	fill(max(column(b.quart), wide(0)))
	for str := 1; str < len(rows); str++ {
		rows[str] += "|"
	}
	rows[0] += strings.Repeat(" ", wide(1)-wide(0))
}

// mostWalked is how many bars of a section are told: the page has them all.
const mostWalked = 8

// walked tells the walking lines bar by bar.
func (song Song) walked(s spoken.Speller) (said []string) {
	for _, section := range song.Walking {
		var bars []string
		for _, bar := range section.Bars {
			var notes []string
			for _, n := range bar.Notes {
				notes = append(notes, n.Note)
			}
			if len(notes) == 0 {
				notes = []string{"rest"}
			}
			bars = append(bars, s.List(notes))
		}
		more := ""
		if len(bars) > mostWalked {
			more = fmt.Sprintf("; and %s more", report.Many(len(bars)-mostWalked, "bar"))
			bars = bars[:mostWalked]
		}
		said = append(said, fmt.Sprintf("%s, bar by bar: %s%s.", section.title(), strings.Join(bars, "; "), more))
	}
	return said
}
