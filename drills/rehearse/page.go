package rehearse

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"surefret/drills/theory"
)

// A Mark is what became of one change of a run.
type Mark struct {
	Change int  // index in Run.Changes
	Given  bool // an answer came before the next change
	Right  bool
	Late   time.Duration // from the change to the answer; below zero where it came early
	Played bool          // it was heard, not typed
	Key    int           // MIDI number that was played; the wrong one of several

	Off     bool // played, and farther off the beat than is in time
	Unheard bool // over half of what leads to it or follows it was not heard
}

// inTime reports whether the change was right in time: typed before the next one came,
// or played on its beat, with most of what leads to it or follows it.
func (m Mark) inTime() bool { return m.Given && m.Right && !m.Off && !m.Unheard }

// A Stall is a change that did not hold each time.
type Stall struct {
	From, To theory.Chord
	First    bool   // it is how the song begins
	Phrase   Phrase // in place of them, where a part is played
	Missed   int    // times it was wrong or never came, or was off its beat
	Late     int    // times of these that it was right, and behind its beat
	Wrong    int    // times of these that it was another note
	Asked    int    // times it came
	Bar      int    // the first bar where it did not hold
}

// A Page says what a run showed.
type Page struct {
	Asked, InTime int
	Phrases       bool          // it is phrases of a part that were asked, not changes
	Stalls        []Stall       // the worst first
	Behind        time.Duration // how late a run that was played lies as a whole, see [Run.Hear]
	Holds         float64       // beats a minute at which nine in ten changes would be right in time, a quarter more than the run had at the most; 0 where too many were wrong or never came
	Next          Next
}

// A Next is the run that is proposed.
type Next struct {
	From, To int // bars; both 0 where it is the whole song
	Whole    bool
	Tempo    float64
}

const (
	holding = 0.9  // share of changes that must be right in time for a tempo to hold
	slower  = 0.8  // of the tempo, for the bars around the worst change
	faster  = 4.0  // beats a minute up, when it was clean
	slowest = 30.0 // beats a minute that are proposed
	fastest = 240.0
	further = 1.25 // of the tempo that was run: beyond it a quick answer says nothing
)

// Page works out what the marks of a run say. Changes without a mark were not reached.
func (r Run) Page(marks []Mark) Page {
	var p Page
	type motion struct {
		from, to theory.Chord
		first    bool
		phrase   Phrase
	}
	stalls := map[motion]*Stall{}
	var holds []float64
	for _, m := range marks {
		c := r.Changes[m.Change]
		p.Asked++
		p.Phrases = c.Phrase != (Phrase{})
		k := motion{c.From, c.Chord, c.First, c.Phrase}
		if c.Phrase != (Phrase{}) {
			k = motion{phrase: c.Phrase}
		}
		s := stalls[k]
		if s == nil {
			s = &Stall{From: c.From, To: c.Chord, First: c.First, Phrase: c.Phrase, Bar: -1}
			stalls[k] = s
		}
		s.Asked++
		if m.inTime() {
			p.InTime++
			holds = append(holds, r.held(c, m))
			continue
		}
		holds = append(holds, r.later(m))
		if s.Missed++; s.Bar < 0 {
			s.Bar = c.Bar
		}
		switch {
		case m.Given && !m.Right:
			s.Wrong++
		case m.Off && m.Right && m.Late > 0:
			s.Late++
		}
	}
	for _, s := range stalls {
		if s.Missed > 0 {
			p.Stalls = append(p.Stalls, *s)
		}
	}
	slices.SortFunc(p.Stalls, func(a, b Stall) int { return cmp.Or(b.Missed-a.Missed, a.Asked-b.Asked, a.Bar-b.Bar) })
	if len(holds) > 0 {
		slices.Sort(holds)
		p.Holds = math.Floor(min(holds[len(holds)-int(math.Ceil(holding*float64(len(holds))))], further*r.Tempo))
	}
	p.Next = r.next(p)
	return p
}

// held is the fastest tempo, fastest at the most, at which an answer that takes as long
// would still come before the next change. Of what was played in time it is that of the
// run: nobody knows whether it would hold faster.
func (r Run) held(c Change, m Mark) float64 {
	switch {
	case m.Played:
		return r.tempoAt(c.At + Slack)
	case m.Late <= 0:
		return fastest
	}
	return min(fastest, c.Length/Beat(r.Meter)*60/m.Late.Seconds())
}

