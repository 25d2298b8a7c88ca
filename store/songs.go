package store

import (
	"cmp"
	"context"
	"encoding/json"
	"maps"
	"slices"
	"strconv"
	"strings"

	"surefret/drills/gig"
)

// A song of the repertoire is merged by its fields, of each of which the last change
// counts. Its id is the title that it came with, in small letters, and stays when the
// title is changed. A gig that plays it has a call/ part of that id and no song/ part.
const kindSong = "song"

// fieldsOf takes a song of the repertoire apart, its texts made clean. What only a gig
// says of it is left out.
func fieldsOf(s gig.Song) gigParts {
	s.ID, s.Called, s.Shaky, s.Stored = "", "", false, false
	text, _ := json.Marshal(s) // texts, numbers and lists of them: it cannot fail
	var own gig.Song           // a deep copy: the caller's slices stay as they are
	_ = json.Unmarshal(text, &own)
	for _, line := range linesOf(&own) {
		*line = clean(*line, maxText)
	}
	text, _ = json.Marshal(own)
	var fields gigParts
	_ = json.Unmarshal(text, &fields)
	delete(fields, "called")
	return fields
}

// ownPart is what a field of the repertoire begins with that holds a part.
const ownPart = "part/"

// storedFields takes a song of the repertoire apart, each of its parts by itself: two
// computers may each add one.
func storedFields(s gig.Song) gigParts {
	parts := s.Parts
	s.Parts = nil
	fields := fieldsOf(s)
	for _, p := range parts {
		fields[ownPart+clean(p.Name, maxText)], _ = json.Marshal(p.Tab)
	}
	return fields
}

// storedSong puts one together, its parts by their names.
func storedSong(fields gigParts) (s gig.Song, err error) {
	whole := gigParts{}
	var parts []gig.Part
	for field, value := range fields {
		if name, ok := strings.CutPrefix(field, ownPart); ok {
			p := gig.Part{Name: name}
			if err := json.Unmarshal(value, &p.Tab); err != nil {
				return s, err
			}
			parts = append(parts, p)
			continue
		}
		whole[field] = value
	}
	text, err := json.Marshal(whole)
	if err == nil {
		err = json.Unmarshal(text, &s)
	}
	for _, p := range s.Parts { // as an earlier program kept them
		if fields[ownPart+p.Name] == nil {
			parts = append(parts, p)
		}
	}
	slices.SortFunc(parts, func(a, b gig.Part) int { return cmp.Compare(a.Name, b.Name) })
	s.Parts = parts
	return s, err
}

// storedSongs returns the songs of the repertoire by id.
func (v *view) storedSongs(ctx context.Context) (map[string]gig.Song, error) {
	songs := map[string]gig.Song{}
	for state, err := range v.states(ctx, kindSong) {
		if err != nil {
			return nil, err
		}
		if !state.there() {
			continue
		}
		id := state.last.key
		s, err := storedSong(state.parts)
		if err != nil {
			return nil, damagedError(v.path, "the song "+id+" does not read", err)
		}
		if s.Title == "" || s.Learned == "" {
			continue
		}
		s.ID, s.Called, s.Stored = id, s.Learned, true
		songs[id] = s
	}
	return songs, nil
}

// Songs returns the songs of the repertoire by title.
func (v *view) Songs(ctx context.Context) ([]gig.Song, error) {
	byID, err := v.storedSongs(ctx)
	var songs []gig.Song
	for _, s := range byID {
		songs = append(songs, s)
	}
	slices.SortFunc(songs, func(a, b gig.Song) int {
		return cmp.Or(cmp.Compare(strings.ToLower(a.Title), strings.ToLower(b.Title)), cmp.Compare(a.ID, b.ID))
	})
	return songs, err
}

// PutSongs adds songs to the repertoire, all of them or none, or changes those that
// have an ID: only the fields that differ are saved, so that what another computer
// changes meanwhile stays. A song without an ID is a new one.
func (db *DB) PutSongs(ctx context.Context, songs ...gig.Song) error {
	return db.change(ctx, "save the songs", func(v *view) ([]change, error) {
		now := map[string]*state{}
		for s, err := range v.states(ctx, kindSong) {
			if err != nil {
				return nil, err
			}
			now[s.last.key] = s
		}
		there := func(id string) bool { return now[id] != nil && now[id].there() }
		var changes []change
		for _, s := range songs {
			id, fields := s.ID, storedFields(s)
			if id == "" {
				for id = clean(strings.ToLower(s.Title), maxName-9); there(id); id += "'" {
				}
			}
			if now[id] == nil {
				now[id] = &state{}
			}
			set := now[id].parts.to(fields)
			if len(set) == 0 && there(id) {
				continue
			}
			value, err := json.Marshal(edit{set})
			if err == nil {
				value, err = compact(cleanJSON(value))
			}
			if err != nil {
				return nil, err
			}
			now[id] = &state{parts: fields, last: change{kind: kindSong}}
			changes = append(changes, change{kind: kindSong, key: id, value: value})
		}
		return changes, nil
	})
}

