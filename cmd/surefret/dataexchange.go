package main

import (
	"context"
	"errors"
	"io"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/form"
	"surefret/cmd/surefret/kept"
	"surefret/cmd/surefret/line"
	"surefret/store"
)

func (p *program) dataExport() *cobra.Command {
	var asCSV bool
	cmd := &cobra.Command{
		Use:   "export [FILE]",
		Short: "Write your practice as text: JSON Lines, or a table for a spreadsheet",
		Long: "Without a FILE, or with -, the text goes to standard output. JSON Lines hold everything and\n" +
			"can be imported again; a change of a gig or a setting whose value is null removes\n" +
			"it, and the latest counts:\n\n" +
			"  {\"kind\":\"surefret\",\"format\":2}\n" +
			"  {\"kind\":\"answer\",\"id\":...,\"device\":...,\"at\":\"2026-11-25T07:00:00.000Z\",\n" +
			"   \"day\":\"2026-11-25\",\"item\":...,\"question\":...,\"answer\":...,\"want\":...,\n" +
			"   \"right\":true,\"thinking_ms\":1200,\"entry\":\"keys\"}\n" +
			"  {\"kind\":\"gig\",\"id\":...,\"device\":...,\"at\":...,\"key\":...,\"value\":{...}}\n" +
			"  {\"kind\":\"setting\",\"id\":...,\"device\":...,\"at\":...,\"key\":...,\"value\":...}\n" +
			"  {\"kind\":\"end\",\"rows\":3}\n\n" +
			"An answer that takes back another has its id as \"takes_back\". The table for a\n" +
			"spreadsheet holds the answers that count.",
		Example: "  surefret data export practice.jsonl\n  surefret data export --csv practice.csv",
		Args:    cobra.MaximumNArgs(1),
		RunE: p.readWith(func(ctx context.Context, db *store.DB, args []string) error {
			export := func(w io.Writer) error { return db.Export(ctx, w) }
			if asCSV {
				export = func(w io.Writer) error { return db.ExportCSV(ctx, w) }
			}
			if len(args) == 0 {
				return export(p.Out)
			}
			return p.write(args[0], export)
		}),
	}
	cmd.Flags().BoolVar(&asCSV, "csv", false, "a table for a spreadsheet, which cannot be imported again")
	return cmd
}

func (p *program) dataImport() *cobra.Command {
	var mine bool
	cmd := &cobra.Command{
		Use:   "import FILE",
		Short: "Take over an export: all of it, or nothing",
		Long: "FILE is what 'data export' wrote, or - for standard input. What is here already\n" +
			"is passed over, so a file may be imported twice.\n\n" +
			"Where it is another player's, his answers would count as yours, so you are asked\n" +
			"first, or give --mine.",
		Example: "  surefret data import practice.jsonl",
		Args:    cli.Needs("FILE"),
		RunE: func(cmd *cobra.Command, args []string) error {
			in, name := p.Input(cmd.Context()), "the import"
			if args[0] != "-" {
				name = args[0]
				f, err := cli.OpenInput(args[0], "an export")
				if err != nil {
					return err
				}
				defer f.Close()
				in = f
			}
			return p.takeOver(cmd.Context(), name, mine, "", func(ctx context.Context, db *store.DB) (store.Merged, error) { return db.Import(ctx, in) })
		},
	}
	addJSON(cmd, "print what was done as JSON")
	cmd.Flags().BoolVar(&mine, "mine", false, "the practice in the file is yours, too")
	return cmd
}

func (p *program) dataMerge() *cobra.Command {
	var mine bool
	cmd := &cobra.Command{
		Use:   "merge OTHER.db",
		Short: "Take over what was practised on another computer",
		Long: "Afterwards your practice holds the answers of both. Where both changed the same\n" +
			"setting, or the same field or song of a gig, the later change counts, and the\n" +
			"other one is told. OTHER.db is only read; merge in the other direction too, and\n" +
			"both are the same.\n\n" +
			"Where OTHER.db is another player's, his answers would count as yours, so you are\n" +
			"asked first, or give --mine: two computers that you set up each by itself have\n" +
			"never met before, and are asked about once.",
		Example: "  surefret data merge laptop.db",
		Args:    cli.Needs("OTHER.db"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return p.takeOver(cmd.Context(), args[0], mine, "; 'surefret pupils' shows it beside yours", func(ctx context.Context, db *store.DB) (store.Merged, error) {
				return db.Merge(ctx, args[0])
			})
		},
	}
	addJSON(cmd, "print what was done as JSON")
	cmd.Flags().BoolVar(&mine, "mine", false, "the other practice is yours, too")
	return cmd
}

// takeOver takes the answers of another practice, called name, into the player's own, and
// says what came of it.
func (p *program) takeOver(ctx context.Context, name string, mine bool, instead string, take func(context.Context, *store.DB) (store.Merged, error)) (err error) {
	at, err := p.dated()
	if err != nil {
		return err
	}
	db, _, err := at.OpenLog(ctx)
	if err != nil {
		return err
	}
	defer func() {
		if cerr := db.Close(); err == nil {
			err = cerr
		}
	}()
	db.Whose = p.askWhose(name, mine, instead)
	m, err := take(ctx, db)
	if err != nil {
		return kept.Mendable(err)
	}
	if p.JSON {
		return p.PrintJSON(m)
	}
	return p.Print(kept.Merged(m))
}

// askWhose returns what asks whether a practice, called name, that seems another
// player's is to be taken over; where nobody can answer, --mine says so. instead is
// what else there is to do with it.
func (p *program) askWhose(name string, mine bool, instead string) func(context.Context) error {
	return func(ctx context.Context) error {
		if mine {
			return nil
		}
		whose := form.No
		if p.Keyboard() != nil {
			ask := form.Form{Questions: []form.Question{{Ask: name + " seems to be another player's. Is it yours, too?", Hint: "yes or no",
				Options: form.YesOrNo(), Value: &whose}}}
			if _, err := line.NewReader(p.In, p.Err, p.Err).Ask(ctx, ask); err != nil && !errors.Is(err, io.EOF) {
				return err
			}
		}
		if whose == form.Yes {
			return nil
		}
		return usagef("%s is another player's practice, and nothing was taken over: use --mine if it is yours%s", name, instead)
	}
}
