package screen

import (
	"github.com/charmbracelet/huh"
	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"

	"surefret/cmd/surefret/ink"
)

// profile tells the form's library how many colours there are.
func profile(l ink.Look) termenv.Profile {
	switch l.Colours {
	case ink.ManyColours:
		return termenv.ANSI256
	case ink.FewColours, ink.NoColours: // bold and reverse, which the least would take too
		return termenv.ANSI
	}
	return termenv.Ascii
}

// theme draws the form in the tones of the neck, bone, bronze and ebony, and in
// ASCII where that is all there is. What is picked has a sign before it.
func theme(l ink.Look) *huh.Theme {
	t := huh.ThemeBase()
	along, picked := "┃", "▸ "
	if l.ASCII {
		along, picked = "|", "* "
	}
	t.Focused.Base = lipgloss.NewStyle().PaddingLeft(1).BorderStyle(lipgloss.Border{Left: along}).BorderLeft(true)
	t.Blurred.Base = lipgloss.NewStyle().PaddingLeft(1).BorderStyle(lipgloss.Border{Left: " "}).BorderLeft(true)
	t.Focused.Title = lipgloss.NewStyle().Bold(true)
	t.Focused.ErrorIndicator = lipgloss.NewStyle().SetString(" !")
	t.Focused.ErrorMessage = lipgloss.NewStyle()
	t.Blurred.ErrorIndicator, t.Blurred.ErrorMessage = t.Focused.ErrorIndicator, t.Focused.ErrorMessage
	t.Focused.SelectSelector = lipgloss.NewStyle().SetString(picked)
	t.Blurred.SelectSelector = lipgloss.NewStyle().SetString(picked)
	t.Focused.MultiSelectSelector, t.Blurred.MultiSelectSelector = t.Focused.SelectSelector, t.Blurred.SelectSelector
	t.Focused.SelectedOption = lipgloss.NewStyle().Bold(true)
	t.Focused.SelectedPrefix, t.Focused.UnselectedPrefix = lipgloss.NewStyle().SetString("[x] "), lipgloss.NewStyle().SetString("[ ] ")
	t.Blurred.SelectedPrefix, t.Blurred.UnselectedPrefix = t.Focused.SelectedPrefix, t.Focused.UnselectedPrefix
	if l.Colours == ink.ManyColours {
		t.Focused.Base = t.Focused.Base.BorderForeground(lipgloss.Color("179"))
		t.Focused.SelectedOption = lipgloss.NewStyle().Foreground(lipgloss.Color("231")).Background(lipgloss.Color("25"))
	}
	return t
}
