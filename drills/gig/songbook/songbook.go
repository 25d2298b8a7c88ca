// Package songbook reads and writes song books: TOML 1.0 files that players mail
// each other, a [[song]] for each song, with a [[song.section]] for each section
// and a [[song.part]] for each part, as [Write] writes them.
//
// Whatever is wrong in a book is told in one sentence that names the file, the
// line and what was expected.
package songbook

import (
	"cmp"
	"errors"
	"fmt"
	"regexp"
	"strings"
	"unicode/utf8"

	"github.com/BurntSushi/toml"

	"surefret/drills/gig"
)

// A song book is a TOML 1.0 file that players mail each other: a [[song]] for
// each song, with a [[song.section]] for each section and a [[song.part]] for
// each part, as [Write] writes it.
//
// The decoder keeps one position for a key that comes again and again, the last.
// So a book is cut at its [[song]] lines and each song is decoded on its own, and
// the line of a field is looked up in its song: an error always names the line
// where the mistake is.
type songBook struct {
	name  string // of the file, for errors
	lines []string
	text  []bool // by line: whether it lies inside a string of several lines
}

// The headers of a book.
var (
	songHeader    = regexp.MustCompile(`^\s*\[\[\s*["']?song["']?\s*\]\]\s*(#.*)?$`)
	sectionHeader = regexp.MustCompile(`^\s*\[\[\s*["']?song["']?\s*\.\s*["']?section["']?\s*\]\]\s*(#.*)?$`)
	partHeader    = regexp.MustCompile(`^\s*\[\[\s*["']?song["']?\s*\.\s*["']?part["']?\s*\]\]\s*(#.*)?$`)
	anyHeader     = regexp.MustCompile(`^\s*\[`)
)

// Largest is the most bytes that are read of a book.
const Largest = 4 << 20

// Read reads the songs of a book. The error is one sentence that names the
// file, the line and what was expected.
func Read(name, text string) ([]gig.Song, error) {
	if !utf8.ValidString(text) {
		return nil, fmt.Errorf("%s is not UTF-8 text: expected a song book, as 'surefret gig export' writes it", name)
	}
	b := newBook(name, strings.TrimPrefix(text, "\ufeff"))
	var starts []int
	for i, line := range b.lines {
		switch {
		case b.text[i]:
		case songHeader.MatchString(line):
			starts = append(starts, i)
		case len(starts) == 0 && !blank(line):
			return nil, b.fault(i, "expected [[song]] before anything else, not %q", clip(line))
		}
	}
	switch {
	case len(starts) == 0:
		return nil, fmt.Errorf("%s has no songs: expected [[song]], as 'surefret gig export' writes it", name)
	case len(starts) > gig.MostSongs:
		return nil, b.fault(starts[gig.MostSongs], "%d songs are too many: expected at most %d", len(starts), gig.MostSongs)
	}
	var songs []gig.Song
	first := map[string]int{}
	for n, from := range starts {
		to := len(b.lines)
		if n+1 < len(starts) {
			to = starts[n+1]
		}
		s, err := b.song(from, to)
		if err != nil {
			return nil, err
		}
		title := strings.ToLower(s.Title)
		if line, seen := first[title]; seen {
			return nil, b.fault(b.find(from, to, "title"), "the song %q is in line %d already: give one of them another title", s.Title, line+1)
		}
		first[title] = from
		songs = append(songs, s)
	}
	return songs, nil
}

func blank(line string) bool {
	line = strings.TrimSpace(line)
	return line == "" || line[0] == '#'
}

// clip keeps a quoted line short.
func clip(line string) string {
	line = strings.TrimSpace(line)
	if r := []rune(line); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return line
}

// newBook cuts a text into lines and finds the strings that span several.
func newBook(name, text string) *songBook {
	b := &songBook{name: name, lines: strings.Split(strings.ReplaceAll(text, "\r\n", "\n"), "\n")}
	b.text = make([]bool, len(b.lines))
	open := ""
	for i, line := range b.lines {
		b.text[i] = open != ""
		for j := 0; j < len(line); j++ {
			rest := line[j:]
			switch {
			case open == "" && rest[0] == '#':
				j = len(line)
			case open == "" && (strings.HasPrefix(rest, `"""`) || strings.HasPrefix(rest, `'''`)):
				open, j = rest[:3], j+2
			case open == "" && (rest[0] == '"' || rest[0] == '\''):
				j += stringEnd(rest)
			case open == `"""` && rest[0] == '\\':
				j++
			case open != "" && strings.HasPrefix(rest, open):
				quotes := len(rest) - len(strings.TrimLeft(rest, open[:1]))
				open, j = "", j+min(quotes, 5)-1 // TOML lets two quotes stand before the three that close
			}
		}
	}
	return b
}

// stringEnd returns the index of the quote that closes the string of one line
// that s begins with, or the length of s where it is not closed.
func stringEnd(s string) int {
	for i := 1; i < len(s); i++ {
		switch {
		case s[0] == '"' && s[i] == '\\':
			i++
		case s[i] == s[0]:
			return i
		}
	}
	return len(s)
}

// fault tells what is wrong in a line, counted from 0.
func (b *songBook) fault(line int, format string, args ...any) error {
	return fmt.Errorf("%s, line %d: %w", b.name, line+1, fmt.Errorf(format, args...))
}

// find returns the line of a field between two lines; the first of them where
// there is none.
func (b *songBook) find(from, to int, key string) int {
	field := regexp.MustCompile(`^\s*["']?` + regexp.QuoteMeta(key) + `["']?\s*[=.]`)
	for i := from + 1; i < to; i++ {
		switch {
		case b.text[i]:
		case field.MatchString(b.lines[i]):
			return i
		case anyHeader.MatchString(b.lines[i]) && !b.inList(from, i):
			return from
		}
	}
	return from
}

// inList reports whether a line that begins with a bracket only goes on with a
// list of values.
func (b *songBook) inList(from, line int) bool {
	for i := line - 1; i > from; i-- {
		if before := strings.TrimSpace(b.lines[i]); before != "" {
			return strings.HasSuffix(before, "[") || strings.HasSuffix(before, ",")
		}
	}
	return false
}

// heads lists the lines between two that match a header.
func (b *songBook) heads(from, to int, header *regexp.Regexp) []int {
	var at []int
	for i := from; i < to; i++ {
		if !b.text[i] && header.MatchString(b.lines[i]) {
			at = append(at, i)
		}
	}
	return at
}

// song reads one song, from its header to the line before the next one's.
func (b *songBook) song(from, to int) (gig.Song, error) {
	var book struct{ Song []map[string]any }
	// Line ends in front keep the decoder's line numbers those of the file.
	_, err := toml.Decode(strings.Repeat("\n", from)+strings.Join(b.lines[from:to], "\n"), &book)
	if err != nil {
		line := from
		var parse toml.ParseError
		if errors.As(err, &parse) {
			line = min(max(parse.Position.Line-1, from), to-1)
			err = errors.New(cmp.Or(parse.Message, strings.TrimPrefix(err.Error(), "toml: ")))
		}
		return gig.Song{}, b.fault(line, "%s: expected TOML, as 'surefret gig export' writes it", strings.Join(strings.Fields(err.Error()), " "))
	}
	if len(book.Song) != 1 {
		return gig.Song{}, b.fault(from, "expected one [[song]] here")
	}
	return b.fields(book.Song[0], from, to)
}
