package practice

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
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

	// From knowing a note to its pluck, as the open strings of the tuner show it: it is
	// added to the aim of what is played.
	Reach time.Duration `json:"reach"`

	// From one key of an answer to the next: from a letter to its sign, and from one
	// digit to the other.
	Sign  Gap `json:"sign"`
	Digit Gap `json:"digit"`
}

// Anticipation is how soon after a question appears nothing can be an answer to
// it: it was typed ahead, or by no hand. A tenth of a second is the usual floor
// in studies of reaction time (from memory).
const Anticipation = 100 * time.Millisecond

// The bounds of a typing time. Nobody is faster than the first; who seems slower than
// the second was not copying, unless he is as slow each time: then it is his hand, and
// the third is the bound.
const (
	FastestTyping = 150 * time.Millisecond
	slowestTyping = 1500 * time.Millisecond
	SlowestHand   = 4 * time.Second
)

// steady is the share of their median within which the middle half of times lie, where a
// hand is as slow each time. Chosen, no source.
const steady = 0.25

// Usual is the typing time that some copies show: their median, within the bounds; 0
// for none.
func Usual(copies []time.Duration) time.Duration {
	if len(copies) == 0 {
		return 0
	}
	times := slices.Sorted(slices.Values(copies))
	n := len(times)
	most := slowestTyping
	if spread := times[(3*n-1)/4] - times[n/4]; float64(spread) < steady*float64(times[n/2]) {
		most = SlowestHand
	}
	return min(max(times[n/2], FastestTyping), most).Truncate(time.Millisecond)
}

// LeastTyping is what any hand takes.
var LeastTyping = Typing{Letters: FastestTyping, Digits: FastestTyping, Pointer: FastestTyping}

// SlowestCharacter bounds what listening takes: about 80 words a minute.
const SlowestCharacter = 150 * time.Millisecond

// listening is what it takes to hear a question out and to begin to type.
func (t Typing) listening(q drills.Question) time.Duration {
	return t.Line + time.Duration(utf8.RuneCountInString(q.Text))*t.Character
}

// usualReach is what a pluck takes where the tuner measured none. Chosen, no source.
const usualReach = 500 * time.Millisecond

// reach is how much longer than the aim an answer by this way may take.
func (t Typing) reach(by drills.Entry) time.Duration {
	if by != drills.EntryPlayed {
		return 0
	}
	return cmp.Or(t.Reach, usualReach)
}

// A Gap is how long a hand takes from one key of an answer to the next: the mean, and
// the mean deviation from it. The zero Gap was not measured.
type Gap struct {
	Mean   time.Duration `json:"mean"`
	Spread time.Duration `json:"spread"`
}

// onePress is the least that two keys are apart: what comes sooner came at once, by a
// paste or a key map.
const onePress = 20 * time.Millisecond

// see takes in one gap more, and wait is after how long no further key is to be expected:
// RFC 6298, section 2, which answers the same for a network, with its weights.
func (g *Gap) see(took time.Duration) {
	switch {
	case took < onePress || took > SlowestHand:
	case g.Mean == 0:
		g.Mean, g.Spread = took, took/2
	default:
		g.Spread += ((g.Mean - took).Abs() - g.Spread) / 4
		g.Mean += (took - g.Mean) / 8
	}
}

func (g Gap) wait() time.Duration {
	if g.Mean == 0 {
		return 0
	}
	return min(g.Mean+max(4*g.Spread, FastestTyping), SlowestHand).Truncate(time.Millisecond)
}

// GapOf is what a few gaps show.
func GapOf(gaps []time.Duration) (g Gap) {
	for _, took := range gaps {
		g.see(took)
	}
	return g
}

// Wait is how long an answer to q that could go on waits for another key, at most
// [SlowestHand]; 0 where that was not measured.
func (t Typing) Wait(q drills.Question) time.Duration { return t.between(q).wait() }

// between returns the gap within one kind of answer.
func (t *Typing) between(q drills.Question) *Gap {
	if t.of(q, drills.EntryKeys) == &t.Digits {
		return &t.Digit
	}
	return &t.Sign
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

// usualCharacter is what each character takes that is spoken: at 175 words a minute, as
// espeak-ng speaks where it is told nothing, words of six characters.
const usualCharacter = 57 * time.Millisecond

// orUsual has the times of a usual hand and voice where none was measured.
func (t Typing) orUsual() Typing {
	t.Letters, t.Digits, t.Pointer = cmp.Or(t.Letters, usualTyping), cmp.Or(t.Digits, usualTyping), cmp.Or(t.Pointer, usualTyping)
	if t.Line == 0 {
		t.Line, t.Character = usualTyping, usualCharacter
	}
	return t
}

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

// Told says in one sentence or two what was measured of a hand, "" for nothing.
func (t Typing) Told() string {
	listening := t.listening(drills.Question{Text: usualQuestion})
	said := sayTimes(map[string]time.Duration{"begin a note": t.Letters, "begin a fret": t.Digits, "point at the neck": t.Pointer, "reach a string": t.Reach, "hear a question out and begin": listening}, "%s to %s")
	waits := sayTimes(map[string]time.Duration{"a sharp or a flat": t.Sign.wait(), "a second digit": t.Digit.wait()}, "%s for %s")
	if said != "" {
		said = "You take " + said + ": that is no thinking."
	}
	if waits != "" {
		waits = "An answer waits " + waits + "."
	}
	return strings.TrimSpace(said + " " + waits)
}

// usualQuestion is one as long as most.
const usualQuestion = "String 6, fret 3: which note?"

// sayTimes lists times that were measured, by what they are of.
func sayTimes(times map[string]time.Duration, format string) string {
	var said []string
	for _, what := range slices.Sorted(maps.Keys(times)) {
		if times[what] > 0 {
			said = append(said, fmt.Sprintf(format, Seconds(times[what]), what))
		}
	}
	return strings.Join(said, ", ")
}
