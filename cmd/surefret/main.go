// Surefret is a practice trainer for guitarists who hold their parts as movable
// shapes: ten minutes a day, until the hand knows every fret in every key.
//
// This package is the wiring. Each command has a file of its own; what a sitting
// is lives in [surefret/cmd/surefret/practice], how it looks in screen and line.
package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"sync"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/console"
	"surefret/cmd/surefret/line"
	"surefret/cmd/surefret/screen"
	"surefret/store"
	"surefret/synth"
	"surefret/synth/microphone"
	"surefret/synth/speaker"
)

func main() {
	p := &program{Console: console.Console{In: os.Stdin, Out: os.Stdout, Err: os.Stderr, Getenv: os.Getenv}, saving: new(sync.Mutex)}
	os.Exit(p.run(p.untilToldToEnd(context.Background()), os.Args[1:]))
}

// Exit codes, as the help and the man pages promise them to scripts; a program that
// a signal ended exits with 128 and its number.
const (
	exitDone     = 0
	exitFailed   = 1
	exitUsage    = 2
	exitSignaled = 128
)

// An ending is a signal that told the program to end. It is the cause of the
// context that every command gets.
type ending struct{ signal syscall.Signal }

func (e ending) Error() string { return e.signal.String() }

// untilToldToEnd returns a context that ends with the first signal that would have
// killed the program. A second one kills it, but not while a sitting is still saving
// what was answered, which takes seconds at the most.
func (p *program) untilToldToEnd(ctx context.Context) context.Context {
	signals := make(chan os.Signal, 2)
	signal.Notify(signals, os.Interrupt, syscall.SIGTERM, syscall.SIGHUP, syscall.SIGQUIT)
	ctx, cancel := context.WithCancelCause(ctx)
	go func() {
		told, _ := (<-signals).(syscall.Signal)
		cancel(ending{told})
		<-signals
		p.saving.Lock()
		os.Exit(exitSignaled + int(told))
	}()
	return ctx
}

// A program is one run of surefret with everything it touches outside itself.
type program struct {
	console.Console
	device speaker.Device    // where sound goes; nil is the machine's own
	system microphone.System // where it comes from; nil is the machine's own

	database string // --db
	banner   string // stands on every page, "" for none

	inFull bool // forms are asked in words

	saving *sync.Mutex // held while a sitting has answers to save
}

// usagef returns an error that ends the program with exit code 2.
func usagef(format string, args ...any) error { return cli.Usagef(format, args...) }

// run executes one command line and returns the exit code. Whatever goes wrong
// is told in one sentence on standard error.
func (p *program) run(ctx context.Context, args []string) int {
	printed := &cli.Output{To: p.Out}
	p.Out = printed
	p.Err = cli.Messages{Writer: console.Folded(p.Err)}
	err := printed.Told(p.execute(ctx, args))
	var told ending
	ended := errors.As(context.Cause(ctx), &told)
	if errors.Is(err, screen.ErrInterrupted) {
		ended, told = true, ending{syscall.SIGINT}
	} else if err != nil && !(ended && errors.Is(err, context.Canceled)) {
		fmt.Fprintf(p.Err, "surefret: %s\n", cli.OneLine(err.Error()))
	}
	switch {
	case ended:
		return exitSignaled + int(told.signal)
	case err == nil, errors.Is(err, screen.ErrLeft):
		return exitDone
	case errors.As(err, new(cli.BadInput)), errors.Is(err, line.ErrNoAnswer), errors.Is(err, store.ErrForeign):
		return exitUsage
	}
	return exitFailed
}

// execute runs one command line.
func (p *program) execute(ctx context.Context, args []string) error {
	root := p.root()
	root.SetArgs(args)
	return root.ExecuteContext(ctx)
}

// root builds the command tree.
func (p *program) root() *cobra.Command {
	var today practiceOptions
	var version, asJSON bool
	cmd := &cobra.Command{
		Use:   "surefret",
		Short: "Know the whole neck: ten minutes a day for guitarists who play movable shapes",
		Long: "Asks where notes, intervals, shapes, walk-ups and keys lie on the neck, and goes\n" +
			"by how long you think: what is slow comes back soon. Without a command it starts\n" +
			"today's practice.\n\n" + synth.Caution,
		Example:       "  surefret\n  surefret --minutes 5 --mute\n  surefret practice --strings 6,5\n  surefret key Bb\n  surefret --version",
		SilenceErrors: true,
		SilenceUsage:  true,
		RunE: func(cmd *cobra.Command, _ []string) error {
			switch {
			case version:
				return p.printVersion(asJSON)
			case asJSON:
				return usagef("--json goes with --version here: practice prints no JSON")
			}
			return p.practise(cmd.Context(), today)
		},
	}
	cmd.SetIn(p.In)
	cmd.SetOut(p.Out)
	cmd.SetErr(p.Err)
	cmd.PersistentFlags().StringVar(&p.database, "db", "", "the file that holds your practice (default: where 'surefret data where' says)")
	today.add(cmd)
	cmd.Flags().BoolVar(&version, "version", false, "print the version and exit")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the version as JSON")
	cmd.AddCommand(p.practiceCommand(), p.setupCommand(), p.playCommand(), p.listenCommand(), p.tuneCommand(), p.gigCommand(), p.chooseCommand(), p.pupilsCommand(), p.neckCommand(), p.progressCommand(), p.keyCommand(),
		p.shapeCommand(), p.partCommand(), p.songCommand(), p.rehearseCommand(), p.dataCommand(), p.demoCommand(), p.manCommand(), p.completionCommand())
	p.speakAll(cmd)
	cli.Finish(cmd, p.offer)
	return cmd
}

// clock returns the instant. SUREFRET_CLOCK, an instant as in RFC 3339, stops the
// clock there: scripts use it to make a session come out the same each time.
func (p *program) clock() (func() time.Time, error) {
	fixed := p.Getenv("SUREFRET_CLOCK")
	if fixed == "" {
		return time.Now, nil
	}
	at, err := time.Parse(time.RFC3339, fixed)
	if err != nil {
		return nil, usagef("SUREFRET_CLOCK is %q: use an instant like 2026-11-25T18:00:00Z", fixed)
	}
	return func() time.Time { return at }, nil
}
