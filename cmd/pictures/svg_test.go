package main

import (
	"encoding/xml"
	"io"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestEscapeCodesBecomeStyles(t *testing.T) {
	var s style
	got := runs("a\x1b[1;38;5;16;48;5;227mb\x1b[0;7mc\x1b[md\x1b[30;43me\x1b[39;49mf", &s)
	want := []stretch{
		{style{}, "a"}, {style{ink: "#000000", fill: "#ffff5f", bold: true}, "b"}, {style{reverse: true}, "c"},
		{style{}, "d"}, {style{ink: "#000000", fill: "#cdcd00"}, "e"}, {style{}, "f"},
	}
	if diff := cmp.Diff(want, got, cmp.AllowUnexported(stretch{}, style{})); diff != "" {
		t.Error(diff)
	}
	if got := plain("a\x1b[1mb\x1b[0m"); got != "ab" {
		t.Errorf("%q", got)
	}
}

// Tones of the xterm cube and greys, from the table in xterm's 256colres.pl (from
// memory).
func TestColours(t *testing.T) {
	for n, want := range map[int]string{16: "#000000", 21: "#0000ff", 67: "#5f87af", 231: "#ffffff", 232: "#080808", 255: "#eeeeee"} {
		if got := colour(n); got != want {
			t.Errorf("%d: %s, want %s", n, got, want)
		}
	}
}

func TestAPictureIsSoundXML(t *testing.T) {
	d := xml.NewDecoder(strings.NewReader(picture("a < b", "x \x1b[48;5;17m7 & <\x1b[0m\n\n─║ y", 20)))
	text := ""
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if c, ok := token.(xml.CharData); ok {
			text += string(c)
		}
	}
	for _, want := range []string{"a < b", "7 & <", "─║ y"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in %q", want, text)
		}
	}
}
