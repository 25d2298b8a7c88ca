package main

import (
	"context"
	"fmt"
	"io"
	"time"

	"github.com/spf13/cobra"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/kept"
	"surefret/scheduler"
)

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
	all, err := kept.Pupils(ctx, args, now, func(err error) {
		fmt.Fprintf(p.Err, "surefret: passed over: %s\n", cli.OneLine(err.Error()))
	})
	switch {
	case err != nil:
		return err
	case page != "":
		return p.write(page, func(w io.Writer) error { return all.HTML(w, scheduler.DayOf(now(), time.Local).String()) })
	case !p.JSON:
		for i := range all {
			all[i].Name = cli.Shown(all[i].Name) // of a file
		}
	}
	return p.Show(all, all.Sentences, func() error {
		_, err := fmt.Fprint(p.Out, all.Text(p.Columns(), p.Paper(p.quietly(ctx).Drawing)))
		return err
	})
}
