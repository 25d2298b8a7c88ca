package songbook

import (
	"fmt"
	"maps"
	"slices"

	"surefret/drills/gig"
)

// A field of a book is read by its name, and refused by the song it makes.
type bookTable struct {
	book     *songBook
	values   map[string]any
	from, to int    // the lines that it lies in
	what     string // "a song"
}

// fields reads the fields of a song, each checked where it stands.
func (b *songBook) fields(values map[string]any, from, to int) (gig.Song, error) {
	t := bookTable{b, values, from, to, "a song"}
	var s gig.Song
	if err := t.known("title", "learned", "called", "chords", "section", "shapes", "tempo", "part"); err != nil {
		return s, err
	}
	var err error
	if s.Title, err = t.word("title", true, func(any *gig.Song, v string) { any.Title = v }); err != nil {
		return s, err
	}
	if s.Learned, err = t.word("learned", true, func(any *gig.Song, v string) { any.Learned, any.Called = v, v }); err != nil {
		return s, err
	}
	s.Called, err = t.word("called", false, func(any *gig.Song, v string) { any.Learned, any.Called = s.Learned, v })
	if err != nil {
		return s, err
	}
	if s.Called == "" {
		s.Called = s.Learned
	}
	if s.Sections, err = t.sections(s.Learned); err != nil {
		return s, err
	}
	if s.Shapes, err = t.shapes(); err != nil {
		return s, err
	}
	if s.Tempo, err = t.tempo(); err != nil {
		return s, err
	}
	if s.Parts, err = t.parts(); err != nil {
		return s, err
	}
	if err := s.Check(); err != nil {
		return s, b.fault(from, "%w", err)
	}
	return s, nil
}

// known refuses fields that a table does not have.
func (t bookTable) known(names ...string) error {
	for _, key := range slices.Sorted(maps.Keys(t.values)) {
		if !slices.Contains(names, key) {
			return t.fault(key, "%s has no field %q: expected %s", t.what, key, sayNames(names))
		}
	}
	return nil
}

func sayNames(names []string) string {
	last := len(names) - 1
	text := ""
	for i, n := range names {
		switch {
		case i == 0:
		case i == last:
			text += " or "
		default:
			text += ", "
		}
		text += n
	}
	return text
}

// fault tells what is wrong with a field, in its line.
func (t bookTable) fault(key, format string, args ...any) error {
	return t.book.fault(t.book.find(t.from, t.to, key), format, args...)
}

// word reads a text and tries it on a song that is good otherwise.
func (t bookTable) word(key string, needed bool, put func(*gig.Song, string)) (string, error) {
	v, given := t.values[key]
	if !given && !needed {
		return "", nil
	}
	text, ok := v.(string)
	switch {
	case !given:
		return "", t.book.fault(t.from, "%s without %s: expected %s = \"...\"", t.what, key, key)
	case !ok:
		return "", t.fault(key, "%s is %s: expected a text in quotation marks", key, sayValue(v))
	}
	if put != nil {
		if err := gig.CheckField(func(s *gig.Song) { put(s, text) }); err != nil {
			return "", t.fault(key, "%s: %w", key, err)
		}
	}
	return text, nil
}

func sayValue(v any) string {
	switch v := v.(type) {
	case string:
		return fmt.Sprintf("%q", clip(v))
	case []any, []map[string]any:
		return "a list"
	case map[string]any:
		return "a table"
	}
	return clip(fmt.Sprint(v))
}

// sections reads the chords of a song: its own, or those of its sections.
func (t bookTable) sections(learned string) ([]gig.Section, error) {
	chords := func(any *gig.Song, v string) {
		any.Learned, any.Called, any.Sections = learned, learned, []gig.Section{{Chords: v}}
	}
	tables, err := t.tables("section", t.book.heads(t.from, t.to, sectionHeader))
	if err != nil {
		return nil, err
	}
	if _, given := t.values["chords"]; given || len(tables) == 0 {
		if given && len(tables) > 0 {
			return nil, t.fault("chords", "chords beside [[song.section]]: expected one or the other")
		}
		text, err := t.word("chords", true, chords)
		return []gig.Section{{Chords: text}}, err
	}
	var sections []gig.Section
	for _, at := range tables {
		var sec gig.Section
		if err := at.known("name", "chords"); err != nil {
			return nil, err
		}
		sec.Name, err = at.word("name", false, func(any *gig.Song, v string) { any.Sections[0].Name = v })
		if err != nil {
			return nil, err
		}
		if sec.Chords, err = at.word("chords", true, chords); err != nil {
			return nil, err
		}
		sections = append(sections, sec)
	}
	return sections, nil
}

// tables reads the tables of a list, each with the lines that it lies in.
func (t bookTable) tables(key string, heads []int) ([]bookTable, error) {
	v, given := t.values[key]
	if !given {
		return nil, nil
	}
	list, ok := v.([]map[string]any)
	if !ok || len(list) != len(heads) {
		return nil, t.fault(key, "%s is %s: expected [[song.%s]] and its fields below", key, sayValue(v), key)
	}
	var tables []bookTable
	for i, values := range list {
		tables = append(tables, bookTable{t.book, values, heads[i], t.to, "a " + key})
	}
	return tables, nil
}

func (t bookTable) shapes() ([]string, error) {
	v, given := t.values["shapes"]
	if !given {
		return nil, nil
	}
	list, ok := v.([]any)
	if !ok {
		return nil, t.fault("shapes", "shapes is %s: expected a list, like [\"tenth-6-major\"]", sayValue(v))
	}
	var shapes []string
	for _, v := range list {
		name, ok := v.(string)
		if !ok {
			return nil, t.fault("shapes", "shapes holds %s: expected names in quotation marks", sayValue(v))
		}
		if err := gig.CheckField(func(s *gig.Song) { s.Shapes = []string{name} }); err != nil {
			return nil, t.fault("shapes", "shapes: %w", err)
		}
		shapes = append(shapes, name)
	}
	return shapes, nil
}

func (t bookTable) tempo() (int, error) {
	v, given := t.values["tempo"]
	if !given {
		return 0, nil
	}
	n, ok := v.(int64)
	if !ok || n == 0 || n != int64(int32(n)) {
		return 0, t.fault("tempo", "tempo is %s: expected 20 to 400 beats a minute", sayValue(v))
	}
	if err := gig.CheckField(func(s *gig.Song) { s.Tempo = int(n) }); err != nil {
		return 0, t.fault("tempo", "tempo: %w", err)
	}
	return int(n), nil
}

func (t bookTable) parts() ([]gig.Part, error) {
	tables, err := t.tables("part", t.book.heads(t.from, t.to, partHeader))
	if err != nil {
		return nil, err
	}
	var parts []gig.Part
	for _, at := range tables {
		if err := at.known("name", "tab"); err != nil {
			return nil, err
		}
		name, err := at.word("name", true, nil)
		if err != nil {
			return nil, err
		}
		tab, err := at.word("tab", true, nil)
		if err != nil {
			return nil, err
		}
		part := gig.NewPart(name, tab)
		if err := part.Check(); err != nil {
			return nil, at.fault("tab", "%w", err)
		}
		parts = append(parts, part)
	}
	return parts, nil
}
