package practice

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/scheduler"
)

// journal records the order in which the log and the planner hear of an answer.
type journal struct {
	events []string
	rows   []drills.Answer
	fail   error
	known  scheduler.State
}

func (j *journal) Append(_ context.Context, r drills.Answer) error {
	if j.fail != nil {
		return j.fail
	}
	j.events = append(j.events, "log")
	j.rows = append(j.rows, r)
	return nil
}

func (j *journal) Learn(scheduler.Answer) { j.events = append(j.events, "learn") }

func (j *journal) Next(time.Time, time.Duration) (scheduler.Choice, bool) {
	j.events = append(j.events, "next")
	return scheduler.Choice{Item: "note/E2+3/name"}, true
}

func (j *journal) State(string) (scheduler.State, bool) { return j.known, true }

func (j *journal) Outcome(r scheduler.Answer) scheduler.Outcome {
	return scheduler.Judge(r.Right, r.Thinking, 2*time.Second)
}

var start = time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC)

// sitting is a session of ten minutes on one item, the G of string 6.
func sitting(j *journal) *Sitting {
	ids := 0
	return New(Config{
		Planner: j,
		Source:  drills.NewCatalogue(drills.Setup{Neck: fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}}),
		Log:     j,
		Rand:    rand.New(rand.NewPCG(1, 2)),
		NewID:   func(time.Time) string { ids++; return fmt.Sprint("id", ids) },
		Day:     func(t time.Time) string { return scheduler.DayOf(t, time.UTC).String() },
		Device:  "stage box",
		Length:  10 * time.Minute,
	}, start)
}

func next(t *testing.T, s *Sitting, now time.Time) Turn {
	t.Helper()
	turn, ok, err := s.Next(now)
	if err != nil || !ok {
		t.Fatalf("Next: %v, %v", ok, err)
	}
	return turn
}

