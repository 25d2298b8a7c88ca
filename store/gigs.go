package store

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"iter"
	"maps"
	"slices"
	"strconv"
	"strings"

	"surefret/drills/gig"
)

// A gig is merged by its parts, of each of which the last change counts: its
// fields, the order of its songs, and for each song what the player knows of it
// (song/ID, which does not depend on the gig) and how it is called there (call/ID).
// The id of a song is the title that it came with, in small letters, whatever it is
// called later. FORMAT.md has the list.
type gigParts map[string]json.RawMessage

const (
	partOrder = "order"
	partSong  = "song/"
	partCall  = "call/"
)

// A call is how a song is called at one gig.
type call struct {
	Called string `json:"called"`
	Shaky  bool   `json:"shaky,omitempty"`
}

// partsOf takes a gig apart.
func partsOf(g gig.Gig) gigParts {
	p := gigParts{}
	put := func(part string, v any) {
		p[part], _ = json.Marshal(v) // texts, numbers and lists of them: it cannot fail
	}
	put("name", g.Name)
	put("day", g.Day)
	put("note", g.Note)
	put("asked", g.Asked)
	order := identify(g.Songs)
	for i, s := range g.Songs {
		id := order[i]
		put(partCall+id, call{s.Called, s.Shaky})
		if s.Stored {
			continue
		}
		put(partSong+id, fieldsOf(s))
	}
	put(partOrder, order)
	return p
}

// identify returns the ids of songs. Those that have none yet, or that of one before,
// get one that no other has.
func identify(songs []gig.Song) (ids []string) {
	taken := map[string]bool{}
	for _, s := range songs {
		taken[s.ID] = true
	}
	for i, s := range songs {
		id := s.ID
		if id == "" || slices.ContainsFunc(songs[:i], func(o gig.Song) bool { return o.ID == id }) {
			for id = strings.ToLower(s.Title); taken[id]; id += "'" {
			}
			taken[id] = true
		}
		ids = append(ids, id)
	}
	return ids
}

// gig puts one together, with the songs of the repertoire that it calls. Songs that are
// not in the order come last, by title.
func (p gigParts) gig(id string, stored map[string]gig.Song) (gig.Gig, error) {
	g := gig.Gig{ID: id}
	var order []string
	for part, into := range map[string]any{"name": &g.Name, "day": &g.Day, "note": &g.Note, "asked": &g.Asked, partOrder: &order} {
		if text := p[part]; text != nil {
			if err := json.Unmarshal(text, into); err != nil {
				return g, fmt.Errorf("its part %s: %w", part, err)
			}
		}
	}
	ids := map[string]bool{}
	for part := range p {
		if id, ok := strings.CutPrefix(part, partSong); ok {
			ids[id] = true
		}
		if id, ok := strings.CutPrefix(part, partCall); ok {
			if _, ok := stored[id]; ok {
				ids[id] = true
			}
		}
	}
	order = slices.DeleteFunc(order, func(id string) bool { return !ids[id] })
	for _, id := range order {
		delete(ids, id)
	}
	titles := map[string]bool{}
	for _, id := range append(order, slices.Sorted(maps.Keys(ids))...) {
		s, err := p.song(id, stored)
		if err != nil {
			return g, err
		}
		for titles[strings.ToLower(s.Title)] { // two computers gave two songs one title
			s.Title += "'"
		}
		titles[strings.ToLower(s.Title)] = true
		g.Songs = append(g.Songs, s)
	}
	return g, nil
}

// song puts one song together.
func (p gigParts) song(id string, stored map[string]gig.Song) (s gig.Song, err error) {
	if p[partSong+id] == nil {
		s = stored[id]
	} else if err := json.Unmarshal(p[partSong+id], &s); err != nil {
		return s, fmt.Errorf("its song %s: %w", id, err)
	}
	c := call{Called: s.Learned}
	if text := p[partCall+id]; text != nil {
		if err := json.Unmarshal(text, &c); err != nil {
			return s, fmt.Errorf("how its song %s is called: %w", id, err)
		}
	}
	s.ID, s.Called, s.Shaky = id, c.Called, c.Shaky
	return s, nil
}

// recognize gives the songs of g that have no id, as those of a book, the id of the
// song that has their title already.
func (p gigParts) recognize(g *gig.Gig) {
	was, err := p.gig(g.ID, nil)
	if err != nil {
		return
	}
	for i := range g.Songs {
		s := &g.Songs[i]
		if at, ok := was.Song(s.Title); ok && s.ID == "" && !slices.ContainsFunc(g.Songs, func(o gig.Song) bool { return o.ID == was.Songs[at].ID }) {
			s.ID = was.Songs[at].ID
		}
	}
}

