package screen

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/practice"
	"surefret/drills/fretboard"
	"surefret/drills/rehearse"
	"surefret/drills/theory"
)

// RehearseOptions are what a rehearsal on the screen works with.
type RehearseOptions struct {
	Title string       // of the song
	Run   rehearse.Run // of the whole song
	Loop  bool         // begin anew when it is over
	After string       // the song that comes next, "" for none

	Neck       fretboard.Fretboard
	LeftHanded bool

	Begin func(run rehearse.Run, part bool) *practice.Rehearsal
	// Play sounds a run after a bar of count-in, the click alone or with what the backing
	// says, and returns the clock of that sound, the count-in included.
	Play func(rehearse.Run, Backing) (clock Clock, countIn time.Duration)
	// Exchange goes on with another backing where the sound of the run is.
	Exchange func(rehearse.Run, Backing)
	Stop     func()
	Louder   func()
	Listen   Listener // who hears what is played, nil where frets are typed

	Now   func() time.Time // nil is time.Now
	Grace time.Duration    // how long a 1 waits for another digit, 0 for the usual
	Names theory.Names
	Look  ink.Look
	In    io.Reader // nil is standard input
	Out   io.Writer // nil is standard output
}

// A Listener hears what is played of a run, see [hearing.Take].
type Listener interface {
	GoTo(run rehearse.Run, at, from time.Duration)
	Follow(ctx context.Context, run time.Duration) error
	Strokes() []rehearse.Stroke
	Level() float64 // dB, 0 is full scale
}

// A Clock tells of a sound how much of it was heard, and how long it broke off so far.
type Clock interface {
	At() time.Duration
	Lost() time.Duration
}

// A Backing says what sounds besides the click.
type Backing struct {
	Chords  bool // bass and held chord
	Targets bool // what the hand plays for each change, for a check by ear
	Louder  int  // doublings of the click
}

// Rehearse runs a song on the screen until the player leaves it. It reports whether he
// asked for the next song.
func Rehearse(ctx context.Context, o RehearseOptions) (next bool, err error) {
	m := newRehearsal(ctx, o)
	err = show(ctx, m, o.In, o.Out, tea.WithAltScreen(), tea.WithFPS(framesPerSecond))
	o.Stop()
	m.end()
	switch {
	case m.err != nil:
		return false, m.err
	case ctx.Err() != nil || errors.Is(err, tea.ErrProgramKilled) && !errors.Is(err, tea.ErrProgramPanic):
		return false, nil
	case err != nil:
		return false, fmt.Errorf("use the terminal: %w", err)
	case m.interrupted:
		return false, ErrInterrupted
	}
	return m.onward, nil
}

// The phases of a rehearsal.
type rehearsing int

const (
	running rehearsing = iota
	stopped
	over // the page after the run
)

// How much of the next chord is shown.
type detail int

const (
	chordsShown  detail = iota // names; the fret of the root is asked
	placesShown                // names and places; nothing is asked
	neckShown                  // the same, on a picture of the neck
	numbersShown               // numbers alone; the fret is asked
	details
)

// shown says how much is shown.
var shown = [details]string{
	"chord names: the fret is asked", "the places: nothing is asked", "the neck: nothing is asked", "numbers alone: the fret is asked",
}

// given reports whether the places are given, so that nothing is asked.
func (d detail) given() bool { return d == placesShown || d == neckShown }

// mostLouder is how often the click can be doubled.
const mostLouder = 2

// The screen looks at the clock for each beat, and in between every so often. What changed
// is painted with the next frame, of which there are as many as bubbletea paints at most:
// a beat is marked one frame ahead, so that its mark comes neither early nor late.
const (
	redraw          = 10 * time.Millisecond
	framesPerSecond = 120
	frame           = time.Second / framesPerSecond
)

