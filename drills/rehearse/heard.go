package rehearse

import (
	"slices"
	"time"
)

// A Stroke is one pluck that was heard.
type Stroke struct {
	At   time.Duration // from the first beat of the run
	Key  int           // MIDI number, 0 where no pitch was heard
	Sure bool          // surely that one: enough to be called wrong
}

// What is in time: within an eighth of a beat of where the run lies as a whole, and
// never farther than this.
const (
	withinBeat = 1.0 / 8
	withinTime = 80 * time.Millisecond
)

// tolerance is how far off a place is still in time there.
func (r Run) tolerance(quarters float64) time.Duration {
	return min(time.Duration(withinBeat*float64(r.beatAt(quarters))), withinTime)
}

// beatAt is how long a beat is just before a place.
func (r Run) beatAt(quarters float64) time.Duration {
	return r.duration(Beat(r.Meter) / r.tempoAt(quarters))
}

// Lead is how long before its beat a stroke may come where the run is now: half a beat.
func (r Run) Lead() time.Duration { return r.duration(Beat(r.Meter)/r.Tempo) / 2 }

// JudgedAt is when a change that is played is over: half a beat before the next one, to
// which what comes later belongs.
func (r Run) JudgedAt(change int) time.Duration {
	_, end := r.window(change)
	if c := r.Changes[change]; len(c.Then) > 0 {
		return r.over(change)
	}
	return end
}

// over is when the time for what follows a change has gone: that of the next one begins.
func (r Run) over(change int) time.Duration {
	if change+1 < len(r.Changes) {
		from, _ := r.window(change + 1)
		return from
	}
	return r.Time(r.Length())
}

// window is the time in which a stroke belongs to the main step of a change: from half a
// beat before it, or half of the way from what is played before, to half a beat before
// what is played next, or half of the way to it.
func (r Run) window(change int) (from, until time.Duration) {
	c := r.Changes[change]
	at := r.Time(c.Main.At)
	half := r.beatAt(c.Main.At) / 2
	from = at - half
	if before, ok := r.stepBefore(change); ok {
		from = max(from, at-(at-r.Time(before))/2)
	}
	next := c.At + c.Length
	switch {
	case len(c.Then) > 0:
		next = c.Then[0].At
	case change+1 < len(r.Changes):
		next = min(next, r.Changes[change+1].first())
	}
	after := r.Time(next)
	return from, max(after-half, at+(after-at)/2)
}

// stepBefore is the place of what is played before the main step of a change.
func (r Run) stepBefore(change int) (at float64, ok bool) {
	if lead := r.Changes[change].Lead; len(lead) > 0 {
		return lead[len(lead)-1].At, true
	}
	if change == 0 {
		return 0, false
	}
	c := r.Changes[change-1]
	if len(c.Then) > 0 {
		return c.Then[len(c.Then)-1].At, true
	}
	return c.Main.At, true
}

// first is the place of what is played first for a change.
func (c Change) first() float64 {
	if len(c.Lead) > 0 {
		return c.Lead[0].At
	}
	return c.Main.At
}

// Hear judges the strokes of a run: each change by the first stroke that belongs to its
// main step, in time or not by the median of them all, since what lies between the hand
// and the log, in devices and in the player, is the same each time. What leads to it or
// follows it is judged by its notes and their order: not one may surely be another, and
// half of them have to be heard. It returns the marks of the changes that were over at a
// time, and the median: how late the run lies as a whole.
//
// A stroke whose pitch was not surely heard, and is not a right one, is passed over. Of
// what is played together the first pitch that is heard counts, and each of its own is
// right; who listens tells one of its own where all of them were found, see [Run.Expected].
func (r Run) Hear(strokes []Stroke, upto time.Duration) (marks []Mark, median time.Duration) {
	var offsets []time.Duration
	for i, c := range r.Changes {
		if r.JudgedAt(i) > upto {
			break
		}
		m := Mark{Change: i, Played: true}
		from, until := r.window(i)
		for _, s := range between(strokes, from, until) {
			right := c.Main.has(s.Key)
			if m.Given = right || s.Sure; m.Given {
				m.Right, m.Late, m.Key = right, s.At-r.Time(c.Main.At), s.Key
				break
			}
		}
		if m.Given && m.Right {
			offsets = append(offsets, m.Late)
		}
		began := time.Duration(0)
		if i > 0 {
			_, began = r.window(i - 1)
		}
		if len(c.Lead) > 0 {
			m.follow(c.Lead, between(strokes, began, from))
		}
		if len(c.Then) > 0 {
			m.follow(c.Then, between(strokes, until, r.over(i)))
		}
		marks = append(marks, m)
	}
	if len(offsets) > 0 {
		slices.Sort(offsets)
		median = offsets[len(offsets)/2]
	}
	for i := range marks {
		m := &marks[i]
		if m.Given {
			within := r.tolerance(r.Changes[m.Change].Main.At)
			m.Late -= median
			m.Off = m.Late > within || m.Late < -within
		}
	}
	return marks, median
}

// follow judges strokes by the steps that were to come in this order. One that is surely
// none of those that are left is wrong.
func (m *Mark) follow(steps Steps, strokes []Stroke) {
	heard, left := 0, steps
	for _, s := range strokes {
		i := slices.IndexFunc(left, func(step Step) bool { return step.Free || step.has(s.Key) })
		switch {
		case i >= 0:
			heard, left = heard+1, left[i+1:]
		case s.Sure && m.Given && m.Right && !steps.have(s.Key):
			m.Right, m.Key = false, s.Key
		}
	}
	m.Unheard = m.Unheard || 2*heard < len(steps)
}

// has reports whether a MIDI number, 0 for none, is one of the notes, in any octave.
func (s Step) has(key int) bool {
	return key > 0 && slices.ContainsFunc(s.Keys, func(k int) bool { return k%12 == key%12 })
}

// have reports whether one of the steps has a note.
func (s Steps) have(key int) bool {
	return slices.ContainsFunc(s, func(step Step) bool { return step.Free || step.has(key) })
}

// between are the strokes from one time to before another.
func between(strokes []Stroke, from, until time.Duration) (some []Stroke) {
	for _, s := range strokes {
		if s.At >= from && s.At < until {
			some = append(some, s)
		}
	}
	return some
}

// Expected are the notes that are looked for in a stroke at a time, as MIDI numbers, the
// lowest first: one where a walk or a phrase is played, several that are played together;
// none where any octave of a root may come.
func (r Run) Expected(at time.Duration) []int {
	var best []int
	nearest := time.Duration(-1)
	for _, c := range r.Changes {
		if len(c.Lead)+len(c.Then) == 0 && len(c.Main.Keys) == 1 {
			continue
		}
		for _, s := range slices.Concat(c.Lead, Steps{c.Main}, c.Then) {
			off := (r.Time(s.At) - at).Abs()
			if nearest >= 0 && off >= nearest {
				continue
			}
			if best, nearest = nil, off; !s.Free {
				best = s.Keys
			}
		}
	}
	return best
}
