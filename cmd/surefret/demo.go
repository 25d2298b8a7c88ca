package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

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
			d, err := findDemoPlayer(who)
			if err != nil {
				return err
			}
			path, err := p.demoFile(ctx, d)
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

func findDemoPlayer(name string) (demo.Player, error) {
	for _, d := range demo.Players {
		if strings.EqualFold(d.Name, name) {
			return d, nil
		}
	}
	return demo.Player{}, usagef("--player %q: the Saltmarsh Five have two guitarists, Wren and Odile", name)
}

// demoFile returns the player's invented practice as of today, made where it is
// not there yet.
func (p *program) demoFile(ctx context.Context, d demo.Player) (string, error) {
	now, err := p.clock()
	if err != nil {
		return "", err
	}
	today := scheduler.DayOf(now(), time.Local)
	dir := filepath.Join(os.TempDir(), fmt.Sprintf("surefret-demo-%d-%s", os.Getuid(), today))
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", fmt.Errorf("make room for the demo: %w", err)
	}
	// The folder for what is thrown away belongs to everyone: one that another
	// user put there under this name, or a link, is not trusted.
	if info, err := os.Lstat(dir); err != nil || !info.IsDir() || runtime.GOOS != "windows" && info.Mode().Perm() != 0o700 {
		return "", usagef("%s is not a folder of yours alone: remove it, then run this again", dir)
	}
	path := filepath.Join(dir, strings.ToLower(d.Name)+".db")
	if _, err := os.Stat(path); err == nil {
		return path, nil
	}
	making := path + ".making"
	os.Remove(making)
	db, err := store.Open(ctx, making)
	if err != nil {
		return "", err
	}
	if err := fillDemo(ctx, db, d, today); err != nil {
		db.Close()
		return "", err
	}
	if err := db.Close(); err != nil {
		return "", err
	}
	if err := os.Rename(making, path); err != nil {
		return "", fmt.Errorf("keep the demo: %w", err)
	}
	return path, nil
}

// fillDemo writes settings, gigs and the practice of every day before today.
func fillDemo(ctx context.Context, db *store.DB, d demo.Player, today scheduler.Day) error {
	if err := db.SaveSettings(ctx, settings.Default().ToMap()); err != nil {
		return err
	}
	for _, g := range demo.Gigs(today) {
		g.ID = db.NewID(today.Start(time.Local))
		if err := db.PutGig(ctx, g); err != nil {
			return err
		}
	}
	answers, err := d.Answers(today, time.Local, db.NewID)
	if err != nil {
		return err
	}
	return db.AppendAll(ctx, slices.Values(answers))
}