// A rehearsalView is the model of a rehearsal.
type rehearsalView struct {
	layout
	o   RehearseOptions
	ctx context.Context

	r     *practice.Rehearsal // what runs: the whole song, or some bars of it
	part  bool                // it is some bars
	loop  bool
	from  int // the bar that it was begun from
	clock Clock
	lost  time.Duration // that was told
	count time.Duration // of the count-in
	at    time.Duration // from the first beat of the run, below zero in the count-in
	ran   time.Duration // how long the run sounded before it was begun from where it is
	since time.Duration // at, when it was begun there
	ended bool          // what came of it is kept

	phase  rehearsing
	shows  detail
	back   bool // bass and chords are heard
	click  int  // how often it was doubled
	typed  string
	first  time.Duration // when its first key came
	last   *rehearse.Mark
	judged int // changes that were played and judged
	said   string

	still bool // nobody looks at the clock

	page        rehearse.Page
	onward      bool
	interrupted bool
	err         error
}

type beatTick struct{}

func newRehearsal(ctx context.Context, o RehearseOptions) *rehearsalView {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Grace == 0 {
		o.Grace = graceTime
	}
	m := &rehearsalView{layout: layout{look: o.Look}, o: o, ctx: ctx}
	m.take(o.Run, o.Loop, false)
	return m
}

// take takes up a run.
func (m *rehearsalView) take(run rehearse.Run, loop, part bool) {
	if m.r != nil {
		m.end()
	}
	m.loop, m.part = loop, part
	m.r, m.ran, m.ended = m.o.Begin(run, part), 0, false
	m.at, m.since = 0, 0
	m.start(0)
}

// end keeps what came of a run. A fault is told when the screen is left.
func (m *rehearsalView) end() {
	if m.ended {
		return
	}
	m.ended = true
	if m.o.Listen != nil {
		m.r.Hear(m.o.Listen.Strokes(), m.at)
	}
	if err := m.r.End(context.WithoutCancel(m.ctx), m.o.Now(), m.sounded()); err != nil {
		m.err = cmp.Or(m.err, err)
	}
}

// sounded is how long the run has sounded.
func (m *rehearsalView) sounded() time.Duration { return m.ran + max(m.at-m.since, 0) }

// start begins to run from a bar on.
func (m *rehearsalView) start(bar int) { m.startAt(bar, m.r.Run.Tempo) }

// The tempi that keys can set, in beats a minute.
const slowest, fastest = 20, 300

// startAt begins to run from a bar on at a tempo, within its bounds. What lies before that
// bar keeps the tempo that it was played at.
func (m *rehearsalView) startAt(bar int, tempo float64) {
	m.ran = m.sounded()
	m.from = max(0, min(bar, len(m.r.Run.Bars)-1))
	m.r.Run.Retime(max(slowest, min(fastest, tempo)), m.r.Run.Bars[m.from].Start)
	m.lost = 0
	m.clock, m.count = m.o.Play(m.sounds())
	m.phase, m.typed, m.last, m.said = running, "", nil, ""
	m.sync()
	m.since = m.begun()
	m.r.GoTo(m.since)
	if m.o.Listen != nil {
		m.o.Listen.GoTo(m.r.Run, m.at, m.since-m.r.Run.Lead())
		m.judged = len(m.r.Marks())
	}
}

// sounds is what sounds: the run from the bar on that it was begun from.
func (m *rehearsalView) sounds() (rehearse.Run, Backing) {
	rest := m.r.Run.Part(m.from, len(m.r.Run.Bars)-1)
	return rest, Backing{Chords: m.back, Targets: m.shows.given(), Louder: m.click}
}

// bar is the bar that sounds at a time, in a count-in the one that it leads to.
func (m *rehearsalView) bar(at time.Duration) int { return max(m.r.Run.BarAt(m.r.Run.At(at)), m.from) }

// begun is when the bar comes that the run was begun from.
func (m *rehearsalView) begun() time.Duration { return m.r.Run.Time(m.r.Run.Bars[m.from].Start) }

// painted is the time of the run that the next frame shows.
func (m *rehearsalView) painted() time.Duration {
	if m.phase != running {
		return m.at
	}
	return m.at + frame
}

// sync looks at the clock.
func (m *rehearsalView) sync() { m.at = m.clock.At() - m.count + m.begun() }

// Init starts the clock.
func (m *rehearsalView) Init() tea.Cmd { return m.tick() }

// tick waits for the next look at the clock.
func (m *rehearsalView) tick() tea.Cmd {
	bar := m.r.Run.Bars[m.bar(m.painted())]
	beat := rehearse.Beat(bar.Meter)
	beats := math.Ceil((m.r.Run.At(m.painted())-bar.Start)/beat + rehearse.Slack)
	next := m.r.Run.Time(bar.Start+beats*beat) - m.painted()
	return tea.Tick(max(min(next, redraw), time.Millisecond), func(time.Time) tea.Msg { return beatTick{} })
}

