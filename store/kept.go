package store

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/rehearse"
)

// Kept is what is kept of a player besides answers and gigs.
type Kept struct {
	Settings  map[string]string    // JSON texts by name
	Aside     map[string]bool      // the items that are set aside
	Placed    map[string]int       // the items that a placing proved, by the day of it, counted from 1970
	Choice    drills.Choice        // what the player chose to practise
	Shapes    []fretboard.OwnShape // the player's own
	Explained map[string]bool      // the terms that the player was told, by name
	Cautioned bool                 // whether the player was told what to mind with sound

	typing, tuned string
}

// Typing puts the typing times into the value that [DB.KeepTyping] was given. It
// stays as it is where none are kept or they do not read.
func (k Kept) Typing(into any) { _ = json.Unmarshal([]byte(k.typing), into) }

// Tuned puts how the strings sounded into the value that [DB.KeepTuned] was given, as
// Typing does.
func (k Kept) Tuned(into any) { _ = json.Unmarshal([]byte(k.tuned), into) }

// How settings are called that no player sets. What comes before an item's id
// ends in a stroke, which is in no other name.
const (
	asideKey     = "aside/"
	placedKey    = "placed/"
	shapeKey     = "shape/"
	explainedKey = "explained/"
	typingKey    = "typing"
	tunedKey     = "tuned"
	choiceKey    = "choice"
	cautionedKey = "cautioned"

	weightsKey = "weights" // of earlier programs: it goes when settings are saved
)

// Kept returns what is kept.
func (v *view) Kept(ctx context.Context) (Kept, error) {
	k := Kept{Settings: map[string]string{}, Aside: map[string]bool{}, Placed: map[string]int{}, Explained: map[string]bool{}}
	for c, err := range v.current(ctx, kindSetting) {
		if err != nil {
			return k, err
		}
		value := string(c.value)
		name, item, _ := strings.Cut(c.key, "/")
		switch {
		case name+"/" == asideKey:
			if value == "true" {
				k.Aside[item] = true
			}
		case name+"/" == explainedKey:
			if value == "true" {
				k.Explained[item] = true
			}
		case name+"/" == placedKey:
			if day, err := strconv.Atoi(value); err == nil {
				k.Placed[item] = day
			}
		case name+"/" == shapeKey: // one that does not read is none
			var shape fretboard.OwnShape
			if json.Unmarshal(c.value, &shape) == nil && shape.Name == item {
				k.Shapes = append(k.Shapes, shape)
			}
		case name == typingKey:
			k.typing = value
		case name == tunedKey:
			k.tuned = value
		case name == choiceKey: // one that does not read is none
			_ = json.Unmarshal(c.value, &k.Choice)
		case name == cautionedKey:
			k.Cautioned = value == "true"
		default:
			k.Settings[c.key] = value
		}
	}
	return k, nil
}

// Players returns the ids of the players whose practice this is: none where no
// settings were saved since players have ids, several where practice was merged.
func (v *view) Players(ctx context.Context) ([]string, error) {
	var ids []string
	for c, err := range v.current(ctx, kindPlayer) {
		if err != nil {
			return nil, err
		}
		ids = append(ids, c.key)
	}
	return ids, nil
}

// SaveSettings saves settings, JSON texts by name, all of them or none. Only those
// whose value is another one than before are written, so that a merge tells of
// changes that somebody made; one that no program has any more is removed. Spaces
// between tokens are not kept, and null removes a setting. A text that is not JSON is
// [ErrInput]. The player gets an id with the first settings.
func (db *DB) SaveSettings(ctx context.Context, settings map[string]string) error {
	return db.change(ctx, "save the settings", func(v *view) ([]change, error) {
		all := map[string]string{weightsKey: "null"}
		maps.Copy(all, settings)
		changes, err := db.altered(ctx, v, all)
		if err != nil {
			return nil, err
		}
		for _, err := range v.current(ctx, kindPlayer) {
			return changes, err
		}
		return append(changes, change{kind: kindPlayer, key: db.NewID(db.Now()), value: []byte("{}")}), nil
	})
}

// set saves settings that are not the player's own choice.
func (db *DB) set(ctx context.Context, doing string, settings map[string]string) error {
	return db.change(ctx, doing, func(v *view) ([]change, error) { return db.altered(ctx, v, settings) })
}

