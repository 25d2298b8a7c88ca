package screen

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/huh"
	"github.com/charmbracelet/lipgloss"

	"surefret/cmd/surefret/form"
)

// A formPage is a form on the screen: a header, the page of the form, why an
// answer is refused, and the keys.
type formPage struct {
	form          *huh.Form
	look          Look
	title, note   string
	leave         string // what Esc does
	elsewhere     string // where to turn when the window is too small, a sentence
	width, height int

	long  *huh.MultiSelect[string] // a list that has the height of the window and is searched, nil for none
	found bool                     // the list shows what was searched for

	typed   func() bool // whether there is something to lose, nil for no
	leaving bool        // Esc was pressed once
}

// newFormPage builds the page of a form.
func newFormPage(look Look, groups ...*huh.Group) formPage {
	keys := huh.NewDefaultKeyMap()
	keys.Select.Filter.SetEnabled(false) // "/" would search lists of two
	keys.MultiSelect.Filter.SetEnabled(false)
	lipgloss.SetColorProfile(profile(look))
	f := huh.NewForm(groups...).WithTheme(theme(look)).WithKeyMap(keys).WithShowHelp(false).WithShowErrors(false)
	f.SubmitCmd, f.CancelCmd = tea.Quit, tea.Quit
	return formPage{form: f, look: look}
}

// Init starts the form.
func (m *formPage) Init() tea.Cmd { return m.form.Init() }

// formAt is the row where the form begins, below its header.
const formAt = 3

// Update hands events to the form, which gets the rows between header and
// footer.
func (m *formPage) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		m.width, m.height = msg.Width, msg.Height
		if m.width == 0 || m.height == 0 {
			m.width, m.height = 80, 24
		}
		m.fit()
		f, cmd := m.form.Update(tea.WindowSizeMsg{Width: m.width - 2, Height: m.height - formAt - 2})
		m.form = f.(*huh.Form)
		return m, cmd
	case tea.KeyMsg:
		esc := msg.Type == tea.KeyEsc
		switch {
		case m.searching():
			m.found = m.found || esc || msg.Type == tea.KeyEnter
		case esc && m.found && m.form.GetFocusedField() == huh.Field(m.long):
			m.found = false // it shows all again
		case esc && m.typed != nil && m.typed() && !m.leaving:
			m.leaving = true
			return m, nil
		case esc:
			m.form.State = huh.StateAborted
			return m, tea.Quit
		default:
			m.leaving = false
		}
	}
	f, cmd := m.form.Update(msg)
	m.form = f.(*huh.Form)
	return m, cmd
}

// fit gives a long list the rows of the window.
func (m *formPage) fit() {
	if m.long != nil {
		m.long.Height(max(m.height-formAt-8, mostOptions) + 2)
	}
}

// searching reports whether keys go to the search of a list.
func (m *formPage) searching() bool { return m.long != nil && m.long.GetFiltering() }

// View draws a header, the page of the form and the keys.
func (m *formPage) View() string {
	switch {
	case m.width == 0 || m.form.State != huh.StateNormal:
		return ""
	case m.width < FewestColumns || m.height < FewestRows:
		return strings.Join(wrap(fmt.Sprintf("The form needs a window of %d columns and %d rows; this one has %d and %d. %s",
			FewestColumns, FewestRows, m.width, m.height, m.elsewhere), m.width), "\n")
	}
	k := &sittingView{o: Options{Look: m.look}, width: m.width, height: m.height}
	page := append(k.indent(m.look.paint(strong, m.title)), k.indent(m.note, "")...)
	for _, l := range strings.Split(m.form.View(), "\n") {
		page = append(page, strings.TrimRight(" "+l, " "))
	}
	var foot []string
	field := m.form.GetFocusedField()
	if err := field.Error(); err != nil {
		foot = append(k.indent(wrap(err.Error()+".", k.measure())...), "")
	}
	leave := m.leave
	if m.leaving {
		leave = "again: " + leave
	}
	keys := []string{"Up Down", "pick", "Enter", "next", "Shift+Tab", "back", "Esc", leave}
	if list, several := field.(*huh.MultiSelect[string]); several {
		keys = append([]string{"Space", "take"}, keys...)
		switch {
		case m.searching():
			keys = []string{"Enter", "to what was found"}
		case list == m.long && m.found:
			keys = append([]string{"/", "search"}, keys[:len(keys)-2]...)
			keys = append(keys, "Esc", "all of them again")
		case list == m.long:
			keys = append([]string{"/", "search"}, keys...)
		}
	}
	return k.page(page, append(foot, k.keys(keys...)...))
}

