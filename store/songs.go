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

// fieldsOf takes a song of the repertoire apart. What only a gig says of it is left out.
func fieldsOf(s gig.Song) gigParts {
	s.ID, s.Called, s.Shaky, s.Stored = "", "", false, false
	text, _ := json.Marshal(s) // texts, numbers and lists of them: it cannot fail
	var fields gigParts
	_ = json.Unmarshal(text, &fields)
	delete(fields, "called")
	return fields
}

// songFields returns the fields of each song of the repertoire, by id.
func (v *view) songFields(ctx context.Context) (map[string]gigParts, error) {
	all := map[string]gigParts{}
	for c, err := range v.changes(ctx, `WHERE kind = '`+kindSong+`' ORDER BY key, at, id, sum`) {
		if err != nil {
			return nil, err
		}
		if c.value == nil {
			delete(all, c.key)
			continue
		}
		var e edit
		if err := json.Unmarshal(c.value, &e); err != nil || e.Set == nil {
			continue // of a program to come
		}
		if all[c.key] == nil {
			all[c.key] = gigParts{}
		}
		for field, value := range e.Set {
			if string(value) == "null" {
				delete(all[c.key], field)
			} else {
				all[c.key][field] = value
			}
		}
	}
	return all, nil
}

// storedSongs returns the songs of the repertoire by id. What was removed by one
// computer and changed by another has no title, and is none.
func (v *view) storedSongs(ctx context.Context) (map[string]gig.Song, error) {
	all, err := v.songFields(ctx)
	songs := map[string]gig.Song{}
	for id, fields := range all {
		text, err := json.Marshal(fields)
		var s gig.Song
		if err != nil || json.Unmarshal(text, &s) != nil {
			return nil, damagedError(v.path, "the song "+id+" does not read", err)
		}
		if s.Title == "" || s.Learned == "" {
			continue
		}
		s.ID, s.Called, s.Stored = id, s.Learned, true
		songs[id] = s
	}
	return songs, err
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
		now, err := v.songFields(ctx)
		if err != nil {
			return nil, err
		}
		var changes []change
		for _, s := range songs {
			id, fields := s.ID, fieldsOf(s)
			if id == "" {
				for id = clean(strings.ToLower(s.Title), maxName-9); now[id] != nil; id += "'" {
				}
			}
			set := now[id].to(fields)
			if len(set) == 0 {
				continue
			}
			value, err := json.Marshal(edit{set})
			if err == nil {
				value, err = compact(cleanJSON(value))
			}
			if err != nil {
				return nil, err
			}
			now[id] = fields
			changes = append(changes, change{kind: kindSong, key: id, value: value})
		}
		return changes, nil
	})
}

// RemoveSong removes the song of this id. [ErrMissing] says that there is none.
func (db *DB) RemoveSong(ctx context.Context, id string) error {
	return db.change(ctx, "remove the song", func(v *view) ([]change, error) {
		songs, err := v.songFields(ctx)
		if err == nil && songs[id] == nil {
			err = &Error{Kind: ErrMissing, Path: db.path, What: "there is no song of the id " + clean(id, maxName)}
		}
		return []change{{kind: kindSong, key: id}}, err
	})
}
