// Package songbook reads and writes song books: TOML 1.0 files that players mail
// each other, a [[song]] for each song, with a [[song.section]] for each section
// and a [[song.part]] for each part, as [Write] writes them.
//
// Whatever is wrong in a book is told in one sentence that names the file, the
// line, the column and what was expected.
package songbook

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2/unstable"

	"surefret/drills/gig"
)

// Largest is the most bytes that are read of a book.
const Largest = 4 << 20

// A book is a file on its way to songs: its tables as they stand there.
type book struct {
	name  string // of the file, for errors
	text  string
	songs []songTable
	into  *table // that the next field belongs to
}

// A songTable is one [[song]] with the tables below it.
type songTable struct {
	table
	sections, parts []table
}

// A table is a header and the fields below it.
type table struct {
	what   string   // "a song"
	at     int      // the offset of its header
	known  []string // the fields that it may have
	fields []field
}

// A field is one key with its value, or one value of a list.
type field struct {
	key  string
	at   int // the offset of the value
	kind unstable.Kind
	text string // what a string says; of another value, how it is written
	list []field
}

// The fields of the tables.
var (
	songFields    = []string{"title", "learned", "called", "chords", "shapes", "tempo"}
	sectionFields = []string{"name", "chords"}
	partFields    = []string{"name", "tab"}
)

// Read reads the songs of a book, all or none. The error is one sentence that
// names the file, the place and what was expected.
func Read(name, text string) ([]gig.Song, error) {
	if !utf8.ValidString(text) {
		return nil, fmt.Errorf("%s is not UTF-8 text: expected a song book, as 'surefret gig export' writes it", name)
	}
	b := &book{name: name, text: strings.TrimPrefix(text, "\ufeff")}
	if err := b.parse(tooMuch(b.text)); err != nil {
		return nil, err
	}
	if len(b.songs) == 0 {
		return nil, fmt.Errorf("%s has no songs: expected [[song]], as 'surefret gig export' writes it", name)
	}
	var songs []gig.Song
	first := map[string]int{}
	for _, t := range b.songs {
		s, err := b.song(t)
		if err != nil {
			return nil, err
		}
		title := strings.ToLower(s.Title)
		if at, seen := first[title]; seen {
			line, _ := b.position(at)
			return nil, b.fault(t.find("title").at, "the song %q is in line %d already: give one of them another title", s.Title, line)
		}
		first[title] = t.at
		songs = append(songs, s)
	}
	return songs, nil
}

// parse cuts the book into its tables. The parser gets no more of it than up to
// the offset of what is too much, unless that is below 0.
func (b *book) parse(tooMuch int) error {
	var p unstable.Parser
	p.Reset([]byte(b.text))
	if tooMuch >= 0 {
		p.Reset([]byte(b.text[:tooMuch]))
	}
	for p.NextExpression() {
		var err error
		if e := p.Expression(); e.Kind == unstable.KeyValue {
			err = b.addField(e)
		} else {
			err = b.addTable(e)
		}
		if err != nil {
			return err
		}
	}
	var bad *unstable.ParserError
	at := len(p.Data())
	if errors.As(p.Error(), &bad) {
		at = int(p.Range(bad.Highlight).Offset)
	}
	switch {
	case tooMuch >= 0 && at >= tooMuch-utf8.UTFMax:
		return b.fault(tooMuch, "found a value without end, expected at most %d signs outside of quotation marks", mostSigns)
	case bad != nil:
		return b.fault(at, "%s: expected TOML, as 'surefret gig export' writes it", bad.Message)
	}
	return p.Error()
}

// addTable begins the table of a header.
func (b *book) addTable(header *unstable.Node) error {
	key, at := dotted(header.Key())
	at = strings.LastIndexByte(b.text[:at], '\n') + 1 // a header has a line of its own
	switch {
	case header.Kind != unstable.ArrayTable || key != "song" && key != "song.section" && key != "song.part":
		return b.fault(at, "found the header [%s], expected [[song]], [[song.section]] or [[song.part]]", clip(key))
	case key == "song" && len(b.songs) == gig.MostSongs:
		return b.fault(at, "more than %d songs are too many: make two books of it", gig.MostSongs)
	case key == "song":
		b.songs = append(b.songs, songTable{table: table{what: "a song", at: at, known: songFields}})
		b.into = &b.songs[len(b.songs)-1].table
		return nil
	case len(b.songs) == 0:
		return b.fault(at, "expected [[song]] before anything else, not [[%s]]", key)
	}
	s := &b.songs[len(b.songs)-1]
	tables, t := &s.sections, table{what: "a section", at: at, known: sectionFields}
	if key == "song.part" {
		tables, t = &s.parts, table{what: "a part", at: at, known: partFields}
	}
	*tables = append(*tables, t)
	b.into = &(*tables)[len(*tables)-1]
	return nil
}

// addField adds a field to the table that it stands in.
func (b *book) addField(e *unstable.Node) error {
	key, at := dotted(e.Key())
	f := valueOf(e.Value(), at)
	f.key = key
	switch t := b.into; {
	case t == nil:
		return b.fault(at, "expected [[song]] before anything else, not %q", clip(key))
	case key == "section" || key == "part":
		return b.fault(at, "%s is %s: expected [[song.%s]] and its fields below", key, f.say(), key)
	case !slices.Contains(t.known, key):
		last := len(t.known) - 1
		return b.fault(at, "%s has no field %q: expected %s or %s", t.what, clip(key), strings.Join(t.known[:last], ", "), t.known[last])
	case t.find(key).kind != unstable.Invalid:
		return b.fault(at, "%s is given twice: leave one of them out", key)
	}
	b.into.fields = append(b.into.fields, f)
	return nil
}

// dotted returns a key as it is said, "song.section", and its offset.
func dotted(parts unstable.Iterator) (key string, at int) {
	for first := true; parts.Next(); first = false {
		if first {
			key, at = string(parts.Node().Data), int(parts.Node().Raw.Offset)
			continue
		}
		key += "." + string(parts.Node().Data)
	}
	return key, at
}

// valueOf copies a value. A list or table has no offset of its own: it takes
// that of its key.
func valueOf(v *unstable.Node, at int) field {
	f := field{kind: v.Kind, at: at, text: string(v.Data)}
	if v.Raw.Length > 0 {
		f.at = int(v.Raw.Offset)
	}
	if v.Kind == unstable.Array {
		for values := v.Children(); values.Next(); {
			f.list = append(f.list, valueOf(values.Node(), at))
		}
	}
	return f
}

// fault tells what is wrong at an offset.
func (b *book) fault(at int, format string, args ...any) error {
	line, column := b.position(at)
	return fmt.Errorf("%s, line %d, column %d: %w", b.name, line, column, fmt.Errorf(format, args...))
}

// position returns the line and column of an offset, from 1.
func (b *book) position(at int) (line, column int) {
	before := b.text[:at]
	return 1 + strings.Count(before, "\n"), 1 + utf8.RuneCountInString(before[strings.LastIndexByte(before, '\n')+1:])
}

// clip keeps a quoted text short.
func clip(text string) string {
	if r := []rune(text); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return text
}
