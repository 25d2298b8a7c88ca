package practice_test

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/practice/practicetest"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/drills/gig"
	"surefret/scheduler"
)

var start = time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC)

const (
	nameG = "note/E2+3/name"
	nameA = "note/E2+5/name"
)

// A bench is a sitting of ten minutes with its log and its clock.
type bench struct {
	*testing.T
	*practice.Sitting
	p   *practice.Player
	log *practicetest.Log
	now time.Time
}

// begin opens the log and begins a sitting that asks the items in turn.
func begin(t *testing.T, log *practicetest.Log, items ...string) *bench {
	t.Helper()
	q := practicetest.Queue(items)
	return beginWith(t, log, practice.Options{Chooser: &q, Selection: practice.Selection{Heard: true}})
}

func beginWith(t *testing.T, log *practicetest.Log, o practice.Options) *bench {
	t.Helper()
	b := &bench{T: t, log: log, now: start}
	b.p = practicetest.Open(log, settings.Default(), func() time.Time { return b.now })
	if o.Length == 0 {
		o.Length = 10 * time.Minute
	}
	o.Rand = practicetest.Rand()
	var err error
	if b.Sitting, err = b.p.Begin(o); err != nil {
		t.Fatal(err)
	}
	return b
}

func (b *bench) next() practice.Turn {
	b.Helper()
	turn, ok, err := b.Next(b.Context(), b.now)
	if err != nil || !ok {
		b.Fatalf("Next: %v, %v", ok, err)
	}
	return turn
}

func (b *bench) answer(text string, key time.Duration) practice.Result {
	b.Helper()
	res, err := b.Answer(b.Context(), b.now, text, key, drills.EntryKeys)
	if err != nil {
		b.Fatal(err)
	}
	return res
}

func (b *bench) ask(text string, key time.Duration) { b.Helper(); b.next(); b.answer(text, key) }

func (b *bench) asked(item string) int {
	st, _ := b.p.State(item)
	return int(st.Asked)
}

func TestLogFirstLearnSecond(t *testing.T) {
	log := &practicetest.Log{}
	b := begin(t, log, nameG, nameG)
	learned := -1
	log.OnAppend = func() { learned = b.asked(nameG) }
	b.ask("G", time.Second)
	if learned != 0 || b.asked(nameG) != 1 {
		t.Errorf("learned %d times before the row was in the log, %d after", learned, b.asked(nameG))
	}
	b.next()
	log.Fail = errors.New("disk full")
	if _, err := b.Answer(t.Context(), b.now, "G", time.Second, drills.EntryKeys); !errors.Is(err, log.Fail) || b.asked(nameG) != 1 {
		t.Errorf("%v; an answer that is not in the log was learned: %d", err, b.asked(nameG))
	}
	log.Fail = nil
	b.answer("G", time.Second) // the question is open yet
}

func TestTheRowSaysWhatHappened(t *testing.T) {
	b := begin(t, &practicetest.Log{}, nameG)
	turn := b.next()
	b.now = start.Add(8*time.Hour + 1500*time.Microsecond) // two in the morning
	b.answer("gb", 1234567*time.Microsecond)
	want := drills.Answer{
		ID: "id001", Device: "stage box", At: b.now.Truncate(time.Millisecond), Day: scheduler.DayOf(b.now, time.Local).String(),
		Item: nameG, Question: turn.Question.Text, Given: "gb", Want: "G",
		Right: false, Thinking: 1234 * time.Millisecond, Entry: drills.EntryKeys,
	}
	if got := b.log.Rows[0]; got != want {
		t.Errorf("row\n%+v, want\n%+v", got, want)
	}
}

func TestAnswersOutOfTurn(t *testing.T) {
	b := begin(t, &practicetest.Log{}, nameG)
	answer := func(text string) error {
		_, err := b.Answer(t.Context(), b.now, text, 0, drills.EntryKeys)
		return err
	}
	if err := answer("G"); !errors.Is(err, practice.ErrNothingAsked) {
		t.Errorf("before a question: %v", err)
	}
	b.next()
	if err := answer("???"); !errors.As(err, new(practice.UnreadableError)) || !strings.HasPrefix(err.Error(), `"???" is not a note`) {
		t.Errorf("an unreadable one: %v", err)
	}
	b.answer("G", 0)
	if err := answer("G"); !errors.Is(err, practice.ErrNothingAsked) || len(b.log.Rows) != 1 {
		t.Errorf("twice: %v, %d rows", err, len(b.log.Rows))
	}
	if _, ok, err := b.Next(t.Context(), b.now); ok || err != nil {
		t.Errorf("%v, %v: nothing is left, and that is no error", ok, err)
	}
	b = begin(t, &practicetest.Log{}, "note/none")
	if _, ok, err := b.Next(t.Context(), b.now); ok || err == nil {
		t.Errorf("%v, %v: there is no such item", ok, err)
	}
}

