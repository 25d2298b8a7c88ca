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
