package screen

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/practice"
	"surefret/drills/theory"
)

// ErrLeft says that the player left a form or the copying exercise.
var ErrLeft = errors.New("the form was left, nothing is changed")

// CalibrateOptions are what the copying exercise works with.
type CalibrateOptions struct {
	Rand  *rand.Rand       // what to copy, and how long it waits
	Now   func() time.Time // nil is time.Now
	Names theory.Names
	Look  ink.Look

	In  io.Reader // nil is standard input
	Out io.Writer // nil is standard output
}

// Calibrate measures in half a minute how long the player's hand takes when
// there is nothing to think about: a note, a fret number or a direction appears,
// and is copied. It returns ErrLeft when the player left it, and
// [ErrInterrupted] after ctrl-c.
func Calibrate(ctx context.Context, o CalibrateOptions) (practice.Typing, error) {
	m := newCalibration(o)
	err := show(ctx, m, o.In, o.Out, tea.WithAltScreen())
	switch {
	case m.done():
		return m.typing(), nil
	case m.interrupted:
		return practice.Typing{}, ErrInterrupted
	case err != nil && ctx.Err() == nil && !errors.Is(err, tea.ErrProgramKilled):
		return practice.Typing{}, fmt.Errorf("use the terminal: %w", err)
	}
	return practice.Typing{}, ErrLeft
}

// The kinds of things to copy, and how many of each: of eight times the median
// stands firm against a slip or two.
const (
	letters = iota
	digits
	directions
	copyKinds
	copiesEach = 8
)

// A calibration is the model of the copying exercise.
type calibration struct {
	layout
	o     CalibrateOptions
	tasks []copying
	at    int
	shown time.Time // when the task appeared, zero while it waits to
	times [copyKinds][]time.Duration
	gaps  [directions][]time.Duration // from the first key to the other, where there are two
	first time.Time                   // when the first of two came, zero before
	left  bool
	slip  string // the wrong key that was given for the one before

	interrupted bool // ctrl-c ended it
}

// A copying is one thing to copy: what is shown, the key that begins it, and the one that
// follows, "" where that tells nothing.
type copying struct {
	kind       int
	text       string
	key, other string
}

// appear shows the next thing to copy.
type appear struct{ at int }

func newCalibration(o CalibrateOptions) *calibration {
	if o.Now == nil {
		o.Now = time.Now
	}
	m := &calibration{o: o, layout: layout{look: o.Look}}
	for kind := range copyKinds {
		for n := range copiesEach {
			m.tasks = append(m.tasks, m.draw(kind, n%2 == 1))
		}
	}
	return m
}

// draw makes a thing to copy, another than the one before: a sharp or two digits where
// two keys are wanted. Of notes with longer names the first key is taken alone.
func (m *calibration) draw(kind int, two bool) copying {
	c := copying{kind: kind}
	for {
		switch kind {
		case letters:
			two = two && m.o.Names.System != theory.Solfege
			note := theory.Note{Letter: theory.Letter(m.o.Rand.IntN(7))}
			if two {
				note.Alter = 1
			}
			c.text = m.o.Names.Note(note)
			keys := []rune(strings.ToLower(c.text))
			if c.key = string(keys[0]); two {
				c.other = string(keys[1])
			}
		case digits:
			c.text = fmt.Sprint(m.o.Rand.IntN(10))
			if c.key = c.text; two {
				c.other = fmt.Sprint(m.o.Rand.IntN(10))
				c.text += c.other
			}
		default:
			c.text = []string{"left", "right", "up", "down"}[m.o.Rand.IntN(4)]
			c.key = c.text
		}
		if n := len(m.tasks); n == 0 || m.tasks[n-1].text != c.text {
			return c
		}
	}
}

// Init waits for the first thing.
func (m *calibration) Init() tea.Cmd { return m.wait(2 * time.Second) }

// wait lets the next thing appear after a while that cannot be guessed.
func (m *calibration) wait(atLeast time.Duration) tea.Cmd {
	at := m.at
	d := atLeast + time.Duration(m.o.Rand.IntN(400))*time.Millisecond
	return tea.Tick(d, func(time.Time) tea.Msg { return appear{at} })
}

func (m *calibration) done() bool { return m.at == len(m.tasks) }

// Update takes one event.
func (m *calibration) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		m.resize(msg.Width, msg.Height)
	case appear:
		if msg.at == m.at {
			m.shown = m.o.Now()
		}
	case tea.KeyMsg:
		if msg.Type == tea.KeyEsc || msg.Type == tea.KeyCtrlC {
			m.left, m.interrupted = true, msg.Type == tea.KeyCtrlC
			return m, tea.Quit
		}
		return m, m.key(strings.ToLower(msg.String()), m.o.Now())
	}
	return m, nil
}

// key takes a key. A wrong one gives no time; the task is gone all the same. Keys
// that come before there was anything to see are dropped.
func (m *calibration) key(key string, now time.Time) tea.Cmd {
	if m.done() || m.shown.IsZero() || now.Sub(m.shown) < practice.Anticipation {
		return nil
	}
	task := m.tasks[m.at]
	m.slip = ""
	switch second := !m.first.IsZero(); {
	case !second && key != task.key, second && key != task.other && !(task.kind == letters && strings.Contains("#s+", key)):
		m.slip = fmt.Sprintf("That was %q, not %s: it does not count.", key, task.text)
	case second:
		m.gaps[task.kind] = append(m.gaps[task.kind], now.Sub(m.first))
	default:
		if m.times[task.kind] = append(m.times[task.kind], now.Sub(m.shown)); task.other != "" {
			m.first = now
			return nil
		}
	}
	m.at, m.shown, m.first = m.at+1, time.Time{}, time.Time{}
	if m.done() {
		return tea.Quit
	}
	return m.wait(300 * time.Millisecond)
}

// typing sums the times up: the usual one of each kind, zero where fewer than half were
// copied right.
func (m *calibration) typing() practice.Typing {
	usual := func(times []time.Duration) time.Duration {
		if len(times) < copiesEach/2 {
			return 0
		}
		return practice.Usual(times)
	}
	return practice.Typing{Letters: usual(m.times[letters]), Digits: usual(m.times[digits]), Pointer: usual(m.times[directions]),
		Sign: practice.GapOf(m.gaps[letters]), Digit: practice.GapOf(m.gaps[digits])}
}

// View shows the thing to copy.
func (m *calibration) View() string {
	if m.done() || m.left {
		return ""
	}
	p := layout{m.look, max(m.width, FewestColumns), max(m.height, FewestRows)}
	foot := p.keys("Esc", "leave this out")
	page := []string{
		p.look.Paint(ink.Strong, "Copy what you see"), "",
		"Just type what you see. This times your typing, so that",
		"later only your thinking is timed. Half a minute.", "",
		p.wound(m.at, len(m.tasks)), "",
	}
	if task := m.tasks[m.at]; !m.shown.IsZero() {
		text := task.text
		if task.kind == directions {
			text += " arrow"
		}
		page = append(page, p.slab(text)...)
	} else {
		page = append(page, "", m.slip, "")
	}
	return p.page(p.centred(page, p.height-len(foot)), foot)
}