func TestTheSummaryCounts(t *testing.T) {
	b := begin(t, &practicetest.Log{}, slices.Repeat([]string{nameG}, 7)...)
	for _, a := range []struct {
		text string
		key  time.Duration
	}{{"G", 3 * time.Second}, {"A", 100 * time.Millisecond}, {"G", time.Second}, {"G", 0}, {"G", 2 * time.Second}, {"G", practice.Away + time.Second}} {
		b.ask(a.text, a.key)
	}
	sum := b.Summary(t.Context(), start.Add(time.Minute))
	if sum.Typical != 2*time.Second || sum.Asked != 6 || sum.Right != 5 || sum.Fluent != 2 || sum.Slow != 1 || len(sum.Met) != 1 || len(sum.Missed) != 0 {
		t.Errorf("summary %+v, want a median of 2 s, two within the aim, one slow, and what was missed once as new and right", sum)
	}
	b.ask("A", time.Second)
	if sum := b.Summary(t.Context(), start.Add(time.Minute)); len(sum.Met) != 0 || len(sum.Missed) != 1 {
		t.Errorf("missed in the end: %+v", sum)
	}
	if sum := b.Summary(t.Context(), start.Add(time.Hour)); sum.Time != 10*time.Minute {
		t.Errorf("%v practised, want no more than the sitting", sum.Time)
	}
}

// What is sure was right in time on several days; what was missed in a sitting is not
// among what became sure in it.
func TestWhatBecameSureTookDaysAndWasNotMissed(t *testing.T) {
	log := &practicetest.Log{}
	days := 0
	for ; days < 9; days++ {
		b := begin(t, log, nameG, nameG, nameG)
		b.now = start.AddDate(0, 0, days)
		b.Pause(b.now.Sub(start))
		b.ask("G", time.Second)
		sum := b.Summary(t.Context(), b.now)
		if len(sum.Became) == 0 {
			continue
		}
		b.ask("G", time.Second)
		if again := b.Summary(t.Context(), b.now); len(again.Became) != 1 {
			t.Errorf("%d became sure", len(again.Became))
		}
		b.ask("A", time.Second)
		if missed := b.Summary(t.Context(), b.now); len(missed.Became) != 0 || len(missed.Missed) != 1 {
			t.Errorf("missed, and became sure: %+v", missed)
		}
		break
	}
	if days < 1 || days > 7 {
		t.Errorf("sure on day %d", days+1)
	}
	b := begin(t, log, nameG)
	b.now = start.AddDate(0, 0, 30)
	b.Pause(b.now.Sub(start))
	b.next()
	b.answer("G", 0) // not timed
	if sum := b.Summary(t.Context(), b.now); len(sum.Became) != 0 {
		t.Errorf("untimed, and became sure: %+v", sum)
	}
}

// A first answer that took the sitting over its time is followed by one more
// question, which should be known, and by no other.
func TestASittingThatRanOverAsksOnceMore(t *testing.T) {
	b := beginWith(t, &practicetest.Log{}, practice.Options{Length: time.Second, Chooser: &practicetest.Queue{nameG, nameA, nameG}})
	b.next()
	b.now = start.Add(20 * time.Second)
	b.answer("G", 20*time.Second)
	if turn := b.next(); turn.Question.Item != nameA {
		t.Errorf("asked %s", turn.Question.Item)
	}
	b.answer("A", time.Second)
	if turn, ok, err := b.Next(t.Context(), b.now); ok || err != nil {
		t.Errorf("and then %s, %v", turn.Question.Item, err)
	}
}

func TestTimeAwayIsGivenBack(t *testing.T) {
	b := begin(t, &practicetest.Log{}, nameG, nameA)
	b.next()
	back := start.Add(4 * time.Minute)
	if got := b.Left(back); got != 10*time.Minute-practice.Away {
		t.Errorf("%v left while the question waits, want no more than %v taken", got, practice.Away)
	}
	b.Pause(time.Minute) // a pause within it is given back once
	if got := b.Left(back); got != 10*time.Minute-practice.Away {
		t.Errorf("%v left after a pause, want no more than %v taken", got, practice.Away)
	}
	b.now = back
	if res := b.answer("G", 4*time.Minute); res.Thinking != 0 || !res.Verdict.Right {
		t.Errorf("%+v, want it judged and not timed", res)
	}
	b.now = back.Add(10 * time.Second)
	b.next()
	if got := b.Left(back.Add(20 * time.Second)); got != 10*time.Minute-practice.Away-20*time.Second {
		t.Errorf("%v left on the next question, want what was practised since taken", got)
	}
	if _, ok, _ := b.Next(t.Context(), start.Add(30*time.Minute)); ok {
		t.Error("asked after the time was up")
	}
}

