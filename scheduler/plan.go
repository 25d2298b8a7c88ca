package scheduler

import "math"

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
	// planDays are the days of practice. With twice as many, or up to a month,
	// the choices hardly change.
	planDays = [...]float64{0, 2, 6}
	// planLooks are the evenings looked at and how many each stands for.
	planLooks = [...]struct{ day, evenings float64 }{{0, 1}, {1, 1}, {2, 1}, {3, 1}, {4, 1}, {6, 2}, {9, 3}, {14, 5}}
)

// kinWorth is what an evening of the kin's counts in evenings of the item's
// own. It is over 1 because kin of kin gain too, which is not looked at.
const kinWorth = 1.5

// A course is an item's way along its plan.
type course struct {
	f        *formulas
	p        *Player
	state    State
	easy     float64
	scale    float64 // of the logit, for what is not known of the offset
	last     float64 // day of the last answer, today being 0
	since    float64
	practice float64
	memory   Memory
	asked    bool
}

func (f *formulas) course(p *Player, s *State, today Day) course {
	c := course{f: f, p: p, state: *s, practice: s.Practice, memory: s.Memory, asked: s.Asked > 0}
	c.easy, c.scale = s.easy(), 1/math.Sqrt(1+math.Pi/8*s.variance())
	c.last = min(float64(s.Day-today), 0)
	c.since = min(s.Since-float64(today), 0)
	return c
}

// fluent is the probability of right and within the aim on a day.
func (c *course) fluent(day float64) float64 {
	stability := c.memory.Stability
	if !c.asked {
		stability = c.f.slowly
	}
	x := inputs(c.practice, max(day-c.since, 0), stability, c.asked)
	return c.easy*easyFluent + (1-c.easy)*logistic((c.p.logit(&x)+c.state.Offset)*c.scale)
}

// ask is a practice, answered as is likeliest.
func (c *course) ask(day float64) {
	share := 1.0
	if !c.asked {
		c.memory = c.f.first(GradeSlow)
	} else {
		if day-c.last < 1 {
			share = sameDay
		}
		g := GradeSlow
		if c.fluent(day) >= 0.5 {
			g = GradeSteady
		}
		c.memory = c.f.nextAt(c.memory, day-c.last, c.f.retrievability(c.memory.Stability, day-c.last), g)
	}
	c.asked = true
	c.practice += share
	c.last, c.since = day, day
}

// lend is a part of a kin's practice.
func (c *course) lend(share, day float64) {
	if c.practice == 0 {
		c.since = day
	}
	if c.asked || c.practice < 1 {
		c.practice += share
	}
	c.since += share * (day - c.since)
}

// worth is the fluent evenings of the plan begun so many days from now, with a
// share of a practice lent by kin on a day (0 for none).
func (c course) worth(begin, share, lentOn float64) float64 {
	sum, k := 0.0, 0
	for _, l := range planLooks {
		look := l.day + evening
		for ; k < len(planDays) && begin+planDays[k] <= look; k++ {
			if share > 0 && lentOn <= begin+planDays[k] {
				c.lend(share, lentOn)
				share = 0
			}
			c.ask(begin + planDays[k])
		}
		if share > 0 && lentOn <= look {
			c.lend(share, lentOn)
			share = 0
		}
		sum += l.evenings * c.fluent(look)
	}
	return sum
}

// loss is the fluent evenings that the item loses if it waits until tomorrow.
func (c *course) loss() float64 { return c.worth(0, 0, 0) - c.worth(1, 0, 0) }

// gain is the fluent evenings that a kin's practice today saves the item, which
// is itself practised from the day begin on.
func (c *course) gain(share, begin float64) float64 {
	return max(c.worth(begin, share, 0)-c.worth(begin, share, 1), 0)
}
