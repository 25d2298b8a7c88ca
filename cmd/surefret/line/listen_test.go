package line

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"
	"unicode/utf8"

	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/practice/practicetest"
	"surefret/cmd/surefret/settings"
	"surefret/cmd/surefret/spoken"
	"surefret/drills"
)

// A listener hears what is printed, spoken at some speed, thinks, and types with a hand
// of some slowness, key by key. Only reading its keys takes time.
type listener struct {
	solver
	mu        sync.Mutex
	now       time.Time
	character time.Duration // of speech
	hand      time.Duration // from knowing what to type to the first key
	thinks    time.Duration
	rng       *rand.Rand

	unheard int    // characters that were printed since the last line was typed
	last    string // line printed
	keys    []byte
}

// moreWords says a line in more words than it has, as signs put into words do.
func moreWords(text string) string { return inMoreWords + text }

const inMoreWords = "Listen well, for here it comes in words: "

func (l *listener) clock() time.Time { l.mu.Lock(); defer l.mu.Unlock(); return l.now }

func (l *listener) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.unheard += utf8.RuneCount(p)
	if lines := strings.Split(strings.TrimRight(string(p), "\n"), "\n"); len(p) > 0 {
		l.last = lines[len(lines)-1]
	}
	return len(p), nil
}

// about is a time as people take it: a tenth more or less.
func (l *listener) about(d time.Duration) time.Duration {
	return time.Duration(float64(d) * (0.9 + 0.2*l.rng.Float64()))
}

func (l *listener) Read(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if len(l.keys) == 0 {
		l.now = l.now.Add(l.about(time.Duration(l.unheard)*l.character) + l.about(l.hand))
		l.unheard = 0
		switch {
		case strings.HasSuffix(l.last, "?"):
			l.now = l.now.Add(l.about(l.thinks))
			l.keys = []byte(l.solve(strings.TrimPrefix(l.last, inMoreWords)))
		case strings.HasPrefix(l.last, inMoreWords) || strings.HasPrefix(l.last, "Press"):
		default: // what is to be copied
			l.keys = []byte(l.last[len(l.last)-1:])
		}
		l.keys = append(l.keys, '\r')
	} else {
		l.now = l.now.Add(l.about(300 * time.Millisecond))
	}
	p[0], l.keys = l.keys[0], l.keys[1:]
	return 1, nil
}

func (l *listener) input() *Input {
	return &Input{in: bufio.NewReaderSize(l, 16), keys: &keyboard{Terminal{Raw: func() (func(), error) { return func() {}, nil }, ReadWriter: unseen, Stopped: func() bool { return false }}, l.clock}}
}

// unseen shows what is typed to nobody.
var unseen = struct {
	io.Reader
	io.Writer
}{nil, io.Discard}

// listens has a player hear and answer what is asked of every family, and returns the
// share of fluent answers.
func listens(t *testing.T, l *listener) float64 {
	t.Helper()
	var log practicetest.Log
	l.t, l.now, l.rng = t, time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC), rand.New(rand.NewPCG(7, 7))
	in := l.input()
	var typing practice.Typing
	var measured bool
	var err error
	inABubble(t, func(ctx context.Context) {
		typing, measured, err = Measure(ctx, in, l, l.clock, l.rng, practice.Typing{})
	})
	if err != nil || !measured {
		t.Fatalf("not measured: %v", err)
	}
	log.Held.Typing = typing
	p := practicetest.Open(&log, settings.Default(), l.clock)
	var items []string
	for i, it := range p.Catalogue().Items() {
		if it.Family != "ear" && i%9 == 0 {
			items = append(items, it.ID)
		}
	}
	q := practicetest.Queue(items)
	s, err := p.Begin(practice.Options{Selection: practice.Selection{Heard: true}, Spoken: moreWords, Rand: practicetest.Rand(), Length: 24 * time.Hour, Chooser: &q})
	if err != nil {
		t.Fatal(err)
	}
	l.unheard = 0
	inABubble(t, func(ctx context.Context) {
		err = Runner{In: in, Out: l, Err: io.Discard, Now: l.clock, Waits: true, Words: moreWords}.Run(ctx, s)
	})
	if err != nil {
		t.Fatal(err)
	}
	sum := s.Summary(t.Context(), l.clock())
	if sum.Asked < 60 || sum.Right < sum.Asked-1 {
		t.Fatalf("%d of %d right", sum.Right, sum.Asked)
	}
	return float64(sum.Fluent) / float64(sum.Asked)
}

