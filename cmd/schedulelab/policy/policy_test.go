package policy

import (
	"fmt"
	"go/parser"
	"go/token"
	"math"
	"os"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"surefret/scheduler"
)

// A policy can't see what is hidden: this package reaches neither the learners
// nor the board, and an answer carries nothing but what the room saw.
func TestPoliciesSeeOnlyAnswersSecondsAndTheClock(t *testing.T) {
	files, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if !strings.HasSuffix(f.Name(), ".go") || strings.HasSuffix(f.Name(), "_test.go") {
			continue
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), f.Name(), nil, parser.ImportsOnly)
		if err != nil {
			t.Fatal(err)
		}
		for _, im := range parsed.Imports {
			path, _ := strconv.Unquote(im.Path.Value)
			allowed := path == "surefret/scheduler" || path == "surefret/cmd/schedulelab/dsr"
			if strings.HasPrefix(path, "surefret/") && !allowed {
				t.Errorf("%s imports %s", f.Name(), path)
			}
		}
	}
	var fields []string
	for f := range reflect.TypeFor[Answer]().Fields() {
		fields = append(fields, f.Name+" "+f.Type.String())
	}
	want := []string{"Item int", "Right bool", "Seconds float64", "At time.Time"}
	if !slices.Equal(fields, want) {
		t.Errorf("an answer has %v, want %v", fields, want)
	}
	maker := reflect.TypeFor[Maker]()
	if maker.NumIn() != 2 || maker.In(0) != reflect.TypeFor[[]scheduler.Item]() || maker.In(1).Kind() != reflect.Uint64 {
		t.Errorf("a policy is made from %v", maker)
	}
}

func items(n int) []scheduler.Item {
	all := make([]scheduler.Item, n)
	for i := range all {
		all[i] = scheduler.Item{ID: fmt.Sprint("item ", i), Family: "note", Group: fmt.Sprint("string ", i%6), Aim: 2 * time.Second}
	}
	return all
}

var morning = time.Date(2026, time.March, 2, 8, 0, 0, 0, time.UTC)

// practise plays answers on so many days and returns what was asked by day.
func practise(p Policy, days, answers int, answer func(item, k int) (right bool, seconds float64)) [][]int {
	asked := make([][]int, days)
	k := 0
	for d := range days {
		now := morning.AddDate(0, 0, d)
		for n := range answers {
			i, ok := p.Next(now, time.Duration(answers-n)*5*time.Second)
			if !ok {
				break
			}
			asked[d] = append(asked[d], i)
			right, seconds := answer(i, k)
			k++
			now = now.Add(5 * time.Second)
			p.Learn(Answer{Item: i, Right: right, Seconds: seconds, At: now})
		}
	}
	return asked
}

func good(int, int) (bool, float64) { return true, 1.5 }

func TestTheSameAnswersGiveTheSameQuestions(t *testing.T) {
	makers := map[string]Maker{
		"random": Random, "ours": Ours,
		"Leitner":   Leitner(Setting{Grading: BySpeed}, false),
		"gaps":      GrowingGaps(Setting{Pace: Pace{perDay: 10}}),
		"published": Published(Setting{Grading: BySpeed, Pace: Pace{waiting: 60}, Lowest: true}, 0.9),
		"narrow":    Narrow(Random),
	}
	answer := func(item, k int) (bool, float64) { return (item+k)%7 != 0, 0.5 + float64((item*k)%30)/10 }
	for name, m := range makers {
		a := practise(m(items(60), 1), 5, 80, answer)
		b := practise(m(items(60), 1), 5, 80, answer)
		if !reflect.DeepEqual(a, b) {
			t.Errorf("%s asked otherwise on the second run", name)
		}
	}
}

func TestPaceOfNewItemsIsKept(t *testing.T) {
	for _, p := range Paces[:2] {
		asked := practise(Leitner(Setting{Pace: p}, false)(items(300), 1), 6, 100, good)
		met := map[int]bool{}
		for d, list := range asked {
			fresh := 0
			for _, i := range list {
				if !met[i] {
					met[i] = true
					fresh++
				}
			}
			if fresh != p.perDay {
				t.Errorf("%v: %d new on day %d", p, fresh, d+1)
			}
			if len(list) != 100 {
				t.Errorf("%v: idle after %d questions", p, len(list))
			}
		}
	}
}

func TestMissesReturnInTheSitting(t *testing.T) {
	p := Leitner(Setting{}, false)(items(100), 1)
	asked := practise(p, 1, 30, func(_, k int) (bool, float64) { return k != 3, 1 })[0]
	again := slices.Index(asked[4:], asked[3])
	if again != returnAfter {
		t.Errorf("a miss returned after %d others, want %d: %v", again, returnAfter, asked)
	}
}

