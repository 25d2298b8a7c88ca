// Package screen is practice on a terminal that can redraw: the drawn neck, the
// question, the answer by one or two keys or by pointing, the feedback, the
// summary, and the form of settings.
//
// It draws and takes keys; what is asked and what becomes of an answer is
// [surefret/cmd/surefret/practice]'s. Three rules hold on every screen. No key
// named in the footer is ever taken for an answer: commands sit on keys that no
// answer needs. The clock runs from the question on the screen to the first key
// of the answer that was committed, and an answer is not timed when the window
// changed or lost the keyboard in between. And colour never says anything that
// a sign or a word does not say too.
package screen

import (
	"context"
	"errors"
	"fmt"
	"io"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"

	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/job"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/report"
	"surefret/cmd/surefret/screen/quiet"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

func init() {
	quiet.Restore()                     // bubbletea is initialised by now, and has asked nothing
	lipgloss.SetHasDarkBackground(true) // nor may huh ask: the colours hold on either background
}

// Options are what practice on the screen works with.
type Options struct {
	Sitting    *practice.Sitting
	Now        func() time.Time        // nil is time.Now
	Sound      func([]drills.Sounding) // plays a cue; it may be slow, the screen does not wait; nil is silence
	Neck       fretboard.Fretboard
	LeftHanded bool
	Names      theory.Names
	MoveOn     time.Duration // how long an answer that was right in time stays on the screen, 0 until a key
	Grace      time.Duration // how long an answer that could go on waits for another key, 0 for the usual
	Look       ink.Look
	Ring       bool          // a string struck by a right answer rings for two frames
	Notice     func() string // asked before each question for a sentence to show under it, "" for none; may be nil

	// Map draws up the map of the neck as of now, for a glance at it; nil for none.
	Map func() report.Map

	// More begins another short sitting on what is weak, from the summary; nil where
	// none is offered. An error says that there is nothing weak to ask.
	More func() (*practice.Sitting, error)

	// Ear hears answers that are played, nil for none; Hears says what it listens to.
	Ear   Ear
	Hears string

	In  io.Reader // nil is standard input
	Out io.Writer // nil is standard output
}

// Practice runs a sitting until its time is up and the summary was read, the
// player stops, the terminal closes or ctx ends: then it returns nil, and every
// answer given is kept. It returns an error when the sitting failed, an answer
// that could not be kept, or when the terminal cannot be used.
func Practice(ctx context.Context, o Options) error {
	return run(ctx, o, tea.WithAltScreen(), tea.WithReportFocus())
}

// ErrInterrupted says that the player pressed ctrl-c before he saw the summary. The
// terminal makes no signal of that key while the screen has it.
var ErrInterrupted = errors.New("interrupted")

// run is Practice with the terminal's own ways.
func run(ctx context.Context, o Options, extra ...tea.ProgramOption) error {
	cues := startCues(o.Sound)
	defer cues.stop()
	m := newPractice(ctx, o, cues.play)
	err := show(ctx, m, o.In, o.Out, extra...)
	m.ear.end()
	switch {
	case m.err != nil:
		return m.err
	case ctx.Err() != nil || m.began && errors.Is(err, tea.ErrProgramKilled) && !errors.Is(err, tea.ErrProgramPanic):
		return nil // told to stop, or the terminal is gone: nothing is lost
	case err != nil:
		return fmt.Errorf("use the terminal: %w", err)
	case m.interrupted:
		return ErrInterrupted
	}
	return nil
}

// show runs a model on the terminal, nil for the standard input and output. ctrl-z stops
// it and ctrl-\ tells it to end, as they do elsewhere.
func show(ctx context.Context, m tea.Model, in io.Reader, out io.Writer, extra ...tea.ProgramOption) error {
	options := append([]tea.ProgramOption{tea.WithContext(ctx), tea.WithFPS(120), tea.WithoutSignalHandler()}, extra...)
	if in != nil {
		options = append(options, tea.WithInput(in))
	}
	if out != nil {
		options = append(options, tea.WithOutput(out))
	}
	var p *tea.Program
	p = tea.NewProgram(m, append(options, tea.WithFilter(func(_ tea.Model, msg tea.Msg) tea.Msg {
		switch k, _ := msg.(tea.KeyMsg); k.Type {
		case tea.KeyCtrlZ: // and not tea.Suspend, which waits for ever where no shell is
			if p.ReleaseTerminal() == nil {
				job.Begin(ctx).Suspend()
				_ = p.RestoreTerminal()
			}
			return tea.ResumeMsg{}
		case tea.KeyCtrlBackslash:
			job.Quit()
			return nil
		}
		return msg
	}))...)
	_, err := p.Run()
	return err
}

// cues plays sounds on a goroutine of its own, so that a slow device never holds
// up the screen. Of cues that pile up only the latest is played.
type cues struct {
	next chan []drills.Sounding
	done chan struct{}
}

// startCues begins to play with sound, nil for silence.
func startCues(sound func([]drills.Sounding)) *cues {
	c := &cues{make(chan []drills.Sounding, 1), make(chan struct{})}
	go func() {
		for {
			select {
			case cue := <-c.next:
				if sound != nil {
					sound(cue)
				}
			case <-c.done:
				return
			}
		}
	}()
	return c
}

// play asks for a cue in place of one that has not begun. It is called from one
// goroutine.
func (c *cues) play(cue []drills.Sounding) {
	if len(cue) == 0 {
		return
	}
	select {
	case <-c.next:
	default:
	}
	c.next <- cue
}

func (c *cues) stop() { close(c.done) }
