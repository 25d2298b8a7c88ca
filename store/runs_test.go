package store_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"surefret/drills/rehearse"
)

// Runs of two computers are all there after a merge, in order of time.
func TestRunsAreKeptAndMerged(t *testing.T) {
	here, there := newLog(t), newLog(t)
	at := time.Date(2026, 11, 30, 20, 0, 0, 0, time.UTC)
	first := rehearse.Past{At: at, Day: "2026-11-30", Seconds: 61.5, Song: "cockles", Key: "Eb major", Tempo: 96.5, Asked: 12, Given: 10, InTime: 9, Holds: 88}
	second := rehearse.Past{At: at.Add(time.Hour), Day: "2026-11-30", Seconds: 20, Song: "cockles", Key: "Eb major", Tempo: 77, Part: true}
	must(t, there.KeepRun(t.Context(), second))
	must(t, here.KeepRun(t.Context(), first))
	merge(t, here, there.Path())
	runs, err := here.Runs(t.Context())
	if diff := cmp.Diff([]rehearse.Past{first, second}, runs); diff != "" || err != nil {
		t.Error(diff, err)
	}
}
