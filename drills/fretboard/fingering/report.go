package fingering

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// What a move is as JSON. A note with a fret below 0 fell off the neck; a muted one is a
// damped string.
type (
	movedJSON struct {
		From      string        `json:"from"`
		To        string        `json:"to"`
		Semitones int           `json:"semitones"`
		How       How           `json:"how"`
		Events    []eventJSON   `json:"events"`
		Problems  []problemJSON `json:"problems"`
		Ways      []wayJSON     `json:"ways"`
		Offers    []offerJSON   `json:"offers"`
	}
	eventJSON struct {
		Bar      int           `json:"bar"`
		Notes    []noteJSON    `json:"notes"`
		Problems []ProblemKind `json:"problems"`
	}
	noteJSON struct {
		fretboard.Position
		Pitch string             `json:"pitch"`
		Muted bool               `json:"muted,omitempty"`
		Was   fretboard.Position `json:"was"`
	}
	problemJSON struct {
		Event   int         `json:"event"`
		Kind    ProblemKind `json:"kind"`
		Message string      `json:"message"`
	}
	wayJSON struct {
		Kind    wayKind `json:"kind"`
		Message string  `json:"message"`
	}
	offerJSON struct {
		How       How    `json:"how"`
		Semitones int    `json:"semitones"`
		Way       string `json:"way"`
		Keeps     string `json:"keeps"`
		Costs     string `json:"costs"`
	}
)

// MarshalJSON writes moves as the part command prints them: of the best the keys,
// every event with where each note lies and was, what breaks, and the ways out; and
// what each of the offers keeps and costs, the best among them.
func (o Offers) MarshalJSON() ([]byte, error) {
	m := o[0]
	out := movedJSON{From: m.From.Short(), To: m.To.Short(), Semitones: m.Semitones, How: m.How,
		Events: []eventJSON{}, Problems: []problemJSON{}, Ways: []wayJSON{}}
	lower, _ := m.Neck.Tuning.Below() // pitches are of the key that the part is written in
	for i, e := range m.Events {
		ev := eventJSON{Bar: e.Bar, Notes: []noteJSON{}, Problems: []ProblemKind{}}
		for j, n := range e.Notes {
			written := noteJSON{Position: n.Position, Was: m.origin(i, j), Muted: n.Dead}
			if !n.Dead {
				written.Pitch = theory.Spell(pitchOf(m.Neck, n)-m.Neck.Capo+lower, m.To).String()
			}
			ev.Notes = append(ev.Notes, written)
		}
		out.Events = append(out.Events, ev)
	}
	for _, p := range m.Problems {
		out.Problems = append(out.Problems, problemJSON{p.event, p.kind, p.message})
		out.Events[p.event].Problems = append(out.Events[p.event].Problems, p.kind)
	}
	for _, w := range m.Ways {
		out.Ways = append(out.Ways, wayJSON{w.kind, w.Message})
	}
	for _, m := range o {
		out.Offers = append(out.Offers, offerJSON{m.How, m.Semitones, m.Way(), m.Keeps(), m.Costs()})
	}
	return json.Marshal(out)
}

// Say tells a move in one sentence: "D to C, a whole step down on the same
// strings: 3 open strings lost".
func (m Moved) Say() string {
	if m.From == m.To && m.Semitones == 0 && m.Costs() == nothingBreaks {
		return fmt.Sprintf("It is in %s already, and stays where it is", m.names.Key(m.From))
	}
	return fmt.Sprintf("%s to %s, %s: %s", m.short(m.From), m.short(m.To), m.Way()+m.whyFar(), m.Costs())
}

// whyFar says why a move goes the longer way up: " (4 half steps down would go below the
// nut)"; "" for another.
func (m Moved) whyFar() string {
	down := 12 - m.Semitones
	if down <= 0 || down >= m.Semitones || m.How != SameStrings {
		return ""
	}
	for i, e := range m.Events {
		for j, n := range e.Notes {
			if !n.Dead && m.origin(i, j).Fret < down {
				return fmt.Sprintf(" (%s down would go below the nut)", fretboard.Steps(down))
			}
		}
	}
	return ""
}

// Way says how far a move goes, and how: "a whole step down on the same strings but
// for 1 of 4".
func (m Moved) Way() string {
	way := "where it is"
	if n := m.Semitones; n > 0 {
		way = fretboard.Steps(n) + " up"
	} else if n < 0 {
		way = fretboard.Steps(-n) + " down"
	}
	all, away, most := m.route.mostAway()
	how := "on the same strings"
	switch {
	case m.How == Refingered, m.How == OtherStrings && most == 0:
		return way + " with new places"
	case away == 1:
		how = "one string lower"
	case away == -1:
		how = "one string higher"
	case away > 0:
		how = fmt.Sprintf("%d strings lower", away)
	case away < 0:
		how = fmt.Sprintf("%d strings higher", -away)
	}
	if most < all {
		how += fmt.Sprintf(" but for %d of %d", all-most, all)
	}
	return way + " " + how
}

