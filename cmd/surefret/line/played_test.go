package line

import (
	"bytes"
	"context"
	"io"
	"strings"
	"testing"
	"time"

	"surefret/cmd/surefret/practice/practicetest"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
)

// hears is an ear that hears what a test says, and then nothing more.
type hears []drills.Heard

func (h *hears) Hear(context.Context, drills.Question) (drills.Heard, error) {
	if len(*h) == 0 {
		return drills.Heard{}, io.EOF
	}
	next := (*h)[0]
	*h = (*h)[1:]
	return next, nil
}
func (h *hears) Rest(context.Context, bool) error                   { return nil }
func (h *hears) Pluck(context.Context, time.Duration) (bool, error) { return true, nil }

// What was heard badly is asked once more, twice; then typing is offered. Nothing of it
// is in the log.
func TestWhatIsHeardBadlyIsAskedOnceMore(t *testing.T) {
	log := &practicetest.Log{}
	s := practicetest.Begin(log, settings.Default(), time.Now, "note/E2+3/find")
	unsure := drills.Heard{Unsure: true, Said: "did not hear that, once more"}
	ear := hears{unsure, unsure, {Answer: "3", Said: "heard G, string 6 has it at 3", Thinking: time.Second}}
	var out, told bytes.Buffer
	if err := (Runner{In: strings.NewReader(""), Out: &out, Err: &told, Now: time.Now, Ear: &ear}).Run(t.Context(), s); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(told.String(), "Did not hear that, once more."); n != 2 || strings.Count(told.String(), "Type the answer") != 1 {
		t.Errorf("told %q", &told)
	}
	if len(log.Rows) != 1 || !log.Rows[0].Right || log.Rows[0].Entry != drills.EntryPlayed || log.Rows[0].Thinking != 0 {
		t.Errorf("logged %+v, want one right answer, played and not timed", log.Rows)
	}
}
