package songbook

import (
	"fmt"
	"strconv"

	"github.com/pelletier/go-toml/v2/unstable"

	"surefret/drills/gig"
)

// song makes a song of its tables, each field checked where it stands.
func (b *book) song(t songTable) (gig.Song, error) {
	var s gig.Song
	var err error
	if s.Title, err = b.word(t.table, "title", true, func(any *gig.Song, v string) { any.Title = v }); err != nil {
		return s, err
	}
	if s.Learned, err = b.word(t.table, "learned", true, func(any *gig.Song, v string) { any.Learned, any.Called = v, v }); err != nil {
		return s, err
	}
	s.Called, err = b.word(t.table, "called", false, func(any *gig.Song, v string) { any.Learned, any.Called = s.Learned, v })
	if err != nil {
		return s, err
	}
	if s.Called == "" {
		s.Called = s.Learned
	}
	if s.Sections, err = b.sections(t, nil); err != nil {
		return s, err
	}
	if s.Shapes, err = b.shapes(t.table); err != nil {
		return s, err
	}
	if s.Tempo, err = b.tempo(t.table); err != nil {
		return s, err
	}
	if s.Parts, err = b.parts(t); err != nil {
		return s, err
	}
	if err := s.Check(); err != nil {
		if _, err := b.sections(t, func(any *gig.Song, v string) {
			any.Learned, any.Called, any.Sections = s.Learned, s.Learned, []gig.Section{{Chords: v}}
		}); err != nil {
			return s, err // with the place of its chords
		}
		return s, b.fault(t.at, "%w", err)
	}
	return s, nil
}

// find returns a field of the table, of no kind where it is not given.
func (t table) find(key string) field {
	for _, f := range t.fields {
		if f.key == key {
			return f
		}
	}
	return field{}
}

// word reads a text and tries it on a song that is good otherwise.
func (b *book) word(t table, key string, needed bool, put func(*gig.Song, string)) (string, error) {
	f := t.find(key)
	switch {
	case f.kind == unstable.Invalid && needed:
		return "", b.fault(t.at, "%s without %s: expected %s = \"...\"", t.what, key, key)
	case f.kind == unstable.Invalid:
		return "", nil
	case f.kind != unstable.String:
		return "", b.fault(f.at, "%s is %s: expected a text in quotation marks", key, f.say())
	}
	if put != nil {
		if err := gig.CheckField(func(s *gig.Song) { put(s, f.text) }); err != nil {
			return "", b.fault(f.at, "%s: %w", key, err)
		}
	}
	return f.text, nil
}

// say says what was found.
func (f field) say() string {
	switch f.kind {
	case unstable.String:
		return fmt.Sprintf("%q", clip(f.text))
	case unstable.Array:
		return "a list"
	case unstable.InlineTable:
		return "a table"
	}
	return clip(f.text)
}

// sections reads the chords of a song, its own or those of its sections, each tried
// on a song unless chords is nil.
func (b *book) sections(t songTable, chords func(*gig.Song, string)) ([]gig.Section, error) {
	if own := t.find("chords"); own.kind != unstable.Invalid || len(t.sections) == 0 {
		if len(t.sections) > 0 {
			return nil, b.fault(own.at, "chords beside [[song.section]]: expected one or the other")
		}
		text, err := b.word(t.table, "chords", true, chords)
		return []gig.Section{{Chords: text}}, err
	}
	var sections []gig.Section
	for _, at := range t.sections {
		var sec gig.Section
		var err error
		sec.Name, err = b.word(at, "name", false, func(any *gig.Song, v string) { any.Sections[0].Name = v })
		if err != nil {
			return nil, err
		}
		if sec.Chords, err = b.word(at, "chords", true, chords); err != nil {
			return nil, err
		}
		sections = append(sections, sec)
	}
	return sections, nil
}

func (b *book) shapes(t table) ([]string, error) {
	f := t.find("shapes")
	if f.kind != unstable.Array && f.kind != unstable.Invalid {
		return nil, b.fault(f.at, "shapes is %s: expected a list, like [\"tenth-6-major\"]", f.say())
	}
	var shapes []string
	for _, v := range f.list {
		if v.kind != unstable.String {
			return nil, b.fault(v.at, "shapes holds %s: expected names in quotation marks", v.say())
		}
		if err := gig.CheckField(func(s *gig.Song) { s.Shapes = []string{v.text} }); err != nil {
			return nil, b.fault(v.at, "shapes: %w", err)
		}
		shapes = append(shapes, v.text)
	}
	return shapes, nil
}

func (b *book) tempo(t table) (float64, error) {
	f := t.find("tempo")
	if f.kind == unstable.Invalid {
		return 0, nil
	}
	n, err := strconv.ParseFloat(f.text, 64)
	if f.kind != unstable.Integer && f.kind != unstable.Float || err != nil || n == 0 {
		return 0, b.fault(f.at, "tempo is %s: expected 20 to 400 beats a minute", f.say())
	}
	if err := gig.CheckField(func(s *gig.Song) { s.Tempo = n }); err != nil {
		return 0, b.fault(f.at, "tempo: %w", err)
	}
	return n, nil
}

func (b *book) parts(t songTable) ([]gig.Part, error) {
	var parts []gig.Part
	for _, at := range t.parts {
		name, err := b.word(at, "name", true, nil)
		if err != nil {
			return nil, err
		}
		tab, err := b.word(at, "tab", true, nil)
		if err != nil {
			return nil, err
		}
		part := gig.NewPart(name, tab)
		if err := part.Check(); err != nil {
			return nil, b.fault(at.find("tab").at, "%w", err)
		}
		parts = append(parts, part)
	}
	return parts, nil
}
