package screen

import (
	"context"
	"errors"
	"fmt"
	"io"

	tea "github.com/charmbracelet/bubbletea"

	"surefret/cmd/surefret/ink"
)

// TuneOptions are what the tuner on the screen works with.
type TuneOptions struct {
	Title string // the tuning
	Hears string // what is listened to
	Level func() float64

	// Next waits for the next thing to show. io.EOF says that nothing more comes.
	Next func(context.Context) (Tuning, error)

	Look ink.Look
	In   io.Reader // nil is standard input
	Out  io.Writer // nil is standard output
}

// A Tuning is what the tuner shows.
type Tuning struct {
	Large string   // the string that was heard and how far it is off, in a few words
	Lines []string // each string as it was heard last
	Ask   string   // what is to be done next, a sentence

	Room, Softest float64 // dB: the quiet room, and the softest string that was heard; 0 is not known
}

// Tune shows the tuner until the player leaves it, ctx ends or Next fails.
func Tune(ctx context.Context, o TuneOptions) error {
	listening, stop := context.WithCancel(ctx)
	defer stop()
	m := newTuneView(listening, o)
	err := show(ctx, m, o.In, o.Out, tea.WithAltScreen())
	stop()
	m.busy <- struct{}{} // until nobody listens any more
	switch {
	case m.err != nil:
		return m.err
	case ctx.Err() != nil, errors.Is(err, tea.ErrProgramKilled) && !errors.Is(err, tea.ErrProgramPanic):
		return nil
	case err != nil:
		return fmt.Errorf("use the terminal: %w", err)
	}
	return nil
}

// A tuneView is the model of the tuner.
type tuneView struct {
	layout
	o    TuneOptions
	ctx  context.Context
	busy chan struct{} // holds one value while Next is called
	now  Tuning
	err  error
}

// tuned is what came of a call of Next.
type tuned struct {
	Tuning
	err error
}

func newTuneView(ctx context.Context, o TuneOptions) *tuneView {
	return &tuneView{layout: layout{look: o.Look}, o: o, ctx: ctx, busy: make(chan struct{}, 1), now: Tuning{Ask: "Keep quiet for two seconds."}}
}

// Init begins to listen.
func (m *tuneView) Init() tea.Cmd { return tea.Batch(tickMeter(), m.next) }

func (m *tuneView) next() tea.Msg {
	select {
	case m.busy <- struct{}{}:
	case <-m.ctx.Done():
		return nil
	}
	defer func() { <-m.busy }()
	t, err := m.o.Next(m.ctx)
	return tuned{t, err}
}

// Update takes one event.
func (m *tuneView) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		m.resize(msg.Width, msg.Height)
	case meterTick:
		return m, tickMeter()
	case tea.KeyMsg:
		if msg.Type == tea.KeyEsc || msg.Type == tea.KeyEnter || msg.Type == tea.KeyCtrlC {
			return m, tea.Quit
		}
	case tuned:
		switch {
		case m.ctx.Err() != nil:
		case errors.Is(msg.err, io.EOF):
			m.now.Ask = "Nothing more is to be heard."
		case msg.err != nil:
			m.err = msg.err
			return m, tea.Quit
		default:
			m.now = msg.Tuning
			return m, m.next
		}
	}
	return m, nil
}

// View draws the string that was heard last in large letters, then all of them.
func (m *tuneView) View() string {
	if m.width == 0 {
		return ""
	}
	if m.small() {
		return m.tooSmall("The tuner", "")
	}
	foot := m.keys("Esc", "leave")
	page := []string{m.look.Paint(ink.Strong, m.o.Title), ""}
	most := m.height - len(foot) - len(page) - len(m.now.Lines) - 5
	for _, l := range m.enlarged(m.now.Large, min(most, 2*pixelRows+1)) {
		page = append(page, m.look.Paint(ink.Strong, l))
	}
	page = append(append(page, ""), m.now.Lines...)
	cells, legend := m.metered(m.o.Level(), []meterMark{{'r', "room", m.now.Room}, {'s', "softest string", m.now.Softest}})
	page = append(page, "", m.layout.clip(m.o.Hears+"  "+cells+legend, m.measure()))
	page = append(page, wrap(m.now.Ask, m.measure())...)
	return m.layout.page(m.indent(page...), foot)
}
