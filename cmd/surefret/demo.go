package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/demo"
	"surefret/cmd/surefret/settings"
	"surefret/scheduler"
	"surefret/store"
)

func (p *program) demoCommand() *cobra.Command {
	var who string
	cmd := &cobra.Command{
		Use:   "demo [COMMAND...]",
		Short: "Try everything on invented data, without touching your own",
		Long: "Fills a throw-away file with half a year of practice of two invented guitarists\n" +
			"of the Saltmarsh Five, and runs a command on it; without a command, practice.",
		Example: "  surefret demo\n  surefret demo neck\n  surefret demo gig show \"Harbour Fair\"\n  surefret demo --player Odile progress",
		Args:    cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			ctx := cmd.Context()
			path, d, err := p.demoFile(ctx, who)
			if err != nil {
				return err
			}
			fmt.Fprintf(p.Err, "%s This is %s's.\n", demo.Banner, d.Name)
			if len(args) > 0 && args[0] == "demo" {
				return usagef("this is the demo: name another command, like 'surefret demo neck'")
			}
			inner := *p
			inner.banner = demo.Banner
			return inner.execute(ctx, append([]string{"--db", path}, args...))
		},
	}
	cmd.Flags().SetInterspersed(false)
	cmd.Flags().StringVar(&who, "player", demo.Players[0].Name, "whose practice: Wren or Odile")
	return cmd
}

// demoFile returns the player's invented practice as of today, made where it is not
// there yet.
func (p *program) demoFile(ctx context.Context, who string) (name string, d demo.Player, err error) {
	i := slices.IndexFunc(demo.Players, func(d demo.Player) bool { return strings.EqualFold(d.Name, who) })
	if i < 0 {
		return "", d, usagef("--player %q: the Saltmarsh Five have two guitarists, Wren and Odile", who)
	}
	now, err := p.clock()
	if err != nil {
		return "", d, err
	}
	d = demo.Players[i]
	name, err = d.File(ctx, os.TempDir(), scheduler.DayOf(now(), time.Local), settings.Default().ToMap(),
		func(path string) (demo.Practice, error) { return store.Open(ctx, path) })
	if errors.Is(err, demo.ErrNotYours) {
		err = cli.BadInput{Err: err}
	}
	return name, d, err
}
