package form_test

import (
	"errors"
	"strings"
	"testing"

	"surefret/cmd/surefret/form"
)

var keys = []form.Option{{Value: "D", Label: "D major"}, {Value: "Bb", Label: "B flat major"}, {Value: "2", Label: "a name that is a number"}}

func TestAnAnswerIsReadByNumberValueOrLabel(t *testing.T) {
	for answer, want := range map[string]string{
		"D": "D", "d": "D", "D major": "D", "  b FLAT major ": "Bb", "1": "D", "3": "2",
		"b": "Bb", "a n": "2", // the beginning of one alone
		"flat": "Bb", "Number": "2", // a word that one alone has
		"2": "Bb", // a number counts the list, even where an answer is called so
	} {
		var got string
		q := form.Question{Ask: "Which key?", Options: keys, Value: &got}
		if err := q.Set(answer); err != nil || got != want {
			t.Errorf("%q is taken as %q, want %q: %v", answer, got, want, err)
		}
	}
}

func TestSeveralAnswersAreParted(t *testing.T) {
	for answer, want := range map[string]string{
		"": "", " ": "", "D": "D", "D,Bb": "D,Bb", "1, 2": "D,Bb", "2 1": "Bb,D", ",,1,": "D", "1, D, d": "D",
	} {
		got := "before"
		q := form.Question{Ask: "Which keys?", Options: keys, Several: true, Value: &got}
		if err := q.Set(answer); err != nil || got != want {
			t.Errorf("%q is taken as %q, want %q: %v", answer, got, want, err)
		}
		if chosen := q.Chosen(); strings.Join(chosen, ",") != want || want == "" && chosen != nil {
			t.Errorf("%q: chosen %q", answer, chosen)
		}
	}
}

// What cannot be used is told in one sentence, and the answer stays what it was.
func TestABadAnswerChangesNothing(t *testing.T) {
	low := errors.New("too low")
	for _, c := range []struct {
		q      form.Question
		answer string
		want   string
	}{
		{form.Question{Ask: "Which?", Options: keys}, "4", `"4" is no answer to "Which?": use a number from 1 to 3`},
		{form.Question{Ask: "Which?", Options: keys}, "0", `use a number from 1 to 3`},
		{form.Question{Ask: "Which?", Options: keys}, "-1", `use a number from 1 to 3`},
		{form.Question{Ask: "Which?", Options: keys}, "", `"" is no answer`},
		{form.Question{Ask: "Which?", Options: []form.Option{{Value: "no"}, {Value: "none"}}}, "n", `"n" is no answer`}, // the beginning of both
		{form.Question{Ask: "Which?", Options: keys, Hint: "a key"}, "H", `"H" is no answer to "Which?": use a key`},
		{form.Question{Ask: "Which?", Options: keys, Several: true}, "1,H", `"H" is no answer`},
		{form.Question{Ask: "Which?", Options: keys}, "D\x1b[2J", `"D\x1b[2J" is no answer`}, // quoted, lest a terminal obeys
		{form.Question{Ask: "How fast?", Check: func(string) error { return low }}, "10", "too low"},
		{form.Question{Ask: "Which?", Options: keys, Check: func(string) error { return low }}, "1", "too low"},
	} {
		value := "before"
		c.q.Value = &value
		err := c.q.Set(c.answer)
		if err == nil || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%q: %v, want %q", c.answer, err, c.want)
		}
		if value != "before" {
			t.Errorf("%q: the answer is %q now", c.answer, value)
		}
	}
}

func TestATypedAnswerStandsBesideTheOptions(t *testing.T) {
	var got string
	q := form.Question{Ask: "Which tuning?", Options: keys, Typed: "another", Value: &got}
	if err := q.Set("C2 G2 D3 A3"); err != nil || got != "C2 G2 D3 A3" {
		t.Errorf("%q: %v", got, err)
	}
	if err := q.Set("d major"); err != nil || got != "D" {
		t.Errorf("an option is still one: %q: %v", got, err)
	}
}

// A check sees the option's value and not what was typed for it.
func TestACheckSeesTheAnswer(t *testing.T) {
	var got, seen string
	q := form.Question{Ask: "Which?", Options: keys, Value: &got, Check: func(text string) error { seen = text; return nil }}
	if err := q.Set("2"); err != nil || seen != "Bb" || got != "Bb" {
		t.Errorf("the check saw %q, the answer is %q: %v", seen, got, err)
	}
	free := form.Question{Ask: "Which?", Value: &got, Check: func(text string) error { seen = text; return nil }}
	if err := free.Set("  two words  "); err != nil || seen != "two words" || got != "two words" {
		t.Errorf("the check saw %q, the answer is %q: %v", seen, got, err)
	}
}
