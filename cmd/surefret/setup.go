package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/form"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/line"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/screen"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/synth/microphone"
)

func (p *program) setupCommand() *cobra.Command {
	var lines bool
	cmd := &cobra.Command{
		Use:     "setup",
		Short:   "Set the instrument, the hand, note names, the aim and the sound",
		Example: "  surefret setup\n  surefret setup --line",
		Args:    cli.Needs(),
		RunE:    p.withPlayer(func(ctx context.Context, pl *kept.Practice, _ []string) error { return p.setUp(ctx, pl, lines) }),
	}
	cmd.Flags().BoolVar(&lines, "line", false, "plain questions instead of the form")
	return cmd
}

// setUp asks for the settings and saves them. A player who leaves the form
// keeps what was set before; in lines what was answered is kept, however they end.
func (p *program) setUp(ctx context.Context, pl *kept.Practice, lines bool) error {
	chosen := pl.Settings
	p.inFull = lines // who wants lines may listen to them
	lines = p.inLines(pl, lines)
	ask := p.asker(pl, lines, "'surefret setup --line' asks in plain lines.")
	asked, words := settings.Form(&chosen, p.inputNames()...), strings.Join(pl.Choice().Only, ",")
	words = cmp.Or(words, everything)
	asked.Questions = append(asked.Questions, whatQuestion(pl, &words))
	answered, err := ask(ctx, asked)
	switch {
	case !answered && !lines && (err == nil || errors.Is(err, io.EOF)):
		return screen.ErrLeft
	case err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, line.ErrNoAnswer):
		return err
	}
	before := pl.Settings
	if saved := pl.Save(ctx, chosen); saved != nil {
		return saved
	}
	if choice := chosenWith(pl.Choice(), words); !slices.Equal(choice.Only, pl.Choice().Only) {
		if err := p.keepChoice(ctx, pl, choice); err != nil {
			return err
		}
	}
	if errors.Is(err, line.ErrNoAnswer) {
		return err
	}
	if lines {
		fmt.Fprintln(p.Err, settings.Told(before, chosen)+" 'surefret' begins to practise.")
	}
	return nil
}

// inputNames are those of the inputs that there are.
func (p *program) inputNames() (names []string) {
	inputs, _ := microphone.Inputs(p.inputs()) // none can be picked where none can be listed
	for _, in := range inputs {
		names = append(names, in.Name)
	}
	return names
}

// everything stands for no choice.
const everything = "all"

// whatQuestion asks for what is practised, as 'surefret choose only' does.
func whatQuestion(pl *kept.Practice, words *string) form.Question {
	return form.Question{Ask: "What is practised?", Hint: "words as 'surefret choose' lists them, commas between, or all", Value: words,
		Check: func(text string) error { return pl.Catalogue().Check(chosenWith(drills.Choice{}, text)) }}
}

// chosenWith is a choice with other words for what alone is practised.
func chosenWith(choice drills.Choice, words string) drills.Choice {
	choice.Only, choice.Without = nil, nil
	if words != everything {
		choice.Only = practice.Union(nil, []string{words})
	}
	return choice
}