// Ask shows a form and reports whether it was answered to its end: false when
// the player left it. It returns [io.EOF] when the terminal closed or ctx ended. A
// nil in or out is the standard input or output.
func Ask(ctx context.Context, f form.Form, elsewhere string, look Look, in io.Reader, out io.Writer) (answered bool, err error) {
	ctx, stop := stoppable(ctx)
	defer stop()
	m := newAsking(f, elsewhere, look)
	err = show(ctx, m, in, out, tea.WithAltScreen())
	switch {
	case m.form.State == huh.StateCompleted:
		return true, m.take()
	case err != nil && ctx.Err() == nil && !errors.Is(err, tea.ErrProgramKilled):
		return false, fmt.Errorf("use the terminal: %w", err)
	case m.form.State == huh.StateAborted:
		return false, nil
	}
	return false, io.EOF
}

// An askedForm is one form of questions with its answers as the fields hold them.
type askedForm struct {
	formPage
	questions []form.Question
	texts     []string
	picked    [][]string
}

// widestOption is how much of an option fits the smallest window: one that wrapped
// would push the cursor out of sight.
const widestOption = FewestColumns - 10

// clip cuts a text to so many letters.
func clip(text string, most int) string {
	if letters := []rune(text); len(letters) > most {
		return string(letters[:most-1]) + "…"
	}
	return text
}

// mostOptions is how many options of a list are seen at once.
const mostOptions = 8

// newAsking builds a form: two typed answers on a page, a list on its own.
func newAsking(f form.Form, elsewhere string, look Look) *askedForm {
	m := &askedForm{questions: f.Questions, texts: make([]string, len(f.Questions)), picked: make([][]string, len(f.Questions))}
	var groups []*huh.Group
	var page []huh.Field
	turn := func() {
		if len(page) > 0 {
			groups = append(groups, huh.NewGroup(page...))
		}
		page = nil
	}
	for i, q := range f.Questions {
		m.texts[i], m.picked[i] = *q.Value, q.Chosen()
		if len(q.Options) > 0 {
			turn()
			groups = append(groups, huh.NewGroup(m.list(i, q)))
			continue
		}
		page = append(page, huh.NewInput().Title(q.Ask).Description(q.Hint).Value(&m.texts[i]).
			Prompt("> ").CharLimit(2000).Validate(q.Set))
		if len(page) == 2 {
			turn()
		}
	}
	turn()
	long := m.long
	m.formPage = newFormPage(look, groups...)
	if m.long = long; long != nil {
		long.WithKeyMap(huh.NewDefaultKeyMap()) // which searches
	}
	m.title, m.note, m.leave, m.elsewhere = f.Title, f.Note, f.Leave, elsewhere
	m.typed = func() bool {
		for i, q := range m.questions {
			if len(q.Options) == 0 && m.texts[i] != "" {
				return true
			}
		}
		return false
	}
	return m
}

// list makes a field to pick from.
func (m *askedForm) list(i int, q form.Question) huh.Field {
	var options []huh.Option[string]
	for _, o := range q.Options {
		options = append(options, huh.NewOption(clip(o.Label, widestOption), o.Value))
	}
	if q.Several {
		list := huh.NewMultiSelect[string]().Title(q.Ask).Options(options...).Value(&m.picked[i])
		if len(options) > mostOptions {
			m.long = list
			return list.Description(fmt.Sprintf("%d to choose from", len(options))).Height(mostOptions + 2)
		}
		return list.Height(len(options) + 1)
	}
	list := huh.NewSelect[string]().Title(q.Ask).Options(options...).Value(&m.texts[i])
	if len(options) > mostOptions {
		list.Height(mostOptions + 1) // a short list has its own; this would scroll past what is before the answer
	}
	return list
}

// take hands the answers to their questions.
func (m *askedForm) take() error {
	for i, q := range m.questions {
		text := m.texts[i]
		if q.Several {
			text = strings.Join(m.picked[i], ",")
		}
		if err := q.Set(text); err != nil {
			return err
		}
	}
	return nil
}