// later is the tempo at which a hand that came late would have come in time: that much
// more time from the change before. It is 0 where it was wrong, never came or came early.
func (r Run) later(m Mark) float64 {
	if !m.Given || !m.Right || m.Late <= 0 || m.Change == 0 {
		return 0
	}
	between := r.Time(r.Changes[m.Change].At) - r.Time(r.Changes[m.Change-1].At)
	return math.Floor(r.tempoAt(r.Changes[m.Change].At) * between.Seconds() / (between + m.Late).Seconds())
}

// next proposes the two bars around the worst change, slower; up by a few beats where
// there is none, and the same where nothing was asked.
func (r Run) next(p Page) Next {
	if p.Asked == 0 {
		return Next{Whole: true, Tempo: r.Tempo}
	}
	if len(p.Stalls) == 0 {
		return Next{Whole: true, Tempo: min(r.Tempo+faster, fastest)}
	}
	worst := p.Stalls[0].Bar
	return Next{From: max(worst-1, 0), To: min(max(worst, 1), len(r.Bars)-1), Tempo: max(math.Round(r.Tempo*slower), slowest)}
}

// Lines say the page in sentences; name names a chord as the player does.
func (p Page) Lines(name func(theory.Chord) string) []string {
	if p.Asked == 0 {
		return []string{"Nothing was asked this time.", "Next: " + p.Next.String() + "."}
	}
	what := "change"
	if p.Phrases {
		what = "phrase"
	}
	lines := []string{fmt.Sprintf("%d of %s right in time.", p.InTime, many(p.Asked, what))}
	var stalls []string
	for _, s := range p.Stalls {
		what := name(s.From) + " to " + name(s.To)
		switch {
		case s.Phrase != (Phrase{}):
			what = s.Phrase.String()
		case s.First:
			what = "the first chord, " + name(s.To)
		}
		how := ""
		switch s.Missed {
		case s.Late:
			how = "late "
		case s.Wrong:
			how = "wrong "
		}
		stalls = append(stalls, fmt.Sprintf("%s, %s%d of %d, bar %d", what, how, s.Missed, s.Asked, s.Bar+1))
		if len(stalls) == mostStalls {
			break
		}
	}
	if more := len(p.Stalls) - len(stalls); more > 0 {
		stalls = append(stalls, fmt.Sprintf("and %d more", more))
	}
	if len(stalls) > 0 {
		lines = append(lines, "Not in time: "+strings.Join(stalls, "; ")+".")
	}
	switch {
	case p.Asked < fewestAsked: // too little to say it by
	case p.Holds > 0:
		lines = append(lines, fmt.Sprintf("At %g beats a minute nine in ten would be right in time.", p.Holds))
	default:
		lines = append(lines, "It holds at no tempo yet: nine in ten must be right.")
	}
	if p.Behind != 0 {
		lines = append(lines, fmt.Sprintf("The run as a whole came %s, devices and hand together; each change is judged by that.", sayOff(p.Behind)))
	}
	return append(lines, "Next: "+p.Next.String()+".")
}

// sayOff says how far off the click something was.
func sayOff(d time.Duration) string {
	where := "after"
	if d < 0 {
		where = "before"
	}
	return fmt.Sprintf("%d ms %s the click", d.Abs().Milliseconds(), where)
}

// Tell says what became of a change that was played.
func (m Mark) Tell() string {
	switch {
	case !m.Given:
		return "not heard"
	case !m.Right:
		return "wrong"
	case m.Unheard:
		return "too little of it was heard"
	case m.Off && m.Late > 0:
		return fmt.Sprintf("right, %d ms late", m.Late.Milliseconds())
	case m.Off:
		return fmt.Sprintf("right, %d ms early", -m.Late.Milliseconds())
	}
	return "right in time"
}

// mostStalls is how many changes a page names.
const mostStalls = 4

// String says the run that is proposed: "bars 3 and 4 at 77 beats a minute".
func (n Next) String() string {
	what := fmt.Sprintf("bars %d and %d, round and round,", n.From+1, n.To+1)
	switch {
	case n.Whole:
		what = "the whole song"
	case n.From == n.To:
		what = fmt.Sprintf("bar %d, round and round,", n.From+1)
	}
	return fmt.Sprintf("%s at %g beats a minute", what, n.Tempo)
}

func many(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
