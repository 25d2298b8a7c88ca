package scheduler

// The plan of an item is to practise it today and on some later days. Its worth
// is the number of evenings on which it would be fluent. What a delay costs is
// the worth of the plan less that of the same plan begun tomorrow, for the item
// and for the kin that its practice helps: the planner asks what loses most for
// the seconds that asking takes.
//
// Ranking by gain a second without looking ahead was tried and lost: fluency is
// S-shaped in practice, and the first answers gain least. So did looking for
// each item's best day: where the model is too sure of an item, it always finds
// a later day that looks as good. What kin gain is worth more than the choice of
// a model: it brings items that help many others first.
const evening = 0.5 // days from practice to when the player is heard

var (
	// planDays are the days of practice, today being 0. There is a look on the
	// evening of each and on the one after, where a plan begun today and one
	// begun tomorrow differ most: other days with these looks cost 0.6 to 2.4
	// points of the board, daily looks over two weeks 0.8 and over three 1.3
	// (cmd/schedulelab, seeds 101 to 104).
	planDays = [...]Day{0, 2, 6}
	// planLooks are the evenings looked at and how many each stands for.
	planLooks = [...]struct{ day, evenings float64 }{{0, 1}, {1, 1}, {2, 1}, {3, 1}, {4, 1}, {6, 2}, {9, 3}, {14, 5}}
)

// kinWorth is what an evening of the kin's counts in evenings of the item's own:
// kin of kin gain too, which is not looked at. Anything from 1 to 2 does as well
// on simulated players, within a tenth of a point of the board.
const kinWorth = 0.5

// A course is an item's way along its plan.
type course struct {
	State
	p     *player
	easy  float64
	today Day
}

func newCourse(p *player, s *State, today Day) course {
	c := course{State: *s, p: p, easy: s.easy(), today: today}
	c.Day, c.Since = min(c.Day, today), min(c.Since, float64(today)) // after travel west
	return c
}

// fluency is the probability of right and within the aim so many days from
// today.
func (c *course) fluency(days float64) float64 {
	x := inputs(&c.State, float64(c.today)+days)
	return fluency(c.easy, c.practised(c.p, &x))
}

// ask is a practice so many days from today.
func (c *course) ask(days Day) {
	day := c.today + days
	c.practise(float64(day-c.Day), day)
}

// worth is the fluent evenings of the plan begun so many days from today, with a
// share of a practice lent by kin on a day from today (0 for none).
func (c course) worth(begin Day, share float64, lentOn Day) float64 {
	sum, k := 0.0, 0
	for _, l := range planLooks {
		look := l.day + evening
		for ; k < len(planDays) && float64(begin+planDays[k]) <= look; k++ {
			if share > 0 && lentOn <= begin+planDays[k] {
				c.lend(share, c.today+lentOn)
				share = 0
			}
			c.ask(begin + planDays[k])
		}
		if share > 0 && float64(lentOn) <= look {
			c.lend(share, c.today+lentOn)
			share = 0
		}
		sum += l.evenings * c.fluency(look)
	}
	return sum
}

// loss is the fluent evenings that the item loses if it waits until tomorrow.
func (c *course) loss() float64 { return c.worth(0, 0, 0) - c.worth(1, 0, 0) }

// gain is the fluent evenings that a kin's practice today saves the item, which
// is itself practised from the day begin on.
func (c *course) gain(share float64, begin Day) float64 {
	return max(c.worth(begin, share, 0)-c.worth(begin, share, 1), 0)
}

// prepare appraises every item for the day, unless that is done.
func (p *Planner) prepare(today Day) {
	p.setRight(today)
	if p.planned && p.today == today {
		return
	}
	p.planned, p.today = true, today
	for i := range p.standing {
		s, met := &p.standing[i], &p.items[i].state
		s.deadline = -1
		s.parked = p.parked(int32(i), today) && today-met.Day < parkedDays
		s.asked = met.Asked > 0 && (met.Day == today || met.Day == today+1) // tomorrow: after travel west
	}
	for g := range p.deadlines {
		for _, i := range p.deadlines[g].items {
			if s := &p.standing[i]; p.deadlines[g].day >= today && p.deadlines[g].day-today <= deadlineNotice && (s.deadline < 0 || p.deadlines[g].day < p.deadlines[s.deadline].day) {
				s.deadline = int16(g)
			}
		}
	}
	p.making = 0
	for k := range p.topics {
		p.topics[k].fluent, p.topics[k].unsure = 0, 0
	}
	for i := range p.items {
		p.standing[i].fluent = 0
		p.appraise(int32(i))
		p.standing[i].making, p.standing[i].unsure = false, false
		p.mark(int32(i), today)
	}
	for k := range p.topics {
		p.weigh(int32(k))
		p.count(int32(k))
	}
	p.rest()
	p.handful = 0
	p.supply()
}

// appraise sets the item's standing for the day.
func (p *Planner) appraise(i int32) {
	e, t := &p.items[i], &p.standing[i]
	v := p.look(i, p.today)
	c := newCourse(&p.player, &e.state, p.today)
	loss := c.loss()
	if !t.asked {
		for _, k := range e.helps {
			o := newCourse(&p.player, &p.items[k.at].state, p.today)
			begin := Day(1)
			if p.standing[k.at].asked {
				begin = 2
			}
			loss += kinWorth * o.gain(k.weight*kinShare, begin)
		}
	}
	if t.deadline >= 0 {
		loss = p.deadlines[t.deadline].loss(c, loss, p.today)
	}
	seconds := v.seconds(&p.player, &e.state)
	t.first = 0
	if e.state.Asked == 0 {
		t.first = float32(overhead + feedback + min(newSlower*(seconds-overhead), newLongest))
	}
	t.loss = float32(loss / seconds)
	p.topics[t.topic].fluent += v.fluent - float64(t.fluent)
	t.fluent = float32(v.fluent)
	p.value(t)
}