func answer(t *testing.T, s *Sitting, now time.Time, text string, thinking time.Duration) Result {
	t.Helper()
	res, err := s.Answer(t.Context(), now, text, thinking, drills.EntryKeys)
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// asTheGig poses the item as a gig has it.
type asTheGig struct{ Source }

func (f asTheGig) Ask(id string, rng *rand.Rand) (drills.Question, error) {
	q, err := f.Source.Ask(id, rng)
	q.Text += " As the gig has it."
	return q, err
}

// forGig chooses for gigs, for whatever reason, and then for no gig.
type forGig struct {
	*journal
	gigs []string
}

func (p *forGig) Next(now time.Time, left time.Duration) (scheduler.Choice, bool) {
	c, ok := p.journal.Next(now, left)
	if c.Reason.Kind = scheduler.Due; len(p.gigs) > 0 {
		c.Reason = scheduler.Reason{Kind: scheduler.Again, Gig: p.gigs[0]}
		p.gigs = p.gigs[1:]
	}
	return c, ok
}

func TestWhatAGigNeedsIsAskedAsItsSongsHaveIt(t *testing.T) {
	j := &journal{}
	s := sitting(j)
	s.cfg.Planner = &forGig{j, []string{"Harbour Fair", "shaky songs"}}
	s.cfg.ForGig = func(why scheduler.Reason) Source {
		if why.Gig == "Harbour Fair" {
			return asTheGig{s.cfg.Source}
		}
		return nil
	}
	for i, want := range []bool{true, false, false} {
		text := next(t, s, start).Question.Text
		if got := strings.HasSuffix(text, " As the gig has it."); got != want {
			t.Errorf("question %d: %s", i+1, text)
		}
		answer(t, s, start, "G", time.Second)
	}
}

// oneMore is a planner that has one item never asked before and one that is known.
type oneMore struct {
	*journal
	left []time.Duration
}

func (p *oneMore) Next(_ time.Time, left time.Duration) (scheduler.Choice, bool) {
	p.left = append(p.left, left)
	item := "note/E2+3/name"
	if len(p.left) > 1 {
		item = "note/E2+5/name"
	}
	return scheduler.Choice{Item: item}, true
}

func (p *oneMore) State(item string) (scheduler.State, bool) {
	if item == "note/E2+3/name" {
		return scheduler.State{Asked: 1}, true
	}
	return scheduler.State{Asked: 4}, true
}

// A first answer that took the sitting over its time is followed by one that is
// known, and by no other.
func TestASittingThatRanOverEndsOnWhatIsKnown(t *testing.T) {
	p := &oneMore{journal: &journal{}}
	s := sitting(p.journal)
	s.cfg.Planner = p
	next(t, s, start)
	late := start.Add(10*time.Minute + 20*time.Second) // the time away is given back, so it is over all the same
	s.cfg.Length = time.Second
	answer(t, s, late, "G", 20*time.Second)
	if turn := next(t, s, late); turn.Question.Item != "note/E2+5/name" || p.left[1] != owed {
		t.Errorf("asked %s with %v left", turn.Question.Item, p.left[1])
	}
	answer(t, s, late.Add(time.Second), "A", time.Second)
	if turn, ok, err := s.Next(late.Add(2 * time.Second)); ok || err != nil {
		t.Errorf("and then %s, %v", turn.Question.Item, err)
	}
}

func TestLogFirstLearnSecond(t *testing.T) {
	j := &journal{}
	s := sitting(j)
	next(t, s, start)
	answer(t, s, start, "G", time.Second)
	next(t, s, start)
	if want := []string{"next", "log", "learn", "next"}; !slices.Equal(j.events, want) {
		t.Errorf("order %v, want %v", j.events, want)
	}
}

func TestTheRowSaysWhatHappened(t *testing.T) {
	j := &journal{}
	s := sitting(j)
	turn := next(t, s, start)
	late := start.Add(8*time.Hour + 1500*time.Microsecond) // two in the morning
	answer(t, s, late, "gb", 1234567*time.Microsecond)
	want := drills.Answer{
		ID: "id1", Device: "stage box", At: late.Truncate(time.Millisecond), Day: "2026-11-25",
		Item: "note/E2+3/name", Question: turn.Question.Text, Given: "gb", Want: "G",
		Right: false, Thinking: 1234 * time.Millisecond, Entry: drills.EntryKeys,
	}
	if got := j.rows[0]; got != want {
		t.Errorf("row\n%+v, want\n%+v", got, want)
	}
}

func TestAnAnswerThatCannotBeKeptIsNotLearned(t *testing.T) {
	j := &journal{}
	s := sitting(j)
	next(t, s, start)
	j.fail = errors.New("disk full")
	if _, err := s.Answer(t.Context(), start, "G", time.Second, drills.EntryKeys); !errors.Is(err, j.fail) {
		t.Fatalf("error %v, want the log's", err)
	}
	s.Next(start)
	if slices.Contains(j.events, "learn") {
		t.Error("an answer that was not logged was learned")
	}
}

func TestASlipTakenBackIsLoggedAndNotLearned(t *testing.T) {
	j := &journal{}
	s := sitting(j)
	turn := next(t, s, start)
	answer(t, s, start, "A", time.Second)
	again, err := s.TakeBack(t.Context(), start)
	if err != nil || again.Question.Text != turn.Question.Text {
		t.Fatalf("TakeBack: %q, %v; want the same question open", again.Question.Text, err)
	}
	if _, err := s.TakeBack(t.Context(), start); !errors.Is(err, ErrNothingAsked) {
		t.Errorf("taken back twice: %v", err)
	}
	answer(t, s, start, "G", time.Second)
	sum := s.Summary(start)
	if sum.Asked != 1 || sum.Right != 1 {
		t.Errorf("summary %+v, want one answer, right", sum)
	}
	if len(j.rows) != 3 || j.rows[1].TakesBack != "id1" || j.rows[1].Given != "" || j.rows[1].Entry != drills.EntryKeys {
		t.Errorf("rows %+v, want the second to take back id1", j.rows)
	}
	if n := len(slices.DeleteFunc(j.events, func(e string) bool { return e != "learn" })); n != 1 {
		t.Errorf("learned %d answers, want 1", n)
	}
}

func TestASlipIsTakenBackAfterTheNextQuestion(t *testing.T) {
	j := &journal{}
	s := sitting(j)
	var forgotten []scheduler.Answer
	s.cfg.Forget = func(r scheduler.Answer) error {
		if last := j.rows[len(j.rows)-1]; last.TakesBack != "id2" {
			t.Errorf("forgotten before it was taken back in the log: %+v", last)
		}
		forgotten = append(forgotten, r)
		return nil
	}
	next(t, s, start)
	answer(t, s, start, "G", time.Second)
	turn := next(t, s, start)
	answer(t, s, start, "A", time.Second)
	next(t, s, start)
	again, err := s.TakeBack(t.Context(), start)
	if err != nil || again.Question.Text != turn.Question.Text || again.Why != turn.Why {
		t.Fatalf("TakeBack: %+v, %v; want the question before", again, err)
	}
	if want := Learnable(j.rows[1]); len(forgotten) != 1 || forgotten[0] != want {
		t.Errorf("forgot %+v, want %+v", forgotten, want)
	}
	if s.CanTakeBack() {
		t.Error("the answer before the last can be taken back")
	}
	answer(t, s, start, "G", time.Second)
	if sum := s.Summary(start); sum.Asked != 2 || sum.Right != 2 || len(sum.Missed) != 0 || len(sum.Became) != 1 {
		t.Errorf("summary %+v, want two right answers and one item that became fluent", sum)
	}
}

func TestAnItemWhoseOnlyAnswerWasTakenBackWasNotMet(t *testing.T) {
	s := sitting(&journal{})
	s.cfg.Forget = func(scheduler.Answer) error { return nil }
	next(t, s, start)
	answer(t, s, start, "G", time.Second)
	next(t, s, start)
	if _, err := s.TakeBack(t.Context(), start); err != nil {
		t.Fatal(err)
	}
	if sum := s.Summary(start); sum.Asked != 0 || len(sum.Became) != 0 {
		t.Errorf("summary %+v, want nothing", sum)
	}
}

func TestWhatCannotBeForgottenIsNotTakenBack(t *testing.T) {
	j := &journal{}
	s := sitting(j)
	next(t, s, start)
	answer(t, s, start, "G", time.Second)
	next(t, s, start)
	if _, err := s.TakeBack(t.Context(), start); !errors.Is(err, ErrNothingAsked) || len(j.rows) != 1 {
		t.Errorf("%v, %d rows: the planner has learned it and cannot forget", err, len(j.rows))
	}
	bad := errors.New("no room")
	s.cfg.Forget = func(scheduler.Answer) error { return bad }
	if _, err := s.TakeBack(t.Context(), start); !errors.Is(err, bad) {
		t.Errorf("error %v, want that of forgetting", err)
	}
	j.fail = bad
	next(t, s, start)
	j.fail = nil
	answer(t, s, start, "G", time.Second)
	j.fail = bad
	if _, err := s.TakeBack(t.Context(), start); !errors.Is(err, bad) || !s.CanTakeBack() {
		t.Errorf("error %v: what the log refused can be tried again", err)
	}
}

func TestTheSummaryNamesWhatBecameFluent(t *testing.T) {
	for _, c := range []struct {
		known scheduler.State
		want  int
	}{{scheduler.State{}, 1}, {scheduler.State{Asked: 3, Last: scheduler.Missed}, 1}, {scheduler.State{Asked: 3, Last: scheduler.Steady}, 0}} {
		s := sitting(&journal{known: c.known})
		next(t, s, start)
		answer(t, s, start, "A", time.Second)
		next(t, s, start)
		answer(t, s, start, "G", time.Second)
		sum := s.Summary(start)
		if len(sum.Became) != c.want || len(sum.Missed) != 1 {
			t.Errorf("before %+v: became fluent %v, missed %v", c.known, sum.Became, sum.Missed)
		}
	}
}

func TestASittingThatIsBrokenOffHasLearnedWhatItLogged(t *testing.T) {
	j := &journal{}
	s := sitting(j)
	next(t, s, start)
	answer(t, s, start, "G", time.Second)
	s.End()
	s.End()
	if want := []string{"next", "log", "learn"}; !slices.Equal(j.events, want) {
		t.Errorf("order %v, want %v", j.events, want)
	}
}

func TestWhatWasNotTimedIsNotCountedAsFluent(t *testing.T) {
	s := sitting(&journal{})
	next(t, s, start)
	answer(t, s, start, "G", Away+time.Second)
	if sum := s.Summary(start); sum.Right != 1 || sum.Fluent != 0 || len(sum.Became) != 0 {
		t.Errorf("summary %+v, want it right and nothing fluent", sum)
	}
}

func TestAnAnswerCountsOnce(t *testing.T) {
	s := sitting(&journal{})
	if _, err := s.Answer(t.Context(), start, "G", 0, drills.EntryKeys); !errors.Is(err, ErrNothingAsked) {
		t.Errorf("before a question: %v", err)
	}
	next(t, s, start)
	answer(t, s, start, "G", 0)
	if _, err := s.Answer(t.Context(), start, "G", 0, drills.EntryKeys); !errors.Is(err, ErrNothingAsked) {
		t.Errorf("twice: %v", err)
	}
}

func TestUnreadableAnswersLeaveTheQuestionOpen(t *testing.T) {
	j := &journal{}
	s := sitting(j)
	next(t, s, start)
	if _, err := s.Answer(t.Context(), start, "???", 0, drills.EntryKeys); !errors.As(err, new(UnreadableError)) {
		t.Fatalf("error %v, want an UnreadableError", err)
	}
	answer(t, s, start, "G", 0)
	if len(j.rows) != 1 {
		t.Errorf("%d rows, want the readable answer's alone", len(j.rows))
	}
}

func TestHalfAMinuteIsAway(t *testing.T) {
	s := sitting(&journal{})
	next(t, s, start)
	if res := answer(t, s, start, "G", Away+time.Second); res.Thinking != 0 || !res.Verdict.Right {
		t.Errorf("result %+v, want it judged and not timed", res)
	}
}

func TestTimeAwayOnAQuestionIsGivenBack(t *testing.T) {
	s := sitting(&journal{})
	next(t, s, start)
	back := start.Add(4 * time.Minute)
	if got := s.Left(back); got != s.cfg.Length-Away {
		t.Errorf("%v left while the question waits, want no more than %v taken", got, Away)
	}
	s.Pause(time.Minute) // a pause within it is given back once
	if got := s.Left(back); got != s.cfg.Length-Away {
		t.Errorf("%v left after a pause, want no more than %v taken", got, Away)
	}
	answer(t, s, back, "G", 0)
	next(t, s, back.Add(10*time.Second))
	if got := s.Left(back.Add(20 * time.Second)); got != s.cfg.Length-Away-20*time.Second {
		t.Errorf("%v left on the next question, want what was practised since taken", got)
	}
}

func TestTheSittingEndsOnTime(t *testing.T) {
	s := sitting(&journal{})
	s.Pause(time.Minute)
	if got := s.Left(start.Add(2 * time.Minute)); got != 9*time.Minute {
		t.Errorf("%v left, want 9 minutes: a pause does not count", got)
	}
	if _, ok, _ := s.Next(start.Add(11 * time.Minute)); ok {
		t.Error("asked after the time was up")
	}
}

func TestNoQuestionTwiceInARow(t *testing.T) {
	s := sitting(&journal{})
	last := ""
	for range 50 {
		turn := next(t, s, start)
		if turn.Question.Text == last {
			t.Fatalf("%q asked twice in a row", last)
		}
		last = turn.Question.Text
		answer(t, s, start, "G", time.Second)
	}
}
