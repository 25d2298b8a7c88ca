package policy

import (
	"cmp"
	"slices"
	"time"

	"surefret/scheduler"
)

// Few is a plain rule with few new items at a time. Every item has a box, -1 while
// it was never asked; an item is in the making once it was asked and until it has
// come to box 3. Right within the aim moves it up by one, once a day, and at first
// sight to box 3; right but slow it comes to box 1 at least and from box 3 on goes
// down by one; a miss takes it down by two. New items come in the order of their
// stages, families and topics, and only while fewer than the limit are in the
// making; 0 is no limit. The boxes and their waits are chosen, no source.
func Few(limit int) Maker {
	return func(items []scheduler.Item, _ uint64) Policy {
		f := &few{items: items, limit: limit, box: make([]int, len(items)), due: make([]int, len(items)), last: make([]int, len(items)), raised: make([]int, len(items)), before: -1}
		for i := range items {
			f.box[i] = -1
		}
		f.fresh = stageOrder(items)
		return f
	}
}

// stageOrder lists the items by stage, then family, then topic.
func stageOrder(items []scheduler.Item) []int {
	order := make([]int, len(items))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		x, y := &items[a], &items[b]
		return cmp.Or(cmp.Compare(x.Stage, y.Stage), cmp.Compare(x.Family, y.Family), cmp.Compare(x.Topic, y.Topic))
	})
	return order
}

const (
	sureBox = 3
	missGap = 6 // other answers before a miss returns
)

var boxWaits = [...]int{1, 1, 2, 4, 9, 20, 45} // days

type few struct {
	items  []scheduler.Item
	limit  int
	box    []int
	due    []int // day
	last   []int // answer number of the last answer, from 1
	raised []int // day on which the box last rose
	fresh  []int // never asked, the next one first
	missed []back
	making int
	asked  int
	turn   bool
	before int
}

func (f *few) Next(now time.Time, _ time.Duration) (int, bool) {
	today := int(day(now))
	if len(f.missed) > 0 && f.asked >= f.missed[0].from && int(f.missed[0].item) != f.before {
		i := f.missed[0].item
		f.missed = f.missed[1:]
		return i, true
	}
	making, sure, rested := f.waiting(today)
	f.turn = !f.turn
	if making >= 0 && (f.turn || sure < 0) {
		return making, true
	}
	if sure >= 0 {
		return sure, true
	}
	if len(f.fresh) > 0 && (f.limit == 0 || f.making < f.limit) {
		return f.fresh[0], true
	}
	return rested, rested >= 0
}

// waiting returns, of what is due, the item in the making of the lowest box that
// rested longest and the sure one that is most overdue; and what rested longest of
// all. They are -1 where there is none.
func (f *few) waiting(today int) (making, sure, rested int) {
	making, sure, rested = -1, -1, -1
	for i, box := range f.box {
		if box < 0 || i == f.before {
			continue
		}
		if rested < 0 || f.last[i] < f.last[rested] {
			rested = i
		}
		switch {
		case f.due[i] > today:
		case box < sureBox:
			if making < 0 || box < f.box[making] || box == f.box[making] && f.last[i] < f.last[making] {
				making = i
			}
		case sure < 0 || f.due[i] < f.due[sure]:
			sure = i
		}
	}
	return making, sure, rested
}

func (f *few) Learn(r Answer) {
	i, today := r.Item, int(day(r.At))
	o := BySpeed.outcome(&f.items[i], r)
	was := f.box[i]
	switch {
	case o == scheduler.Missed:
		f.box[i] = max(was-2, 0)
	case o == scheduler.Slow && was >= sureBox:
		f.box[i] = was - 1
	case o == scheduler.Slow:
		f.box[i] = max(was, 1)
	case was < 0:
		f.box[i], f.raised[i] = sureBox, today
	case f.raised[i] != today:
		f.box[i], f.raised[i] = min(was+1, len(boxWaits)-1), today
	}
	f.due[i] = today + boxWaits[f.box[i]]
	f.asked++
	if o == scheduler.Missed {
		f.due[i] = today + 1
		f.missed = append(f.missed, back{i, f.asked + missGap})
	}
	if was < 0 {
		f.fresh = slices.Delete(f.fresh, slices.Index(f.fresh, i), slices.Index(f.fresh, i)+1)
	}
	f.making += inMaking(f.box[i]) - inMaking(was)
	f.last[i], f.before = f.asked, i
}

func inMaking(box int) int {
	if box >= 0 && box < sureBox {
		return 1
	}
	return 0
}
