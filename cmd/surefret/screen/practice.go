package screen

import (
	"context"
	"errors"
	"strconv"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"surefret/cmd/surefret/neck"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/report"
	"surefret/drills"
	"surefret/drills/fretboard"
)

// reading is how long feedback takes no key that would move on, so that a key
// pressed twice or too late does not wipe it out unread.
const reading = 250 * time.Millisecond

// A phase is what the screen shows.
type phase uint8

const (
	waitingForSize phase = iota
	asking
	telling // feedback
	showing // a lesson: what is new, or what was asked to be shown
	pausing
	helping
	glancing // at the map
	closing  // the summary
)

// A sittingView is the model of the practice screen.
type sittingView struct {
	o    Options
	ctx  context.Context
	play func([]drills.Sounding)

	layout

	began       bool
	interrupted bool // ctrl-c ended it
	phase       phase
	before      phase // where pausing, helping and glancing lead back to
	left        time.Time
	whole       time.Duration // length of the sitting
	timer       int           // which timer counts: earlier ones came to nothing

	turn    practice.Turn
	lesson  drills.Lesson
	entry   entry
	onset   time.Time // when the phase began to show
	untimed bool      // something came between the question and the answer
	ended   bool      // the answer ended by itself, without Enter
	quiet   time.Time // keys before it belong to the last answer
	count   int       // questions asked
	notice  string    // one sentence under the question

	ear   attention
	shown int // how often another phase began to show

	went    []int // how each went
	ringing int   // frames that struck strings still ring

	result  practice.Result
	given   entry // what was entered, for the drawing
	summary practice.Summary

	first, latest report.Map // as the sitting began, and as of the last glance
	old           bool       // the first is shown
	err           error

	neck   neck.Drawing // on the screen, with its place there for the mouse
	drawn  neck.Drawing // as last drawn, be it on the screen or not
	set    []string     // its lines, moved to neckX
	window int          // the lowest fret that it shows, 0 before it was drawn
	neckX  int
	neckY  int
}

// Timers that ran out, with the number they were set under.
type (
	graceOver  struct{ timer int }
	timeToMove struct{ timer int }
	clockTick  struct{}
	ringOn     struct{ onset time.Time }
	noSize     struct{}
)

// newPractice returns the model; the first question is asked when the size of
// the window is known.
func newPractice(ctx context.Context, o Options, play func([]drills.Sounding)) *sittingView {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Grace == 0 {
		o.Grace = graceTime
	}
	return &sittingView{o: o, ctx: ctx, play: play, layout: layout{look: o.Look}, ear: attention{one: make(chan struct{}, 1)}}
}

// Init starts the clock that tells the sitting that the program runs, and redraws the
// time left. A terminal that does
// not tell its size is taken for the usual one soon.
func (m *sittingView) Init() tea.Cmd {
	cmds := []tea.Cmd{tick(), tea.Tick(200*time.Millisecond, func(time.Time) tea.Msg { return noSize{} })}
	if m.o.Ear != nil {
		cmds = append(cmds, tickMeter())
	}
	return tea.Batch(cmds...)
}

func tick() tea.Cmd {
	return tea.Tick(practice.Ticking, func(time.Time) tea.Msg { return clockTick{} })
}

// Update takes one event, and turns the ear to what is shown then.
func (m *sittingView) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	_, cmd := m.update(msg)
	return m, tea.Batch(cmd, m.attend())
}

