package report

import (
	"fmt"
	"math"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"surefret/cmd/surefret/ink"
)

// A sheet is progress in the making as text: heads, and rows that share one left edge.
type sheet struct {
	strings.Builder
	columns int
	look    ink.Look
	label   int // columns of the labels
}

// Text prints progress in so many columns, 40 at least: first the neck and what to
// practise, then what was reached, then the figures.
func (p Progress) Text(columns int, look ink.Look) string {
	if len(p.Days) == 0 {
		return strings.Join(Fold("", "", "Nothing was practised in this period. Begin with 'surefret practice'.", columns), "\n") + "\n"
	}
	s := &sheet{columns: columns, look: look, label: min(p.widestLabel(), columns/3)}
	s.bold(fmt.Sprintf("Progress from %s to %s", long(p.Since), long(p.Until)))
	for _, line := range p.summary() {
		fold(&s.Builder, columns, "", line)
	}
	s.neck(p.Neck)
	if len(p.Topics) > 0 {
		s.head("Topics that became sure")
		for _, t := range p.Topics {
			fold(&s.Builder, columns, "  ", fmt.Sprintf("%s: %s, %d %%", short(t.Day), t.Name, percent(t.Fluency)))
		}
	}
	if len(p.Gigs) > 0 {
		s.head("Gigs, what will be right in time")
		for _, g := range p.Gigs {
			if g.Thin {
				s.row(short(g.Day), "", tooThin)
				fold(&s.Builder, columns, "    ", g.Name)
				continue
			}
			s.row(short(g.Day), s.share(g.Share), fmt.Sprintf("%d %%", percent(g.Share)))
			fold(&s.Builder, columns, "    ", fmt.Sprintf("%s: %d to %d %%, now %d %%", g.Name, percent(g.Low), percent(g.High), percent(g.Now)))
		}
	}
	s.speeds(p)
	if len(p.Played) > 0 {
		s.head(playedTitle)
		for _, d := range p.Played {
			fold(&s.Builder, columns, "  ", d.say()+".")
		}
	}
	s.weeks(p)
	s.head("Keys, round the circle of fifths")
	for _, k := range p.Keys {
		if k.Asked == 0 {
			s.row(k.Name, "", unnumbered)
			continue
		}
		s.row(k.Name, s.share(k.Fluency), fmt.Sprintf("%d %%", percent(k.Fluency)))
	}
	if len(p.Fluent) > 0 {
		s.head("Items that became sure, the latest first")
		for _, f := range p.Fluent {
			fold(&s.Builder, columns, "  ", short(f.Day)+": "+f.Title)
		}
	}
	if said := p.calibration(); said != "" {
		s.head("How well the program knows you")
		fold(&s.Builder, columns, "  ", said)
	}
	return s.String()
}

func (s *sheet) head(text string) {
	s.WriteByte('\n')
	s.bold(text)
}

func (s *sheet) bold(text string) {
	for _, line := range Fold("", "  ", text, s.columns) {
		s.WriteString(s.look.Paint(ink.Strong, line) + "\n")
	}
}

// neck draws the map and what practises the weakest of it.
func (s *sheet) neck(m Map) {
	if len(m.Places) == 0 {
		return
	}
	s.WriteByte('\n')
	for _, line := range m.picture(s.columns, s.look).Draw().Lines {
		s.WriteString(line + "\n")
	}
	for _, line := range m.Legend(s.columns, s.look) {
		s.WriteString(line + "\n")
	}
	if len(m.Weakest) == 0 {
		return
	}
	s.head("Practise this next")
	for _, r := range m.Weakest {
		fold(&s.Builder, s.columns, "  ", fmt.Sprintf("%s: %d %%", r.Words, percent(r.Fluency)))
		fmt.Fprintf(s, "    %s\n", r.Command)
	}
}

// row writes a label, a drawing and its figure.
func (s *sheet) row(label, drawn, figure string) {
	label = ansi.Truncate(label, s.label, "")
	line := "  " + label + strings.Repeat(" ", s.label-ansi.StringWidth(label)+1) + drawn
	if drawn == "" {
		line = strings.TrimRight(line, " ") + strings.Repeat(" ", s.label-ansi.StringWidth(label))
	}
	s.WriteString(strings.TrimRight(line+" "+figure, " ") + "\n")
}

