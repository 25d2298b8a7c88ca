package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
)

// A ManPage is a page for the section of commands.
type ManPage struct{ Name, Text string } // Name: "surefret-gig-show.1"

// ManPages draws up a page for a command and one for each below it that help
// lists, from the same words as --help; date, of the program, is like 2026-11-25.
func ManPages(cmd *cobra.Command, date string) []ManPage {
	if cmd.Hidden {
		return nil
	}
	pg := describe(cmd)
	pages := []ManPage{{manName(pg.path) + ".1", pg.man(date)}}
	for _, sub := range cmd.Commands() {
		pages = append(pages, ManPages(sub, date)...)
	}
	return pages
}

// manName is the name of a command's page: "surefret-gig-show".
func manName(path string) string { return strings.ReplaceAll(path, " ", "-") }

// man writes the page with the man macros of roff, sections in the order that
// man-pages(7) asks for.
func (pg page) man(date string) string {
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
	return b.String()
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
