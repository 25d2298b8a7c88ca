package main

import (
	"context"
	"time"

	"surefret/cmd/surefret/line"
	"surefret/cmd/surefret/session"
	"surefret/cmd/surefret/settings"
)

// practiceScreen runs a session on the full screen.
func (p *program) practiceScreen(ctx context.Context, pl *player, s *session.Session, sound sound, now func() time.Time) error {
	return line.Runner{In: p.in, Out: p.out, Err: p.err, Now: now, Sound: sound.play}.Run(ctx, s)
}

// setupForm asks for the settings on the full screen.
func (p *program) setupForm(s settings.Settings) (settings.Settings, error) {
	return line.Setup(p.in, p.out, p.err, s)
}
