package practice

import (
	"context"
	"errors"
	"iter"
	"time"

	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/gig"
	"surefret/drills/rehearse"
)

// A Log is where a player's practice is kept. *store.DB has its methods, but for Kept,
// which the command adapts. It is called from one goroutine at a time.
type Log interface {
	Answers
	Memory
	Keeper
}

// Answers is the append-only log of answers. A cursor is a place in the order in
// which rows arrived, 0 before the first.
type Answers interface {
	// NewID returns a fresh id for a row made at an instant. Device is the id of
	// this computer.
	NewID(time.Time) string
	Device() string

	// AppendAt returns when the row is durable, with its cursor, 0 where it was
	// there already. An error with a method Locked that returns true says that
	// another program keeps the log busy: the row may be tried again.
	AppendAt(context.Context, drills.Answer) (cursor int64, err error)

	// Tail returns the rows after a cursor in the order in which they arrived, and
	// the cursor of the last.
	Tail(ctx context.Context, after int64) (rows []drills.Answer, end int64, err error)

	// Newest returns the last row by time and reports whether there is one.
	Newest(context.Context) (drills.Answer, bool, error)

	// SaveBeside writes rows that cannot be saved to a new file beside the log.
	SaveBeside(now time.Time, rows []drills.Answer) (file string, err error)
}

// Memory keeps what was learned from the log, as a cache.
type Memory interface {
	// Replay reads the log as it is at one moment. It calls resume once, with the
	// state that was saved for version and the cursor up to which it covers the
	// log, or with nil where none can be used; then read, once, with the rows that
	// count in order of time: those after that cursor if resume returned true, else
	// all. It returns the cursor of the last row of the log.
	Replay(ctx context.Context, version string, resume func(upto int64, state []byte) bool,
		read func(iter.Seq2[drills.Answer, error]) error) (end int64, err error)

	// SaveSnapshot keeps the state that replaying the log up to a cursor gives.
	SaveSnapshot(ctx context.Context, version string, upto int64, state []byte) error
}

// Keeper keeps what there is of a player besides answers.
type Keeper interface {
	Gigs(context.Context) ([]gig.Gig, error)
	Songs(context.Context) ([]gig.Song, error) // of the repertoire
	Kept(context.Context) (Kept, error)
	SaveSettings(ctx context.Context, settings map[string]string) error // those that changed, all of them or none
	SetAside(ctx context.Context, aside bool, items ...string) error    // or brings them back
	Place(ctx context.Context, day int, items ...string) error          // proven on a practice day
	KeepTyping(ctx context.Context, typing any) error
	KeepChoice(ctx context.Context, choice drills.Choice) error
	KeepExplained(ctx context.Context, terms ...string) error // names of terms that the player was told
	KeepRun(context.Context, rehearse.Past) error
	Runs(context.Context) ([]rehearse.Past, error) // in order of time
}

// Kept is what a Keeper keeps of a player besides his gigs.
type Kept struct {
	Settings  map[string]string // JSON texts by name
	Aside     map[string]bool   // items that were set aside
	Placed    map[string]int    // items proven without being asked, by the practice day of it
	Typing    Typing
	Choice    drills.Choice // what the player chose to practise
	Shapes    []fretboard.OwnShape
	Explained map[string]bool // terms that the player was told, by name
}

// locked reports whether another program keeps the log busy.
func locked(err error) bool {
	var busy interface{ Locked() bool }
	return errors.As(err, &busy) && busy.Locked()
}

// errNoLog is returned where something would have to be kept and nothing can be.
var errNoLog = errors.New("there is no practice to keep this in")

// nothing is the log of a player without one: it holds nothing and keeps nothing.
type nothing struct{}

var _ Log = nothing{}

func (nothing) NewID(time.Time) string                                      { return "" }
func (nothing) Device() string                                              { return "" }
func (nothing) AppendAt(context.Context, drills.Answer) (int64, error)      { return 0, errNoLog }
func (nothing) Tail(context.Context, int64) ([]drills.Answer, int64, error) { return nil, 0, nil }
func (nothing) Newest(context.Context) (drills.Answer, bool, error) {
	return drills.Answer{}, false, nil
}
func (nothing) SaveBeside(time.Time, []drills.Answer) (string, error) { return "", errNoLog }
func (nothing) Replay(_ context.Context, _ string, resume func(int64, []byte) bool, read func(iter.Seq2[drills.Answer, error]) error) (int64, error) {
	resume(0, nil)
	return 0, read(func(func(drills.Answer, error) bool) {})
}
func (nothing) SaveSnapshot(context.Context, string, int64, []byte) error { return errNoLog }
func (nothing) Gigs(context.Context) ([]gig.Gig, error)                   { return nil, nil }
func (nothing) Songs(context.Context) ([]gig.Song, error)                 { return nil, nil }
func (nothing) Kept(context.Context) (Kept, error)                        { return Kept{}, nil }
func (nothing) SaveSettings(context.Context, map[string]string) error     { return errNoLog }
func (nothing) SetAside(context.Context, bool, ...string) error           { return errNoLog }
func (nothing) Place(context.Context, int, ...string) error               { return errNoLog }
func (nothing) KeepTyping(context.Context, any) error                     { return errNoLog }
func (nothing) KeepChoice(context.Context, drills.Choice) error           { return errNoLog }
func (nothing) KeepExplained(context.Context, ...string) error            { return errNoLog }
func (nothing) KeepRun(context.Context, rehearse.Past) error              { return errNoLog }
func (nothing) Runs(context.Context) ([]rehearse.Past, error)             { return nil, nil }
