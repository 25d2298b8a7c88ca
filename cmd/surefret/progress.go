package main

import (
	"context"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/kept"
	"surefret/drills/gig"
)

func (p *program) progressCommand() *cobra.Command {
	var since, page string
	cmd := &cobra.Command{
		Use:     "progress",
		Short:   "Show what became sure, where the minutes went and what comes next",
		Example: "  surefret progress\n  surefret progress --since 2026-10-01\n  surefret progress --html progress.html",
		Args:    cli.Needs(),
		RunE: func(cmd *cobra.Command, args []string) error {
			if since != "" {
				if _, err := gig.ParseDay(since); err != nil {
					return usagef("--since: %w", err)
				}
			}
			return p.look(func(ctx context.Context, pl *kept.Practice, _ []string) error {
				progress, err := pl.Progress(ctx, since)
				if err != nil {
					return err
				}
				if page != "" {
					return p.write(page, func(w io.Writer) error { return progress.HTML(w, p.banner) })
				}
				return p.Show(progress, progress.Sentences, func() error {
					fmt.Fprint(p.Out, progress.Text(p.Columns(), p.Paper(pl.Settings.Drawing)))
					p.offerWeak(pl)
					return nil
				})
			})(cmd, args)
		},
	}
	cmd.Flags().StringVar(&since, "since", "", "only from this day on, like 2026-10-01")
	cmd.Flags().StringVar(&page, "html", "", "write one page with charts")
	addJSON(cmd, "print the figures as JSON")
	return cmd
}
