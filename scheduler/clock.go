package scheduler

// A clock that was set back, or was wrong, must cost no knowledge.

// setBack takes in that the clock went back to a day, by more than travel makes
// it. Where that day still follows the practice before the latest, the clock was
// ahead for the latest alone: what was answered then counts as of the day before.
// Else the clock is wrong now, or was for long: all that is known moves back with
// it, so that what has rested keeps its rest, and forward again once the clock
// jumps by as much.
func (p *Planner) setBack(day Day) {
	if p.before == 0 || day < p.before-1 {
		by := p.day - day + 1 // the latest practice was yesterday, or else this morning
		p.shift(-by)
		p.shifted, p.shiftedOn = p.shifted+by, day
		return
	}
	for i := range p.items {
		s := &p.items[i].state
		s.Day = min(s.Day, day-1) // some day before today
		s.Since = min(s.Since, float64(day-1))
	}
	p.day, p.planned = day, false
}

const (
	trustedAfter = 3  // days after which a clock that went back is taken to be right,
	breakMost    = 60 // unless it went back by more days than any break lasts
)

// setRight undoes what setBack moved once the clock has jumped forward by as much.
func (p *Planner) setRight(day Day) {
	if p.isRight(day) {
		p.shift(p.shifted)
		p.shifted = 0
	}
}

// isRight reports whether a day is seen by a clock that is right again.
func (p *Planner) isRight(day Day) bool { return p.shifted > 0 && day-p.day >= p.shifted-1 }

// shift moves the days of all that was practised.
func (p *Planner) shift(by Day) {
	for i := range p.items {
		s := &p.items[i].state
		if s.Asked > 0 {
			s.Day += by
		}
		if s.Practice+s.Lent > 0 {
			s.Since += float64(by)
		}
	}
	p.day, p.before, p.began, p.planned = p.day+by, p.before+by, p.began+by, false
}
