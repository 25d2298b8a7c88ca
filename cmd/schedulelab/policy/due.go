package policy

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sort"
	"time"

	"surefret/scheduler"
)

// A Pace says how new items come in.
type Pace struct {
	perDay  int // at most so many a day; 0 is no limit
	waiting int // while fewer than so many are due; 0 means when none is
}

// Paces are those that the baselines are tuned over.
var Paces = []Pace{{5, 0}, {10, 0}, {0, 0}, {0, 10}, {0, 30}, {0, 60}, {0, math.MaxInt}}

func (p Pace) String() string {
	switch {
	case p.perDay > 0:
		return fmt.Sprintf("meeting %d facts a day", p.perDay)
	case p.waiting == 0:
		return "meeting at will"
	case p.waiting == math.MaxInt:
		return "meeting first"
	}
	return fmt.Sprintf("meeting under %d waiting", p.waiting)
}

// A Setting is what all the rules of this file can be tuned in.
type Setting struct {
	Grading Grading
	Pace    Pace
	Repeat  Repeat
	Lowest  bool // of what is due the lowest box first, for rules that have boxes; else the most overdue for its interval
}

func (s Setting) String() string {
	text := s.Grading.String() + ", " + s.Pace.String() + ", " + s.Repeat.String()
	if s.Lowest {
		text += ", lowest box first"
	}
	return text
}

// A rule is what the boxes, the growing gaps and the published model differ in: when
// an item, answered now with the given outcome, is due again.
type rule interface {
	answered(item int, now float64, o scheduler.Outcome) (due float64)
}

// dueFirst asks what is due, then new items at the pace in the order of their stages
// and topics, then what has rested longest: it never idles. Missed items return in the
// sitting after some others.
type dueFirst struct {
	Setting
	items []scheduler.Item
	rule  rule
	rng   *rand.Rand

	last, due []float64 // days; last 0 is never met
	fresh     []int     // not met yet, in the order they will be
	today     int
	met       int    // new ones today
	queue     []int  // due today, next at the end
	again     []back // missed today
	asked     int    // answers so far
	before    int    // the last item
}

type back struct{ item, from int }

// returnAfter is the number of other questions before a missed item returns.
const returnAfter = 8

func newDueFirst(items []scheduler.Item, seed uint64, r rule, s Setting) *dueFirst {
	d := &dueFirst{
		Setting: s, items: items, rule: r,
		rng:  rand.New(rand.NewPCG(seed, 3)),
		last: make([]float64, len(items)), due: make([]float64, len(items)),
		before: -1, today: -1,
	}
	d.fresh = stageOrder(items)
	slices.Reverse(d.fresh) // the next one is the last
	return d
}

// Next implements [Policy].
func (d *dueFirst) Next(now time.Time, _ time.Duration) (int, bool) {
	if today := int(day(now)); today != d.today {
		d.begin(today)
	}
	if len(d.again) > 0 && d.again[0].from <= d.asked {
		i := d.again[0].item
		d.again = d.again[1:]
		return i, true
	}
	for len(d.queue) > 0 && int(d.last[d.queue[len(d.queue)-1]]) == d.today {
		d.queue = d.queue[:len(d.queue)-1] // asked meanwhile
	}
	mayMeet := len(d.fresh) > 0 && (d.Pace.perDay == 0 || d.met < d.Pace.perDay)
	if mayMeet && (len(d.queue) == 0 || len(d.queue) < d.Pace.waiting) {
		return d.fresh[len(d.fresh)-1], true
	}
	if n := len(d.queue); n > 0 {
		return d.queue[n-1], true
	}
	return d.ahead(), true
}

// begin lays out the day: all that falls due by its end.
func (d *dueFirst) begin(today int) {
	d.today, d.met = today, 0
	d.queue, d.again = d.queue[:0], d.again[:0]
	overdue := make([]float64, len(d.items))
	boxed, boxes := d.rule.(interface{ boxOf(item int) int })
	tie := d.rng.Perm(len(d.items))
	for i, due := range d.due {
		if d.last[i] > 0 && due < float64(today+1) {
			d.queue = append(d.queue, i)
			overdue[i] = (float64(today+1) - due) / max(due-d.last[i], 0.5)
		}
	}
	sort.Slice(d.queue, func(a, b int) bool {
		i, j := d.queue[a], d.queue[b]
		if boxes && d.Lowest && boxed.boxOf(i) != boxed.boxOf(j) {
			return boxed.boxOf(i) > boxed.boxOf(j)
		}
		if overdue[i] != overdue[j] {
			return overdue[i] < overdue[j]
		}
		return tie[i] < tie[j]
	})
}

// ahead is what has rested longest, for spare time.
func (d *dueFirst) ahead() int {
	oldest, first := 0, math.Inf(1)
	for i, last := range d.last {
		if last > 0 && i != d.before && last < first {
			oldest, first = i, last
		}
	}
	return oldest
}

// Learn implements [Policy].
func (d *dueFirst) Learn(r Answer) {
	now := day(r.At)
	o := d.Grading.outcome(&d.items[r.Item], r)
	if d.last[r.Item] == 0 {
		d.met++
		for k := len(d.fresh) - 1; k >= 0; k-- {
			if d.fresh[k] == r.Item {
				d.fresh = append(d.fresh[:k], d.fresh[k+1:]...)
				break
			}
		}
	}
	if n := len(d.queue); n > 0 && d.queue[n-1] == r.Item {
		d.queue = d.queue[:n-1]
	}
	d.due[r.Item] = d.rule.answered(r.Item, now, o)
	d.last[r.Item] = now
	d.asked++
	d.before = r.Item
	if d.Repeat == RepeatMissed && o == scheduler.Missed {
		d.again = append(d.again, back{r.Item, d.asked + returnAfter})
	}
}
