package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/practice"
	"surefret/drills"
)

// largestPlan is the most bytes that a file with a choice may have.
const largestPlan = 1 << 16

func (p *program) chooseCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "choose",
		Short: "Choose what is practised, from now on until you choose anew",
		Long: "Choose what is practised, from now on until you choose anew. Without a command it\n" +
			"lists the words to choose by, with how much of each is known. A word is one of\n" +
			"these, or a part of a name (triads-321-minor), a topic or the words it begins with\n" +
			"(naturals-on-string-6, chords-of-A), string-6, key-Eb or frets-0-12.\n\n" +
			"The choice goes before the order in which things are met. A gig gets what it needs\n" +
			"in its last three weeks all the same. What 'surefret practice' is told by --drill,\n" +
			"--strings, --keys, --frets, --notes or --gig goes before the choice, for that time.",
		Example: "  surefret choose\n  surefret choose only triads-321 tenths\n  surefret choose all",
		Args:    cli.Needs(),
		RunE: p.look(func(_ context.Context, pl *kept.Practice, _ []string) error {
			page := pl.ChoicePage()
			return p.Show(page, page.Sentences, func() error {
				_, err := fmt.Fprint(p.Out, page.Text(p.Columns(), p.Paper(pl.Settings.Drawing)))
				return err
			})
		}),
	}
	addJSON(cmd, "print the choice and the words as JSON")
	cmd.AddCommand(
		p.choosing("only WORDS...", "Practise only this", "surefret choose only triads-321 tenths\n  surefret choose only note string-6 frets-0-12",
			func(ch *drills.Choice, words []string) { ch.Only, ch.Without = words, nil }),
		p.choosing("without WORDS...", "Leave this out, too", "surefret choose without ear",
			func(ch *drills.Choice, words []string) { ch.Without = practice.Union(ch.Without, words) }),
		p.choosing("keep WORDS...", "Let a few things come every day until they are sure", "surefret choose keep tenth-6-minor",
			func(ch *drills.Choice, words []string) { ch.Keep = practice.Union(ch.Keep, words) }),
		p.choosing("all", "Practise everything again, and keep nothing for every day", "surefret choose all",
			func(ch *drills.Choice, _ []string) { *ch = drills.Choice{} }),
		p.chooseExport(), p.chooseImport())
	return cmd
}

// choosing is a command that changes the choice by words.
func (p *program) choosing(use, short, example string, change func(*drills.Choice, []string)) *cobra.Command {
	args := cobra.MinimumNArgs(1)
	if !strings.Contains(use, " ") {
		args = cli.Needs()
	}
	return &cobra.Command{
		Use: use, Short: short, Example: "  " + example, Args: args,
		RunE: p.withPlayer(func(ctx context.Context, pl *kept.Practice, words []string) error {
			choice := pl.Choice()
			change(&choice, practice.Union(nil, words))
			return p.keepChoice(ctx, pl, choice)
		}),
	}
}

// keepChoice checks a choice, keeps it and says it.
func (p *program) keepChoice(ctx context.Context, pl *kept.Practice, choice drills.Choice) error {
	if err := pl.Catalogue().Check(choice); err != nil {
		return cli.BadInput{Err: err}
	}
	err := pl.Choose(ctx, choice)
	if errors.As(err, new(practice.NothingLeftError)) {
		return usagef("these words together leave nothing to practise on this instrument: leave one out; nothing is changed")
	}
	if err != nil {
		return err
	}
	fmt.Fprintln(p.Out, choice)
	return nil
}

// offerWeak says below a report what is weakest, and how to practise it.
func (p *program) offerWeak(pl *kept.Practice) {
	if text := practice.SayWeak(pl.Weak()); text != "" {
		fmt.Fprintln(p.Out)
		p.PrintFolded(text)
	}
}

func (p *program) chooseExport() *cobra.Command {
	return &cobra.Command{
		Use:     "export FILE",
		Short:   "Write the choice to a small file, to hand to a pupil",
		Example: "  surefret choose export week-3.json",
		Args:    cli.Needs("FILE"),
		RunE: p.look(func(_ context.Context, pl *kept.Practice, args []string) error {
			return p.write(args[0], func(w io.Writer) error { return practice.WriteChoice(w, pl.Choice()) })
		}),
	}
}

func (p *program) chooseImport() *cobra.Command {
	return &cobra.Command{
		Use:     "import FILE",
		Short:   "Practise what a file from 'choose export' says, as far as your instrument has it",
		Example: "  surefret choose import week-3.json",
		Args:    cli.Needs("FILE"),
		RunE: func(cmd *cobra.Command, args []string) error {
			text, err := cli.ReadText(args[0], "a choice", largestPlan)
			if err != nil {
				return err
			}
			choice, ok := practice.ReadChoice(text)
			if !ok {
				return usagef("%s holds no choice: give a file that 'surefret choose export' wrote", args[0])
			}
			return p.withPlayer(func(ctx context.Context, pl *kept.Practice, _ []string) error {
				known, unknown := pl.Catalogue().Known(choice)
				if len(choice.Only) > 0 && len(known.Only) == 0 {
					return usagef("nothing of %s is on this instrument: nothing is changed", args[0])
				}
				if err := p.keepChoice(ctx, pl, known); err != nil || len(unknown) == 0 {
					return err
				}
				fmt.Fprintf(p.Err, "Left out, since this instrument has nothing of the name: %s.\n", cli.Shown(strings.Join(unknown, ", ")))
				return nil
			})(cmd, args)
		},
	}
}