// Update takes one event.
func (m *rehearsalView) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		m.resize(msg.Width, msg.Height)
	case beatTick:
		if m.phase == running {
			m.goOn()
			return m, m.tick()
		}
		m.still = true
	case tea.KeyMsg:
		cmd := m.key(msg)
		if m.still && m.phase == running { // the clock is looked at again
			m.still = false
			cmd = tea.Batch(cmd, m.tick())
		}
		return m, cmd
	}
	return m, nil
}

// goOn takes the time that has come.
func (m *rehearsalView) goOn() {
	m.sync()
	if lost := m.clock.Lost(); lost > m.lost {
		m.last, m.said = nil, fmt.Sprintf("the sound broke off for %d ms and went on where it was: the machine is busy", (lost-m.lost).Milliseconds())
		m.lost = lost
	}
	if m.typed != "" && (m.at-m.first > m.o.Grace || m.changed()) {
		m.commit()
	}
	switch {
	case m.o.Listen != nil:
		m.hear()
	case m.shows.given():
		m.r.GoTo(m.at)
	default:
		m.r.Pass(m.at)
	}
	if m.r.Run.At(m.at) < m.r.Run.Length() {
		return
	}
	if m.loop {
		m.page = m.r.Page()
		if m.page.Asked == 0 || m.page.InTime < m.page.Asked || !m.part {
			m.take(m.r.Run, true, m.part)
			return
		}
	}
	m.finish()
}

// hear takes up what was played, and tells what became of the change that is over.
func (m *rehearsalView) hear() {
	if m.shows.given() {
		m.r.Show(m.at)
	}
	if err := m.o.Listen.Follow(m.ctx, m.at); err != nil && m.ctx.Err() == nil {
		m.err = err
		m.finish()
		return
	}
	if m.judged == len(m.r.Run.Changes) || m.at < m.r.Run.JudgedAt(m.judged) {
		return
	}
	m.r.Hear(m.o.Listen.Strokes(), m.at)
	if marks := m.r.Marks(); len(marks) > m.judged {
		m.judged = len(marks)
		last := marks[m.judged-1]
		m.last, m.said = &last, m.o.Names.Chord(m.r.Run.Changes[last.Change].Chord)+": "+last.Tell()
	}
}

// changed reports whether the change that was begun to be answered is over.
func (m *rehearsalView) changed() bool {
	c := m.r.Run.ChangeAt(m.r.Run.At(m.first))
	return c != m.r.Run.ChangeAt(m.r.Run.At(m.at))
}

// finish tells what the run showed.
func (m *rehearsalView) finish() {
	m.o.Stop()
	m.end()
	m.page = m.r.Page()
	if m.part && len(m.page.Stalls) == 0 {
		m.page.Next = rehearse.Next{Whole: true, Tempo: m.o.Run.Tempo} // back into the song
	}
	m.phase = over
}

// commit judges what was typed.
func (m *rehearsalView) commit() {
	fret, err := strconv.Atoi(m.typed)
	m.typed = ""
	if err != nil {
		return
	}
	c, open := m.r.Open(m.first)
	if !open {
		return
	}
	mark, err := m.r.Answer(m.ctx, m.o.Now(), fret, m.first)
	var unreadable practice.UnreadableError
	switch {
	case errors.As(err, &unreadable):
		m.said = unreadable.Error() + "."
		return
	case err != nil && !errors.Is(err, practice.ErrNothingAsked):
		m.err = err
		return
	}
	m.last, m.said = &mark, m.tell(c, mark)
}

// tell says what became of an answer.
func (m *rehearsalView) tell(c rehearse.Change, mark rehearse.Mark) string {
	if !mark.Right {
		return fmt.Sprintf("%s is at fret %d of string %d", m.o.Names.Chord(c.Chord), c.Place.Fret, c.Place.String)
	}
	if mark.Late < 0 {
		return "right, ahead of the beat"
	}
	return fmt.Sprintf("right, %.1f s into it", mark.Late.Seconds())
}