// What speaking takes at three speeds, and what three hands take, is no thinking: who
// knows all is fluent, who thinks for four seconds is not.
func TestWhoeverListensIsJudgedByHisThinkingAlone(t *testing.T) {
	for _, wordsAMinute := range []int{175, 300, 400} { // as espeak-ng counts, six characters a word
		for _, hand := range []time.Duration{250 * time.Millisecond, 800 * time.Millisecond, 1500 * time.Millisecond} {
			character := time.Minute / time.Duration(6*wordsAMinute)
			knows := listens(t, &listener{character: character, hand: hand, thinks: 700 * time.Millisecond})
			thinks := listens(t, &listener{character: character, hand: hand, thinks: 4 * time.Second})
			t.Logf("%d words a minute, hand %v: %.0f %% and %.0f %% fluent", wordsAMinute, hand, 100*knows, 100*thinks)
			if knows < 0.95 || thinks >= 0.05 {
				t.Errorf("%d words a minute, hand %v: %.3f of the answers of who knows all are fluent, and %.3f of who thinks for 4 s", wordsAMinute, hand, knows, thinks)
			}
		}
	}
}

// Keys are taken one by one: the first is that of the line as it was sent.
func TestALineIsEditedAndItsFirstKeyTimed(t *testing.T) {
	for keys, want := range map[string]struct {
		text  string
		first int
		err   error
	}{
		"f#\r": {"f#", 1, nil}, "g\x7fa\n": {"a", 3, nil}, "ga\x15b\r": {"b", 4, nil}, "a\x1b[Db\r": {"ab", 1, nil}, "\r": {"", 0, nil},
		"\x03": {"", 0, ErrInterrupted}, "\x04": {"", 0, io.EOF}, "a\x04b\r": {"ab", 1, nil},
		"a\x1ab\r": {"", 0, errSuspend}, "a\x1cb\r": {"ab", 1, nil},
	} {
		n, epoch := 0, time.Unix(0, 0)
		in := bufio.NewReader(readers(keys, &n))
		quits := 0
		k := &keyboard{Terminal{ReadWriter: unseen, Quit: func() { quits++ }}, func() time.Time { return epoch.Add(time.Duration(n)) }}
		got := k.line(in)
		wantFirst := time.Time{}
		if want.first > 0 {
			wantFirst = epoch.Add(time.Duration(want.first))
		}
		if quits > 0 != strings.Contains(keys, "\x1c") {
			t.Errorf("%q: told to end %d times", keys, quits)
		}
		if got.text != want.text || !got.first.Equal(wantFirst) || got.err != want.err {
			t.Errorf("%q: %+v, want %+v", keys, got, want)
		}
	}
}

// readers hands out a byte a read, an escape sequence at once, and counts the reads.
func readers(keys string, n *int) io.Reader {
	return readFunc(func(p []byte) (int, error) {
		if keys == "" {
			return 0, io.EOF
		}
		*n++
		take := 1
		if keys[0] == escape {
			take = 3
		}
		copy(p, keys[:take])
		keys = keys[take:]
		return take, nil
	})
}

type readFunc func([]byte) (int, error)

func (f readFunc) Read(p []byte) (int, error) { return f(p) }

// Without times right is fluent, and no time is said.
func TestTimesOffJudgesRightAsFluentAndSaysNone(t *testing.T) {
	var log practicetest.Log
	set := settings.Default()
	set.Times = false
	now := time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC)
	clock := func() time.Time { now = now.Add(5 * time.Second); return now }
	s := practicetest.Begin(&log, set, func() time.Time { return now }, slices.Repeat([]string{"note/E2+3/name"}, 3)...)
	var out strings.Builder
	var err error
	inABubble(t, func(ctx context.Context) {
		err = Runner{In: strings.NewReader("G\nG\nA\n"), Out: &out, Err: io.Discard, Now: clock}.Run(ctx, s)
	})
	if err != nil {
		t.Fatal(err)
	}
	if said := out.String(); !strings.Contains(said, "3 questions, 2 right.\n") || strings.Contains(said, " s.") || strings.Contains(said, " s,") || strings.Contains(said, "slow") {
		t.Error(said)
	}
	if sum := s.Summary(t.Context(), now); sum.Fluent != 2 {
		t.Errorf("%d are fluent", sum.Fluent)
	}
	if slices.ContainsFunc(log.Rows, func(r drills.Answer) bool { return r.Thinking != 0 }) {
		t.Error(fmt.Sprint(log.Rows))
	}
}

// What was right is said in a word, why on a miss or when asked; answers are read in
// words.
func TestWhoeverListensHearsWords(t *testing.T) {
	for _, c := range []struct {
		item, answers string
		said          []string
	}{
		{"note/E2+2/name", "why\nf sharp\nwhy\ng", []string{"Nothing was answered yet.", "Right, not timed.", "F sharp", "Wrong: it is F sharp, not G. "}},
		{"note/E2+9/find", "nine", []string{"Right."}},
		{"key/Eb major/signature", "three flats\ne flat major", []string{"Right"}},
	} {
		var log practicetest.Log
		now := time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC)
		clock := func() time.Time { now = now.Add(time.Second); return now }
		s := practicetest.Begin(&log, settings.Default(), func() time.Time { return now }, slices.Repeat([]string{c.item}, 3)...)
		var out strings.Builder
		if err := (Runner{In: strings.NewReader(c.answers), Out: &out, Err: &out, Now: clock, Words: spoken.Speller{}.Text}).Run(t.Context(), s); err != nil {
			t.Fatal(err)
		}
		rest := out.String()
		for _, want := range c.said {
			at := strings.Index(rest, want)
			if at < 0 {
				t.Errorf("%s: %q is not said, or not in its place: %s", c.item, want, out.String())
				continue
			}
			rest = rest[at+len(want):]
		}
		if strings.ContainsAny(out.String(), "#/%") || strings.Contains(out.String(), "right:") {
			t.Errorf("%s: signs are said: %s", c.item, out.String())
		}
	}
}

