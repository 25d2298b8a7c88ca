package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/report"
	"surefret/scheduler"
	"surefret/store"
)

// mostPupils is how many practices are read at once.
const mostPupils = 200

func (p *program) pupilsCommand() *cobra.Command {
	var page string
	cmd := &cobra.Command{
		Use:   "pupils FILE...",
		Short: "Show maps, weak topics and minutes of several practices side by side",
		Long: "Show maps, weak topics and minutes of several practices side by side. FILE is a\n" +
			"practice, or a folder with some. They are only read: nothing in them changes.",
		Example: "  surefret pupils kept.db laptop.db\n  surefret pupils kept.db --html pupils.html",
		Args:    cobra.MinimumNArgs(1),
		RunE:    func(cmd *cobra.Command, args []string) error { return p.showPupils(cmd.Context(), page, args) },
	}
	addJSON(cmd, "print the figures as JSON")
	cmd.Flags().StringVar(&page, "html", "", "write one page with the maps")
	return cmd
}

func (p *program) showPupils(ctx context.Context, page string, args []string) error {
	now, err := p.clock()
	if err != nil {
		return err
	}
	var all report.Pupils
	for _, arg := range args {
		files := []string{arg}
		info, err := os.Stat(arg)
		folder := err == nil && info.IsDir()
		if folder {
			files, _ = filepath.Glob(filepath.Join(arg, "*.db"))
		}
		for _, file := range files {
			if len(all) == mostPupils {
				return usagef("more than %d practices are too many to show: name fewer files", mostPupils)
			}
			one, err := p.pupil(ctx, file, now)
			switch {
			case folder && (errors.Is(err, store.ErrForeign) || errors.Is(err, store.ErrDamaged)): // the others can be shown
				fmt.Fprintf(p.Err, "surefret: passed over: %s\n", cli.OneLine(err.Error()))
			case err != nil:
				return named(err)
			default:
				all = append(all, one)
			}
		}
	}
	switch today := scheduler.DayOf(now(), time.Local).String(); {
	case len(all) == 0:
		return usagef("there is no practice in %s: give files like maya.db, or a folder with some", strings.Join(args, ", "))
	case page != "":
		return p.write(page, func(w io.Writer) error { return all.HTML(w, today) })
	case !p.JSON:
		for i := range all {
			all[i].Name = cli.Shown(all[i].Name) // of a file
		}
	}
	return p.Show(all, all.Sentences, func() error {
		_, err := fmt.Fprint(p.Out, all.Text(p.Columns(), p.Paper(p.savedQuietly(ctx).Drawing)))
		return err
	})
}

// pupil reads one practice.
func (p *program) pupil(ctx context.Context, file string, now func() time.Time) (report.Pupil, error) {
	one := report.Pupil{Name: strings.TrimSuffix(filepath.Base(file), ".db"), File: file, Weak: []report.Topic{}}
	db, err := store.OpenReadOnly(ctx, file)
	if err != nil {
		return one, err
	}
	defer db.Close()
	pl, err := practice.Open(ctx, log{db}, now)
	if err != nil {
		return one, err
	}
	if one.Players, err = db.Players(ctx); err != nil {
		return one, err
	}
	return one, pl.Pupil(ctx, &one)
}
