package store

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"iter"

	"surefret/drills/gig"
)

// An edit is the value of a change of a song, or of a gig that is there: the parts
// that it changed, null for those that are gone.
type edit struct {
	Set gigParts `json:"set"`
}

// to returns what changes p into q.
func (p gigParts) to(q gigParts) gigParts {
	set := gigParts{}
	for part, v := range q {
		if !bytes.Equal(p[part], v) {
			set[part] = v
		}
	}
	for part := range p {
		if q[part] == nil {
			set[part] = json.RawMessage("null")
		}
	}
	return set
}

// A state is what the changes of one gig, or of one song of the repertoire, come to.
type state struct {
	parts   gigParts
	by      map[string]change // the change that each part has its value from
	last    change            // of all
	removed bool
}

// apply takes in the next change. One that comes after a removal brings back what was
// there: its maker did not know.
func (s *state) apply(c change) error {
	s.last = c
	if c.value == nil {
		s.removed = true
		return nil
	}
	var e edit
	err := json.Unmarshal(c.value, &e)
	if c.kind == kindSong && (err != nil || e.Set == nil) {
		return nil // of a program to come
	} else if err != nil {
		return err
	}
	s.removed = false
	if e.Set == nil {
		var g gig.Gig
		if err := json.Unmarshal(c.value, &g); err != nil {
			return err
		}
		e.Set = s.parts.to(partsOf(g))
	}
	if s.parts == nil {
		s.parts, s.by = gigParts{}, map[string]change{}
	}
	for part, v := range e.Set {
		s.by[part] = c
		if string(v) == "null" {
			delete(s.parts, part)
		} else {
			s.parts[part] = v
		}
	}
	return nil
}

// there reports whether there is such a thing. One whose first change was lost has no
// day, or no title.
func (s *state) there() bool {
	first := map[string]string{kindGig: "day", kindSong: "title"}[s.last.kind]
	return !s.removed && s.parts[first] != nil
}

// states yields what the changes of each thing of a kind come to, by id.
func (v *view) states(ctx context.Context, kind string) iter.Seq2[*state, error] {
	return v.statesWhere(ctx, `kind = ?`, kind)
}

func (v *view) statesWhere(ctx context.Context, where string, args ...any) iter.Seq2[*state, error] {
	return func(yield func(*state, error) bool) {
		var s *state
		for c, err := range v.changes(ctx, `WHERE `+where+` ORDER BY key, at, id, sum`, args...) {
			if s != nil && err == nil && s.last.key != c.key {
				if !yield(s, nil) {
					return
				}
				s = nil
			}
			if err == nil {
				if s == nil {
					s = &state{}
				}
				if err = s.apply(c); err != nil {
					err = damagedError(v.path, "the gig "+c.key+" does not read", err)
				}
			}
			if err != nil {
				yield(nil, err)
				return
			}
		}
		if s != nil {
			yield(s, nil)
		}
	}
}

// state returns what the changes of one thing come to.
func (v *view) state(ctx context.Context, kind, id string) (*state, error) {
	for s, err := range v.statesWhere(ctx, `kind = ? AND key = ?`, kind, id) {
		return s, err
	}
	return &state{}, nil
}

// remove removes one thing of a kind that is merged by its parts.
func (db *DB) remove(ctx context.Context, kind, id string) error {
	return db.change(ctx, "remove the "+kind, func(v *view) ([]change, error) {
		s, err := v.state(ctx, kind, id)
		if err == nil && !s.there() {
			err = &Error{kind: ErrMissing, path: db.path, what: fmt.Sprintf("there is no %s of the id %s", kind, clean(id, maxName))}
		}
		return []change{{kind: kind, key: id}}, err
	})
}
