package tablature

import (
	"fmt"
	"strings"
	"testing"

	"surefret/drills/fretboard"
)

// Whatever the bytes: the reader never panics, what it takes it gives back byte
// for byte, and a moved part reads back with as many notes.
func FuzzParseTab(f *testing.F) {
	for _, text := range asWritten {
		f.Add(text, 3)
	}
	f.Add(asWritten["plain"], -2)
	f.Add("e|-\nB|-\nG|-\nD|-\nA|-\nE|-", 12)
	f.Add("e|--(((--9)9\nB|--10--x)--\nG|~~h~~~~~~~\nD|-/-\\-/3\\5\nA|--99--------\nE||:--:||o*", 5)
	f.Fuzz(func(t *testing.T, text string, n int) {
		tab, err := Parse(text, guitar)
		if err != nil {
			return
		}
		if got := tab.String(); got != text {
			t.Fatalf("read %q, wrote %q", text, got)
		}
		p := tab.Part()
		if got, err := tab.Write(p.Events); err != nil || got != text {
			t.Fatalf("read %q, wrote its own events as %q (%v)", text, got, err)
		}
		bar := 1
		for i := range p.Events {
			e := &p.Events[i]
			if e.Bar < bar || e.Beats <= 0 || len(e.Notes) == 0 {
				t.Fatalf("event %d is %+v", i, *e)
			}
			bar = e.Bar
			strs := map[int]bool{}
			for j := range e.Notes {
				note := &e.Notes[j]
				if strs[note.String] || note.String < 1 || note.String > 6 {
					t.Fatalf("event %d: %+v", i, *e)
				}
				strs[note.String] = true
			}
		}
		for line := range strings.Lines(text) {
			if n := strings.Count(line, "-"); n < 6 || 2*n < len(line) {
				return // wider numbers would make it hard to tell from text
			}
		}
		// Other frets on the same strings, as a shift writes them.
		moved := make([]fretboard.Event, len(p.Events))
		for i, e := range p.Events {
			e.Notes = append([]fretboard.Fretted(nil), e.Notes...)
			for j := range e.Notes {
				if !e.Notes[j].Dead {
					e.Notes[j].Fret = (e.Notes[j].Fret + (n%37+37)%37) % 37
				}
			}
			moved[i] = e
		}
		out, err := tab.Write(moved)
		must(t, err)
		again, err := Parse(out, guitar)
		if err != nil {
			t.Fatalf("%v in what was written:\n%s\nfrom\n%s", err, out, text)
		}
		if got, want := notesOnStrings(again.Part()), notesOnStrings(fretboard.Part{Events: moved}); got != want {
			t.Fatalf("wrote %s\nread  %s\n%s\nfrom\n%s", want, got, out, text)
		}
	})
}

// notesOnStrings writes the notes of each string in order; which of them sound
// together is the layout's affair.
func notesOnStrings(p fretboard.Part) string {
	var strs [fretboard.MaxStrings + 1]string
	for _, e := range p.Events {
		for _, n := range e.Notes {
			if n.Dead {
				strs[n.String] += " x"
			} else {
				strs[n.String] += fmt.Sprint(" ", n.Fret)
			}
		}
	}
	return strings.Join(strs[1:], "|")
}
