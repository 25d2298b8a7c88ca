package main

import (
	"context"
	"errors"
	"fmt"
	"os/signal"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/hearing/input"
	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/job"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/line"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/report"
	"surefret/cmd/surefret/screen"
	"surefret/cmd/surefret/sound"
	"surefret/synth"
	"surefret/synth/speaker"
)

func (p *program) practiceCommand() *cobra.Command {
	var o practiceOptions
	cmd := &cobra.Command{
		Use:   "practice",
		Short: "Practise for ten minutes, or as long as you say",
		Long: "Practise: one question at a time, those that need it most first. " +
			"Every answer is saved at once, so stop whenever you like.\n\n" +
			"With --listen, or where the setting says so, you answer on the guitar what can be played: notes on a string, the root of a shape, walk-ups, bars of your own parts, and tenths, intervals and frets by ear. " +
			"Octaves, intervals and shapes of two or three notes are rolled, slowly, one string after another: struck together they cannot be told apart. Of a part what was another note is told, and what came late at your own tempo. " +
			"The open strings are listened to first, until five seconds go by without one. A pluck comes before its samples do: how long is taken off as 'surefret tune --delay' " +
			"measured it, or else is 20 ms, a guess. " + untried + "\n\n" + synth.Caution,
		Example: "  surefret practice\n  surefret practice --minutes 5 --strings 6,5\n  surefret practice --line --mute",
		Args:    cli.Needs(),
		RunE:    func(cmd *cobra.Command, _ []string) error { return p.practise(cmd.Context(), o) },
	}
	o.add(cmd)
	return cmd
}

// practise runs one sitting from the first question to the summary.
func (p *program) practise(ctx context.Context, o practiceOptions) (err error) {
	if p.saving != nil {
		p.saving.Lock()
		defer p.saving.Unlock()
	}
	pl, err := p.openPlayer(ctx)
	if err != nil {
		return err
	}
	defer pl.Closing(ctx, &err)
	defer p.backUp(ctx, pl)()
	p.warn(pl)
	// Before anything is asked of the player; he may set another instrument up yet.
	sel, err := o.selection(pl)
	if err != nil {
		return err
	}
	heard, err := p.openHeard(ctx, pl, &o)
	if err != nil {
		return err
	}
	defer heard.Close()
	lines, keyboard := p.inLines(pl, o.line), p.Keyboard()
	heard.Pace(pl.Player, lines)
	if sel.Gig != nil {
		p.tell(pl.Book().SayWhich(*sel.Gig, o.Gig))
	}
	if err := p.askFirst(ctx, pl, lines, &o); err != nil {
		return err
	}
	snd := p.openSound(ctx, pl, p.device, o.mute || heard.File != nil)
	defer snd.Close(ctx)
	if o.aside {
		if err := p.bringBack(ctx, pl); err != nil {
			return err
		}
	}
	if sel, err = o.selection(pl); err != nil {
		return err
	}
	sel.Heard, sel.Played = snd.Heard(), o.hears.On() && !o.typing
	var typed *line.Input
	if lines {
		typed = p.listen(ctx, pl, keyboard)
	}
	s, err := o.begin(ctx, pl, sel, snd, typed != nil)
	if err != nil {
		return o.nothingLeft(err)
	}
	if lines {
		return p.practiseLines(ctx, pl, s, snd, typed, heard)
	}
	return p.practiseScreen(ctx, pl, s, snd, heard, o)
}

// askFirst asks what is to be known before a sitting: of a newcomer about himself, and
// how a gig went.
func (p *program) askFirst(ctx context.Context, pl *kept.Practice, lines bool, o *practiceOptions) error {
	if pl.Fresh {
		if err := p.firstRun(ctx, pl, lines, o); err != nil {
			return err
		}
	}
	return p.askAfter(ctx, pl, lines)
}

// begin begins a sitting whose questions are listened to, or read. Where it is the setting
// that has it played and nothing can be, it is typed.
func (o practiceOptions) begin(ctx context.Context, pl *kept.Practice, sel practice.Selection, snd *sound.Sound, listened bool) (*practice.Sitting, error) {
	sitting := practice.Options{Selection: sel, Rand: o.rand(pl.Now()), Length: o.length(pl), Heard: snd.Heard, Sounded: o.hears.On() && pl.Settings.Sounded, Stopped: job.Begin(ctx).Stopped, Show: true}
	if listened {
		sitting.Spoken = speller(pl.Setup()).Text
	}
	s, err := pl.Begin(sitting)
	if errors.Is(err, practice.ErrUnplayable) && o.hears.Set {
		sitting.Selection.Played = false
		return pl.Begin(sitting)
	}
	return s, err
}

// openSound returns the sound of a sitting on a device, nil for the machine's own.
func (p *program) openSound(ctx context.Context, pl *kept.Practice, on speaker.Device, mute bool) *sound.Sound {
	if mute || !pl.Settings.Sound {
		return &sound.Sound{}
	}
	return sound.Open(on, pl.Settings, func() string { return pl.Caution(ctx, synth.Caution) })
}

// bringBack asks again what was set aside, and says how much that is.
func (p *program) bringBack(ctx context.Context, pl *kept.Practice) error {
	n, err := pl.BringAllBack(ctx)
	if err != nil {
		return err
	}
	if n == 0 {
		fmt.Fprintln(p.Err, "Nothing was set aside.")
	} else {
		fmt.Fprintf(p.Err, "Asked again: %s that you set aside.\n", report.Many(n, "item"))
	}
	return nil
}