// Boxes come round after 1, 2, 4, 8 days (Leitner 1972: each compartment
// longer than the one before).
func TestLeitnerBoxesDouble(t *testing.T) {
	l := &leitner{box: make([]int8, 1), day: make([]int, 1)}
	now := 1000.3
	for _, want := range []float64{1, 2, 4, 8} {
		due := l.answered(0, now, scheduler.Steady)
		if got := due - math.Floor(now); got != want {
			t.Errorf("due after %v days, want %v", got, want)
		}
		now = due + 0.3
	}
	if due := l.answered(0, now, scheduler.Slow); due-math.Floor(now) != 8 {
		t.Error("a slow answer moved the item")
	}
	if due := l.answered(0, now+1, scheduler.Missed); due-math.Floor(now+1) != 1 {
		t.Error("a miss did not throw the item back to the first box")
	}
}

// Wozniak 1990: quality 4 leaves the easiness at 2.5, so that the intervals
// are 1, 6, 15 and 38 (fractions rounded up); a miss begins again at 1; 5
// raises the easiness by 0.10 and 3 lowers it by 0.14.
func TestGrowingGapsGivesThePublishedIntervals(t *testing.T) {
	s := &growingGaps{state: make([]gapState, 1)}
	now := 1000.3
	for _, want := range []float64{1, 6, 15, 38} {
		due := s.answered(0, now, scheduler.Steady)
		if got := due - math.Floor(now); got != want {
			t.Errorf("due after %v days, want %v", got, want)
		}
		now = due + 0.3
	}
	easiness := func() float64 { return s.state[0].easiness }
	s.answered(0, now, scheduler.Quick)
	if math.Abs(easiness()-2.6) > 1e-12 {
		t.Errorf("easiness after a 5 is %v", easiness())
	}
	before := s.state[0]
	if due := s.answered(0, now+0.01, scheduler.Missed); s.state[0] != before || due != math.Floor(now)+before.interval {
		t.Errorf("a repeat in the same sitting counted: %+v after %+v", s.state[0], before)
	}
	s.answered(0, now+1, scheduler.Slow)
	if math.Abs(easiness()-2.46) > 1e-12 {
		t.Errorf("easiness after a 3 is %v", easiness())
	}
	if due := s.answered(0, now+2, scheduler.Missed); due-math.Floor(now+2) != 1 {
		t.Error("a miss did not begin again")
	}
}

func TestGradingBySpeedTellsFastFromSlow(t *testing.T) {
	it := scheduler.Item{Aim: 2 * time.Second}
	for _, c := range []struct {
		right     bool
		seconds   float64
		by, alone scheduler.Outcome
	}{
		{false, 0.5, scheduler.Missed, scheduler.Missed},
		{true, 2.1, scheduler.Slow, scheduler.Steady},
		{true, 2.0, scheduler.Steady, scheduler.Steady},
		{true, 0.9, scheduler.Quick, scheduler.Steady},
	} {
		r := Answer{Right: c.right, Seconds: c.seconds}
		if by, alone := BySpeed.outcome(&it, r), ByAnswer.outcome(&it, r); by != c.by || alone != c.alone {
			t.Errorf("right %v in %v s is %v by speed and %v by answer", c.right, c.seconds, by, alone)
		}
	}
}

func TestRandomGoesRound(t *testing.T) {
	seen := map[int]bool{}
	list := practise(Random(items(10), 1), 1, 200, good)[0]
	for k, i := range list {
		seen[i] = true
		if k > 0 && list[k-1] == i {
			t.Errorf("random asked %d twice in a row", i)
		}
	}
	if len(seen) != 10 {
		t.Errorf("random met %d of 10", len(seen))
	}
}

// Plain boxes ask the lowest box first, whatever is most overdue.
func TestTheLowestBoxComesFirst(t *testing.T) {
	p := Leitner(Setting{Lowest: true, Pace: Pace{perDay: 4}}, false)(items(4), 1)
	// Item 3 is always missed, so it stays in the first box.
	asked := practise(p, 8, 3, func(item, _ int) (bool, float64) { return item != 3, 1 })
	for d, list := range asked[2:] {
		if list[0] != 3 {
			t.Errorf("day %d asks %v first, not what is in the first box", d+3, list)
		}
	}
}

func TestNarrowKeepsToTheGigUntilItIsOver(t *testing.T) {
	p := Narrow(Random)(items(50), 1)
	p.(Performer).Expect([]int{3, 7, 40}, morning.AddDate(0, 0, 2).Add(12*time.Hour))
	for d, list := range practise(p, 4, 40, good) {
		outside := false
		for _, i := range list {
			outside = outside || i != 3 && i != 7 && i != 40
		}
		if gigOver := d > 2; outside != gigOver {
			t.Errorf("day %d: asked outside the gig: %v", d, outside)
		}
	}
}
