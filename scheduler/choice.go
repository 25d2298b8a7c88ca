package scheduler

import "time"

// A Choice is the next item to ask and why.
type Choice struct {
	Item    string
	Reason  Reason
	Fluency float64       // probability of right and within the aim, now
	Expect  time.Duration // what asking will probably take, all told
	Worth   float64       // fluent days lost a second if it waited; the largest is asked
}

// A Reason says in a short clause why an item was chosen.
type Reason struct {
	Kind ReasonKind
	Gig  string    // name of the deadline, for ForDeadline
	Day  time.Time // its day, for ForDeadline
}

// ReasonKind is the sort of a [Reason].
type ReasonKind uint8

// The reasons for asking.
const (
	New         ReasonKind = iota // never asked before
	Due                           // about to fade
	Again                         // missed or slow a moment ago
	ForDeadline                   // a gig needs it
	Extra                         // nothing is due, and there is time left
)

// String returns a short clause: "new", "due", "missed a moment ago",
// "for Saturday's gig", "nothing else is due".
func (r Reason) String() string {
	switch r.Kind {
	case New:
		return "new"
	case Due:
		return "due"
	case Again:
		return "missed a moment ago"
	case ForDeadline:
		return "for " + r.Day.Weekday().String() + "'s gig"
	}
	return "nothing else is due"
}

const perAnswer = 1700 * time.Millisecond // entry and feedback, besides thinking

// Next returns the item to ask now, with the time left in the sitting, and
// false when nothing sensible can be asked.
func (p *Planner) Next(now time.Time, left time.Duration) (Choice, bool) {
	today := DayOf(now, p.opt.Location)
	best, worth, kind := int32(-1), 0.0, Due
	for i := range p.items {
		e := &p.items[i]
		if e.out {
			continue
		}
		v, k := 0.0, Due
		switch {
		case e.state.Asked == 0:
			if left < 15*time.Second {
				continue
			}
			v, k = 0.05, New
		case e.state.Day >= today && !e.state.Last.Fluent():
			if p.seq-e.seq < 4 {
				continue
			}
			v, k = 0.5, Again
		case e.state.Day >= today:
			v, k = 1e-6/float64(p.seq-e.seq+1), Extra
		default:
			v = 1.05 - p.fluency(int32(i), today)
		}
		if p.last[0] >= 0 && e.item.Group != "" && e.item.Group == p.items[p.last[0]].item.Group {
			v *= 0.7
		}
		if int32(i) == p.last[0] {
			continue
		}
		if v > worth {
			best, worth, kind = int32(i), v, k
		}
	}
	if best < 0 || left <= 0 {
		return Choice{}, false
	}
	e := &p.items[best]
	return Choice{Item: e.item.ID, Reason: Reason{Kind: kind}, Fluency: p.fluency(best, today),
		Expect: perAnswer + e.aim, Worth: worth}, true
}