// practiseLines runs a sitting in plain sentences; typed is nil where answers come by
// a pipe.
func (p *program) practiseLines(ctx context.Context, pl *kept.Practice, s *practice.Sitting, snd *sound.Sound, typed *line.Input, heard input.Source) error {
	signal.Ignore(syscall.SIGPIPE) // whoever listened is gone, and answers may still wait to be saved
	in := p.In
	if typed != nil {
		in = typed
	}
	ear, told, err := p.sittingEar(ctx, pl, s, heard, snd)
	if err != nil {
		return err
	}
	if told != "" {
		fmt.Fprintln(p.Err, told)
	}
	neck := func() string { return pl.Map(nil, [2]int{}).Text(p.Columns(), ink.Look{ASCII: p.ASCII()}) }
	var words func(string) string
	if typed != nil || pl.Settings.Speak {
		words = speller(pl.Setup()).Text
		neck = func() string { return strings.Join(pl.Map(nil, [2]int{}).Sentences(), "\n") }
	}
	runner := line.Runner{
		Words: words, Map: neck,
		Live: heard.Live != nil, Waits: typed != nil, In: in, Out: p.Out, Err: p.Err, Now: pl.Now, Sound: snd.Play, Notice: notices(pl, snd),
	}
	if ear != nil {
		runner.Ear = ear
	}
	err = runner.Run(ctx, s)
	if errors.Is(err, line.ErrInterrupted) {
		err = screen.ErrInterrupted
	}
	if kerr := pl.KeepTyping(context.WithoutCancel(ctx), s.Typing()); err == nil {
		err = kerr
	}
	if typed != nil && err == nil && ctx.Err() == nil && s.Answered() > 0 && pl.Typing().Line == 0 && pl.Settings.Times {
		err = p.measure(ctx, pl, typed)
	}
	return err
}

// practiseScreen runs a sitting on the full screen, and those on what is weak that the
// player asks for after it.
func (p *program) practiseScreen(ctx context.Context, pl *kept.Practice, s *practice.Sitting, snd *sound.Sound, heard input.Source, o practiceOptions) error {
	ear, told, err := p.sittingEar(ctx, pl, s, heard, snd)
	if err != nil {
		return err
	}
	unmeasured := pl.Typing().Letters == 0 // whatever the answers tell of his hand meanwhile
	more := func() (*practice.Sitting, error) {
		if err := pl.KeepTyping(ctx, s.Typing()); err != nil {
			return nil, err
		}
		weak := practice.Options{Selection: practice.Selection{Weak: true, Heard: snd.Heard(), Played: ear != nil && !o.typing}, Rand: o.rand(pl.Now()), Length: 2 * time.Minute, Heard: snd.Heard, Sounded: ear != nil && pl.Settings.Sounded, Stopped: job.Begin(ctx).Stopped, Show: true}
		next, err := pl.Begin(weak)
		if err == nil {
			s = next
		}
		return next, err
	}
	shown := p.screenOptions(pl, pl.Setup(), s, snd)
	shown.More = more
	if ear != nil {
		shown.Ear, shown.Hears = ear, heard.Said()
	}
	usual := shown.Notice
	shown.Notice = func() string {
		if said := told; said != "" {
			told = ""
			return said
		}
		return usual()
	}
	err = screen.Practice(ctx, shown)
	if ctx.Err() != nil || errors.Is(err, screen.ErrInterrupted) {
		for _, l := range s.Summary(ctx, pl.Now()).Lines() {
			p.PrintFolded(l)
		}
	}
	if kerr := pl.KeepTyping(context.WithoutCancel(ctx), s.Typing()); err == nil {
		err = kerr
	}
	if err == nil && ctx.Err() == nil && s.Answered() > 0 && unmeasured && ear == nil {
		err = p.calibrate(ctx, pl)
	}
	return err
}

// backUp makes the backup of the day beside a sitting, and waits for it in the end: one
// that fails does not stop anyone from practising.
func (p *program) backUp(ctx context.Context, pl *kept.Practice) (wait func()) {
	made := pl.BackUp(ctx)
	return func() {
		if err := made(); err != nil && ctx.Err() == nil {
			fmt.Fprintf(p.Err, "surefret: today's backup was not made: %s\n", cli.OneLine(err.Error()))
		}
	}
}

// warn tells of a setting that cannot be used, and of a clock that is behind.
func (p *program) warn(pl *kept.Practice) {
	if pl.Complaint != nil {
		fmt.Fprintf(p.Err, "surefret: %s\n", pl.Complaint)
	}
	if newest := pl.Newest(); newest.After(pl.Now().Add(time.Hour)) {
		fmt.Fprintf(p.Err, "surefret: your last answer is dated %s, later than this computer's clock: check the date; answers are saved anyway\n",
			newest.Local().Format("2006-01-02 15:04"))
	}
}

// notices returns what to say before a question: that answers are held, or what the
// sound has to say.
func notices(pl *kept.Practice, s *sound.Sound) func() string {
	return func() string {
		if text := pl.Notice(); text != "" {
			return text
		}
		return s.Notice()
	}
}