// Where the system tells of a stop, the shortest counts, and in the first half second,
// before any tick: the answer is not timed, and no more of the sitting is spent.
func TestAStopThatIsToldIsNoThinkingHoweverShort(t *testing.T) {
	for _, ticks := range []int{0, 1, 3} {
		for _, stop := range []time.Duration{time.Millisecond, 400 * time.Millisecond, time.Hour} {
			halted := 0
			q := practicetest.Queue{nameG, nameA, nameG}
			b := beginWith(t, &practicetest.Log{}, practice.Options{Chooser: &q, Selection: practice.Selection{Heard: true},
				Stopped: func() bool { was := halted > 0; halted = 0; return was }})
			b.next()
			for range ticks {
				b.now = b.now.Add(practice.Ticking)
				b.Tick(b.now)
			}
			b.now = b.now.Add(300 * time.Millisecond) // since the last tick
			b.now, halted = b.now.Add(stop), 1
			if res := b.answer("G", b.now.Sub(start)); res.Thinking != 0 {
				t.Errorf("stopped for %v after %d ticks: thinking %v", stop, ticks, res.Thinking)
			}
			if got, want := b.Left(b.now), 10*time.Minute-time.Duration(ticks)*practice.Ticking; got != want {
				t.Errorf("stopped for %v after %d ticks: %v left, want %v", stop, ticks, got, want)
			}
			b.next()
			b.now = b.now.Add(time.Second)
			if res := b.answer("A", time.Second); res.Thinking != time.Second {
				t.Errorf("stopped for %v after %d ticks: the next answer took %v", stop, ticks, res.Thinking)
			}
			b.now = b.now.Add(time.Minute)
			if halted = 1; b.next().Question.Item != nameG { // between two questions
				t.Error("nothing is asked")
			}
			b.now = b.now.Add(time.Second)
			if res := b.answer("G", time.Second); res.Thinking != time.Second {
				t.Errorf("stopped before it was asked: thinking %v", res.Thinking)
			}
		}
	}
}

// A program that was stopped does not tick: what passed is no thinking, and none of
// the sitting's time. A late tick or two are a busy machine.
func TestTimeInWhichTheProgramWasStoppedIsNoThinking(t *testing.T) {
	for _, c := range []struct {
		name    string
		stopped time.Duration
		ticks   bool // the tick comes before the answer
		timed   bool
	}{
		{"ran", 0, true, true},
		{"was kept waiting", 2 * practice.Ticking, true, true},
		{"was stopped, and ticks first", 6 * time.Second, true, false},
		{"was stopped, and answers first", 6 * time.Second, false, false},
	} {
		b := begin(t, &practicetest.Log{}, nameG, nameA)
		b.next()
		for range 4 {
			b.now = b.now.Add(practice.Ticking)
			b.Tick(b.now)
		}
		if b.now = b.now.Add(c.stopped); c.ticks {
			b.Tick(b.now)
		}
		res := b.answer("G", b.now.Sub(start))
		if (res.Thinking > 0) != c.timed {
			t.Errorf("%s: thinking %v", c.name, res.Thinking)
		}
		spent := 4 * practice.Ticking
		if c.timed {
			spent += c.stopped
		}
		if got := b.Left(b.now); got != 10*time.Minute-spent {
			t.Errorf("%s: %v left, want %v taken", c.name, got, spent)
		}
		b.next()
		b.now = b.now.Add(time.Second)
		if res := b.answer("A", time.Second); res.Thinking != time.Second {
			t.Errorf("%s: the next answer took %v", c.name, res.Thinking)
		}
	}
}

func TestNoQuestionTwiceInARow(t *testing.T) {
	b := begin(t, &practicetest.Log{}, slices.Repeat([]string{"note/E2+0/name"}, 50)...) // open and at fret 12
	last := ""
	for range 50 {
		turn := b.next()
		if turn.Question.Text == last {
			t.Fatalf("%q asked twice in a row", last)
		}
		last = turn.Question.Text
		b.answer("E", time.Second)
	}
}

