package screen

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/huh"
	"github.com/charmbracelet/lipgloss"

	"surefret/cmd/surefret/form"
	"surefret/cmd/surefret/ink"
)

// Ask shows a form and reports whether it was answered to its end: false when
// the player left it. It returns [io.EOF] when the terminal closed or ctx ended, and
// [ErrInterrupted] after ctrl-c. A nil in or out is the standard input or output.
func Ask(ctx context.Context, f form.Form, elsewhere string, look ink.Look, in io.Reader, out io.Writer) (answered bool, err error) {
	m := newFormPage(f, elsewhere, look)
	err = show(ctx, m, in, out, tea.WithAltScreen())
	switch {
	case m.form.State == huh.StateCompleted, m.begun:
		return true, m.take()
	case m.interrupted:
		return false, ErrInterrupted
	case err != nil && ctx.Err() == nil && !errors.Is(err, tea.ErrProgramKilled):
		return false, fmt.Errorf("use the terminal: %w", err)
	case m.form.State == huh.StateAborted:
		return false, nil
	}
	return false, io.EOF
}

// A formPage is a form on the screen: a header, the page of the form, why an
// answer is refused, and the keys.
type formPage struct {
	layout
	asked     form.Form
	elsewhere string // where to turn when the window is too small, a sentence
	fields    []*field
	form      *huh.Form

	long    *huh.MultiSelect[string] // a list that has the height of the window and is searched, nil for none
	found   bool                     // the list shows what was searched for
	leaving bool                     // Esc was pressed once

	interrupted bool // ctrl-c ended it
	begun       bool // all was taken as it was shown
}

// A field holds the answer to one question as the form's library has it.
type field struct {
	question form.Question
	listed   string   // the option that is picked, "" for the one that leads to typing
	picked   []string // where there may be several
	typed    string
	was      string               // typed at first
	shown    *huh.Select[string]  // the list of its options, nil for none
	reads    []huh.Option[string] // its options as they are shown
	inputs   []huh.Field          // all that it is asked by
	roomy    bool                 // the window has room for all of the list
}

// widestOption is how much of an option fits the smallest window: one that wrapped
// would push the cursor out of sight.
const widestOption = FewestColumns - 10

// mostOptions is how many options of a list are seen at once.
const mostOptions = 8

// formAt is the row where the form begins, below its header, and footRows what is
// kept free for the keys.
const (
	formAt   = 3
	footRows = 2
)

// newFormPage builds a form, of which one question at a time is open.
func newFormPage(f form.Form, elsewhere string, look ink.Look) *formPage {
	m := &formPage{layout: layout{look: look}, asked: f, elsewhere: elsewhere}
	var groups []*huh.Group
	for _, q := range f.Questions {
		a := newField(q)
		m.fields = append(m.fields, a)
		idle := func() bool { return q.Idle != nil && q.Idle() }
		switch {
		case q.Typed != "":
			groups = append(groups, a.group(a.list(), idle), a.group(a.line(), func() bool { return a.listed != "" || idle() }))
		case q.Several:
			groups = append(groups, a.group(m.several(a), idle))
		default:
			groups = append(groups, a.group(a.one(), idle))
		}
	}
	m.build(groups)
	return m
}

// group is an input of the question as the library has it.
func (a *field) group(input huh.Field, hidden func() bool) *huh.Group {
	a.inputs = append(a.inputs, input)
	return huh.NewGroup(input).WithHideFunc(hidden)
}

// build makes the library's form of the pages.
func (m *formPage) build(groups []*huh.Group) {
	keys := huh.NewDefaultKeyMap()
	keys.Select.Filter.SetEnabled(false) // "/" would search lists of two
	keys.MultiSelect.Filter.SetEnabled(false)
	lipgloss.SetColorProfile(profile(m.look))
	m.form = huh.NewForm(groups...).WithTheme(theme(m.look)).WithKeyMap(keys).WithShowHelp(false).WithShowErrors(false)
	m.form.SubmitCmd, m.form.CancelCmd = tea.Quit, tea.Quit
	if m.long != nil {
		m.long.WithKeyMap(huh.NewDefaultKeyMap()) // which searches
	}
}

// newField takes what is answered already.
func newField(q form.Question) *field {
	a := &field{question: q, listed: *q.Value, picked: q.Chosen(), typed: *q.Value}
	if q.Typed != "" {
		if q.Lists(*q.Value) {
			a.typed = ""
		} else {
			a.listed = ""
		}
	}
	a.was = a.typed
	return a
}

// text is the answer, as its question reads it.
func (a *field) text() string {
	switch q := a.question; {
	case q.Several:
		return strings.Join(a.picked, ",")
	case len(q.Options) > 0 && (q.Typed == "" || a.listed != ""):
		return a.listed
	}
	return a.typed
}

// one makes a field for one answer.
func (a *field) one() huh.Field {
	if len(a.question.Options) > 0 {
		return a.list()
	}
	return a.line()
}

// line makes a field to type in.
func (a *field) line() huh.Field {
	return huh.NewInput().Title(a.question.Ask).Description(a.question.Hint).Value(&a.typed).
		Prompt("> ").CharLimit(2000).Validate(a.question.Set)
}

// options lists what can be picked.
func (a *field) options() (all []huh.Option[string]) {
	for _, o := range a.question.List() {
		all = append(all, huh.NewOption(clip(o.Label, widestOption), o.Value))
	}
	if a.question.Typed != "" {
		all = append(all, huh.NewOption(a.question.Typed, ""))
	}
	return all
}

