package report

import (
	"fmt"
	"strings"
)

// What follows tells the pages to those who listen: a few sentences.

// Sentences tells the map string by string, from the thickest on: what is sure, where it
// is weak, and what to practise next.
func (m Map) Sentences() []string {
	if m.empty() {
		return []string{"Nothing was asked yet. Begin with 'surefret practice'."}
	}
	byString, strs := map[int][]Place{}, []int{}
	for _, p := range m.Places {
		if p.Fret > octave {
			continue
		}
		if byString[p.String] == nil {
			strs = append([]int{p.String}, strs...)
		}
		byString[p.String] = append(byString[p.String], p)
	}
	var said, same []string
	is := ""
	flush := func() {
		switch len(same) {
		case 0:
		case 1:
			said = append(said, fmt.Sprintf("String %s: %s.", same[0], is))
		default:
			said = append(said, fmt.Sprintf("Strings %s: %s.", strings.Join(same, ", "), is))
		}
		same = nil
	}
	for _, str := range strs {
		now := sayString(byString[str])
		if now != is {
			flush()
			is = now
		}
		same = append(same, fmt.Sprint(str))
	}
	flush()
	if len(m.Weakest) > 0 {
		said = append(said, "Practise next: "+m.Weakest[0].Words+".")
	}
	return said
}

// fewFrets is how many frets are named one by one.
const fewFrets = 3

// sayString says how sure the places of one string are.
func sayString(places []Place) string {
	var weak []int
	unmet := 0
	for _, p := range places {
		switch p.Level {
		case Unmet:
			unmet++
		case Unsure:
			weak = append(weak, p.Fret)
		}
	}
	switch {
	case unmet == len(places):
		return "never asked"
	case len(weak) == 0 && unmet == 0:
		return "all sure"
	}
	said := []string{}
	if sure := len(places) - unmet - len(weak); sure > 0 {
		said = append(said, fmt.Sprintf("%d sure", sure))
	}
	if len(weak) > 0 {
		said = append(said, sayWeak(weak))
	}
	if unmet > 0 {
		said = append(said, Many(unmet, "fret")+" never asked")
	}
	return strings.Join(said, ", ")
}

// sayWeak says where the weak frets of a string lie, as a stretch where most of it is
// weak.
func sayWeak(frets []int) string {
	first, last := frets[0], frets[len(frets)-1]
	switch n := len(frets); {
	case n == 1:
		return fmt.Sprintf("weak at %d", first)
	case n <= fewFrets && last-first >= n:
		words := make([]string, n)
		for i, f := range frets {
			words[i] = fmt.Sprint(f)
		}
		return "weak at " + strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	case 2*n > last-first:
		return fmt.Sprintf("weak from fret %d to %d", first, last)
	}
	return fmt.Sprintf("weak at %d frets between %d and %d", len(frets), first, last)
}

// Sentences tells progress in nine sentences at most.
func (p Progress) Sentences() []string {
	if len(p.Days) == 0 {
		return []string{"Nothing was practised in this period. Begin with 'surefret practice'."}
	}
	sentences := p.summary()
	if n := len(p.Topics); n > 0 {
		topics := p.Topics[0].Name
		if n > 1 {
			topics += "; before that " + p.Topics[1].Name
		}
		sentences = append(sentences, fmt.Sprintf("Sure by now: %s. The latest: %s.", Many(n, "topic"), topics))
	}
	slowest := Speed{}
	for _, s := range p.Strings {
		if s.Latest > slowest.Latest {
			slowest = s
		}
	}
	if slowest.Latest > 0 {
		sentences = append(sentences, fmt.Sprintf("String %s takes longest, %.1f s to think, with an aim of %.1f s.", slowest.Name, slowest.Latest, slowest.Aim))
	}
	for _, d := range p.Played[:min(1, len(p.Played))] {
		sentences = append(sentences, "By playing and by typing, "+d.say()+".")
	}
	if len(p.Gigs) > 0 && !p.Gigs[0].Thin {
		g := p.Gigs[0]
		sentences = append(sentences, fmt.Sprintf("For %s on %s, %d %% will be right in time; now it is %d %%.", g.Name, said(g.Day, "Monday 2 January"), percent(g.Share), percent(g.Now)))
	}
	if w := p.Neck.Weakest; len(w) > 0 {
		sentences = append(sentences, "Practise next: "+w[0].Words+".")
	}
	return sentences
}

// Sentences tells what is practised, and of the words to choose by how much is known.
func (c Choice) Sentences() []string {
	said := []string{c.Choice.String()}
	for _, row := range c.Words {
		if row.depth > 0 || row.Asked == 0 {
			continue
		}
		left := ""
		if row.Practised == 0 {
			left = ", left out"
		}
		said = append(said, fmt.Sprintf("%s: %d of %s asked, %d %% of these known%s.", row.Word, row.Asked, Many(row.Items, "item"), percent(row.Fluency), left))
	}
	var words []string
	for _, row := range c.Words {
		if row.depth <= 1 && !strings.Contains(row.Word, "-") {
			words = append(words, row.Word)
		}
	}
	return append(said, "The words to choose by: "+strings.Join(words, ", ")+"; for strings, keys, frets and topics see 'surefret choose --help'.")
}

// Sentences tells each pupil's minutes and weakest topics.
func (ps Pupils) Sentences() (said []string) {
	for _, p := range ps {
		line := p.Name + ": " + strings.Replace(p.minutes(p.Last), " min ", " minutes ", 1)
		if len(p.Weak) > 0 {
			line += "; weakest: " + p.Weak[0].Name
		}
		said = append(said, line+".")
	}
	return said
}
