// Package sheet writes a gig's page: what to play in the keys that are called,
// what breaks there, and how ready the player is; as text for a terminal, in full
// sentences for those who listen, and as HTML for the music stand.
package sheet

import (
	"fmt"
	"strings"

	"surefret/drills/chart"
	"surefret/drills/fretboard"
	"surefret/drills/gig"
	"surefret/drills/theory"
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
	Chart     Chart      `json:"chart"`               // in the called key
	Shaky     bool       `json:"shaky,omitempty"`     // the player said so after the gig
	Now       float64    `json:"fluent_now"`          // predicted share of its items, 0 to 1
	Readiness *Readiness `json:"readiness,omitempty"` // its part of the gig's
	Holds     float64    `json:"holds,omitempty"`     // beats a minute at which nine in ten changes were right in time in rehearsal
	Weak      []string   `json:"weak"`                // what this player is least sure of, in words

	Walking []WalkedSection `json:"walking,omitempty"` // on a bass

	key   string // that is called, as short as players write it: "Bb", "F#m"
	tonic string
	neck  fretboard.Fretboard
	names theory.Names
	left  bool
}

// songOn works a song out for a neck, and for a hand: left says that the neck is drawn
// with its nut at the right.
func songOn(s gig.Song, fb fretboard.Fretboard, names theory.Names, left bool) (Song, error) {
	worked, err := s.Sheet(fb, names)
	if err != nil {
		return Song{}, err
	}
	_, called, err := s.Keys()
	if err != nil {
		return Song{}, err
	}
	page := Song{Sheet: worked, Shaky: s.Shaky, Weak: []string{}, neck: fb, names: names, left: left,
		key: shortKey(names, called), tonic: names.Note(called.Tonic)}
	page.Walking = walkedThrough(s, fb, names)
	page.Chart, err = chartIn(s, called, names)
	return page, err
}

// chartIn returns the chart of a song in a key.
func chartIn(s gig.Song, called theory.Key, names theory.Names) (Chart, error) {
	c, err := s.AsChart()
	if err != nil {
		return Chart{}, err
	}
	var moved chart.Chart
	if moved, err = c.Named(theory.Names{}).Move(called, 0); err != nil {
		return Chart{}, err
	}
	return ChartOf(moved.Named(names)), nil
}

// shift says how the song goes from the key that it was learned in to the called one,
// and the best way: "learned in D, now in Bb (4 frets down), or capo 3, play G".
func (s Song) shift() string {
	if s.Semitones == 0 {
		return "as learned, in " + s.Learned
	}
	said := fmt.Sprintf("learned in %s, now in %s (%s)", tonic(s.Learned), tonic(s.Called), frets(s.Semitones))
	if len(s.Ways) > 0 {
		said += ", or " + s.wayOut()
	}
	return said
}

// frets says how far shapes go on the neck: "4 frets down".
func frets(semitones int) string {
	way := "up"
	if semitones < 0 {
		semitones, way = -semitones, "down"
	}
	if semitones == 1 {
		return "1 fret " + way
	}
	return fmt.Sprintf("%d frets %s", semitones, way)
}

// wayOut says the best way out in few words: "capo 3, play G".
func (s Song) wayOut() string {
	w := s.Ways[0]
	how := "capo off"
	switch {
	case w.Capo > 0:
		how = fmt.Sprintf("capo %d", w.Capo)
	case w.Detuned > 0:
		how = "tune down " + fretboard.Steps(w.Detuned)
	}
	key, _, _ := strings.Cut(w.Shapes, " ")
	return how + ", play " + key
}

// tonic is a major key as bands call it: "D".
func tonic(key string) string { return strings.TrimSuffix(key, " major") }

// bestWay tells the best way out in a sentence: of the song, else of a part; "" where there
// is none.
func (s Song) bestWay() string {
	if len(s.Ways) > 0 {
		begins := "Best way: "
		if s.Rings {
			begins = "It rings as it is; or "
		}
		return begins + sentence(s.wayOut()+": "+strings.Join(s.Ways[0].Chords, " "))
	}
	for _, p := range s.Parts {
		if p.Fault == "" && len(p.Problems) > 0 && len(p.Ways) > 0 {
			return "Best way for " + strings.TrimSuffix(p.Name, ".txt") + ": " + sentence(p.Ways[0])
		}
	}
	return ""
}

// mostBroken is how many lines of the page tell what breaks, with the way out.
const mostBroken = 3

// broken tells what breaks in tonight's key, in at most so many lines of a width in
// characters: roots and shapes first, then parts. The last line is the best way out.
func (s Song) broken(width int) (lines []string) {
	var parts []string
	out := s.bestWay()
	for _, p := range s.Parts {
		switch {
		case p.Fault != "":
			parts = append(parts, sentence(p.Fault))
		case len(p.Problems) > 0:
			parts = append(parts, sentence(strings.TrimSuffix(p.Name, ".txt")+": "+p.Costs))
		}
	}
	left := mostBroken
	add := func(line string) {
		if n := linesOf(line, width); n <= left {
			lines = append(lines, line)
			left -= n
		}
	}
	kept := 0
	if out != "" {
		kept = min(linesOf(out, width), mostBroken-1)
	}
	left -= kept
	for _, b := range s.Breaks {
		if !strings.HasPrefix(b, "The part ") { // told below, with what it loses
			add(sentence(b))
		}
	}
	for _, p := range parts {
		add(p)
	}
	if left += kept; out != "" {
		add(out)
	}
	return lines
}

// linesOf counts the lines that a text takes.
func linesOf(text string, width int) int { return 1 + (len([]rune(text))-1)/max(width, 1) }

// practise tells how ready the player is for the song and what to practise: not for
// the stage.
func (s Song) practise() []string {
	var lines []string
	if s.Shaky {
		lines = append(lines, "It was shaky last time.")
	}
	if r := s.Readiness; r != nil {
		lines = append(lines, r.short())
	} else {
		lines = append(lines, fmt.Sprintf("In time now: %.0f %%.", 100*s.Now))
	}
	if s.Holds > 0 {
		lines = append(lines, fmt.Sprintf("Rehearsed in %s: nine changes in ten hold at %g beats a minute%s.", s.Called, s.Holds, s.ofTempo()))
	}
	if len(s.Shapeless) > 0 {
		lines = append(lines, "No shape of yours for "+sentence(strings.Join(s.Shapeless, ", ")))
	}
	if len(s.Weak) > 0 {
		lines = append(lines, "Practise: "+sentence(strings.Join(s.Weak, "; ")))
	}
	return lines
}

// ofTempo says the tempo of the song, where it has one.
func (s Song) ofTempo() string {
	if s.Tempo == 0 {
		return ""
	}
	return fmt.Sprintf(" (the song has %g)", s.Tempo)
}

// sentence ends a text with a full stop.
func sentence(text string) string { return strings.TrimRight(text, ".") + "." }

// landed lists the shapes that can be held.
func (s Song) landed() []gig.SheetShape {
	var landed []gig.SheetShape
	for _, sh := range s.Shapes {
		if sh.Frets != "" {
			landed = append(landed, sh)
		}
	}
	return landed
}

// next names the song after the i-th one with its key; "" after the last.
func (page Page) next(i int) string {
	if i+1 >= len(page.Songs) {
		return ""
	}
	return page.Songs[i+1].Title + ", " + page.Songs[i+1].key
}

// Day says a day with its weekday: "Saturday 5 December 2026".
func Day(day string) string {
	t, err := gig.ParseDay(day)
	if err != nil {
		return day
	}
	return t.Format("Monday 2 January 2006")
}
