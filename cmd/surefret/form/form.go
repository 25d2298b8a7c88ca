// Package form is what a form asks, apart from how it is asked: the full screen
// shows it as a form, the line mode as plain questions, and both refuse the same
// answers in the same words.
package form

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// A Form is a few questions that belong together.
type Form struct {
	Title     string // a few words
	Note      string // under the title, a sentence
	Leave     string // what leaving it does: "leave it as it was"
	Brief     bool   // what is needless is passed over in lines, too
	Begin     string // what taking all as it is shown does, "" where that is not offered
	Questions []Question
}

// A Question is one of a form. Its answer is in Value, which holds what is taken
// where nothing is answered.
type Question struct {
	Ask     string // a short question, ending in "?"
	Hint    string // what may be answered, half a sentence
	Options []Option
	Several bool // several options may be picked; Value has them parted by commas
	Value   *string

	// Now lists the options as the answers before make them read; nil for as they are.
	Now func() []Option

	// Words reads a word that is no option as the values of several; nil for none.
	Words func(word string) (values []string, err error)

	// Typed names the option that stands for an answer besides the options, which is
	// typed; empty where there is none.
	Typed string

	// Idle reports that the answers before make this one needless: it is passed over;
	// nil is false. Lines, which scripts count, ask it all the same, but where the form
	// has a Begin or is Brief.
	Idle func() bool

	// Neck says which instrument an answer stands for, to be drawn beside the question;
	// nil where it is about none. It reports false for an answer that stands for none.
	Neck func(answer string) (Instrument, bool)

	// Check refuses an answer in one sentence; nil takes any. It may look at the
	// answers to the questions before.
	Check func(string) error
}

// An Instrument is one as its player holds it and names its strings.
type Instrument struct {
	Neck       fretboard.Fretboard
	LeftHanded bool
	Names      theory.Names
}

// An Option is an answer to pick.
type Option struct {
	Value string
	Label string // what the player sees
}

// The answers to a question of yes or no.
const (
	Yes = "yes"
	No  = "no"
)

// YesOrNo are the options of such a question.
func YesOrNo() []Option { return []Option{{Value: Yes, Label: Yes}, {Value: No, Label: No}} }

// Set reads an answer: a typed text, or the values or numbers of options. It
// leaves Value alone when the answer cannot be used.
func (q Question) Set(text string) error {
	text = strings.TrimSpace(text)
	if len(q.Options) > 0 {
		var picked []string
		words := []string{text}
		if q.Several {
			words = strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ' ' })
		}
		for _, w := range words {
			o, ok := q.Option(w)
			switch {
			case ok:
			case q.Words != nil:
				values, err := q.Words(w)
				if err != nil {
					return err
				}
				picked = append(picked, values...)
				continue
			case q.Typed != "":
				o.Value = w
			default:
				return fmt.Errorf("%q is no answer to %q: use %s", w, q.Ask, q.expected())
			}
			if !slices.Contains(picked, o.Value) {
				picked = append(picked, o.Value)
			}
		}
		text = strings.Join(picked, ",")
	}
	if q.Check != nil {
		if err := q.Check(text); err != nil {
			return err
		}
	}
	*q.Value = text
	return nil
}

// Option finds an option by its number, its value or its label, or by the beginning of
// one or a word in it that no other has, such as y for yes; where an answer may be typed
// as well neither is one.
func (q Question) Option(text string) (Option, bool) {
	options := q.List()
	for i, o := range options {
		if text == fmt.Sprint(i+1) {
			return o, true
		}
	}
	var begun []Option
	for _, o := range options {
		if strings.EqualFold(o.Value, text) || strings.EqualFold(o.Label, text) {
			return o, true
		}
		if text != "" && q.Typed == "" && (hasPrefixFold(o.Value, text) || hasPrefixFold(o.Label, text)) {
			begun = append(begun, o)
		}
	}
	if len(begun) == 0 && q.Typed == "" {
		for _, o := range options {
			if slices.Contains(strings.FieldsFunc(strings.ToLower(o.Label), func(r rune) bool { return !unicode.IsLetter(r) }), strings.ToLower(text)) {
				begun = append(begun, o)
			}
		}
	}
	if len(begun) == 1 {
		return begun[0], true
	}
	return Option{}, false
}

// List returns the options as they read now.
func (q Question) List() []Option {
	if q.Now != nil {
		return q.Now()
	}
	return q.Options
}

func hasPrefixFold(s, prefix string) bool {
	return strings.HasPrefix(strings.ToLower(s), strings.ToLower(prefix))
}

// Lists reports whether an answer is one of the options.
func (q Question) Lists(value string) bool {
	return slices.ContainsFunc(q.Options, func(o Option) bool { return o.Value == value })
}

func (q Question) expected() string {
	if q.Hint != "" {
		return q.Hint
	}
	return fmt.Sprintf("a number from 1 to %d", len(q.Options))
}

// Chosen lists the values of a question of several options.
func (q Question) Chosen() []string {
	if *q.Value == "" {
		return nil
	}
	return strings.Split(*q.Value, ",")
}