func (m *sittingView) update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		return m, m.resized(msg.Width, msg.Height)
	case tea.KeyMsg:
		return m, m.key(msg, m.o.Now())
	case tea.MouseMsg:
		if msg.Action == tea.MouseActionPress && msg.Button == tea.MouseButtonLeft {
			return m, m.click(msg.X, msg.Y, m.o.Now())
		}
	case tea.BlurMsg:
		m.untimed = true
	case tea.ResumeMsg:
		m.untimed = true
		m.o.Sitting.Tick(m.o.Now())
	case graceOver:
		if msg.timer == m.timer && m.phase == asking && m.entry.grace() == commit {
			return m, m.commit(true)
		}
	case timeToMove:
		if msg.timer == m.timer && m.phase == telling {
			return m, m.next()
		}
	case ringOn:
		if m.phase == telling && m.ringing > 0 && msg.onset.Equal(m.onset) {
			return m, m.ring(m.ringing - 1)
		}
	case noSize:
		if m.phase == waitingForSize {
			return m, m.resized(0, 0)
		}
	case clockTick:
		m.o.Sitting.Tick(m.o.Now())
		return m, tick()
	case listened:
		return m, m.hears(msg, m.o.Now())
	case meterTick:
		if m.o.Ear != nil {
			return m, tickMeter()
		}
	}
	return m, nil
}

// resized takes the size of the window; the first one begins practice.
func (m *sittingView) resized(width, height int) tea.Cmd {
	changed := m.resize(width, height)
	m.window = 0
	if m.phase == waitingForSize {
		m.began = true
		m.whole = m.o.Sitting.Left(m.o.Now())
		if m.o.Map != nil {
			m.first = m.o.Map()
		}
		return m.next()
	}
	if changed {
		m.untimed = true
	}
	return nil
}

// next asks the next question, or closes the sitting when there is none.
func (m *sittingView) next() tea.Cmd {
	turn, ok, err := m.o.Sitting.Next(m.ctx, m.o.Now())
	if err != nil {
		return m.fail(err)
	}
	if !ok {
		return m.close()
	}
	m.count++
	if turn.Lesson != nil {
		m.count--
		return m.teach(turn, *turn.Lesson)
	}
	cmd := m.ask(turn)
	if m.o.Notice != nil {
		if said := m.o.Notice(); said != "" {
			m.notice = said
		}
	}
	return cmd
}

// ask shows a question.
func (m *sittingView) ask(turn practice.Turn) tea.Cmd {
	m.turn, m.ear.said, m.ear.unsure, m.ear.lost = turn, "", 0, ""
	m.entry, m.notice = newEntry(turn.Question, m.o.Neck, m.o.Names.System), explained(turn.Terms)
	m.show(asking)
	m.untimed = m.small()
	m.play(turn.Question.Heard)
	if m.entry.points() {
		return tea.EnableMouseCellMotion
	}
	return tea.DisableMouse
}

// teach shows a lesson until a key.
func (m *sittingView) teach(turn practice.Turn, l drills.Lesson) tea.Cmd {
	m.turn, m.lesson, m.notice, m.window = turn, l, explained(turn.Terms), 0
	m.show(showing)
	m.play(l.Heard)
	return tea.DisableMouse
}

// showMe shows the answer to the open question, which counts as missed.
func (m *sittingView) showMe() tea.Cmd {
	lesson, err := m.o.Sitting.Show(m.ctx, m.o.Now(), m.entry.by)
	if err != nil {
		return m.fail(err)
	}
	m.went = append(m.went, wasMissed)
	m.turn.Terms = nil
	return m.teach(m.turn, lesson)
}

// show begins a phase. Timers of the one before come to nothing.
func (m *sittingView) show(p phase) {
	m.phase, m.onset = p, m.o.Now()
	m.timer++
	m.shown++
}

// fail ends the program because the sitting failed.
func (m *sittingView) fail(err error) tea.Cmd {
	m.err = err
	return tea.Quit
}

// close shows the summary.
func (m *sittingView) close() tea.Cmd {
	m.summary = m.o.Sitting.Summary(m.ctx, m.o.Now())
	m.show(closing)
	return tea.DisableMouse
}

// after sets a timer.
func (m *sittingView) after(d time.Duration, msg func(timer int) tea.Msg) tea.Cmd {
	m.timer++
	timer := m.timer
	return tea.Tick(d, func(time.Time) tea.Msg { return msg(timer) })
}

// audible is what can be heard again: the question's sound, or once it is
// answered the right note.
func (m *sittingView) audible() []drills.Sounding {
	switch {
	case m.phase == showing:
		return m.lesson.Heard
	case m.phase == telling && len(m.turn.Question.Target) > 0:
		return m.turn.Question.Target
	}
	return m.turn.Question.Heard
}

