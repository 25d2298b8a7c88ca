package main

import (
	"context"
	"errors"
	"io"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/line"
	"surefret/cmd/surefret/screen"
	"surefret/cmd/surefret/settings"
)

func (p *program) setupCommand() *cobra.Command {
	var lines bool
	cmd := &cobra.Command{
		Use:     "setup",
		Short:   "Set the instrument, the hand, note names, the aim and the sound",
		Example: "  surefret setup\n  surefret setup --line",
		Args:    cli.Needs(),
		RunE: func(cmd *cobra.Command, _ []string) (err error) {
			ctx := cmd.Context()
			pl, err := p.openPlayer(ctx)
			if err != nil {
				return err
			}
			defer pl.closing(ctx, &err)
			return p.setUp(ctx, pl, lines || !p.fullScreen())
		},
	}
	cmd.Flags().BoolVar(&lines, "line", false, "plain questions instead of the form")
	return cmd
}

// setUp asks for the settings and saves them. A player who leaves the form
// keeps what was set before; in lines what was answered is kept, however they end.
func (p *program) setUp(ctx context.Context, pl *player, lines bool) error {
	chosen := pl.Settings
	ask := p.asker(pl, lines, "'surefret setup --line' asks in plain lines.")
	answered, err := ask(ctx, settings.Form(&chosen))
	switch {
	case !answered && !lines && (err == nil || errors.Is(err, io.EOF)):
		return screen.ErrLeft
	case err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, line.ErrNoAnswer):
		return err
	}
	if saved := pl.Save(ctx, chosen); saved != nil {
		return saved
	}
	if errors.Is(err, line.ErrNoAnswer) {
		return err
	}
	return nil
}
