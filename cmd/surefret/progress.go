package main

import (
	"context"
	"fmt"
	"io"
	"time"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/report"
	"surefret/drills/gig"
	"surefret/scheduler"
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
		Args:    needs(),
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
					return writeFile(page, func(w io.Writer) error { return progress.HTML(w, "") })
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

// progress reads the whole log and sums it up from a day on.
func (pl *player) progress(ctx context.Context, since string) (report.Progress, error) {
	fresh, err := pl.newPlanner()
	if err != nil {
		return report.Progress{}, err
	}
	tally := report.NewTally(pl.catalogue, fresh, since)
	if err := tally.Read(pl.db.Effective(ctx, 0)); err != nil {
		return report.Progress{}, err
	}
	now := pl.now()
	today := scheduler.DayOf(now, time.Local)
	p := tally.Progress(now, today.String())
	for _, g := range pl.coming() {
		if r := pl.readiness(g); r != nil {
			p.Gigs = append(p.Gigs, report.Ready{Name: g.Name, Day: g.Day, Share: r.Share, Low: r.Low, High: r.High})
		}
	}
	for i, load := range pl.planner.Forecast(now, forecastDays) {
		p.Forecast = append(p.Forecast, report.Forecast{Day: (today + scheduler.Day(i)).String(), Minutes: load.Minutes()})
	}
	return p, nil
}
