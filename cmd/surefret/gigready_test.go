package main

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/sheet"
)

// A gig is as ready on every page: in the list, on its own page and in the progress.
func TestAGigIsAsReadyOnEveryPage(t *testing.T) {
	pl := demoPractice(t)
	progress, err := pl.Progress(t.Context(), "")
	if err != nil {
		t.Fatal(err)
	}
	drawn := progress.Text(100, ink.Look{})
	for i, g := range pl.Coming() {
		r := progress.Gigs[i]
		page, err := sheet.PageOf(pl, g)
		if err != nil {
			t.Fatal(err)
		}
		var text bytes.Buffer
		if err := page.Text(&text, 100, ink.Look{}); err != nil {
			t.Fatal(err)
		}
		share, low, high, now := 100*r.Share, 100*r.Low, 100*r.High, 100*r.Now
		for said, want := range map[string]string{
			drawn:            fmt.Sprintf("%s: %.0f to %.0f %%, now %.0f %%\n", g.Name, low, high, now),
			text.String():    fmt.Sprintf("Ready on the day: %.0f %%, likely %.0f to %.0f; now %.0f %%.", share, low, high, now),
			pl.ReadySoFar(g): fmt.Sprintf(": %.0f %% ready on the day, %.0f %% now", share, now),
		} {
			if !strings.Contains(said, want) {
				t.Errorf("no %q in:\n%s", want, said)
			}
		}
	}
}
