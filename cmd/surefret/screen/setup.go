package screen

import (
	"context"
	"errors"
	"fmt"
	"io"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/huh"
	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"

	"surefret/cmd/surefret/settings"
)

// ErrLeft is returned by Setup when the player left the form.
var ErrLeft = errors.New("the form was left, nothing is changed")

// SetupOptions are what the form of settings works with.
type SetupOptions struct {
	All  bool // every setting, not only those of the first run
	Look Look

	In  io.Reader // nil is standard input
	Out io.Writer // nil is standard output
}

// Setup shows the form of settings, filled with s, and returns what the player
// chose. It returns s itself and ErrLeft when the player left it, the terminal
// closed or ctx ended.
func Setup(ctx context.Context, s settings.Settings, o SetupOptions) (settings.Settings, error) {
	ctx, stop := stoppable(ctx)
	defer stop()
	m := newSetup(s, o)
	err := show(ctx, m, o.In, o.Out, tea.WithAltScreen())
	switch {
	case m.form.State == huh.StateCompleted:
		return m.chosen()
	case err != nil && ctx.Err() == nil && !errors.Is(err, tea.ErrProgramKilled):
		return s, fmt.Errorf("use the terminal: %w", err)
	}
	return s, ErrLeft
}

// A setup is the model of the form.
type setup struct {
	formPage
	was    settings.Settings
	fields []settings.Field
	values map[string]*string // by key, as the fields read them
}

// typedTuning is the key of the tuning that is typed because it has no name.
const typedTuning = "typed tuning"

// newSetup builds the form. A page holds two settings at the most, so that the
// smallest window shows them whole.
func newSetup(s settings.Settings, o SetupOptions) *setup {
	m := &setup{was: s, values: map[string]*string{}}
	for _, f := range settings.Fields {
		if f.First || o.All {
			m.fields = append(m.fields, f)
			value := f.Get(s)
			m.values[f.Key] = &value
		}
	}
	var groups []*huh.Group
	var page []huh.Field
	turn := func() {
		if len(page) > 0 {
			groups = append(groups, huh.NewGroup(page...))
		}
		page = nil
	}
	for _, f := range m.fields {
		switch {
		case f.Typed:
			turn()
			groups = append(groups, m.tuning(f)...)
			continue
		case f.Key == "volume":
			turn()
			groups = append(groups, huh.NewGroup(m.field(f)).WithHideFunc(func() bool { return *m.values["sound"] == "off" }))
			continue
		}
		if page = append(page, m.field(f)); len(page) == 2 {
			turn()
		}
	}
	turn()
	m.formPage = newFormPage(o.Look, groups...)
	m.title, m.note = "Your instrument and your ways", "Each can be changed later, with 'surefret setup'."
	m.leave, m.elsewhere = "leave it as it was", "'surefret setup --line' asks in plain lines."
	return m
}

// field makes a list to pick from, or a line to type in.
func (m *setup) field(f settings.Field) huh.Field {
	value := m.values[f.Key]
	if len(f.Options) > 0 {
		// Without a height: one that is set scrolls past what is before the answer.
		return huh.NewSelect[string]().Title(f.Ask).Options(options(f)...).Value(value)
	}
	return huh.NewInput().Title(f.Ask).Description(f.Hint).Value(value).
		Prompt("> ").CharLimit(12).Validate(refusal(f))
}

// tuning makes the list of named tunings, and a page for one without a name.
func (m *setup) tuning(f settings.Field) []*huh.Group {
	value := m.values[f.Key]
	typed := *value
	m.values[typedTuning] = &typed
	list := append(options(f), huh.NewOption("another, string by string", ""))
	named := false
	for _, o := range f.Options {
		named = named || o.Value == *value
	}
	if !named {
		*value = ""
	} else {
		typed = ""
	}
	return []*huh.Group{
		huh.NewGroup(huh.NewSelect[string]().Title(f.Ask).Options(list...).Value(value).Height(len(list) + 1)),
		huh.NewGroup(huh.NewInput().Title("Which are the open strings?").Description("from low to high, like C2 G2 D3 A3").
			Value(&typed).Prompt("> ").CharLimit(60).Validate(refusal(f))).
			WithHideFunc(func() bool { return *value != "" }),
	}
}

func options(f settings.Field) []huh.Option[string] {
	var all []huh.Option[string]
	for _, o := range f.Options {
		all = append(all, huh.NewOption(o.Label, o.Value))
	}
	return all
}

// refusal tries a text on settings of its own.
func refusal(f settings.Field) func(string) error {
	return func(text string) error {
		s := settings.Default()
		return f.Set(&s, text)
	}
}

// chosen reads the form.
func (m *setup) chosen() (settings.Settings, error) {
	s := m.was
	for _, f := range m.fields {
		text := *m.values[f.Key]
		if f.Typed && text == "" {
			text = *m.values[typedTuning]
		}
		if err := f.Set(&s, text); err != nil {
			return m.was, err
		}
	}
	return s, s.Check()
}

// profile tells the form's library how many colours there are.
func profile(l Look) termenv.Profile {
	switch l.Colours {
	case ManyColours:
		return termenv.ANSI256
	case FewColours:
		return termenv.ANSI
	}
	return termenv.Ascii
}

// theme draws the form in the tones of the neck, bone, bronze and ebony, and in
// ASCII where that is all there is. What is picked has a sign before it.
func theme(l Look) *huh.Theme {
	t := huh.ThemeBase()
	along := "┃"
	if l.ASCII {
		along = "|"
	}
	t.Focused.Base = lipgloss.NewStyle().PaddingLeft(1).BorderStyle(lipgloss.Border{Left: along}).BorderLeft(true)
	t.Blurred.Base = lipgloss.NewStyle().PaddingLeft(1).BorderStyle(lipgloss.Border{Left: " "}).BorderLeft(true)
	t.Focused.Title = lipgloss.NewStyle().Bold(true)
	t.Focused.ErrorIndicator = lipgloss.NewStyle().SetString(" !")
	t.Focused.ErrorMessage = lipgloss.NewStyle()
	t.Blurred.ErrorIndicator, t.Blurred.ErrorMessage = t.Focused.ErrorIndicator, t.Focused.ErrorMessage
	t.Focused.SelectSelector = lipgloss.NewStyle().SetString("> ")
	t.Blurred.SelectSelector = lipgloss.NewStyle().SetString("> ")
	t.Focused.SelectedOption = lipgloss.NewStyle().Bold(true)
	t.Focused.SelectedPrefix, t.Focused.UnselectedPrefix = lipgloss.NewStyle().SetString("[x] "), lipgloss.NewStyle().SetString("[ ] ")
	t.Blurred.SelectedPrefix, t.Blurred.UnselectedPrefix = t.Focused.SelectedPrefix, t.Focused.UnselectedPrefix
	if l.Colours == ManyColours {
		t.Focused.Base = t.Focused.Base.BorderForeground(lipgloss.Color("179"))
		t.Focused.SelectedOption = lipgloss.NewStyle().Foreground(lipgloss.Color("231")).Background(lipgloss.Color("25"))
	}
	return t
}
