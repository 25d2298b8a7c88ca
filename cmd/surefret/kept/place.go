// Package kept opens a player's practice in its file, to write or to read, and finds and
// keeps his songs, gigs and shapes there. It joins practice and store, which do not know
// each other; what it found goes to Tell, and nothing is printed here.
package kept

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"time"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/gig"
	"surefret/store"
)

// A Place is where a practice is, or is to be.
type Place struct {
	Path  string
	Named bool // by the player, rather than by the custom of the platform
	Now   func() time.Time
	Tell  func(string) // takes a sentence on what was found when the practice was opened
}

// OpenLog opens the log to write to it, and makes it where there is none.
func (p Place) OpenLog(ctx context.Context) (db *store.DB, made bool, err error) {
	_, missing := os.Stat(p.Path)
	if db, err = store.Open(ctx, p.Path); err != nil {
		return nil, false, err
	}
	p.notice(db)
	db.Now = p.Now
	if err := db.StoreSongs(ctx); err != nil {
		db.Close()
		return nil, false, err
	}
	return db, errors.Is(missing, fs.ErrNotExist), nil
}

// Open opens the practice and brings the planner up to date with the log. It makes one
// where there is none, and reports that.
func (p Place) Open(ctx context.Context) (pl *Practice, made bool, err error) {
	db, made, err := p.OpenLog(ctx)
	if err != nil {
		return nil, false, err
	}
	player, err := practice.Open(ctx, log{db}, p.Now)
	if err != nil {
		db.Close()
		return nil, false, err
	}
	return &Practice{player, db}, made, nil
}

// notice tells what was found of a practice when it was opened.
func (p Place) notice(db *store.DB) {
	if db.Notice != "" {
		p.Tell("surefret: " + db.Notice)
	}
}

// ReadLog opens the log for reading alone; it makes nothing. Where there is none, and
// none was named, it returns nil: a first look is no mistake.
func (p Place) ReadLog(ctx context.Context) (*store.DB, error) {
	db, err := store.OpenReadOnly(ctx, p.Path)
	switch {
	case err == nil:
		p.notice(db)
		db.Now = p.Now
		return db, nil
	case !errors.Is(err, fs.ErrNotExist): // nor a name that can be none
		return nil, err
	case p.Named:
		return nil, p.Missing()
	}
	return nil, nil
}

// Read opens the practice for reading alone. Where there is none, its player has answered
// nothing yet, and it has no file.
func (p Place) Read(ctx context.Context) (*Practice, error) {
	db, err := p.ReadLog(ctx)
	if err != nil {
		return nil, err
	}
	var of practice.Log
	if db != nil {
		of = log{db}
	}
	pl, err := practice.Open(ctx, of, p.Now)
	if err != nil {
		if db != nil {
			db.Close()
		}
		return nil, err
	}
	return &Practice{pl, db}, nil
}

// Exists reports whether there is a file.
func (p Place) Exists() bool {
	_, err := os.Stat(p.Path)
	return !errors.Is(err, fs.ErrNotExist)
}

// Missing says that there is no practice to read.
func (p Place) Missing() error {
	if p.Named {
		return cli.Usagef("there is no practice in %s: check the name; 'surefret practice' with it makes one", cli.Shown(p.Path))
	}
	return cli.Usagef("there is no practice yet: 'surefret' begins it")
}

// glance reads the log where there is one that can be read, and says nothing else.
func (p Place) glance(ctx context.Context, do func(*store.DB)) {
	if db, err := store.OpenReadOnly(ctx, p.Path); err == nil {
		defer db.Close()
		do(db)
	}
}

// Gigs lists the player's gigs; none where there is no practice yet, or it cannot be
// read: a shell that completes has no place for a message.
func (p Place) Gigs(ctx context.Context) (gigs []gig.Gig) {
	p.glance(ctx, func(db *store.DB) { gigs, _ = db.Gigs(ctx) })
	return gigs
}

// Songs lists the player's songs, as Gigs does.
func (p Place) Songs(ctx context.Context) (songs []gig.Song) {
	p.glance(ctx, func(db *store.DB) { songs, _ = db.Songs(ctx) })
	return songs
}

// Quietly returns the settings of the player, the defaults where they cannot be read:
// whoever needs them otherwise says why.
func (p Place) Quietly(ctx context.Context) settings.Settings {
	s := settings.Default()
	p.glance(ctx, func(db *store.DB) {
		if kept, err := db.Kept(ctx); err == nil {
			s, _ = settings.FromMap(kept.Settings)
		}
	})
	return s
}

// Setup returns the player's settings and instrument; the defaults where there is no
// practice yet, or none that can be read, which is told: what asks for them needs no
// answers.
func (p Place) Setup(ctx context.Context) (settings.Settings, drills.Setup, error) {
	s := settings.Default()
	kept, err := p.kept(ctx)
	switch {
	case err == nil:
		if s, err = settings.FromMap(kept.Settings); err != nil {
			p.Tell("surefret: " + err.Error())
		}
	case !errors.Is(err, fs.ErrNotExist):
		p.Tell("surefret: the default settings are taken, since yours cannot be read: " + cli.OneLine(err.Error()))
	}
	setup, err := s.Setup()
	setup.Neck.Own = fretboard.OwnRecipes(kept.Shapes)
	return s, setup, err
}

func (p Place) kept(ctx context.Context) (store.Kept, error) {
	db, err := store.OpenReadOnly(ctx, p.Path)
	if err != nil {
		return store.Kept{}, err
	}
	defer db.Close()
	p.notice(db)
	return db.Kept(ctx)
}

// Guard refuses the name of a file that must not be written over: the practice, its
// journals and its backups.
func (p Place) Guard(name string) error { return Mendable(store.Guard(p.Path, name)) }

// Caution returns a text where its player was not cautioned yet, and keeps that he is now;
// it returns "" else. Where that cannot be kept it is said again.
func (p Place) Caution(ctx context.Context, text string) string {
	if !p.Exists() {
		return text
	}
	db, err := store.Open(ctx, p.Path)
	if err != nil {
		return text
	}
	defer db.Close()
	p.notice(db)
	return caution(ctx, db, text)
}

func caution(ctx context.Context, db *store.DB, text string) string {
	if kept, err := db.Kept(ctx); err == nil && kept.Cautioned {
		return ""
	}
	_ = db.KeepCautioned(ctx)
	return text
}

// Mendable makes a fault of a file that was named on the command line the player's
// to mend.
func Mendable(err error) error {
	for _, kind := range []error{store.ErrInput, store.ErrMissing, store.ErrExists, store.ErrForeign, store.ErrNewer, store.ErrOlder} {
		if errors.Is(err, kind) {
			return cli.BadInput{Err: err}
		}
	}
	return err
}
