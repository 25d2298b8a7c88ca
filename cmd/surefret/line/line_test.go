package line

import (
	"bytes"
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"surefret/cmd/surefret/settings"
	"surefret/cmd/surefret/spoken"
)

// setUp answers the form of settings with lines.
func setUp(t *testing.T, lines string) (s settings.Settings, errs string) {
	t.Helper()
	var out, said bytes.Buffer
	s = settings.Default()
	in := iotest.OneByteReader(strings.NewReader(lines))
	if _, err := NewReader(in, &out, &said).Ask(t.Context(), settings.Form(&s)); err != nil {
		t.Fatal(err)
	}
	return s, said.String()
}

func TestAFormTakesAnswersLineByLine(t *testing.T) {
	want := settings.Default()
	if got, _ := setUp(t, ""); got != want {
		t.Errorf("at the end of input: %+v, want the settings as they were", got)
	}
	want.Tuning, want.Frets, want.LeftHanded = "drop D", 24, true
	got, errs := setUp(t, "\ndrop D\n40\n24\nleft\nstop\n")
	if got != want {
		t.Errorf("settings\n%+v, want\n%+v", got, want)
	}
	if strings.Count(errs, "\n") != 1 || !strings.Contains(errs, `"40"`) {
		t.Errorf("said %q, want one sentence on 40 frets", errs)
	}
}

func TestAFormIsAskedInWords(t *testing.T) {
	s := settings.Default()
	var out bytes.Buffer
	r := NewReader(strings.NewReader("\nstop\n"), &out, io.Discard)
	r.Words = spoken.Speller{}.Text
	if _, err := r.Ask(t.Context(), settings.Form(&s)); err != nil || !strings.Contains(out.String(), "(now: standard) A name, ") || !strings.Contains(out.String(), "\n2: half step down.\n") {
		t.Errorf("%v: %s", err, out.String())
	}
}

// What a pipe gives for ever brings a form no further, and ends it.
func TestAFormEndsWhereNothingIsAnswered(t *testing.T) {
	for _, lines := range []string{"y\n", "help\n", "back\n", "drop D\nback\n"} {
		s := settings.Default()
		r := NewReader(strings.NewReader(strings.Repeat(lines, 1000)), io.Discard, io.Discard)
		if _, err := r.Ask(t.Context(), settings.Form(&s)); !errors.Is(err, ErrNoAnswer) {
			t.Errorf("%q for ever: %v", lines, err)
		}
	}
}

func TestBackAsksTheSettingBefore(t *testing.T) {
	want := settings.Default()
	want.Tuning, want.Frets = "open G", 24
	got, errs := setUp(t, "\ndrop D\nback\nopen G\nback\nback\n\n\nhelp\n24\nstop\n")
	if got != want {
		t.Errorf("settings\n%+v, want\n%+v", got, want)
	}
	if !strings.Contains(errs, "back returns to the last question") {
		t.Errorf("help says %q", errs)
	}
}
