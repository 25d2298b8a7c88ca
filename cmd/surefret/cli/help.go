package cli

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"surefret/cmd/surefret/report"
)

// A page is what there is to tell of one command. --help prints it, and the man
// page is made of the same words.
type page struct {
	path     string // "surefret gig show"
	short    string
	about    string // paragraphs; lines that are set in keep their form
	usage    []string
	examples string // each in a line of its own, set in by two
	commands []entry
	flags    []entry // the command's own
	shared   []entry // those of every command
	sections []section
}

// An entry is a name and what it stands for.
type entry struct{ name, words string }

// A section holds what is the same for many commands.
type section struct {
	title   string
	entries []entry
}

var exitCodes = section{"Exit codes", []entry{
	{"0", "done"},
	{"1", "failed"},
	{"2", "bad input or usage"},
	{"129, 130, 131, 143", "told to end by a hang-up, ctrl-c, ctrl-\\ or SIGTERM; practice keeps the answers and prints its summary first"},
}}

var environment = section{"Environment", []entry{
	{"SUREFRET_DB", "the file that holds your practice, where --db names none"},
	{"SUREFRET_CLOCK", "a fixed time, like 2026-11-25T18:00:00Z, used instead of the clock"},
	{"NO_COLOR", "no colours, where it is set"},
	{"TERM", "with the value dumb: plain sentences instead of the full screen"},
}}

var files = section{"Files", []entry{
	{"surefret.db", "your practice, with its backups beside it; 'surefret data where' says where it is"},
	{"-", "as the name of a file to write, standard output"},
}}

// valueWords say what stands behind a flag, where its own name in capitals would
// not.
var valueWords = map[string]string{
	"db": "FILE", "svg": "FILE", "html": "FILE", "wav": "FILE", "midi": "FILE", "part": "FILE", "listen-from": "FILE", "as": "WORD",
	"from": "KEY", "to": "KEY", "learned": "KEY", "called": "KEY", "drill": "DRILLS", "capo": "FRET",
	"root": "NOTE", "note": "TEXT", "since": "DAY", "tempo": "BEATS", "skip": "NUMBER", "seed": "NUMBER",
}

// valueWord is what stands behind a flag, "" for one that takes no value.
func valueWord(f *pflag.Flag) string {
	switch {
	case f.Value.Type() == "bool":
		return ""
	case f.Name == "section" && f.Value.Type() == "stringArray": // sections that are written, not one that is named
		return "NAME:CHORDS"
	}
	if word, ok := valueWords[f.Name]; ok {
		return word
	}
	return strings.ToUpper(f.Name)
}

// describe draws up the page of a command.
func describe(cmd *cobra.Command) page {
	pg := page{path: cmd.CommandPath(), short: cmd.Short, about: cmd.Long, examples: cmd.Example, sections: []section{exitCodes}}
	if pg.about == "" {
		pg.about = cmd.Short + "."
	}
	if !cmd.HasParent() {
		pg.sections = append(pg.sections, environment, files)
	}
	if !cmd.HasParent() || !cmd.HasSubCommands() || cmd.LocalNonPersistentFlags().HasFlags() {
		line := cmd.UseLine()
		if !strings.Contains(line, "[flags]") {
			line += " [flags]"
		}
		pg.usage = append(pg.usage, line)
	}
	if cmd.HasSubCommands() {
		pg.usage = append(pg.usage, pg.path+" COMMAND")
	}
	for _, sub := range cmd.Commands() {
		if !sub.Hidden {
			pg.commands = append(pg.commands, entry{sub.Name(), sub.Short})
		}
	}
	cmd.LocalFlags().VisitAll(func(f *pflag.Flag) {
		if !f.Hidden && cmd.Root().PersistentFlags().Lookup(f.Name) == nil {
			pg.flags = append(pg.flags, flagEntry(f))
		}
	})
	cmd.Root().PersistentFlags().VisitAll(func(f *pflag.Flag) { pg.shared = append(pg.shared, flagEntry(f)) })
	return pg
}

func flagEntry(f *pflag.Flag) entry {
	e := entry{"--" + f.Name, f.Usage}
	if f.Shorthand != "" {
		e.name = "-" + f.Shorthand + ", " + e.name
	}
	if word := valueWord(f); word != "" {
		e.name += " " + word
	}
	if !slices.Contains([]string{"", "0", "false", "[]"}, f.DefValue) {
		e.words += " (default: " + f.DefValue + ")"
	}
	return e
}

// Width is how wide a page of help is at most: half of the screens are no
// wider.
const Width = 80

// text writes the page for a terminal.
func (pg page) text(w io.Writer) {
	for _, paragraph := range paragraphs(pg.about) {
		if strings.HasPrefix(paragraph, " ") {
			fmt.Fprintf(w, "%s\n\n", paragraph)
			continue
		}
		fmt.Fprintf(w, "%s\n\n", strings.Join(report.Fold("", "", paragraph, Width), "\n"))
	}
	fmt.Fprintln(w, "Usage:")
	for _, line := range pg.usage {
		fmt.Fprintf(w, "  %s\n", line)
	}
	if pg.examples != "" {
		fmt.Fprintf(w, "\nExamples:\n%s\n", pg.examples)
	}
	listing(w, "Commands", pg.commands)
	listing(w, "Flags", pg.flags)
	listing(w, "Flags of every command", pg.shared)
	if pg.sections[0].title == exitCodes.title && len(pg.sections) == 1 { // the whole list stands on the first page and in the man pages
		fmt.Fprintln(w, "\nExit codes: 0 done, 1 failed, 2 bad input or usage, more: ended by a signal.")
	} else {
		for _, s := range pg.sections {
			listing(w, s.title, s.entries)
		}
	}
	if len(pg.commands) > 0 {
		fmt.Fprintf(w, "\nFor more: %s COMMAND --help\n", pg.path)
	}
}

// paragraphs parts text at its empty lines.
func paragraphs(text string) []string { return strings.Split(strings.Trim(text, "\n"), "\n\n") }

// listing writes entries in two columns, each folded within its own.
func listing(w io.Writer, title string, entries []entry) {
	if len(entries) == 0 {
		return
	}
	widest := 0
	for _, e := range entries {
		widest = max(widest, utf8.RuneCountInString(e.name))
	}
	fmt.Fprintf(w, "\n%s:\n", title)
	for _, e := range entries {
		name := e.name
		for _, line := range report.Fold("", "", e.words, Width-widest-5) {
			fmt.Fprintf(w, "  %-*s  %s\n", widest, name, line)
			name = ""
		}
	}
}

// Finish completes a tree of commands: usage errors, help, and what may stand
// where, which offer lists. The pages go to the output of the root.
func Finish(root *cobra.Command, offer Offer) {
	root.CompletionOptions.DisableDefaultCmd = true // ours is in our words
	root.PersistentFlags().BoolP("help", "h", false, "show the page of a command")
	root.SetHelpCommand(helpCommand())
	root.InitDefaultHelpCmd()
	root.SetHelpFunc(func(cmd *cobra.Command, _ []string) { describe(cmd).text(cmd.OutOrStdout()) })
	complain(root)
	complete(root, offer)
}

func helpCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "help [COMMAND...]",
		Short:   "Show the page of a command",
		Example: "  surefret help\n  surefret help gig show",
		Args:    cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			about, rest, err := cmd.Root().Find(args)
			if err != nil {
				return BadInput{err}
			}
			if len(rest) > 0 {
				return onlyCommands(about, rest)
			}
			return about.Help()
		},
	}
}
