package sheet

import (
	"bytes"
	"strings"
	"testing"

	"surefret/cmd/surefret/ink"
	"surefret/drills/theory"
)

// On a terminal the heads of plain pages are bold, and elsewhere nothing is.
func TestHeadsAreBoldOnATerminal(t *testing.T) {
	song := quay(t, 1, theory.Names{})
	song.Readiness = nil
	key, err := theory.ParseKey("Ab")
	if err != nil {
		t.Fatal(err)
	}
	for _, page := range []struct {
		heads string
		write func(*bytes.Buffer, ink.Look) error
	}{
		{"Harbour Fair, Saturday 5 December 2026|Cockle Row: Bb major|verse|Roots|Walks|Before the gig", func(b *bytes.Buffer, look ink.Look) error {
			return Page{Name: "Harbour Fair", Day: "2026-12-05", Songs: []Song{song}}.Text(b, 80, look)
		}},
		{"Ab major|scale|walks", func(b *bytes.Buffer, look ink.Look) error {
			return KeyOf(key, song.neck, song.names).Text(b, 80, false, look)
		}},
		{"octaves", func(b *bytes.Buffer, look ink.Look) error {
			return ShapesOn(song.neck).Text(b, 80, "standard", "", look)
		}},
	} {
		var plain, bold bytes.Buffer
		if err := page.write(&plain, ink.Look{}); err != nil {
			t.Fatal(err)
		}
		if err := page.write(&bold, ink.Look{Colours: ink.NoColours}); err != nil {
			t.Fatal(err)
		}
		for head := range strings.SplitSeq(page.heads, "|") {
			if !strings.Contains(bold.String(), "\x1b[1m"+head+"\x1b[0m") || strings.Contains(plain.String(), "\x1b") || !strings.Contains(plain.String(), head) {
				t.Errorf("%q is no bold head of\n%q", head, bold.String())
			}
		}
	}
}
