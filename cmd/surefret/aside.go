package main

import (
	"context"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
	"time"

	"surefret/cmd/surefret/practice"
	"surefret/scheduler"
)

// asideKey comes before the item's id in the key of the setting that says it
// was set aside.
const asideKey = "aside/"

// setAside keeps an item from being asked until the player brings it back.
func (pl *player) setAside(ctx context.Context, f practiceFlags, heard bool, item string) error {
	if err := pl.db.SetSetting(ctx, asideKey+item, "true"); err != nil {
		return err
	}
	pl.aside[item] = true
	return pl.narrowAgain(f, heard)
}

// bringBack brings back what was set aside a moment ago.
func (pl *player) bringBack(ctx context.Context, f practiceFlags, heard bool, item string) error {
	if err := pl.db.SetSetting(ctx, asideKey+item, "false"); err != nil {
		return err
	}
	delete(pl.aside, item)
	return pl.narrowAgain(f, heard)
}

// bringAllBack brings back everything that was set aside.
func (pl *player) bringAllBack(ctx context.Context) error {
	for item := range pl.aside {
		if err := pl.db.SetSetting(ctx, asideKey+item, "false"); err != nil {
			return err
		}
	}
	clear(pl.aside)
	return nil
}

// placedKey comes before the item's id in the key of the setting that holds the
// practice day on which it was proven in a placing, as a number.
const placedKey = "placed/"

// restProven is how long an item that was proven without being asked is left
// alone before it is met like any other.
const restProven = 60

// proven reports whether an item that was never asked was proven lately.
func (pl *player) proven(item string) bool {
	day, ok := pl.placed[item]
	if !ok {
		return false
	}
	if st, _ := pl.planner.State(item); st.Asked > 0 {
		return false
	}
	return scheduler.DayOf(pl.now(), time.Local)-day < restProven
}

// place keeps what a placing proved, and says it.
func (pl *player) place(ctx context.Context, p *practice.Placing) []string {
	items, words := p.Proven()
	day := scheduler.DayOf(pl.now(), time.Local)
	for _, id := range items {
		if err := pl.db.SetSetting(ctx, placedKey+id, strconv.Itoa(int(day))); err != nil {
			return []string{"What was proven could not be kept: " + err.Error() + "."}
		}
		pl.placed[id] = day
	}
	if len(words) == 0 {
		return []string{"Nothing was proven: practice begins at the beginning."}
	}
	return []string{"Proven, and left alone for a while: " + strings.Join(words, "; ") + "."}
}

// typingKey is the key of the setting that holds the player's typing times.
const typingKey = "typing"

// keepTyping saves the typing times where they changed.
func (pl *player) keepTyping(ctx context.Context, t practice.Typing) error {
	if t == pl.typing {
		return nil
	}
	pl.typing = t
	text, err := json.Marshal(t)
	if err != nil {
		return fmt.Errorf("keep the typing times: %w", err)
	}
	return pl.db.SetSetting(ctx, typingKey, string(text))
}
