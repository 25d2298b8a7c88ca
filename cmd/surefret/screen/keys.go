package screen

import (
	"strconv"
	"strings"
	"time"
	"unicode"

	tea "github.com/charmbracelet/bubbletea"

	"surefret/cmd/surefret/practice"
	"surefret/drills"
)

// Keys and clicks while practising: what each means in the phase that the screen
// is in, and when one comes too soon to be meant.

// key takes a key, or several that came at once.
func (m *sittingView) key(k tea.KeyMsg, now time.Time) tea.Cmd {
	if k.Type == tea.KeyCtrlC {
		m.interrupted = true
		return tea.Quit
	}
	switch m.phase {
	case asking:
		return m.askingKey(k, now)
	case telling, showing:
		return m.tellingKey(k, now)
	case pausing, helping:
		if k.Type == tea.KeyEsc && m.phase == pausing {
			m.resume(now)
			return m.close()
		}
		if k.String() == "m" && m.phase == pausing && m.glanceable() {
			m.glance()
			return nil
		}
		m.resume(now)
	case glancing:
		if m.glanceKey(k) {
			m.resume(now)
		}
	case closing:
		if k.String() == "m" && m.glanceable() {
			m.leave(glancing, now)
			m.glance()
			return nil
		}
		if k.String() == moreKey && m.o.More != nil {
			return m.more(now)
		}
		if (k.Type == tea.KeyEnter || k.Type == tea.KeyEsc) && now.Sub(m.onset) >= reading {
			return tea.Quit
		}
	}
	return nil
}

// command takes the keys that mean the same while asking and telling, and
// reports whether k was one.
func (m *sittingView) command(k tea.KeyMsg, now time.Time) (tea.Cmd, bool) {
	switch k.String() {
	case "esc":
		return m.close(), true
	case "tab":
		m.play(m.audible())
	case "?":
		m.leave(helping, now)
	case ".":
		m.leave(pausing, now)
	default:
		return nil, false
	}
	return nil, true
}

// showKey asks to be shown the answer: it is not known. The sign says what it does,
// what this is equal to; no answer in any language of note names has it, and every
// keyboard has it without a dead key.
const showKey = "="

// moreKey goes on from the summary with what is weak.
const moreKey = "+"

// more begins another sitting; where nothing is weak its key is gone.
func (m *sittingView) more(now time.Time) tea.Cmd {
	s, err := m.o.More()
	if err != nil {
		m.o.More = nil
		return nil
	}
	m.o.Sitting, m.count, m.whole, m.went = s, 0, s.Left(now), nil
	return m.next()
}

// setAsideKey sets the open question aside. No answer needs it, and every keyboard
// has it without a dead key.
const setAsideKey = "_"

// askingKey takes a key while a question is open.
func (m *sittingView) askingKey(k tea.KeyMsg, now time.Time) (timer tea.Cmd) {
	for _, k := range single(k) {
		if cmd, ok := m.command(k, now); ok {
			return cmd
		}
		if m.small() {
			continue
		}
		switch {
		case k.String() == setAsideKey:
			return m.setAside()
		case k.String() == showKey:
			return m.showMe()
		case k.Type == tea.KeyBackspace && m.entry.empty() && m.o.Sitting.CanBringBack():
			return m.bringBack(now)
		case m.early(now):
			continue
		}
		switch m.take(k, now) {
		case commit:
			return m.commit(k.Type != tea.KeyEnter) // keys that came with it are dropped
		case ignored:
			if k.String() == "m" && m.entry.empty() && m.glanceable() {
				m.leave(glancing, now)
				m.glance()
				return nil
			}
			m.notice = m.refusal(k)
		case edited:
			m.timer++
			timer, m.notice = nil, ""
		case waiting:
			m.notice = ""
			timer = m.after(m.grace(), func(t int) tea.Msg { return graceOver{t} })
		}
	}
	return timer
}

// setAside puts the open question aside and asks another.
func (m *sittingView) setAside() tea.Cmd {
	what, err := m.o.Sitting.SetAside(m.ctx)
	if err != nil {
		return m.fail(err)
	}
	m.count--
	cmd := m.next()
	if m.phase == asking {
		m.notice = "Set aside: " + what + ". Backspace brings it back now, 'surefret practice --aside' later."
	}
	return cmd
}

// bringBack asks what was set aside last.
func (m *sittingView) bringBack(now time.Time) tea.Cmd {
	turn, err := m.o.Sitting.BringBack(m.ctx, now)
	if err != nil {
		return m.fail(err)
	}
	cmd := m.ask(turn)
	m.notice = "Back again."
	return cmd
}

// early reports whether a key came too soon to be meant for the question.
func (m *sittingView) early(now time.Time) bool {
	return now.Sub(m.onset) < practice.Anticipation || now.Before(m.quiet)
}