// An earListener hears ear drills at a terminal: what sounded is noted with when, of
// which cue, and keys are typed by the test.
type earListener struct {
	log    practicetest.Log
	keys   *io.PipeWriter
	played []time.Duration
	cues   [][]drills.Sounding
	began  time.Time
	done   chan error
}

// hearsByEar begins a sitting of ear drills, shown first where that is set.
func hearsByEar(t *testing.T, set settings.Settings) *earListener {
	t.Helper()
	l := &earListener{began: time.Now(), done: make(chan error)}
	p := practicetest.Open(&l.log, set, time.Now)
	var ear []string
	for _, it := range p.Catalogue().Items() {
		if it.Family == "ear" {
			ear = append(ear, it.ID)
		}
	}
	q := practicetest.Queue(slices.Repeat(ear[:1], 3))
	s, err := p.Begin(practice.Options{Selection: practice.Selection{Heard: true}, Rand: practicetest.Rand(), Length: time.Hour, Chooser: &q, Show: true})
	if err != nil {
		t.Fatal(err)
	}
	sound := func(cue []drills.Sounding) {
		l.played, l.cues = append(l.played, time.Since(l.began)), append(l.cues, cue)
	}
	var in *io.PipeReader
	in, l.keys = io.Pipe()
	go func() {
		l.done <- Runner{In: in, Out: io.Discard, Err: io.Discard, Now: time.Now, Waits: true, Sound: sound, Words: func(s string) string { return s }}.Run(t.Context(), s)
	}()
	synctest.Wait()
	return l
}

// types sends lines after a while.
func (l *earListener) types(after time.Duration, text string) {
	time.Sleep(after)
	io.WriteString(l.keys, text)
	synctest.Wait()
}

func (l *earListener) ends(t *testing.T) {
	t.Helper()
	l.keys.Close()
	if err := <-l.done; err != nil {
		t.Error(err)
	}
}

// thinking is that of the last answer.
func (l *earListener) thinking() time.Duration { return l.log.Rows[len(l.log.Rows)-1].Thinking }

// What is to be heard sounds on Enter, its clock runs from its end, and what sounds
// after an answer is not cut off by it. Who answers before anything sounded is not timed;
// who does while it sounds knew at once.
func TestACueWaitsForTheVoice(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := hearsByEar(t, settings.Default())
		time.Sleep(3 * time.Second)
		if synctest.Wait(); len(l.played) != 0 {
			t.Errorf("it sounds before Enter: %v", l.played)
		}
		l.types(0, "\n")
		if len(l.played) != 1 || l.played[0] != 3*time.Second {
			t.Fatalf("played at %v", l.played)
		}
		l.types(lasts(l.cues[0])+time.Second, "1\n")
		if len(l.log.Rows) != 1 || l.thinking() != time.Second || len(l.played) != 2 {
			t.Fatalf("played at %v, %+v, want a second from the end of what was heard, and then the right answer", l.played, l.log.Rows)
		}
		want := time.Since(l.began) + lasts(l.cues[1])
		l.types(0, "\n\n")
		time.Sleep(lasts(l.cues[1]))
		if synctest.Wait(); len(l.played) != 3 || l.played[2] < want {
			t.Errorf("played at %v, the next cue before %v", l.played, want)
		}
		l.types(100*time.Millisecond, "1\n") // while it sounds
		if len(l.log.Rows) != 2 || l.thinking() <= 0 || l.thinking() > practice.Anticipation {
			t.Errorf("an answer while it sounds: %+v", l.log.Rows)
		}
		l.types(time.Minute, "\n")
		l.types(time.Second, "1\n") // before Enter had it sound
		if len(l.log.Rows) != 3 || l.thinking() != 0 {
			t.Errorf("an answer before anything sounded: %+v", l.log.Rows)
		}
		l.ends(t)
	})
}

// What is shown by its sound does not cut off the answer before, nor is it cut off by what
// is asked next.
func TestWhatIsShownIsHeardOut(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := hearsByEar(t, settings.Default())
		l.types(0, "\n")
		l.types(time.Minute, "1\n")
		for _, next := range []string{"\nshow\n", "\n\n"} { // after the answer, and after what is shown
			last := len(l.cues) - 1
			want := l.played[last] + lasts(l.cues[last])
			l.types(0, next)
			time.Sleep(5 * time.Second)
			if synctest.Wait(); len(l.played) != last+2 || l.played[last+1] < want {
				t.Errorf("played at %v, want the last not before %v", l.played, want)
			}
		}
		l.ends(t)
	})
}