// StoreSongs makes the songs that gigs hold themselves songs of the repertoire, which the
// gigs only call from then on: those of earlier programs, and of gigs that were put in
// whole. One that is in the repertoire already, as it is, is that one; beside another of
// its title it is a second one.
//
// What it writes is made out of the gig's changes alone, their ids and times as well, so
// that computers that do the same write the same rows, and what one of them changed
// afterwards stays.
func (db *DB) StoreSongs(ctx context.Context) error {
	owning := false
	for s, err := range db.states(ctx, kindGig) {
		if err != nil {
			return err
		}
		owning = owning || s.there() && s.parts.owns()
	}
	if !owning {
		return nil
	}
	return db.change(ctx, "keep the songs of the gigs", func(v *view) ([]change, error) {
		taken := songsTaken{stored: map[string]gigParts{}}
		for s, err := range v.states(ctx, kindSong) {
			if err != nil {
				return nil, err
			}
			if s.there() {
				taken.stored[s.last.key] = s.parts
			}
		}
		for s, err := range v.states(ctx, kindGig) {
			if err == nil && s.there() {
				err = taken.of(s, v.path)
			}
			if err != nil {
				return nil, err
			}
		}
		return taken.changes, nil
	})
}

// songsTaken are the songs that are taken out of the gigs that held them themselves.
type songsTaken struct {
	stored  map[string]gigParts // the repertoire, with what was taken out so far
	changes []change
}

// of takes the songs out of one gig, of the file at path.
func (t *songsTaken) of(s *state, path string) error {
	set := gigParts{}
	for n, part := range slices.Sorted(maps.Keys(s.parts)) {
		id, own := strings.CutPrefix(part, partSong)
		if !own {
			continue
		}
		var song gig.Song
		if err := json.Unmarshal(s.parts[part], &song); err != nil {
			return damagedError(path, "the gig "+s.last.key+" does not read", err)
		}
		fields, as := storedFields(song), clean(id, maxName-9)
		for t.stored[as] != nil && len(t.stored[as].to(fields)) > 0 {
			as += "'"
		}
		if t.stored[as] == nil {
			if err := t.add(s.by[part], 1+n, kindSong, as, fields); err != nil {
				return err
			}
			t.stored[as] = fields
		}
		set[part] = json.RawMessage("null")
		s.parts.recall(song, id, as, set)
	}
	if len(set) == 0 {
		return nil
	}
	return t.add(s.last, 0, kindGig, s.last.key, set)
}

// add adds the n-th change that follows from another, by its device and of its time.
func (t *songsTaken) add(from change, n int, kind, key string, set gigParts) error {
	value, err := json.Marshal(edit{set})
	t.changes = append(t.changes, change{id: from.id + "+" + strconv.Itoa(n), device: from.device, at: from.at, kind: kind, key: key, value: value})
	return err
}

// owns reports whether a gig holds a song itself.
func (p gigParts) owns() bool {
	for part := range p {
		if strings.HasPrefix(part, partSong) {
			return true
		}
	}
	return false
}

// recall has a gig call a song by its id in the repertoire.
func (p gigParts) recall(s gig.Song, id, as string, set gigParts) {
	called := p[partCall+id]
	if called == nil {
		called, _ = json.Marshal(call{Called: s.Learned})
		set[partCall+as] = called
	}
	if id == as {
		return
	}
	set[partCall+id], set[partCall+as] = json.RawMessage("null"), called
	var order []string
	text := set[partOrder]
	if text == nil {
		text = p[partOrder]
	}
	if json.Unmarshal(text, &order) == nil {
		for i := range order {
			if order[i] == id {
				order[i] = as
			}
		}
		set[partOrder], _ = json.Marshal(order)
	}
}

// RemoveSong removes the song of this id. [ErrMissing] says that there is none.
func (db *DB) RemoveSong(ctx context.Context, id string) error {
	return db.remove(ctx, kindSong, id)
}