// room is how many columns a bar of full length or a scale has.
func (s *sheet) room(figure int) int { return max(8, min(40, s.columns-s.label-figure-5)) }

// bar draws a bar of a value, of which full takes all the room.
func (s *sheet) bar(value, full float64, figure int) string {
	sign := "▆"
	if s.look.ASCII {
		sign = "="
	}
	if full == 0 {
		return ""
	}
	return strings.Repeat(sign, int(math.Round(value/full*float64(s.room(figure)))))
}

// share draws a bar that is full at one, which is 100 %.
func (s *sheet) share(v float64) string { return s.bar(v, 1, len("100 %")) }

// speeds draws thinking times, first and lately, on one scale of seconds, with the aim.
func (s *sheet) speeds(p Progress) {
	if len(p.Strings)+len(p.Drills) == 0 {
		return
	}
	full, scale := p.longest(), s.look.Scale()
	s.head(fmt.Sprintf("Thinking time, 0 to %.0f seconds: %s at first, %s lately, %s the aim", full, scale.Ring, scale.Dot, scale.Aim))
	for _, group := range []struct {
		word   string
		speeds []Speed
	}{{"string ", p.Strings}, {"", p.Drills}} {
		for _, sp := range group.speeds {
			s.row(group.word+sp.Name, s.dumbbell(sp, full, scale), sp.say())
		}
	}
}

const playedTitle = "What the hand knows, and what the head"

// say tells the two in figures.
func (d Played) say() string {
	return d.Name + ": " + d.Played.say("played") + "; " + d.Typed.say("typed")
}

// say tells one way in figures.
func (w Way) say(how string) string {
	if w.Answers == 0 {
		return "none " + how
	}
	said := fmt.Sprintf("%s %s, %d %% right", Many(w.Answers, "answer"), how, percent(float64(w.Right)/float64(w.Answers)))
	if w.Typical > 0 {
		said += fmt.Sprintf(", %.1f s to think, aim %.1f", w.Typical, w.Aim)
	}
	return said
}

// say tells a speed in figures, and that it is slower than it was where it is.
func (sp Speed) say() string {
	said := fmt.Sprintf("%.1f s", sp.Latest)
	if sp.First > 0 {
		said += fmt.Sprintf(", was %.1f", sp.First)
	}
	if sp.slower() {
		said += ", slower"
	}
	return said
}

// slower reports whether lately it takes longer than at first, by the figures shown.
func (sp Speed) slower() bool {
	return sp.First > 0 && math.Round(10*sp.Latest) > math.Round(10*sp.First)
}

// longest is where the scale of seconds ends, a whole number.
func (p Progress) longest() float64 {
	most := 1.0
	for _, group := range [][]Speed{p.Strings, p.Drills} {
		for _, s := range group {
			most = max(most, s.First, s.Latest, s.Aim)
		}
	}
	return math.Ceil(most)
}

// dumbbell draws how long answers took at first and take lately, against the aim.
func (s *sheet) dumbbell(sp Speed, full float64, scale ink.Scale) string {
	way := "━"
	if s.look.ASCII {
		way = "="
	}
	wide := s.room(len("1.5 s, was 1.2, slower"))
	at := func(seconds float64) int { return min(wide-1, int(math.Round(seconds/full*float64(wide-1)))) }
	cells := make([]string, wide)
	for i := range cells {
		cells[i] = scale.Line
	}
	if sp.Aim > 0 {
		cells[at(sp.Aim)] = scale.Aim
	}
	if sp.First > 0 {
		for i := min(at(sp.First), at(sp.Latest)); i <= max(at(sp.First), at(sp.Latest)); i++ {
			if cells[i] == scale.Line {
				cells[i] = way
			}
		}
		cells[at(sp.First)] = scale.Ring
	}
	cells[at(sp.Latest)] = scale.Dot
	if sp.slower() {
		cells[at(sp.Latest)] = s.look.Paint(ink.Wrong, scale.Dot)
	}
	return strings.Join(cells, "")
}

