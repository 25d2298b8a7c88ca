package kept

import (
	"context"
	"slices"

	"surefret/cmd/surefret/practice"
	"surefret/drills/fretboard"
	"surefret/store"
)

// A Practice is a player's practice that was opened, with the file that it is in.
type Practice struct {
	*practice.Player
	DB *store.DB // nil where there is none yet
}

// A log is a store as practice knows it.
type log struct{ *store.DB }

// Kept returns what is kept. Typing times that cannot be read are measured anew.
func (l log) Kept(ctx context.Context) (practice.Kept, error) {
	k, err := l.DB.Kept(ctx)
	kept := practice.Kept{Settings: k.Settings, Aside: k.Aside, Placed: k.Placed, Choice: k.Choice, Shapes: k.Shapes, Explained: k.Explained}
	k.Typing(&kept.Typing)
	return kept, err
}

// Close keeps what was learned for the next start and closes the practice.
func (pl *Practice) Close(ctx context.Context) error {
	err := pl.Player.Close(ctx)
	if cerr := pl.DB.Close(); err == nil {
		err = cerr
	}
	return err
}

// Closing closes the practice at the end of a command and reports a failure to do
// so unless there is a worse one.
func (pl *Practice) Closing(ctx context.Context, err *error) {
	if cerr := pl.Close(ctx); *err == nil {
		*err = cerr
	}
}

// BackUp makes the backup of the day beside a practice that goes on meanwhile. The
// function it returns waits for it, and returns what went wrong.
func (pl *Practice) BackUp(ctx context.Context) (wait func() error) {
	done := make(chan error, 1)
	go func() {
		var err error
		if _, some, e := pl.DB.Newest(ctx); some || e != nil {
			_, err = pl.DB.DailyBackup(ctx, pl.Now())
		}
		done <- err
	}()
	return func() error { return <-done }
}

// Caution is [Place.Caution] for a practice that is open.
func (pl *Practice) Caution(ctx context.Context, text string) string {
	return caution(ctx, pl.DB, text)
}

// OwnShape finds one of the player's own shapes.
func (pl *Practice) OwnShape(ctx context.Context, name string) (fretboard.OwnShape, bool, error) {
	kept, err := pl.DB.Kept(ctx)
	if err != nil {
		return fretboard.OwnShape{}, false, err
	}
	i := slices.IndexFunc(kept.Shapes, func(o fretboard.OwnShape) bool { return o.Name == name })
	if i < 0 {
		return fretboard.OwnShape{}, false, nil
	}
	return kept.Shapes[i], true, nil
}

// Replays reports whether the memory that is kept beside a log is what replaying the log
// gives.
func Replays(ctx context.Context, db *store.DB) (bool, error) {
	pl, err := practice.Open(ctx, log{db}, db.Now)
	if err != nil {
		return false, err
	}
	return pl.Replays(ctx)
}