// Gigs returns the gigs by day, those of one day by id.
func (v *view) Gigs(ctx context.Context) ([]gig.Gig, error) {
	var all []gig.Gig
	stored, err := v.storedSongs(ctx)
	if err != nil {
		return nil, err
	}
	for s, err := range v.states(ctx, kindGig) {
		if err != nil {
			return nil, err
		}
		if !s.there() {
			continue
		}
		g, err := s.parts.gig(s.last.key, stored)
		if err != nil {
			return nil, damagedError(v.path, "the gig "+s.last.key+" does not read", err)
		}
		all = append(all, g)
	}
	slices.SortFunc(all, func(a, b gig.Gig) int {
		return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(a.ID, b.ID))
	})
	return all, nil
}

// PutGig adds a gig, or changes the one with its ID to it: only the parts that
// differ are saved, so that what another computer changes of it meanwhile stays.
// Control characters in its texts become U+FFFD; a line break stays in the Note.
func (db *DB) PutGig(ctx context.Context, g gig.Gig) error {
	value, err := json.Marshal(g)
	if err == nil {
		value, err = compact(cleanJSON(value))
	}
	var own gig.Gig // a deep copy: the caller's slices stay as they are
	if err == nil {
		err = json.Unmarshal(value, &own)
	}
	for i, s := range own.Songs {
		if s.Stored { // the repertoire has the rest
			own.Songs[i] = gig.Song{ID: s.ID, Title: s.Title, Learned: s.Learned, Called: s.Called, Shaky: s.Shaky, Stored: true}
		}
	}
	for text := range lines(&own) {
		*text = clean(*text, maxText)
	}
	if err == nil {
		value, err = json.Marshal(own)
	}
	if err != nil {
		return fmt.Errorf("save the gig %s: %w", g.ID, err)
	}
	return db.change(ctx, "save the gig", func(v *view) ([]change, error) {
		s, err := v.state(ctx, kindGig, g.ID)
		if err != nil {
			return nil, err
		}
		c := change{kind: kindGig, key: g.ID, value: value}
		if s.there() {
			s.parts.recognize(&own)
			set := s.parts.to(partsOf(own))
			if len(set) == 0 {
				return nil, nil
			}
			if why := faultOfGig(g.ID, value); why != "" { // told as of the whole
				return []change{c}, nil
			}
			if c.value, err = json.Marshal(edit{set}); err != nil {
				return nil, err
			}
		}
		return []change{c}, nil
	})
}

// RemoveGig removes the gig of this id. [ErrMissing] says that there is none.
func (db *DB) RemoveGig(ctx context.Context, id string) error {
	return db.remove(ctx, kindGig, id)
}

// faultOfGig says why value cannot be a change of the gig key, or "".
func faultOfGig(key string, value []byte) string {
	var g gig.Gig
	var e edit
	if json.Unmarshal(value, &e) != nil || json.Unmarshal(value, &g) != nil {
		return "it does not read as a gig"
	}
	if e.Set != nil {
		set := maps.Clone(e.Set)
		maps.DeleteFunc(set, func(_ string, v json.RawMessage) bool { return string(v) == "null" })
		var err error
		if g, err = set.gig(key, nil); err != nil {
			return "it does not read as a gig"
		}
	}
	if g.ID != key {
		return "its id is not its key"
	}
	if !isDay(g.Day) && (e.Set == nil || e.Set["day"] != nil) {
		return fmt.Sprintf("the day of the gig is %q, not a date like 2026-12-05", clean(g.Day, maxName))
	}
	for text := range lines(&g) {
		if *text != clean(*text, maxText) {
			return "a text in it has control characters or is longer than " + strconv.Itoa(maxText) + " bytes"
		}
	}
	return ""
}

// lines yields the texts of a gig that are one line each: all but its note.
func lines(g *gig.Gig) iter.Seq[*string] {
	return func(yield func(*string) bool) {
		texts := []*string{&g.ID, &g.Name, &g.Day}
		for i := range g.Songs {
			texts = append(texts, linesOf(&g.Songs[i])...)
		}
		for _, t := range texts {
			if !yield(t) {
				return
			}
		}
	}
}

// linesOf returns the texts of a song that are one line each: all but its chart and the
// tablature of its parts.
func linesOf(s *gig.Song) []*string {
	texts := []*string{&s.Title, &s.Learned, &s.Called}
	for i := range s.Sections {
		texts = append(texts, &s.Sections[i].Name, &s.Sections[i].Chords)
	}
	for i := range s.Shapes {
		texts = append(texts, &s.Shapes[i])
	}
	for i := range s.Parts {
		texts = append(texts, &s.Parts[i].Name)
	}
	return texts
}