// rowWeeks is how many weeks have a row in the text: a quarter of a year.
const rowWeeks = 13

// weeks draws what was fluent and how long was practised, by week, and what the coming
// days need.
func (s *sheet) weeks(p Progress) {
	weeks, byWeek := p.weeks(), "by week"
	if n := len(weeks); n > rowWeeks {
		weeks, byWeek = weeks[n-rowWeeks:], fmt.Sprintf("by week, the last %d of %d", rowWeeks, n)
	}
	fluent, minutes := 1, 1.0
	for _, w := range weeks {
		fluent, minutes = max(fluent, w.fluent), max(minutes, w.minutes)
	}
	s.head("Items right in time, " + byWeek)
	for _, w := range weeks {
		s.row(short(w.day), s.bar(float64(w.fluent), float64(fluent), len("1000")), fmt.Sprint(w.fluent))
	}
	for _, f := range p.Forecast {
		minutes = max(minutes, f.Minutes)
	}
	const figure = "100 on 7 days"
	s.head("Minutes, " + byWeek)
	for _, w := range weeks {
		s.row(short(w.day), s.bar(w.minutes, minutes, len(figure)), fmt.Sprintf("%.0f on %s", w.minutes, Many(w.days, "day")))
	}
	if len(p.Forecast) > 0 {
		s.head(forecastTitle)
		for _, f := range p.Forecast {
			s.row(short(f.Day), s.bar(f.Minutes, minutes, len(figure)), fmt.Sprintf("%.1f", f.Minutes))
		}
	}
}

// unnumbered says of a key that nothing was asked of what the circle counts: walk-ups and
// shapes in it may have been.
const unnumbered = "chords by number not asked"

const tooThin = "too few answers"

const forecastTitle = "Minutes to keep what you know, by day"

// widestLabel is how many columns the longest label takes.
func (p Progress) widestLabel() int {
	wide := len(short(p.Until))
	for _, k := range p.Keys {
		wide = max(wide, ansi.StringWidth(k.Name))
	}
	for _, sp := range p.Drills {
		wide = max(wide, ansi.StringWidth(sp.Name))
	}
	return wide
}

// summary says the whole in sentences.
func (p Progress) summary() []string {
	total, answers := 0.0, 0
	for _, d := range p.Days {
		total += d.Minutes
		answers += d.Answers
	}
	last := p.Days[len(p.Days)-1]
	return []string{
		fmt.Sprintf("%s on %s, %s.", Many(int(math.Round(total)), "minute"), Many(len(p.Days), "day"), Many(answers, "answer")),
		fmt.Sprintf("%s right in time when last asked.", Many(last.Fluent, "item")),
		fmt.Sprintf("Practised on %d of the last 14 days.", p.Recent),
	}
}

// calibration says how far what was predicted and what was seen lie apart, "" where
// nothing was predicted.
func (p Progress) calibration() string {
	apart, answers := 0.0, 0
	for _, t := range p.Trust {
		apart += math.Abs(t.Predicted-t.Observed) * float64(t.Answers)
		answers += t.Answers
	}
	if answers == 0 {
		return ""
	}
	return fmt.Sprintf("Of %s that it gave a chance, the share in time was %s off on the mean.", Many(answers, "answer"), Many(percent(apart/float64(answers)), "point"))
}

// A week is seven days of practice.
type week struct {
	day     string // the last with practice
	fluent  int    // at its end
	minutes float64
	days    int // with practice
}

// weeks lists those with practice, Monday to Sunday.
func (p Progress) weeks() []week {
	var all []week
	was := ""
	for _, d := range p.Days {
		name := d.Day
		if at, ok := dayNumber(d.Day); ok {
			name = fmt.Sprint((at + 3) / 7) // 1 January 1970 was a Thursday
		}
		if name != was {
			all = append(all, week{})
			was = name
		}
		w := &all[len(all)-1]
		w.day, w.fluent = d.Day, d.Fluent
		w.minutes += d.Minutes
		w.days++
	}
	return all
}

// Many says a number of things: "1 day", "2 days".
func Many(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}
