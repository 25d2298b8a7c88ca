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

// tolerance is how far off the beat is still in time.
func (r Run) tolerance() time.Duration {
	return min(time.Duration(withinBeat*float64(r.Time(Beat(r.Meter)))), withinTime)
}

// Lead is how long before its beat a stroke may come: half a beat.
func (r Run) Lead() time.Duration { return r.Time(Beat(r.Meter)) / 2 }

// JudgedAt is when a change that is played is over: half a beat before the next one, to
// which what comes later belongs.
func (r Run) JudgedAt(change int) time.Duration {
	c := r.Changes[change]
	return r.Time(c.At+c.Length) - r.Lead()
}

// Hear judges the strokes of a run: each change by the first stroke that belongs to it, in
// time or not by the median of them all, since what lies between the hand and the log, in
// devices and in the player, is the same each time. It returns the marks of the changes
// that were over at a time, and the median: how late the run lies as a whole.
//
// A stroke belongs to the change that is nearest before it, or to the next one where that
// is at most half a beat away. One whose pitch was not surely heard, and is not the right
// one, is passed over.
func (r Run) Hear(strokes []Stroke, upto time.Duration) (marks []Mark, median time.Duration) {
	half := r.Lead()
	var offsets []time.Duration
	for i, c := range r.Changes {
		at, end := r.Time(c.At), r.Time(c.At+c.Length)
		if r.JudgedAt(i) > upto {
			break
		}
		from := at - half
		if i > 0 { // the change before has at least half of the way
			from = max(from, at-r.Time(c.At-r.Changes[i-1].At)/2)
		}
		until := end - half
		if until <= at {
			until = at + (end-at)/2
		}
		m := Mark{Change: i, Played: true}
		for _, s := range strokes {
			if s.At < from || s.At >= until {
				continue
			}
			right := s.Key > 0 && s.Key%12 == c.Chord.Bass().PitchClass()
			if m.Given = right || s.Sure; m.Given {
				m.Right, m.Late, m.Key = right, s.At-at, s.Key
				break
			}
		}
		if m.Given && m.Right {
			offsets = append(offsets, m.Late)
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
			m.Late -= median
			m.Off = m.Late > r.tolerance() || m.Late < -r.tolerance()
		}
	}
	return marks, median
}