// Register says where a line of single notes comes to lie, where that is more than a step
// away: "a major sixth higher"; else "".
func (m Moved) Register() string {
	n := max(m.Semitones, -m.Semitones)
	if n < 3 || slices.ContainsFunc(m.was, func(e fretboard.Event) bool { return len(e.Notes) > 1 }) {
		return ""
	}
	name := strings.TrimPrefix(theory.Chromatic(n).Name(), "perfect ")
	article := "a "
	if strings.HasPrefix(name, "o") || strings.HasPrefix(name, "a") {
		article = "an "
	}
	if m.Semitones < 0 {
		return article + name + " lower"
	}
	return article + name + " higher"
}

// mostAway returns how many events a route has, and how many strings away most of
// those go that its name is about.
func (rt *route) mostAway() (all int, away int8, most int) {
	for a, n := range rt.away {
		all += n
		same := rt.how == SameStrings
		if a != unequally && same == (a == 0) && (n > most || n == most && a > away) {
			away, most = a, n
		}
	}
	return all, away, most
}

// Keeps says what stays as it was learned: "every note on its string, 1 of 2 open
// strings".
func (m Moved) Keeps() string {
	all, open, rings := 0, 0, 0
	strs, sounding := 0, 0
	for i, e := range m.Events {
		for j, n := range e.Notes {
			was := m.origin(i, j)
			if n.Dead {
				continue
			}
			sounding++
			if n.String == was.String {
				strs++
			}
			if was.Fret == 0 {
				open++
				if n.Fret == 0 {
					rings++
				}
			}
		}
	}
	var kept []string
	_, away, most := m.route.mostAway()
	for _, n := range m.route.away {
		all += n
	}
	switch {
	case sounding == 0:
	case strs == sounding:
		kept = append(kept, "every note on its string")
	case m.How == OtherStrings && away != 0 && most == all:
		kept = append(kept, "every shape")
	case strs > 0:
		kept = append(kept, fmt.Sprintf("%d of %s on their strings", strs, fretboard.Count(sounding, "note")))
	}
	switch {
	case rings == 0:
	case rings == open:
		kept = append(kept, "every open string")
	default:
		kept = append(kept, fmt.Sprintf("%d of %d open strings", rings, open))
	}
	if kept == nil {
		return "the notes alone"
	}
	return strings.Join(kept, ", ")
}

// Costs says what breaks and changes: "2 open strings lost, frets up to 18".
func (m Moved) Costs() string {
	if m.high > highFret {
		if m.tally == (tally{}) {
			return fmt.Sprintf("frets up to %d", m.high)
		}
		return fmt.Sprintf("%s, frets up to %d", m.tally.String(), m.high)
	}
	return m.tally.String()
}

// Told tells the problems of a move, what breaks it first. The same one in
// several places is told once, with its bars: "bars 1 to 3 and 5, 6 times: open
// string 4 becomes fret 2 and no longer rings".
func (m Moved) Told() []string {
	type told struct {
		Problem
		times int
		bars  []int
	}
	var all []*told
	for _, p := range m.Problems {
		i := slices.IndexFunc(all, func(t *told) bool { return t.what == p.what })
		if i < 0 {
			i = len(all)
			all = append(all, &told{Problem: p})
		}
		all[i].times++
		if bar := m.was[p.event].Bar; !slices.Contains(all[i].bars, bar) {
			all[i].bars = append(all[i].bars, bar)
		}
	}
	slices.SortStableFunc(all, func(a, b *told) int {
		switch {
		case a.kind.breaks() == b.kind.breaks():
			return 0
		case a.kind.breaks():
			return -1
		}
		return 1
	})
	var lines []string
	for _, t := range all {
		where := sayBars(t.bars)
		switch {
		case t.times == len(t.bars):
		case t.times == 2:
			where += ", twice"
		default:
			where += fmt.Sprintf(", %d times", t.times)
		}
		lines = append(lines, where+": "+t.what)
	}
	return lines
}

// sayBars says the numbers of bars, which rise: "bar 2", "bars 1 to 3 and 5".
func sayBars(bars []int) string {
	var words []string
	for i := 0; i < len(bars); {
		j := i
		for j+1 < len(bars) && bars[j+1] == bars[j]+1 {
			j++
		}
		if j < i+2 { // two in a row are no run
			words, i = append(words, strconv.Itoa(bars[i])), i+1
			continue
		}
		words, i = append(words, fmt.Sprintf("%d to %d", bars[i], bars[j])), j+1
	}
	last := len(words) - 1
	switch {
	case len(bars) == 1:
		return "bar " + words[0]
	case last == 0:
		return "bars " + words[0]
	}
	return "bars " + strings.Join(words[:last], ", ") + " and " + words[last]
}