// altered returns the changes that make settings out of what is there.
func (db *DB) altered(ctx context.Context, v *view, settings map[string]string) ([]change, error) {
	there := map[string][]byte{}
	for c, err := range v.current(ctx, kindSetting) {
		if err != nil {
			return nil, err
		}
		there[c.key] = c.value
	}
	var changes []change
	for _, key := range slices.Sorted(maps.Keys(settings)) {
		value, err := compact(cleanJSON([]byte(settings[key])))
		if err != nil {
			return nil, &Error{kind: ErrInput, path: db.path, Cause: err,
				what: fmt.Sprintf("could not save the setting %s, %q is not JSON", clean(key, maxName), clean(settings[key], 60))}
		}
		if was, ok := there[key]; !bytes.Equal(value, was) || ok != (value != nil) {
			changes = append(changes, change{kind: kindSetting, key: key, value: value})
		}
	}
	return changes, nil
}

// SetAside sets items aside, or takes them up again.
func (db *DB) SetAside(ctx context.Context, aside bool, items ...string) error {
	return db.set(ctx, "keep what is set aside", ofItems(items, asideKey, strconv.FormatBool(aside)))
}

// Place keeps on which day, counted from 1970, a placing proved items.
func (db *DB) Place(ctx context.Context, day int, items ...string) error {
	return db.set(ctx, "keep what was proven", ofItems(items, placedKey, strconv.Itoa(day)))
}

// keep keeps a value that encodes as JSON; doing says what it is.
func (db *DB) keep(ctx context.Context, doing, key string, value any) error {
	text, err := json.Marshal(value)
	if err != nil {
		return fmt.Errorf("%s: %w", doing, err)
	}
	return db.set(ctx, doing, map[string]string{key: string(text)})
}

// KeepShape keeps a shape of the player's own, in place of the one of its name.
func (db *DB) KeepShape(ctx context.Context, shape fretboard.OwnShape) error {
	return db.keep(ctx, "keep a shape", shapeKey+shape.Name, shape)
}

// RemoveShape forgets a shape of the player's own.
func (db *DB) RemoveShape(ctx context.Context, name string) error {
	return db.set(ctx, "remove a shape", map[string]string{shapeKey + name: "null"})
}

// ofItems gives one value to a setting of each item.
func ofItems(items []string, prefix, value string) map[string]string {
	all := map[string]string{}
	for _, item := range items {
		all[prefix+item] = value
	}
	return all
}

// KeepTyping keeps the typing times, a value that encodes as JSON.
func (db *DB) KeepTyping(ctx context.Context, typing any) error {
	return db.keep(ctx, "keep the typing times", typingKey, typing)
}

// KeepTuned keeps how the strings sounded, a value that encodes as JSON.
func (db *DB) KeepTuned(ctx context.Context, tuned any) error {
	return db.keep(ctx, "keep the tuning", tunedKey, tuned)
}

// KeepChoice keeps what the player chose to practise.
func (db *DB) KeepChoice(ctx context.Context, choice drills.Choice) error {
	return db.keep(ctx, "keep the choice", choiceKey, choice)
}

// KeepExplained keeps which terms the player was told, by name.
func (db *DB) KeepExplained(ctx context.Context, terms ...string) error {
	return db.set(ctx, "keep what was explained", ofItems(terms, explainedKey, "true"))
}

// KeepCautioned keeps that the player was told what to mind with sound.
func (db *DB) KeepCautioned(ctx context.Context) error {
	return db.set(ctx, "keep what was said", map[string]string{cautionedKey: "true"})
}

// kindSitting is a run through a song: its minutes, and what came of it.
const kindSitting = "sitting"

// KeepRun keeps what came of a run through a song.
func (db *DB) KeepRun(ctx context.Context, past rehearse.Past) error {
	value, err := json.Marshal(past)
	if err != nil {
		return fmt.Errorf("keep a run: %w", err)
	}
	return db.change(ctx, "keep a run", func(*view) ([]change, error) {
		return []change{{kind: kindSitting, key: db.NewID(past.At), value: cleanJSON(value)}}, nil
	})
}

// Runs returns the runs that are kept, in order of time. One that does not read is none.
func (v *view) Runs(ctx context.Context) ([]rehearse.Past, error) {
	var runs []rehearse.Past
	for c, err := range v.current(ctx, kindSitting) {
		if err != nil {
			return nil, err
		}
		var past rehearse.Past
		if json.Unmarshal(c.value, &past) == nil && past.Seconds >= 0 {
			runs = append(runs, past)
		}
	}
	rehearse.ByTime(runs)
	return runs, nil
}
