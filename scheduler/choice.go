package scheduler

import "time"

// A Choice is the next item to ask and why.
type Choice struct {
	Item    string
	Reason  Reason
	Fluency float64       // probability of right and within the aim, now
	Expect  time.Duration // what asking will probably take, all told
	Worth   float64       // fluent evenings lost a second of asking if it waited until tomorrow
}

// A Reason says in a short clause why an item was chosen.
type Reason struct {
	Kind     ReasonKind
	Deadline string    // name of the next deadline that needs the item, "" for none
	Day      time.Time // its day
}

// ReasonKind is the sort of a [Reason].
type ReasonKind uint8

// The reasons for asking.
const (
	FirstTime   ReasonKind = iota // never asked before
	ItsTurn                       // waiting would cost most
	AfterMiss                     // missed a moment ago
	ForDeadline                   // a deadline needs it
	Rested                        // its family had been left out for long
	SpareTime                     // nothing is waiting, and there is time left
	EveryDay                      // the player wants it every day; no planner's reason
)

// String returns a short clause: "first time", "its turn", "missed a moment ago",
// "for Harbour Fair", "not asked for a while", "nothing else is waiting",
// "kept for every day".
func (r Reason) String() string {
	switch r.Kind {
	case FirstTime:
		return "first time"
	case ItsTurn:
		return "its turn"
	case AfterMiss:
		return "missed a moment ago"
	case ForDeadline:
		return "for " + r.Deadline
	case Rested:
		return "not asked for a while"
	case EveryDay:
		return "kept for every day"
	}
	return "nothing else is waiting"
}

func (p *Planner) choice(i int32, r rank) Choice {
	e := &p.items[i]
	v := p.look(i, p.today)
	choice := Choice{
		Reason:  Reason{Kind: ItsTurn},
		Item:    p.given[i].ID,
		Fluency: v.fluent,
		Expect:  time.Duration(v.seconds(&p.player, &e.state) * float64(time.Second)),
		Worth:   float64(p.standing[i].worth),
	}
	g := p.standing[i].deadline
	if g >= 0 {
		choice.Reason.Deadline, choice.Reason.Day = p.deadlines[g].Name, p.deadlines[g].day.Start(p.opt.Location)
	}
	switch {
	case r == again:
		choice.Reason.Kind = AfterMiss
	case r <= extra:
		choice.Reason.Kind = SpareTime
	case g >= 0:
		choice.Reason.Kind = ForDeadline
	case e.state.Asked == 0:
		choice.Reason.Kind = FirstTime
	case r == resting:
		choice.Reason.Kind = Rested
	}
	return choice
}
