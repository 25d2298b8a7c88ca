package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"time"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/report"
	"surefret/drills/gig"
	"surefret/scheduler"
	"surefret/store"
)

// forecastDays is how far ahead the load is foretold: a week.
const forecastDays = 7

func (p *program) progressCommand() *cobra.Command {
	var since, page string
	var asJSON bool
	cmd := &cobra.Command{
		Use:     "progress",
		Short:   "Show what became fluent, where the minutes went and what comes next",
		Example: "  surefret progress\n  surefret progress --since 2026-10-01\n  surefret progress --html progress.html",
		Args:    cli.Needs(),
		RunE: func(cmd *cobra.Command, _ []string) error {
			if since != "" {
				if _, err := gig.ParseDay(since); err != nil {
					return usagef("--since: %w", err)
				}
			}
			return p.withPlayer(cmd, func(ctx context.Context, pl *player) error {
				progress, err := pl.progress(ctx, since)
				if err != nil {
					return err
				}
				switch {
				case page != "":
					return p.write(page, func(w io.Writer) error { return progress.HTML(w, p.banner) })
				case asJSON:
					return p.printJSON(progress)
				}
				fmt.Fprint(p.out, progress.Text(p.columns()))
				return nil
			})
		},
	}
	cmd.Flags().StringVar(&since, "since", "", "only from this day on, like 2026-10-01")
	cmd.Flags().StringVar(&page, "html", "", "write one page with charts")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the figures as JSON")
	return cmd
}

// A tallied is a tally with how far into the log it has counted.
type tallied struct {
	*report.Tally
	upto, kept store.Cursor // kept is how far it had counted when it was last kept
}

// tally takes up the tally where it was kept and counts on to the end of the log.
// Where none is kept, a log longer than most is not begun: ok is false.
func (pl *player) tally(ctx context.Context, most store.Cursor) (t tallied, ok bool, err error) {
	end, err := pl.db.End(ctx)
	if err != nil {
		return t, false, err
	}
	from, state, usable, err := pl.db.Snapshot(ctx, pl.tallyVersion())
	if err != nil {
		return t, false, err
	}
	fresh, err := pl.newPlanner()
	if err != nil {
		return t, false, err
	}
	t = tallied{report.NewTally(pl.catalogue, fresh), end, from}
	if !usable || pl.isAhead() || t.UnmarshalBinary(state) != nil {
		t.kept = 0
		if end > most {
			return t, false, nil
		}
	}
	return t, true, t.Read(pl.inTime(pl.db.Effective(ctx, t.kept)))
}

// keepTally keeps what progress counts, so that years of answers are read once.
func (pl *player) keepTally(ctx context.Context, t tallied) error {
	if t.upto == t.kept || pl.isAhead() {
		return nil
	}
	state, err := t.MarshalBinary()
	if err != nil {
		return err
	}
	return pl.db.SaveSnapshot(ctx, pl.tallyVersion(), t.upto, state)
}

// soonRead is how long a log may be to be counted from its start in passing:
// a tenth of a second's reading.
const soonRead = 10_000

// refreshTally counts what a sitting added, so that progress need not.
func (pl *player) refreshTally(ctx context.Context) error {
	if upto, _, ok, err := pl.db.Snapshot(ctx, pl.tallyVersion()); err != nil || ok && upto == pl.read {
		return err
	}
	t, ok, err := pl.tally(ctx, soonRead)
	if err != nil || !ok {
		return err
	}
	return pl.keepTally(ctx, t)
}

// tallyVersion names what a kept tally depends on besides the log.
func (pl *player) tallyVersion() string { return "progress 1 " + pl.version() }

// progress sums the log up from a day on.
func (pl *player) progress(ctx context.Context, since string) (report.Progress, error) {
	tally, _, err := pl.tally(ctx, math.MaxInt64)
	if err != nil {
		return report.Progress{}, err
	}
	if err := pl.keepTally(ctx, tally); err != nil {
		return report.Progress{}, err
	}
	now := pl.now()
	today := scheduler.DayOf(now, time.Local)
	p := tally.Progress(pl.foresight(), since, today.String())
	for _, g := range pl.coming() {
		if r, _ := pl.readiness(g); r != nil {
			p.Gigs = append(p.Gigs, report.Ready{Name: g.Name, Day: g.Day, Now: r.Now, Share: r.Share, Low: r.Low, High: r.High})
		}
	}
	for i, load := range pl.planner.Forecast(now, forecastDays) {
		p.Forecast = append(p.Forecast, report.Forecast{Day: (today + scheduler.Day(i)).String(), Minutes: load.Minutes()})
	}
	return p, nil
}
