package practice

import (
	"context"

	"surefret/cmd/surefret/report"
)

// Pupil fills in what a player's page beside those of others shows.
func (p *Player) Pupil(ctx context.Context, one *report.Pupil) error {
	progress, err := p.Progress(ctx, "")
	if err != nil {
		return err
	}
	today := p.today()
	for _, d := range progress.Days {
		one.Answers += d.Answers
		one.Last = d.Day
		if d.Day > (today - 7).String() {
			one.Week += d.Minutes
		}
		if d.Day > (today - 28).String() {
			one.Month += d.Minutes
		}
	}
	one.Map, one.Weak = p.Map(nil, [2]int{}), append(one.Weak, p.Weak()...)
	return nil
}