// list makes a field to pick one answer from. What it picks counts at once, since
// the pages after it may depend on it.
func (a *field) list() huh.Field {
	options := a.options()
	a.reads = options
	a.shown = huh.NewSelect[string]()
	list := a.shown.Title(a.question.Ask).Options(options...).Value(&a.listed).
		Validate(func(text string) error {
			if text == "" && a.question.Typed != "" {
				return nil
			}
			return a.question.Set(text)
		})
	switch {
	case a.question.Typed != "":
		list.Height(len(options) + 1)
	case len(options) > mostOptions:
		list.Height(mostOptions + 1) // a short list has its own; this would scroll past what is before the answer
	}
	return list
}

// several makes a field to pick several answers from.
func (m *formPage) several(a *field) huh.Field {
	options := a.options()
	list := huh.NewMultiSelect[string]().Title(a.question.Ask).Options(options...).Value(&a.picked)
	if len(options) > mostOptions {
		m.long = list
		return list.Description(fmt.Sprintf("%d to choose from", len(options))).Height(mostOptions + 2)
	}
	return list.Height(len(options) + 1)
}

// take hands the answers to their questions, but those that are passed over.
func (m *formPage) take() error {
	for _, a := range m.fields {
		if a.question.Idle != nil && a.question.Idle() {
			continue
		}
		if err := a.question.Set(a.text()); err != nil {
			return err
		}
	}
	return nil
}

// Init starts the form.
func (m *formPage) Init() tea.Cmd { return m.form.Init() }

// Update hands events to the form, which gets the rows between header and
// footer.
func (m *formPage) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch now := msg.(type) {
	case tea.WindowSizeMsg:
		m.resize(now.Width, now.Height)
		if m.long != nil {
			m.long.Height(max(m.height-formAt-8, mostOptions) + 2)
		}
		for _, a := range m.fields {
			if a.roomy = a.question.Typed != "" && len(a.reads)+len(m.fields) < m.height-formAt-footRows; a.roomy {
				a.showAll()
			}
		}
		msg = tea.WindowSizeMsg{Width: m.width - 2, Height: m.height - formAt - footRows}
	case tea.KeyMsg:
		if cmd, leaves := m.esc(now); leaves {
			return m, cmd
		}
		m.interrupted = now.Type == tea.KeyCtrlC
		if _, list := m.form.GetFocusedField().(*huh.Select[string]); list && now.Type == tea.KeySpace && m.asked.Begin != "" && m.take() == nil {
			m.begun = true
			return m, tea.Quit
		}
		if m.pick(now) {
			return m, nil
		}
	}
	f, cmd := m.form.Update(msg)
	m.form = f.(*huh.Form)
	for _, a := range m.fields {
		a.read()
	}
	return m, cmd
}

// read shows the options of a question as they read now, while it is not the one in hand.
func (a *field) read() {
	if a.question.Now == nil {
		return
	}
	if now := a.options(); !slices.EqualFunc(now, a.reads, func(x, y huh.Option[string]) bool { return x.Key == y.Key }) {
		a.reads = now
		a.shown.Options(now...)
		if a.roomy {
			a.showAll()
		}
	}
}

// showAll gives a list the rows that it needs, and goes up and down once in it: a list that
// scrolls hides what is before the answer, and so does one that was just filled.
func (a *field) showAll() {
	a.shown.Height(0)
	if at, _ := a.shown.Hovered(); len(a.reads) > 0 && at != a.reads[0].Value {
		a.shown.Update(tea.KeyMsg{Type: tea.KeyUp})
		a.shown.Update(tea.KeyMsg{Type: tea.KeyDown})
	}
}

// esc looks whether a key leaves the form: Esc does, outside of a search, and only
// the second time where something was typed.
func (m *formPage) esc(k tea.KeyMsg) (cmd tea.Cmd, leaves bool) {
	esc := k.Type == tea.KeyEsc
	switch {
	case m.searching():
		m.found = m.found || esc || k.Type == tea.KeyEnter
	case esc && m.found && m.form.GetFocusedField() == huh.Field(m.long):
		m.found = false // it shows all again
	case esc && m.changed() && !m.leaving:
		m.leaving = true
		return nil, true
	case esc:
		m.form.State = huh.StateAborted
		return tea.Quit, true
	default:
		m.leaving = false
	}
	return nil, false
}

// pick takes a letter or a number for the option that it begins, where the question
// in hand is a list, and reports whether it was one.
func (m *formPage) pick(k tea.KeyMsg) bool {
	list, ok := m.form.GetFocusedField().(*huh.Select[string])
	if !ok || k.Type != tea.KeyRunes {
		return false
	}
	i := slices.IndexFunc(m.fields, func(a *field) bool { return a.shown == list })
	if i < 0 {
		return false
	}
	wanted, ok := m.fields[i].question.Option(string(k.Runes))
	for n := 0; ok && n < len(m.fields[i].question.Options); n++ {
		if at, _ := list.Hovered(); at == wanted.Value {
			break
		}
		m.form.Update(tea.KeyMsg{Type: tea.KeyDown})
	}
	return ok
}

// changed reports whether something was typed that would be lost.
func (m *formPage) changed() bool {
	return slices.ContainsFunc(m.fields, func(a *field) bool { return a.typed != a.was })
}

// searching reports whether keys go to the search of a list.
func (m *formPage) searching() bool { return m.long != nil && m.long.GetFiltering() }
