package session

// CanSkip reports whether a question can be set aside.
func (s *Session) CanSkip() bool { return s.cfg.Skip != nil }

// Skip sets the item of the open question aside: it is nothing that this player
// needs, in this tuning or at all. Nothing is logged of it, since nothing was
// answered. It returns ErrNothingAsked where there is no open question, or no
// way to set one aside.
func (s *Session) Skip() error {
	if s.cfg.Skip == nil || s.asked.Item == "" || s.pending != nil {
		return ErrNothingAsked
	}
	if err := s.cfg.Skip(s.asked.Item); err != nil {
		return err
	}
	s.aside = append(s.aside, s.item(s.asked.Item))
	return nil
}
