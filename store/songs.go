package store

import (
	"cmp"
	"context"
	"encoding/json"
	"slices"
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
		fields[ownPart+p.Name], _ = json.Marshal(p.Tab)
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

// RemoveSong removes the song of this id. [ErrMissing] says that there is none.
func (db *DB) RemoveSong(ctx context.Context, id string) error {
	return db.remove(ctx, kindSong, id)
}
