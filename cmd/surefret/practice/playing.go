package practice

import (
	"context"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"surefret/drills"
)

// An Ear hears what is played in a sitting. Its times are those of the sound; io.EOF is
// the end of it. Its methods wait, and return soon once their context ends.
type Ear interface {
	// Hear waits for the answer to a question.
	Hear(context.Context, drills.Question) (drills.Heard, error)
	// Rest waits until the next question can be put: sooner where nothing is to be
	// looked at.
	Rest(ctx context.Context, look bool) error
	// Pluck waits for any note, at most for a time, 0 for as long as it takes.
	Pluck(context.Context, time.Duration) (bool, error)
}

// MostUnsure is how often a note may be heard too badly before typing is offered, with
// OfferTyping.
const (
	MostUnsure  = 2
	OfferTyping = "Type the answer, or play on."
)

// Unheard says why nothing is heard, or nothing any more, and what to do.
func Unheard(err error) string { return Sentence(err.Error()) + " Type the answers." }

// Sentence begins a text with a capital, and ends it with a full stop where it is no
// question. None is made of "".
func Sentence(text string) string {
	if text == "" {
		return ""
	}
	first, size := utf8.DecodeRuneInString(text)
	text = string(unicode.ToUpper(first)) + text[size:]
	if strings.HasSuffix(text, "?") {
		return text
	}
	return text + "."
}
