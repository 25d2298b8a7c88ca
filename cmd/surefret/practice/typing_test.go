package practice

import (
	"testing"
	"time"

	"surefret/drills"
)

func TestThinkingIsKeyTimeLessTypingTime(t *testing.T) {
	typing := Typing{Letters: 400 * time.Millisecond, Digits: 500 * time.Millisecond, Pointer: 700 * time.Millisecond}
	note, fret, chord := drills.Question{Expect: drills.ExpectNote}, drills.Question{Expect: drills.ExpectFret}, drills.Question{Expect: drills.ExpectChord}
	for _, c := range []struct {
		q         drills.Question
		by        drills.Entry
		key, want time.Duration
	}{
		{note, drills.EntryKeys, 1400 * time.Millisecond, time.Second},
		{chord, drills.EntryKeys, 1400 * time.Millisecond, time.Second},
		{fret, drills.EntryKeys, 1500 * time.Millisecond, time.Second},
		{fret, drills.EntryPointer, 1700 * time.Millisecond, time.Second},
		{note, drills.EntryLine, 1400 * time.Millisecond, 1400 * time.Millisecond},
		{note, drills.EntryKeys, 300 * time.Millisecond, time.Millisecond}, // timed all the same
		{note, drills.EntryKeys, 0, 0},                                     // not timed
	} {
		if got := typing.Thinking(c.q, c.by, c.key); got != c.want {
			t.Errorf("expect %d by %s, %v: %v, want %v", c.q.Expect, c.by, c.key, got, c.want)
		}
	}
}

// A hand that was not measured is told from practice: from fifteen right answers of one
// kind on, and never slower than a usual hand.
func TestTypingIsTakenFromPracticeWhereItWasNotMeasured(t *testing.T) {
	fret := drills.Question{Expect: drills.ExpectFret}
	for _, c := range []struct {
		n      int
		slower time.Duration
		before Typing
		want   time.Duration
	}{
		{14, 0, Typing{}, 0},
		{15, 0, Typing{}, 700 * time.Millisecond},
		{15, -300 * time.Millisecond, Typing{}, 450 * time.Millisecond},
		{15, 0, Typing{Digits: 200 * time.Millisecond}, 200 * time.Millisecond},
	} {
		var sitting []answered
		answer := func(q drills.Question, by drills.Entry, right bool, key time.Duration) {
			sitting = append(sitting, answered{Turn: Turn{Question: q}, row: drills.Answer{Right: right, Thinking: key, Entry: by}})
		}
		for i := range c.n {
			answer(fret, drills.EntryKeys, true, time.Duration(800+100*i)*time.Millisecond+c.slower)
		}
		for range learnFrom { // these tell nothing of it
			answer(fret, drills.EntryKeys, false, 200*time.Millisecond)
			answer(fret, drills.EntryKeys, true, 0)
			answer(fret, drills.EntryPointer, true, 200*time.Millisecond)
			answer(drills.Question{}, drills.EntryKeys, true, 200*time.Millisecond)
		}
		typing := c.before
		if typing.learn(fret, drills.EntryKeys, sitting); typing.Digits != c.want || typing.Letters != 0 {
			t.Errorf("%d answers, %v slower: %+v", c.n, c.slower, typing)
		}
	}
}

func TestNobodyTypesFasterThanAHandCan(t *testing.T) {
	typing := Typing{Digits: 151 * time.Millisecond}
	for range 100 {
		typing.refine(drills.Question{Expect: drills.ExpectFret}, drills.EntryKeys, time.Millisecond)
	}
	if typing.Digits != FastestTyping {
		t.Errorf("%v", typing.Digits)
	}
}

// A right answer that came sooner than listening takes says that it takes less.
func TestListeningIsRefinedByFasterAnswersOnly(t *testing.T) {
	q := drills.Question{Text: "String 6, fret 3: which note?"} // 29 characters
	before := Typing{Line: 600 * time.Millisecond, Character: 50 * time.Millisecond}
	for key, want := range map[time.Duration]time.Duration{
		1025 * time.Millisecond: 1845 * time.Millisecond, // half of 2050 ms: a fifth of the way there
		3 * time.Second:         2050 * time.Millisecond,
		0:                       2050 * time.Millisecond, // not timed
	} {
		typing := before
		if typing.refine(q, drills.EntryLine, key); typing.listening(q).Round(time.Millisecond) != want {
			t.Errorf("after %v: %v, want %v", key, typing.listening(q), want)
		}
	}
}

// A hand that is slow each time has its allowance, to four seconds; who is slow now and
// then was not copying.
func TestASlowHandIsAllowedForWhereItIsSteady(t *testing.T) {
	const s = time.Second
	for _, c := range []struct {
		copies []time.Duration
		want   time.Duration
	}{
		{nil, 0},
		{[]time.Duration{s / 20, s / 20, s / 20}, FastestTyping},
		{[]time.Duration{s / 2, s / 2, 5 * s, s / 2, s / 4}, s / 2},
		{[]time.Duration{23 * s / 10, 27 * s / 10, 25 * s / 10, 25 * s / 10, 24 * s / 10}, 2500 * time.Millisecond},
		{[]time.Duration{s, 4 * s, 2 * s, 6 * s, 3 * s}, slowestTyping},
		{[]time.Duration{6 * s, 6 * s, 6 * s, 6 * s}, SlowestHand},
	} {
		if got := Usual(c.copies); got != c.want {
			t.Errorf("%v: %v, want %v", c.copies, got, c.want)
		}
	}
}

// RFC 6298, section 2: after a first R of 1 s SRTT is 1 s, RTTVAR 0.5 s and RTO 3 s; a
// second of 2 s gives RTTVAR 0.625 s and SRTT 1.125 s, and an RTO of 3.625 s.
func TestAPauseIsSetFromTheGapsBetweenKeys(t *testing.T) {
	var typing Typing
	note, fret := drills.Question{Expect: drills.ExpectNote}, drills.Question{Expect: drills.ExpectFret}
	for _, c := range []struct{ took, want time.Duration }{
		{time.Second, 3 * time.Second}, {2 * time.Second, 3625 * time.Millisecond},
		{time.Minute, 3625 * time.Millisecond}, {0, 3625 * time.Millisecond}, // an interruption, and a paste
		{4 * time.Second, SlowestHand},
	} {
		if typing.between(note).see(c.took); typing.Wait(note) != c.want {
			t.Errorf("after %v: %v, want %v", c.took, typing.Wait(note), c.want)
		}
	}
	if typing.Wait(fret) != 0 {
		t.Errorf("a sign says something of digits: %v", typing.Wait(fret))
	}
	for range 30 {
		typing.between(note).see(300 * time.Millisecond)
	}
	if wait := typing.Wait(note); wait < 450*time.Millisecond || wait > time.Second {
		t.Errorf("a hand that became quick is waited for %v", wait)
	}
}

// What was measured is told, and no more.
func TestWhatWasMeasuredIsTold(t *testing.T) {
	for want, typing := range map[string]Typing{
		"": {},
		"You take 2.5 s to begin a fret, 0.4 s to begin a note: that is no thinking. An answer waits 0.8 s for a second digit.": {
			Letters: 400 * time.Millisecond, Digits: 2500 * time.Millisecond, Digit: Gap{400 * time.Millisecond, 100 * time.Millisecond}},
		"You take 2.0 s to hear a question out and begin: that is no thinking.": {Line: 600 * time.Millisecond, Character: 50 * time.Millisecond},
	} {
		if got := typing.Told(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
