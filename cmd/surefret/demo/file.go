package demo

import (
	"context"
	"errors"
	"fmt"
	"iter"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"time"

	"surefret/drills"
	"surefret/drills/gig"
	"surefret/scheduler"
)

// ErrNotYours says that somebody else made the folder of the demo.
var ErrNotYours = errors.New("not a folder of yours alone: remove it, then run this again")

// A Practice is a new file of practice, which takes the invented data.
type Practice interface {
	NewID(time.Time) string
	SaveSettings(context.Context, map[string]string) error
	PutGig(context.Context, gig.Gig) error
	StoreSongs(context.Context) error // those of gigs become songs of the player's
	AppendAll(context.Context, iter.Seq[drills.Answer]) error
	Close() error
}

// File returns the name of the player's invented practice as of today in a folder for
// what is thrown away. It is made with settings where it is not there yet.
func (d Player) File(ctx context.Context, temp string, today scheduler.Day, settings map[string]string, open func(path string) (Practice, error)) (string, error) {
	dir := filepath.Join(temp, fmt.Sprintf("surefret-demo-%d-%s", os.Getuid(), today))
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", fmt.Errorf("make room for the demo: %w", err)
	}
	// The folder for what is thrown away belongs to everyone: one that another
	// user put there under this name, or a link, is not trusted.
	if info, err := os.Lstat(dir); err != nil || !info.IsDir() || runtime.GOOS != "windows" && info.Mode().Perm() != 0o700 {
		return "", fmt.Errorf("%s is %w", dir, ErrNotYours)
	}
	path := filepath.Join(dir, strings.ToLower(d.Name)+".db")
	if _, err := os.Stat(path); err == nil {
		return path, nil
	}
	making := path + ".making"
	os.Remove(making)
	into, err := open(making)
	if err != nil {
		return "", err
	}
	if err := errors.Join(d.fill(ctx, into, today, settings), into.Close()); err != nil {
		return "", err
	}
	if err := os.Rename(making, path); err != nil {
		return "", fmt.Errorf("keep the demo: %w", err)
	}
	return path, nil
}

// fill writes settings, gigs and the practice of every day before today.
func (d Player) fill(ctx context.Context, into Practice, today scheduler.Day, settings map[string]string) error {
	if err := into.SaveSettings(ctx, settings); err != nil {
		return err
	}
	for _, g := range Gigs(today) {
		g.ID = into.NewID(today.Start(time.Local))
		if err := into.PutGig(ctx, g); err != nil {
			return err
		}
	}
	if err := into.StoreSongs(ctx); err != nil {
		return err
	}
	answers, err := d.Answers(today, time.Local, into.NewID)
	if err != nil {
		return err
	}
	return into.AppendAll(ctx, slices.Values(answers))
}
