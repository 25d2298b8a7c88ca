package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
)

// manCommand writes the man pages from the same words as --help. It is for those
// who pack the program, so the help does not list it.
func (p *program) manCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "man DIR",
		Short:   "Write the man pages to a folder",
		Example: "  surefret man share/man/man1",
		Hidden:  true,
		Args:    needs("DIR"),
		RunE: func(cmd *cobra.Command, args []string) error {
			now, err := p.clock()
			if err != nil {
				return err
			}
			if err := os.MkdirAll(args[0], 0o755); err != nil {
				return fmt.Errorf("cannot make the folder %s: %w", args[0], reason(err))
			}
			return writeManPages(cmd.Root(), args[0], now().Format("2006-01-02"))
		},
	}
}

// writeManPages writes a page for a command and one for each below it.
func writeManPages(cmd *cobra.Command, dir, date string) error {
	if cmd.Hidden {
		return nil
	}
	pg := describe(cmd)
	name := filepath.Join(dir, manName(pg.path)+".1")
	if err := writeFile(name, func(w io.Writer) error { return pg.man(w, date) }); err != nil {
		return err
	}
	for _, sub := range cmd.Commands() {
		if err := writeManPages(sub, dir, date); err != nil {
			return err
		}
	}
	return nil
}

// manName is the name of a command's page: "surefret-gig-show".
func manName(path string) string { return strings.ReplaceAll(path, " ", "-") }

// man writes the page with the man macros of roff, sections in the order that
// man-pages(7) asks for.
func (pg page) man(w io.Writer, date string) error {
	var b strings.Builder
	fmt.Fprintf(&b, ".TH %s 1 %s Surefret Surefret\n", roff(strings.ToUpper(manName(pg.path))), date)
	fmt.Fprintf(&b, ".SH NAME\n%s \\- %s\n", roff(manName(pg.path)), roff(pg.short))
	b.WriteString(".SH SYNOPSIS\n")
	for i, line := range pg.usage {
		if i > 0 {
			b.WriteString(".br\n")
		}
		fmt.Fprintf(&b, ".B %s\n", roff(line))
	}
	b.WriteString(".SH DESCRIPTION\n")
	for i, paragraph := range paragraphs(pg.about) {
		if i > 0 {
			b.WriteString(".PP\n")
		}
		if strings.HasPrefix(paragraph, " ") {
			b.WriteString(asTyped(paragraph))
			continue
		}
		fmt.Fprintf(&b, "%s\n", roff(paragraph))
	}
	tagged(&b, "COMMANDS", pg.commands)
	tagged(&b, "OPTIONS", append(append([]entry{}, pg.flags...), pg.shared...))
	for _, s := range pg.sections {
		title := strings.ToUpper(s.title)
		if title == "EXIT CODES" {
			title = "EXIT STATUS" // as man-pages(7) calls it
		}
		tagged(&b, title, s.entries)
	}
	if pg.examples != "" {
		b.WriteString(".SH EXAMPLES\n" + asTyped(pg.examples))
	}
	if also := pg.related(); len(also) > 0 {
		fmt.Fprintf(&b, ".SH SEE ALSO\n%s\n", strings.Join(also, ",\n"))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// related names the pages above and below a page.
func (pg page) related() []string {
	ref := func(path string) string { return fmt.Sprintf("\\fB%s\\fP(1)", roff(manName(path))) }
	var also []string
	if i := strings.LastIndexByte(pg.path, ' '); i > 0 {
		also = append(also, ref(pg.path[:i]))
	}
	for _, c := range pg.commands {
		also = append(also, ref(pg.path+" "+c.name))
	}
	return also
}

// tagged writes a section of names, each with its words set in under it.
func tagged(b *strings.Builder, title string, entries []entry) {
	if len(entries) == 0 {
		return
	}
	fmt.Fprintf(b, ".SH %s\n", roff(title))
	for _, e := range entries {
		fmt.Fprintf(b, ".TP\n.B %s\n%s\n", roff(e.name), roff(e.words))
	}
}

// asTyped writes lines that roff must not fill.
func asTyped(text string) string {
	return fmt.Sprintf(".nf\n%s\n.fi\n", roff(strings.Trim(text, "\n")))
}

// roff writes text so that roff takes none of it for a request, and a hyphen for
// the one that is typed.
func roff(text string) string {
	lines := strings.Split(strings.NewReplacer(`\`, `\e`, "-", `\-`, "'", `\(aq`).Replace(text), "\n")
	for i, line := range lines {
		if strings.HasPrefix(line, ".") {
			lines[i] = `\&` + line
		}
	}
	return strings.Join(lines, "\n")
}
