package practice

import "time"

// CanSkip reports whether a question can be set aside.
func (s *Sitting) CanSkip() bool { return s.cfg.Skip != nil }

// Skip sets the item of the open question aside: it is nothing that this player
// needs, in this tuning or at all. Nothing is logged of it, since nothing was
// answered. It returns ErrNothingAsked where there is no open question, or no
// way to set one aside.
func (s *Sitting) Skip() error {
	if s.cfg.Skip == nil || s.asked.Item == "" || s.pending != nil {
		return ErrNothingAsked
	}
	if err := s.cfg.Skip(s.asked.Item); err != nil {
		return err
	}
	s.aside = append(s.aside, s.item(s.asked.Item))
	s.skipped = Turn{s.asked, s.why}
	return nil
}

// CanTakeUp reports whether TakeUp would bring a question back.
func (s *Sitting) CanTakeUp() bool { return s.cfg.TakeUp != nil && s.skipped.Question.Item != "" }

// TakeUp brings the question back that was set aside last, in place of the one that
// is open. It returns ErrNothingAsked where there is none: after the next answer it
// stays aside.
func (s *Sitting) TakeUp(now time.Time) (Turn, error) {
	if !s.CanTakeUp() || s.pending != nil {
		return Turn{}, ErrNothingAsked
	}
	turn := s.skipped
	if err := s.cfg.TakeUp(turn.Question.Item); err != nil {
		return Turn{}, err
	}
	s.aside, s.skipped = s.aside[:len(s.aside)-1], Turn{}
	s.shut(now)
	s.open(now)
	s.asked, s.why = turn.Question, turn.Why
	return turn, nil
}