// What is asked for a gig is posed in the keys of its songs, whichever gig the
// sitting is for, and what is asked for none is not.
func TestWhatAGigNeedsIsAskedAsItsSongsHaveIt(t *testing.T) {
	fair := gig.Gig{ID: "1", Name: "Harbour Fair", Day: "2026-12-05", Songs: []gig.Song{{
		Title: "Ropewalk", Learned: "Ab", Called: "Ab", Shapes: []string{"e-form-major"}, Sections: []gig.Section{{Name: "all", Chords: "1"}},
	}}}
	item := ""
	p := practicetest.Open(&practicetest.Log{Dates: []gig.Gig{fair}}, settings.Default(), func() time.Time { return start })
	items, err := fair.Items(p.Catalogue())
	if err != nil {
		t.Fatal(err)
	}
	for _, it := range items {
		if it.Family == "shape" && strings.HasSuffix(it.ID, "/place") {
			item = it.ID
		}
	}
	why := scheduler.Reason{Deadline: fair.Name, Day: time.Date(2026, 12, 5, 20, 0, 0, 0, time.Local)}
	elsewhere := func(sel practice.Selection, why scheduler.Reason) (n int) {
		b := beginWith(t, &practicetest.Log{Dates: []gig.Gig{fair}}, practice.Options{Selection: sel, Chooser: because{item, why}})
		for range 20 {
			if text := b.next().Question.Text; !strings.Contains(text, "Ab") {
				n++
			}
		}
		return n
	}
	if item == "" {
		t.Fatalf("no shape to place among %v", items)
	}
	if n := elsewhere(practice.Selection{}, why); n != 0 {
		t.Errorf("for the gig %s was asked in another key %d times", item, n)
	}
	if n := elsewhere(practice.Selection{Gig: &fair}, scheduler.Reason{}); n != 0 {
		t.Errorf("in its sitting %s was asked in another key %d times", item, n)
	}
	if n := elsewhere(practice.Selection{}, scheduler.Reason{}); n == 0 {
		t.Errorf("for no gig %s was asked in its key alone", item)
	}
}

// because chooses one item for one reason.
type because struct {
	item string
	why  scheduler.Reason
}

func (b because) Next(time.Time, time.Duration) (scheduler.Choice, bool) {
	return scheduler.Choice{Item: b.item, Reason: b.why}, true
}

func TestTypingTimesAreRefinedByFasterRightAnswersOnly(t *testing.T) {
	log := &practicetest.Log{Held: practice.Kept{Typing: practice.Typing{Letters: 500 * time.Millisecond}}}
	b := begin(t, log, slices.Repeat([]string{nameG}, 6)...)
	for _, c := range []struct {
		answer    string
		key, want time.Duration
	}{
		{"G", 2 * time.Second, 500 * time.Millisecond},
		{"G", 900 * time.Millisecond, 500 * time.Millisecond}, // slower, if not by much
		{"A", 300 * time.Millisecond, 500 * time.Millisecond}, // a wrong key can be as fast as it likes
		{"G", 300 * time.Millisecond, 460 * time.Millisecond},
		{"G", time.Millisecond, 460*time.Millisecond - 459*time.Millisecond/5},
	} {
		b.ask(c.answer, c.key)
		if got := b.Typing().Letters; got != c.want {
			t.Errorf("%s after %v: %v, want %v", c.answer, c.key, got, c.want)
		}
	}
	if got := log.Rows[0].Thinking; got != 1500*time.Millisecond {
		t.Errorf("logged %v", got)
	}
	if _, err := b.TakeBack(t.Context(), b.now); err != nil || b.Typing().Letters != 460*time.Millisecond {
		t.Errorf("%v: a slip that was taken back taught %v", err, b.Typing().Letters)
	}
}

// Who answers by playing is asked so that it can be played, after a lesson, too.
func TestWhatIsPlayedIsPosedSoThatItCanBe(t *testing.T) {
	items := slices.Repeat([]string{"interval/E2-D3+2", "shape/e-form-major@E2-A2-D3-G3-B3-E4/place"}, 8)
	for _, played := range []bool{true, false} {
		q := practicetest.Queue(items)
		b := beginWith(t, &practicetest.Log{}, practice.Options{Chooser: &q, Selection: practice.Selection{Played: played}, Show: true})
		typed := 0
		for range items {
			turn, ok, err := b.Next(t.Context(), b.now)
			if err != nil || !ok {
				t.Fatal(ok, err)
			}
			if _, playable := turn.Question.Playing(); turn.Lesson == nil && !playable {
				typed++
			}
			if turn.Lesson == nil {
				if _, err := b.Show(t.Context(), b.now, drills.EntryKeys); err != nil {
					t.Fatal(err)
				}
			}
		}
		if played != (typed == 0) {
			t.Errorf("played %v: %d questions have to be typed", played, typed)
		}
	}
}
