package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"surefret/drills"
	"surefret/store"
)

// A held keeps the answers of a sitting that cannot be saved while another
// program has the log locked for longer than a save waits: practice goes on, and
// each answer is saved, in its order, with the first one after it that can be.
// At the end what is still held goes to a file of its own. Only a program that
// is killed in the meantime loses an answer by it, and the player was told.
type held struct {
	log interface {
		Append(context.Context, drills.Answer) error
	}
	rows   []drills.Answer
	untold bool // that something is held
}

// append saves what was held before and then r, and returns what was saved. A
// row that is held is no error; one that fails for another reason is not held.
func (h *held) append(ctx context.Context, r drills.Answer) (saved []drills.Answer, err error) {
	h.untold = h.untold || len(h.rows) == 0
	h.rows = append(h.rows, r)
	saved, err = h.flush(ctx)
	switch {
	case err == nil:
		h.untold = false
	case errors.Is(err, store.ErrLocked):
		return saved, nil
	default:
		h.rows = h.rows[:len(h.rows)-1]
	}
	return saved, err
}

// flush saves what is held and returns it, up to the first that cannot be saved.
func (h *held) flush(ctx context.Context) (saved []drills.Answer, err error) {
	for len(h.rows) > 0 {
		if err := h.log.Append(ctx, h.rows[0]); err != nil {
			return saved, err
		}
		saved, h.rows = append(saved, h.rows[0]), h.rows[1:]
	}
	return saved, nil
}

// withdrawn are the ids that rows held back take back.
func (h *held) withdrawn() map[string]bool {
	ids := map[string]bool{}
	for _, r := range h.rows {
		if r.TakesBack != "" {
			ids[r.TakesBack] = true
		}
	}
	return ids
}

// notice says once that something is held, and what to do; "" otherwise.
func (h *held) notice() string {
	if !h.untold || len(h.rows) == 0 {
		return ""
	}
	h.untold = false
	return "Another program has your practice locked: close it; your answers wait here until they can be saved."
}

// lastTries is how often saving what is held is tried at the end, each time for
// as long as a save waits.
const lastTries = 3

// last saves what is held or, where that cannot be done, writes it to a file
// beside the log at path, which the error names.
func (h *held) last(ctx context.Context, now time.Time, path string) (saved []drills.Answer, err error) {
	for range lastTries {
		some, failed := h.flush(ctx)
		saved, err = append(saved, some...), failed
		if !errors.Is(err, store.ErrLocked) {
			break
		}
	}
	if err == nil {
		return saved, nil
	}
	file := strings.TrimSuffix(path, filepath.Ext(path)) + "-unsaved-" + now.Format("20060102T150405") + ".jsonl"
	if err := h.write(file); err != nil {
		return saved, fmt.Errorf("the last %s could not be saved, nor written to %s: %w", count(len(h.rows), "answer"), file, reason(err))
	}
	return saved, fmt.Errorf("the last %s could not be saved in your practice and went to %s: when no other program has it locked, 'surefret data import' with that name brings them in",
		count(len(h.rows), "answer"), file)
}

// write puts what is held in a new file, for its owner alone.
func (h *held) write(file string) error {
	f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	return errors.Join(store.ExportAnswers(f, h.rows), f.Sync(), f.Close())
}

// notices returns what to say before a question: that answers are held, or what
// the sound has to say.
func (pl *player) notices(s *sound) func() string {
	return func() string {
		if text := pl.held.notice(); text != "" {
			return text
		}
		return s.notice()
	}
}
