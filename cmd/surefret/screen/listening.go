package screen

import (
	"context"
	"errors"
	"io"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/neck"
	"surefret/cmd/surefret/practice"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/scheduler"
)

// A sitting that is answered by playing: what is listened to in each phase, and what
// becomes of it. Keys work throughout.

// An Ear hears what is played, one call at a time.
type Ear interface {
	practice.Ear
	// Level is how loud it is, in dB: 0 is full scale. It may be asked meanwhile.
	Level() float64
}

const (
	leastShown  = 800 * time.Millisecond // that what came of an answer stays on the screen
	redrawMeter = 100 * time.Millisecond
)

// An attention is what the ear of a sitting is turned to, one thing at a time.
type attention struct {
	one    chan struct{} // holds one value while the ear is used
	cancel context.CancelFunc
	call   int // which use counts: earlier ones came to nothing
	shown  int // the phase that it began with, see sittingView.shown

	unsure int    // how often the answer to this question was not heard
	said   string // what was heard of the answer that is told; "" for one that was typed
	look   bool   // it is to be looked at: it was wrong or slow
	hushed bool   // the pause came of silence
	lost   string // why nothing is heard any more, until the next question
}

// listened is what came of a use of the ear.
type listened struct {
	call  int
	heard drills.Heard
	err   error
}

type meterTick struct{}

func tickMeter() tea.Cmd {
	return tea.Tick(redrawMeter, func(time.Time) tea.Msg { return meterTick{} })
}

// stop ends what the ear is used for.
func (a *attention) stop() {
	if a.call++; a.cancel != nil {
		a.cancel()
	}
}

// end ends it and waits until that is over.
func (a *attention) end() {
	a.stop()
	a.one <- struct{}{}
	<-a.one
}

// turn uses the ear.
func (a *attention) turn(ctx context.Context, use func(context.Context) (drills.Heard, error)) tea.Cmd {
	ctx, a.cancel = context.WithCancel(ctx)
	call := a.call
	return func() tea.Msg {
		a.one <- struct{}{}
		defer func() { <-a.one }()
		if ctx.Err() != nil {
			return nil
		}
		heard, err := use(ctx)
		return listened{call, heard, err}
	}
}

// attend turns the ear to what has come on the screen.
func (m *sittingView) attend() tea.Cmd {
	if m.o.Ear == nil || m.ear.shown == m.shown {
		return nil
	}
	m.ear.shown = m.shown
	return m.listen()
}

// listen turns the ear to what is on the screen: an answer, the end of one that was
// told, or a note that goes on.
func (m *sittingView) listen() tea.Cmd {
	m.ear.stop()
	ear, q, look := m.o.Ear, m.turn.Question, m.ear.look
	switch {
	case m.phase == asking && m.playable():
		return m.ear.turn(m.ctx, func(ctx context.Context) (drills.Heard, error) { return ear.Hear(ctx, q) })
	case m.phase == telling && m.ear.said != "":
		return m.ear.turn(m.ctx, func(ctx context.Context) (drills.Heard, error) { return drills.Heard{}, ear.Rest(ctx, look) })
	case m.phase == showing, m.phase == pausing && m.ear.hushed:
		return m.ear.turn(m.ctx, func(ctx context.Context) (drills.Heard, error) {
			_, err := ear.Pluck(ctx, 0)
			return drills.Heard{}, err
		})
	}
	return nil
}

// playable reports whether the question can be answered by playing.
func (m *sittingView) playable() bool {
	_, ok := m.turn.Question.Playing()
	return ok
}

// hears takes what came of listening.
func (m *sittingView) hears(msg listened, now time.Time) tea.Cmd {
	switch {
	case msg.call != m.ear.call || m.ctx.Err() != nil:
		return nil
	case errors.Is(msg.err, io.EOF):
		return m.close()
	case msg.err != nil: // practice goes on
		m.o.Ear, m.untimed = nil, true
		if m.phase == pausing {
			m.resume(now)
		}
		m.ear.lost = practice.Unheard(msg.err)
		return nil
	}
	switch m.phase {
	case asking:
		return m.answered(msg.heard, now)
	case telling:
		if left := leastShown - now.Sub(m.onset); left > 0 {
			return m.after(left, func(t int) tea.Msg { return timeToMove{t} })
		}
		return m.goOn()
	case showing:
		return m.goOn()
	case pausing:
		m.resume(now)
	}
	return nil
}

// answered takes what was played to a question.
func (m *sittingView) answered(heard drills.Heard, now time.Time) tea.Cmd {
	switch {
	case heard.Quiet:
		m.leave(pausing, now)
		m.ear.hushed = true
		return nil
	case heard.Answer != "":
		thinking := heard.Thinking
		if m.untimed {
			thinking = 0
		}
		m.entry.played(heard.Answer)
		m.ear.said = heard.Said
		return m.give(thinking, false)
	}
	m.untimed = true
	m.notice = practice.Sentence(heard.Said)
	if heard.Unsure {
		if m.ear.unsure++; m.ear.unsure >= practice.MostUnsure {
			m.notice += " " + practice.OfferTyping
		}
	}
	return m.listen()
}

