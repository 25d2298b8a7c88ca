package rehearse

import (
	"slices"

	"surefret/drills/fretboard"
)

// step is places that are played together.
func step(at float64, fb fretboard.Fretboard, places ...fretboard.Position) Step {
	s := Step{At: at, Places: places}
	for _, p := range places {
		s.Keys = append(s.Keys, fb.MIDI(p))
	}
	slices.Sort(s.Keys)
	return s
}

// lay sets what is played for each change, and when, from what the hand holds: all of it
// on its beat; of a walk its first note, and the notes between two roots on the beats
// before the next one, where there is room.
func (r *Run) lay(fb fretboard.Fretboard) {
	for i := range r.Changes {
		c := &r.Changes[i]
		c.Pitch = fb.MIDI(c.Place)
		c.Lead, c.Then = nil, nil
		c.Main = step(c.At, fb, c.Hand...)
		if c.Walk {
			c.Main = step(c.At, fb, c.Hand[0])
		}
		if i == 0 || !r.Changes[i-1].Walk {
			continue
		}
		was := r.Changes[i-1]
		beat := Beat(r.Bars[was.Bar].Meter)
		passing := was.Hand[1 : len(was.Hand)-1] // its ends are roots, which come on their own beats
		from := was.At + was.Length - float64(len(passing))*beat
		for k, place := range passing {
			if from > was.At {
				c.Lead = append(c.Lead, step(from+float64(k)*beat, fb, place))
			}
		}
	}
}

// stroll walks through the run on a bass: a note a beat, of which those that enter with a
// chord are roots, and the others are the player's to choose.
func (r *Run) stroll(fb fretboard.Fretboard) error {
	line, err := r.Walking(fb)
	if err != nil {
		return err
	}
	for i := range r.Changes {
		c := &r.Changes[i]
		c.Hand, c.Walk = nil, true
		end := r.Length()
		if i+1 < len(r.Changes) {
			end = r.Changes[i+1].At
		}
		var lead Steps
		for _, n := range line {
			switch {
			case n.At < c.At-Slack || n.At >= end-Slack:
			case len(c.Hand) == 0:
				c.Hand = append(c.Hand, n.Place)
				c.Main, c.Then = step(n.At, fb, n.Place), nil
				if slices.Contains(fb.Roots(c.Chord.Bass()), n.Place) {
					c.Place, c.Pitch = n.Place, fb.MIDI(n.Place)
				}
			default:
				c.Hand = append(c.Hand, n.Place)
				free := step(n.At, fb, n.Place)
				free.Free = true
				lead = append(lead, free)
			}
		}
		if len(c.Hand) == 0 { // it is over before a beat comes
			c.Hand, c.Walk = []fretboard.Position{c.Place}, false
		}
		if i+1 < len(r.Changes) {
			r.Changes[i+1].Lead = lead
		} else {
			c.Then = lead
		}
	}
	return nil
}

// within are the steps between two places of a run, counted from the first.
func (s Steps) within(from, until float64) (some Steps) {
	for _, step := range s {
		if step.At >= from-Slack && step.At < until-Slack {
			step.At = max(step.At-from, 0)
			some = append(some, step)
		}
	}
	return some
}
