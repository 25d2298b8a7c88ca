package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/kept"
	"surefret/store"
)

func (p *program) dataCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "data",
		Short: "Your own practice: where it is, backups, and taking it elsewhere",
		Long: "All of your practice is in one file. It is backed up once a day beside itself:\n" +
			"the newest seven days and one day of each month are kept. Copy it with 'data\n" +
			"backup', not by hand: the newest answers may still be in the -wal file beside it.",
		Example: "  surefret data where\n  surefret data backup /media/stick/practice.db\n  surefret data merge laptop.db",
		Args:    cli.Needs(),
	}
	cmd.AddCommand(p.dataWhere(), p.dataCheck(), p.dataBackup(), p.dataRestore(), p.dataExport(), p.dataImport(), p.dataMerge())
	return cmd
}

// A task is what a command does with a log whose teaching it has no need of, and with its
// arguments.
type task func(ctx context.Context, db *store.DB, args []string) error

// on does the task and closes the log.
func (do task) on(ctx context.Context, db *store.DB, args []string) error {
	err := do(ctx, db, args)
	if cerr := db.Close(); err == nil {
		err = cerr
	}
	return err
}

// withOld has a command open the log where there is one already: it makes none. One that
// cannot be written is read.
func (p *program) withOld(do task) func(*cobra.Command, []string) error {
	return func(cmd *cobra.Command, args []string) error {
		at, err := p.dated()
		if err != nil {
			return err
		}
		if !at.Exists() {
			return at.Missing()
		}
		db, _, err := at.OpenLog(cmd.Context())
		if errors.Is(err, store.ErrDenied) {
			return p.readWith(do)(cmd, args)
		} else if err != nil {
			return err
		}
		return do.on(cmd.Context(), db, args)
	}
}

// readWith has a command read the log.
func (p *program) readWith(do task) func(*cobra.Command, []string) error {
	return func(cmd *cobra.Command, args []string) error {
		at, err := p.dated()
		if err != nil {
			return err
		}
		db, err := at.ReadLog(cmd.Context())
		if err != nil {
			return err
		}
		if db == nil {
			return at.Missing()
		}
		return do.on(cmd.Context(), db, args)
	}
}

func (p *program) dataWhere() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "where",
		Short:   "Say where your practice and its backups are",
		Example: "  surefret data where",
		Args:    cli.Needs(),
		RunE: func(*cobra.Command, []string) error {
			at, err := p.place()
			if err != nil {
				return err
			}
			path, err := filepath.Abs(at.Path)
			if err != nil {
				return err
			}
			where := struct {
				Path    string   `json:"path"`
				Bytes   int64    `json:"bytes"` // 0 where there is none yet
				Backups []string `json:"backups"`
			}{Path: path, Backups: append([]string{}, store.Backups(path)...)}
			if info, err := os.Stat(path); err == nil {
				where.Bytes = info.Size()
			}
			if p.JSON {
				return p.PrintJSON(where)
			}
			if p.Speaking() {
				return p.Say(kept.Where(path, where.Bytes, where.Backups))
			}
			fmt.Fprintln(p.Out, cli.Shown(path))
			if where.Bytes == 0 {
				fmt.Fprintln(p.Out, "There is no practice yet.")
			}
			for _, b := range where.Backups {
				fmt.Fprintf(p.Out, "backup: %s\n", cli.Shown(b))
			}
			return nil
		},
	}
	addJSON(cmd, "print it as JSON")
	return cmd
}

func (p *program) dataCheck() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "check",
		Short: "Read all of your practice and say whether it is sound",
		Long: "Reads the whole file: whether it fits together, whether each answer is as it was\n" +
			"written and none is missing, whether what was learned from the answers is what\n" +
			"they teach, and whether others can read it. It repairs nothing.",
		Example: "  surefret data check",
		Args:    cli.Needs(),
		RunE: p.withOld(func(ctx context.Context, db *store.DB, _ []string) error {
			r, err := db.Check(ctx)
			if err != nil {
				return err
			}
			if len(r.Faults) == 0 && r.Snapshot {
				same, err := kept.Replays(ctx, db)
				if err != nil {
					return err
				}
				if !same {
					r.Faults = append(r.Faults, "the saved memory does not match the answers")
				}
			}
			if p.JSON {
				err = p.PrintJSON(r)
			} else {
				err = p.Print(kept.Checked(r, p.Paper(""), p.Speaking()))
			}
			return cmp.Or(err, r.Err())
		}),
	}
	addJSON(cmd, "print the findings as JSON")
	return cmd
}

func (p *program) dataBackup() *cobra.Command {
	return &cobra.Command{
		Use:     "backup FILE",
		Short:   "Write all of your practice to one new file, and read it back",
		Example: "  surefret data backup /media/stick/practice.db",
		Args:    cli.Needs("FILE"),
		RunE: p.withOld(func(ctx context.Context, db *store.DB, args []string) error {
			if args[0] == "-" {
				return usagef("a backup is read back once it is written: give the name of a file, or print it with 'surefret data export'")
			}
			if err := db.Backup(ctx, args[0]); err != nil {
				return kept.Mendable(err)
			}
			fmt.Fprintf(p.Out, "%s holds all of your practice.\n", cli.Shown(args[0]))
			return nil
		}),
	}
}

func (p *program) dataRestore() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "restore FILE",
		Short: "Replace your practice with a backup; the old file is kept",
		Long: "The backup is read through before anything changes. What was there is kept under\n" +
			"another name; 'data merge' brings back what the backup lacks.",
		Example: "  surefret data restore /media/stick/practice.db",
		Args:    cli.Needs("FILE"),
		RunE: func(cmd *cobra.Command, args []string) error {
			at, err := p.dated()
			if err != nil {
				return err
			}
			was, err := store.Restore(cmd.Context(), at.Path, args[0], at.Now())
			if err != nil {
				return kept.Mendable(err)
			}
			if p.JSON {
				return p.PrintJSON(struct {
					From string `json:"from"`
					Kept string `json:"kept"` // what was there before; "" for nothing
				}{args[0], was})
			}
			fmt.Fprintf(p.Out, "Your practice is as it was in %s.\n", cli.Shown(args[0]))
			switch {
			case was != "" && filepath.Ext(was) != filepath.Ext(at.Path):
				fmt.Fprintf(p.Out, "A journal without its file was there: it is kept as %s.\n", cli.Shown(was))
			case was != "":
				fmt.Fprintf(p.Out, "The practice that was there is kept as %s.\nTo bring back what is newer in it: surefret data merge, with that name.\n", cli.Shown(was))
			}
			return nil
		},
	}
	addJSON(cmd, "print what was done as JSON")
	return cmd
}
