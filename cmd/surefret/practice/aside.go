package practice

import "time"

// CanSetAside reports whether a question can be set aside.
func (s *Sitting) CanSetAside() bool { return s.cfg.SetAside != nil }

// SetAside sets the item of the open question aside: it is nothing that this player
// needs, in this tuning or at all. Nothing is logged of it, since nothing was
// answered. It returns ErrNothingAsked where there is no open question, or no
// way to set one aside.
func (s *Sitting) SetAside() error {
	if s.cfg.SetAside == nil || s.asked.Item == "" || s.pending != nil {
		return ErrNothingAsked
	}
	if err := s.cfg.SetAside(s.asked.Item); err != nil {
		return err
	}
	s.aside = append(s.aside, s.item(s.asked.Item))
	s.lastAside = Turn{s.asked, s.why}
	return nil
}

// CanBringBack reports whether BringBack would bring a question back.
func (s *Sitting) CanBringBack() bool {
	return s.cfg.BringBack != nil && s.lastAside.Question.Item != ""
}

// BringBack brings the question back that was set aside last, in place of the one that
// is open. It returns ErrNothingAsked where there is none: after the next answer it
// stays aside.
func (s *Sitting) BringBack(now time.Time) (Turn, error) {
	if !s.CanBringBack() || s.pending != nil {
		return Turn{}, ErrNothingAsked
	}
	turn := s.lastAside
	if err := s.cfg.BringBack(turn.Question.Item); err != nil {
		return Turn{}, err
	}
	s.aside, s.lastAside = s.aside[:len(s.aside)-1], Turn{}
	s.shut(now)
	s.open(now)
	s.asked, s.why = turn.Question, turn.Why
	return turn, nil
}