// played takes an answer that was heard.
func (e *entry) played(answer string) {
	e.clear()
	e.by = drills.EntryPlayed
	if !e.places() {
		e.text = answer
		return
	}
	for word := range strings.FieldsSeq(answer) {
		if at, ok := parsePlace(word); ok {
			e.picks = append(e.picks, at)
		}
	}
}

// How many rows the large letters and the neck below them have: two lines of the small
// letters at least, and at most two of the big ones and a tall neck.
const (
	leastHeard = 7
	mostHeard  = 2*pixelRows + 20
)

// heard draws the question so that it is read with the guitar on, and then in its place
// what came of the answer; below it the neck, where there is room for both. It has the same
// rows before the answer and after, and what is drawn below stands still.
func (m *sittingView) heard(rows int) (page []string) {
	most := min(rows, 2*pixelRows+1)
	head, _, _ := strings.Cut(m.turn.Question.Text, ":")
	big := m.enlarged(head, most)
	room := len(big)
	if m.phase == telling {
		if rows-room-1 < m.high(0) { // the neck comes with the answer
			room = max(0, rows-1-m.high(0))
		}
		if big = m.verdict(room); big == nil {
			big = m.verdict(most)
		}
	}
	if m.phase != showing && big != nil {
		for _, l := range big {
			page = append(page, m.look.Paint(ink.Strong, l))
		}
		for len(page) <= min(room, rows-1) {
			page = append(page, "")
		}
	}
	if tab := m.strokes(rows); m.phase == telling && tab != nil {
		page = tab
	}
	page, m.neck = m.indent(page...), neck.Drawing{}
	var below []string
	if rest := rows - len(page); rest >= m.high(0) {
		below = m.picture(m.high(rest))
	}
	page = append(page, make([]string, rows-len(page)-len(below))...)
	m.neckY += len(page)
	return append(page, below...)
}

// strokes writes a phrase that was played as tablature, with what was wrong and late below,
// in at most so many rows.
func (m *sittingView) strokes(most int) []string {
	strs := m.o.Neck.Tuning.Strings()
	if len(m.result.Verdict.Strokes) == 0 || most < strs+2 {
		return nil
	}
	var path []fretboard.Position
	var signs []string
	wrong, late := "", ""
	for _, k := range m.result.Verdict.Strokes {
		sign := ""
		if k.Wrong != "" {
			sign, wrong = "x", "   x: another note"
		}
		if k.Late {
			sign, late = sign+">", "   >: late"
		}
		path, signs = append(path, k.At), append(signs, sign)
	}
	return append(neck.Tab(path, 1, strs), neck.Under(path, signs)+wrong+late, "")
}

// verdict is what came of an answer, in at most so many large rows: of a wrong one, what
// would be right, where that fits.
func (m *sittingView) verdict(most int) (big []string) {
	said := m.outcome()
	if !m.result.Verdict.Right {
		big = m.enlarged(said+", "+m.result.Verdict.Want, most)
	}
	if big == nil {
		big = m.enlarged(said, most)
	}
	return big
}

// hearing says what is listened to, how loud it is, and what was heard: that alone where
// there is no room for both.
func (m *sittingView) hearing() string {
	said := ""
	switch {
	case m.phase == showing:
		said = "  any note goes on"
	case m.phase == telling && m.ear.said != "":
		said = "  " + m.ear.said + ": " + m.outcome()
	case m.phase == asking && !m.playable():
		said = "  this one is typed"
	}
	row := m.o.Hears + "  " + m.meter(m.o.Ear.Level()) + said
	if ansi.StringWidth(row) > m.measure() {
		row = m.layout.clip(m.o.Hears+said, m.measure())
	}
	return row
}

// outcome says in a word how the answer went.
func (m *sittingView) outcome() string {
	switch {
	case !m.result.Verdict.Right:
		return "wrong"
	case m.result.Outcome == scheduler.Slow:
		return "slow"
	}
	return "right"
}

// The meter has a cell for each 6 dB over -60.
const (
	meterCells  = 10
	meterStep   = 6
	meterLowest = -60
)

// meter draws how loud it is.
func (l layout) meter(level float64) string {
	return l.wound(max(0, min(meterCells, int((level-meterLowest)/meterStep))), meterCells)
}

// metered is the meter with a letter in the cell that a level reaches, and what the letters
// mean. A level of 0 is not known.
func (l layout) metered(level float64, at []meterMark) (cells, legend string) {
	row := []rune(l.meter(level))
	for _, m := range at {
		if m.level == 0 {
			continue
		}
		row[max(0, min(meterCells, int((m.level-meterLowest)/meterStep))-1)] = m.letter
		legend += "  " + string(m.letter) + ": " + m.means
	}
	return string(row), legend
}

type meterMark struct {
	letter rune
	means  string
	level  float64 // dB
}
