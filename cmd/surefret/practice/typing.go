package practice

import (
	"slices"
	"time"
	"unicode/utf8"

	"surefret/drills"
)

// Typing is how long a player's hand takes from seeing what to enter to its
// first key, with nothing to think about: it is taken off the key time to get
// the thinking time. It is measured by copying, after
// the first sitting, and refined by answers
// that were faster than that; where it was not measured it is taken from practice
// itself. Zero values are not measured and take nothing off.
type Typing struct {
	Letters time.Duration `json:"letters"` // notes, chords and other words
	Digits  time.Duration `json:"digits"`  // frets, choices, places
	Pointer time.Duration `json:"pointer"` // arrows or mouse on the neck

	// Where questions are listened to: from one that is printed to the first key, and
	// how much of it each character takes to be spoken.
	Line      time.Duration `json:"line"`
	Character time.Duration `json:"character"`
}

// Anticipation is how soon after a question appears nothing can be an answer to
// it: it was typed ahead, or by no hand. A tenth of a second is the usual floor
// in studies of reaction time (from memory).
const Anticipation = 100 * time.Millisecond

// The bounds of a typing time. Nobody is faster than the one; who seems slower
// than the other was not copying.
const (
	FastestTyping = 150 * time.Millisecond
	SlowestTyping = 1500 * time.Millisecond
)

// LeastTyping is what any hand takes.
var LeastTyping = Typing{Letters: FastestTyping, Digits: FastestTyping, Pointer: FastestTyping}

// The bounds of what listening takes.
const (
	SlowestLine      = 4 * time.Second
	SlowestCharacter = 150 * time.Millisecond // about 80 words a minute
)

// listening is what it takes to hear a question out and to begin to type.
func (t Typing) listening(q drills.Question) time.Duration {
	return t.Line + time.Duration(utf8.RuneCountInString(q.Text))*t.Character
}

// of returns the time of one kind of answer, nil for line mode, where it goes by the
// length of the question.
func (t *Typing) of(q drills.Question, by drills.Entry) *time.Duration {
	switch {
	case by == drills.EntryPointer:
		return &t.Pointer
	case by != drills.EntryKeys:
		return nil
	}
	switch q.Expect {
	case drills.ExpectFret, drills.ExpectPlaces, drills.ExpectPath, drills.ExpectChoice:
		return &t.Digits
	}
	return &t.Letters
}

// Thinking returns the thinking time of an answer with this key time: at least
// a millisecond, since 0 says that an answer was not timed.
func (t Typing) Thinking(q drills.Question, by drills.Entry, key time.Duration) time.Duration {
	typing := t.of(q, by)
	switch {
	case key == 0:
		return key
	case by == drills.EntryLine && t.Line > 0:
		return max(key-t.listening(q), time.Millisecond)
	case typing == nil:
		return key
	}
	return max(key-*typing, time.Millisecond)
}

// refine moves a typing time a fifth of the way to a right answer that was
// faster: it cannot have been thought about for less than no time.
func (t *Typing) refine(q drills.Question, by drills.Entry, key time.Duration) {
	if whole := t.listening(q); by == drills.EntryLine && t.Line > 0 && key > 0 && key < whole {
		share := 1 - float64(whole-key)/float64(whole)/5
		t.Line = max(time.Duration(float64(t.Line)*share), FastestTyping)
		t.Character = time.Duration(float64(t.Character) * share)
	}
	if typing := t.of(q, by); typing != nil && key > 0 && key < *typing {
		*typing = max(*typing-(*typing-key)/5, FastestTyping)
	}
}

// What practice by itself tells of a hand that was not measured: of so many right answers
// of one kind the quick ones, less what anybody thinks who knows the answer, and no more
// than a usual hand takes. All chosen, no source.
const (
	learnFrom    = 15
	leastThought = 250 * time.Millisecond
	usualTyping  = 700 * time.Millisecond
)

// learn takes a typing time from the right answers of one kind in a sitting, where none
// was measured: their thinking times are key times then. It is the third fastest of
// fifteen, which is no slip.
func (t *Typing) learn(q drills.Question, by drills.Entry, sitting []answered) {
	typing := t.of(q, by)
	if typing == nil || *typing > 0 {
		return
	}
	var keys []time.Duration
	for _, a := range sitting {
		if a.row.Right && a.row.Thinking > 0 && t.of(a.Question, a.row.Entry) == typing {
			keys = append(keys, a.row.Thinking)
		}
	}
	if len(keys) >= learnFrom {
		slices.Sort(keys)
		*typing = min(max(keys[2]-leastThought, FastestTyping), usualTyping)
	}
}
