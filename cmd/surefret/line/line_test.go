package line

import (
	"bytes"
	"strings"
	"testing"
	"testing/iotest"

	"surefret/cmd/surefret/settings"
)

func TestSetupTakesAnswersLineByLine(t *testing.T) {
	var out, errs bytes.Buffer
	in := iotest.OneByteReader(strings.NewReader("drop D\n40\n24\nleft\nstop\n"))
	got, err := Setup(in, &out, &errs, settings.Default())
	if err != nil {
		t.Fatal(err)
	}
	want := settings.Default()
	want.Tuning, want.Frets, want.LeftHanded = "drop D", 24, true
	if got != want {
		t.Errorf("settings\n%+v, want\n%+v", got, want)
	}
	if lines := strings.Count(errs.String(), "\n"); lines != 1 || !strings.Contains(errs.String(), `"40"`) {
		t.Errorf("said %q, want one sentence on 40 frets", errs.String())
	}
}

func TestSetupAtTheEndOfInputKeepsTheRest(t *testing.T) {
	var out, errs bytes.Buffer
	got, err := Setup(strings.NewReader(""), &out, &errs, settings.Default())
	if err != nil || got != settings.Default() {
		t.Errorf("%+v, %v; want the settings as they were", got, err)
	}
}

func TestBackAsksTheSettingBefore(t *testing.T) {
	var out, errs bytes.Buffer
	got, err := Setup(strings.NewReader("drop D\nback\nopen G\nback\nback\n\nhelp\n24\nstop\n"), &out, &errs, settings.Default())
	want := settings.Default()
	want.Tuning, want.Frets = "open G", 24
	if err != nil || got != want {
		t.Errorf("settings\n%+v, want\n%+v, %v", got, want, err)
	}
	if !strings.Contains(errs.String(), "back asks the question before again") {
		t.Errorf("help says %q", errs.String())
	}
}
