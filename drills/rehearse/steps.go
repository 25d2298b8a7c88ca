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

// line plays a walking line: for each change its notes, up to that on which the next chord
// enters. Those that enter are roots; the others are the player's to choose.
func (r *Run) line(fb fretboard.Fretboard) error {
	walked, err := r.Walking(fb)
	if err != nil {
		return err
	}
	for i := range r.Changes {
		c := &r.Changes[i]
		var steps Steps
		next := walked[0] // it goes round
		for _, n := range walked {
			if n.At >= c.At+c.Length-Slack {
				next = n
				break
			}
			if n.At >= c.At-Slack {
				steps = append(steps, step(n.At, fb, n.Place))
			}
		}
		if len(steps) == 0 {
			continue // it is over before the next note
		}
		c.Hand, c.Walk = nil, true
		for k := range steps {
			c.Hand = append(c.Hand, steps[k].Places[0])
			steps[k].Free = k > 0
		}
		c.Hand = append(c.Hand, next.Place)
		c.Main = steps[0]
		if slices.Contains(fb.Roots(c.Chord.Bass()), c.Hand[0]) {
			c.Place, c.Pitch = c.Hand[0], c.Main.Keys[0]
		}
		if i+1 < len(r.Changes) {
			r.Changes[i+1].Lead = steps[1:]
		} else {
			c.Then = steps[1:]
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