// leave stops the sitting for a pause or the help page.
func (m *sittingView) leave(to phase, now time.Time) {
	m.before, m.left, m.ear.hushed = m.phase, now, false
	m.show(to)
}

// resume goes on where the sitting was stopped. The time away is none of the
// sitting's, and the question that was open is not timed.
func (m *sittingView) resume(now time.Time) {
	m.o.Sitting.Pause(now.Sub(m.left))
	m.show(m.before)
	m.untimed = true
}

// commit hands the answer to the sitting and shows what it says. The answer ended
// by itself, or with Enter.
func (m *sittingView) commit(byItself bool) tea.Cmd {
	thinking := m.entry.first.Sub(m.onset)
	if m.untimed || thinking < 0 {
		thinking = 0
	}
	return m.give(thinking, byItself)
}

// give hands the entry over, which took so long to think about, 0 for not timed.
func (m *sittingView) give(thinking time.Duration, byItself bool) tea.Cmd {
	result, err := m.o.Sitting.Answer(m.ctx, m.o.Now(), m.entry.answer(), thinking, m.entry.by)
	var unreadable practice.UnreadableError
	if errors.As(err, &unreadable) {
		m.timer++
		m.notice = unreadable.Error() + "."
		played := m.entry.by == drills.EntryPlayed
		m.entry.refuse()
		if played {
			m.untimed = true
			return m.listen()
		}
		return nil
	}
	if err != nil {
		return m.fail(err)
	}
	m.given = m.entry
	m.play(m.turn.Question.Target)
	return m.tell(result, byItself)
}

// tell shows what came of an answer.
func (m *sittingView) tell(result practice.Result, byItself bool) (cmd tea.Cmd) {
	for _, gap := range m.given.gaps {
		m.o.Sitting.Between(m.turn.Question, gap)
	}
	m.given.gaps = nil
	m.result, m.notice, m.ringing = result, explained(result.Terms), 0
	m.went = append(m.went, how(result.Outcome, result.Thinking > 0))
	m.show(telling)
	m.ear.look = !result.Outcome.Fluent()
	if m.ended = byItself; byItself {
		m.quiet = m.onset.Add(m.lateKeys())
	}
	if result.Outcome.Fluent() && m.o.MoveOn > 0 && m.ear.said == "" { // what was slow or wrong is to be read
		cmd = m.after(m.o.MoveOn, func(t int) tea.Msg { return timeToMove{t} })
	}
	if m.o.Ring && result.Verdict.Right && len(result.Verdict.Marks) > 0 {
		cmd = tea.Batch(cmd, m.ring(ringFrames))
	}
	return cmd
}

// A struck string rings for two frames.
const (
	ringFrames = 2
	ringFrame  = 75 * time.Millisecond
)

// ring draws struck strings for so many more frames.
func (m *sittingView) ring(frames int) tea.Cmd {
	if m.ringing = frames; frames == 0 {
		return nil
	}
	onset := m.onset
	return tea.Tick(ringFrame, func(time.Time) tea.Msg { return ringOn{onset} })
}

// goOn asks the next question because the player wants it.
func (m *sittingView) goOn() tea.Cmd {
	m.quiet = time.Time{}
	return m.next()
}

// wrongPlaces lists the places that were entered and are not right.
func (m *sittingView) wrongPlaces() []fretboard.Position {
	if m.result.Verdict.Right {
		return nil
	}
	entered := m.given.picks
	if m.given.question.Expect == drills.ExpectFret {
		at, ok := parsePlace(strconv.Itoa(m.given.question.String) + "/" + m.given.text)
		if !ok {
			return nil
		}
		entered = []fretboard.Position{at}
	}
	var wrong []fretboard.Position
	for _, p := range entered {
		told := false
		for _, mark := range m.result.Verdict.Marks {
			told = told || mark.At == p
		}
		if !told {
			wrong = append(wrong, p)
		}
	}
	return wrong
}