// refusal says what would be an answer, and after which key nothing happened.
func (m *sittingView) refusal(k tea.KeyMsg) string {
	if k.Type == tea.KeyEnter {
		return "Type " + m.hint() + ". " + showKey + " shows the answer."
	}
	key := string(k.Runes)
	if strings.ContainsFunc(key, func(r rune) bool { return !unicode.IsPrint(r) }) {
		key = strconv.Quote(key)
	}
	if k.Type != tea.KeyRunes {
		key = strings.ToUpper(k.String()[:1]) + k.String()[1:]
	}
	if k.Type == tea.KeySpace {
		key = "Space"
	}
	return key + " does nothing here. Type " + m.hint() + "."
}

// single parts keys that came in one read, or in one paste.
func single(k tea.KeyMsg) []tea.KeyMsg {
	if k.Type != tea.KeyRunes {
		return []tea.KeyMsg{k}
	}
	var all []tea.KeyMsg
	for _, r := range k.Runes {
		all = append(all, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}, Alt: k.Alt})
	}
	return all
}

// take hands a key to the answer.
func (m *sittingView) take(k tea.KeyMsg, now time.Time) step {
	along := 1
	if m.o.LeftHanded {
		along = -1
	}
	switch k.Type {
	case tea.KeyRunes, tea.KeySpace:
		if k.Alt {
			return ignored
		}
		return m.entry.rune(k.Runes[0], now)
	case tea.KeyEnter:
		return m.entry.enter()
	case tea.KeyBackspace:
		return m.entry.back()
	case tea.KeyUp:
		return m.entry.move(-1, 0, now)
	case tea.KeyDown:
		return m.entry.move(1, 0, now)
	case tea.KeyLeft:
		return m.entry.move(0, -along, now)
	case tea.KeyRight:
		return m.entry.move(0, along, now)
	}
	return ignored
}

// click takes a press of the mouse.
func (m *sittingView) click(x, y int, now time.Time) tea.Cmd {
	switch m.phase {
	case asking:
		at, ok := m.neck.At(x-m.neckX, y-m.neckY)
		if !ok || m.small() || m.early(now) {
			return nil
		}
		m.timer++
		if m.entry.click(at, now) == commit {
			return m.commit(true)
		}
	case telling, showing:
		if !m.unread(now) {
			return m.goOn()
		}
	}
	return nil
}

// tellingKey takes a key while feedback is on the screen.
func (m *sittingView) tellingKey(k tea.KeyMsg, now time.Time) tea.Cmd {
	k = single(k)[0]
	if cmd, ok := m.command(k, now); ok {
		return cmd
	}
	if cmd, ok := m.amend(k, now); ok {
		return cmd
	}
	switch {
	case k.String() == "u" && m.o.Sitting.CanTakeBack() && (m.phase == telling || m.turn.Lesson == nil):
		turn, err := m.o.Sitting.TakeBack(m.ctx, now)
		if err != nil {
			return m.fail(err)
		}
		m.quiet = time.Time{}
		m.went = m.went[:max(0, len(m.went)-1)]
		cmd := m.ask(turn)
		m.untimed = true // the right answer was on the screen
		m.notice = "Taken back: answer again."
		return cmd
	case m.unread(now):
		return nil
	case m.ended && (k.Type == tea.KeyEnter || k.Type == tea.KeySpace) && now.Sub(m.onset) < 2*m.lateKeys():
		m.ended = false // the answer's, from habit; the next one is meant
		return nil
	case k.String() == "m" && m.glanceable():
		m.leave(glancing, now)
		m.glance()
		return nil
	}
	return m.goOn()
}

// lateKeys is how long after an answer that ended by itself a key still belongs
// to it: the Enter that other answers need, a digit that came after the grace
// time. It moves nothing on and is no answer to the next question.
func (m *sittingView) lateKeys() time.Duration { return m.grace() + reading }

// grace is how long an answer to the question that could go on waits for another key.
func (m *sittingView) grace() time.Duration { return m.graceOf(m.turn.Question) }

func (m *sittingView) graceOf(q drills.Question) time.Duration {
	return max(m.o.Grace, m.o.Sitting.Typing().Wait(q))
}

// amend takes a key that came too late for the answer that is told and belongs to it: a
// sign or a digit of one that ended by itself. It reports false for any other.
func (m *sittingView) amend(k tea.KeyMsg, now time.Time) (tea.Cmd, bool) {
	until := m.given.key.Add(practice.SlowestHand)
	if m.result.Verdict.Right { // a slip must not spoil it
		until = m.quiet
	}
	if m.phase != telling || !m.ended || k.Type != tea.KeyRunes || k.Alt || !now.Before(until) {
		return nil, false
	}
	with, is := m.given.later(k.Runes[0], now)
	if is == 0 {
		return nil, false
	}
	if m.given = with; is&entire == 0 {
		return nil, true // the next key completes it
	}
	result, err := m.o.Sitting.Amend(m.ctx, now, with.answer())
	if err != nil {
		return m.fail(err), true
	}
	m.went = m.went[:max(0, len(m.went)-1)]
	return m.tell(result, true), true
}

// unread reports whether feedback has not been on the screen for long enough to
// be wiped out by a key.
func (m *sittingView) unread(now time.Time) bool {
	return now.Sub(m.onset) < reading || now.Before(m.quiet)
}
