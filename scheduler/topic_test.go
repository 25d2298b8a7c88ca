package scheduler

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"
)

// Kin alone prove nothing: an item never asked is not thought fluent through them.
func TestWhatWasNeverAskedIsNotThoughtFluent(t *testing.T) {
	items := []Item{{ID: "new"}}
	for n := range 5 {
		id := fmt.Sprint(n)
		items[0].Kin = append(items[0].Kin, Kin{id, 0.9})
		items = append(items, Item{ID: id})
	}
	p := newPlanner(t, items, Options{})
	for day := range 10 {
		for n := range 5 {
			p.Learn(Answer{Item: fmt.Sprint(n), At: morning.AddDate(0, 0, day), Right: true, Thinking: 700 * time.Millisecond})
		}
	}
	at := morning.AddDate(0, 0, 10)
	if alone, asked := p.Fluency("new", at), p.Fluency("0", at); alone > 0.75 || asked < 0.9 {
		t.Errorf("fluency %.2f of what was never asked, %.2f of its kin", alone, asked)
	}
}

func TestANarrowedSittingHasItsOwnFirstStage(t *testing.T) {
	items := topics(3)
	slices.Reverse(items)
	p := newPlanner(t, items, Options{})
	p.Narrow(func(it Item) bool { return it.Stage > 0 }, true)
	if c, ok := p.Next(morning, 10*time.Minute); !ok || c.Item[0] != '1' {
		t.Errorf("first asked %q, %v; want one of stage 1", c.Item, ok)
	}
}

// Of two items alike the one comes first that helps others.
func TestWhatHelpsOthersComesFirst(t *testing.T) {
	items := []Item{{ID: "alone"}, {ID: "helps"}}
	for n := range 5 {
		items = append(items, Item{ID: fmt.Sprint(n), Stage: 1, Kin: []Kin{{"helps", 0.9}}})
	}
	if c, ok := newPlanner(t, items, Options{}).Next(morning, 10*time.Minute); !ok || c.Item != "helps" {
		t.Errorf("first asked %q, %v", c.Item, ok)
	}
}

// topics are items of so many topics of eight, one after the other in stages, of two
// families in turn.
func topics(n int) []Item {
	items := make([]Item, 8*n)
	for i := range items {
		items[i] = Item{ID: fmt.Sprintf("%d/%d", i/8, i%8), Topic: fmt.Sprint(i / 8), Stage: i / 8, Family: fmt.Sprint(i / 8 % 2)}
	}
	return items
}

// What is begun is met whole before anything else begins, and then the rest in the
// order of stages, however the items are listed.
func TestATopicIsMetWholeBeforeTheNext(t *testing.T) {
	const many, begun = 12, 7
	items := topics(many)
	slices.Reverse(items)
	want := []string{fmt.Sprint(begun)}
	for k := range many {
		if k != begun {
			want = append(want, fmt.Sprint(k))
		}
	}
	for name, tt := range map[string]struct {
		knows func(string, int) bool
		days  int // before the first family has been left out for too long
		least int // items met by then
	}{
		"quick": {always, 1, 8 * many},
		"slow":  {func(_ string, n int) bool { return n > 1 }, familyDays, makingMost + 1},
	} {
		p := newPlanner(t, items, Options{})
		p.Learn(Answer{Item: want[0] + "/0", At: morning.Add(-time.Minute), Right: true, Thinking: time.Second})
		met := 1
		for day := range tt.days {
			for _, c := range sit(p, morning.AddDate(0, 0, day), 10*time.Minute, tt.knows) {
				if c.Reason.Kind != FirstTime {
					continue
				}
				if topic := p.given[p.index[c.Item]].Topic; topic != want[met/8] {
					t.Fatalf("%s, day %d: topic %s begins after %d items, before %s is whole", name, day, topic, met, want[met/8])
				}
				met++
			}
		}
		if met < tt.least {
			t.Errorf("%s: %d items were met in %d days", name, met, tt.days)
		}
	}
}

// Until a topic is sure for certain no second one begins; then the next does.
func TestTheFirstTopicIsFinishedBeforeTheSecondBegins(t *testing.T) {
	var items []Item
	for n := range 2 * 14 {
		items = append(items, Item{ID: fmt.Sprintf("%d/%d", n/14, n%14), Topic: fmt.Sprint(n / 14), Stage: n / 14})
	}
	p := newPlanner(t, items, Options{})
	for day := range 12 {
		for n := range 90 {
			at := morning.AddDate(0, 0, day).Add(time.Duration(n) * 6 * time.Second)
			c, ok := p.Next(at, 10*time.Minute)
			if !ok {
				break
			}
			s, _ := p.State(c.Item)
			if known := p.topics[0].fluent / 14; c.Item[0] == '1' {
				if day < 2 || known < firstSure {
					t.Errorf("the second begins on day %d, with %.2f of the first known", day, known)
				}
				return
			}
			thinking := 5 * time.Second
			if s.Days > 1 {
				thinking = time.Second // he needs a night or two
			}
			p.Learn(Answer{Item: c.Item, At: at, Right: n%9 > 0, Thinking: thinking})
		}
	}
	t.Error("the second never begins")
}

// A beginner keeps a few facts until they sit; who is quick at first sight flows
// through everything; a deadline's items do not wait.
func TestNewItemsComeFewAtATimeToWhoIsSlow(t *testing.T) {
	met := func(thinking time.Duration, gig bool) (first, all int) {
		p := newPlanner(t, topics(40), Options{})
		if gig {
			p.SetDeadlines([]Deadline{{Name: "fair", Items: ids(topics(40)), Day: morning.AddDate(0, 0, 2)}})
		}
		seen := map[string]bool{}
		for day := range 5 {
			for n := range 120 {
				at := morning.AddDate(0, 0, day).Add(time.Duration(n) * 5 * time.Second)
				c, ok := p.Next(at, 10*time.Minute)
				if !ok {
					break
				}
				seen[c.Item] = true
				p.Learn(Answer{Item: c.Item, At: at, Right: true, Thinking: thinking})
			}
			if day == 0 {
				first = len(seen)
			}
		}
		return first, len(seen)
	}
	most := int(paces[len(paces)-1].part * makingMost) // as all is right
	if first, all := met(6*time.Second, false); first > makingMost || all != most {
		t.Errorf("who is slow at everything met %d items on the first day and %d in five, want %d and %d at most", first, all, makingMost, most)
	}
	if first, all := met(800*time.Millisecond, false); first < 90 || all != 320 {
		t.Errorf("who is quick at everything met %d items on the first day and %d in five", first, all)
	}
	if first, _ := met(6*time.Second, true); first < 2*makingMost {
		t.Errorf("of a gig's items only %d were met", first)
	}
}

// How many may be in the making goes by what was right lately, from the second day on:
// fewer while a third goes wrong, more where all is right; and who mostly succeeds may be
// asked before he is shown.
func TestWhatWasRightLatelySetsThePace(t *testing.T) {
	for wrong, want := range map[int]struct {
		least, most int
		mayTry      bool
	}{0: {30, 30, true}, 8: {13, 20, true}, 6: {12, 12, false}, 3: {7, 9, false}} {
		p := newPlanner(t, topics(40), Options{})
		met, mayTry := map[string]bool{}, false
		for day := range 4 {
			for n := range 100 {
				at := morning.AddDate(0, 0, day).Add(time.Duration(n) * 6 * time.Second)
				c, ok := p.Next(at, 10*time.Minute)
				if !ok {
					t.Fatalf("one wrong in %d: after %d answers of day %d nothing is asked", wrong, n, day)
				}
				if met[c.Item] = true; day == 0 && p.MayTry() {
					t.Fatal("on his first day a player is asked what he was not shown")
				}
				p.Learn(Answer{Item: c.Item, At: at, Right: wrong == 0 || n%wrong > 0, Thinking: 6 * time.Second})
			}
			mayTry = p.MayTry()
		}
		if n := p.paced(); n < want.least || n > want.most || mayTry != want.mayTry || wrong == 0 && len(met) != n {
			t.Errorf("one wrong in %d: %d items are to be in the making, %d were met, asked before shown %v; want %+v", wrong, n, len(met), mayTry, want)
		}
	}
}

// What nobody should wait for is met within three weeks by who practises daily, however
// slow he is and whatever stands before it; who has it met is not held up by it.
func TestWhatNobodyShouldWaitForIsMetWithinThreeWeeks(t *testing.T) {
	for name, thinking := range map[string]time.Duration{"slow": 6 * time.Second, "quick": time.Second} {
		items := topics(40)
		for i := range items {
			items[i].Soon = i >= 32 && i < 72
		}
		p := newPlanner(t, items, Options{})
		if c, ok := p.Next(morning, 10*time.Minute); !ok || c.Item[:2] != "0/" {
			t.Errorf("%s: begins with %s", name, c.Item)
		}
		for day := range 21 {
			for n := range 40 {
				at := morning.AddDate(0, 0, day).Add(time.Duration(n) * 10 * time.Second)
				c, ok := p.Next(at, 10*time.Minute)
				if !ok {
					break
				}
				p.Learn(Answer{Item: c.Item, At: at, Right: n%8 > 0, Thinking: thinking})
			}
		}
		for i, it := range items[:72] { // those before open before them
			if s, _ := p.State(it.ID); s.Asked == 0 {
				t.Errorf("%s: item %d, %s, was not met in 21 days", name, i, it.ID)
			}
		}
	}
}

// Who comes back after a break, or plays once a week, is late with all that nobody should
// wait for, and is not met with all of it at once.
func TestABreakDoesNotEndInAFloodOfNewItems(t *testing.T) {
	for _, days := range [][]int{{0, 30}, {0, 7, 14, 21}} {
		items := topics(40)
		for i := range items {
			items[i].Soon = i >= 80 && i < 120
		}
		p := newPlanner(t, items, Options{})
		for _, day := range days {
			began := 0
			for n := range 100 {
				at := morning.AddDate(0, 0, day).Add(time.Duration(n) * 6 * time.Second)
				c, ok := p.Next(at, 10*time.Minute)
				if !ok {
					t.Fatalf("after %d answers of day %d nothing is asked", n, day)
				}
				if s, _ := p.State(c.Item); s.Asked == 0 {
					began++
				}
				p.Learn(Answer{Item: c.Item, At: at, Right: n%8 > 0, Thinking: 6 * time.Second})
			}
			if most := soonMost + handfulMost; day > 0 && began > most {
				t.Errorf("%d days: %d new items on day %d, want %d at most", days, began, day, most)
			}
		}
	}
}

// What is right in time at first sight is not in the making, though little is believed
// of it, as the player was slow at all else.
func TestWhatIsFluentAtFirstSightLeavesRoomForMore(t *testing.T) {
	p := newPlanner(t, topics(6), Options{})
	for day := range makingDays {
		for _, it := range p.given[:40] {
			p.Learn(Answer{Item: it.ID, At: morning.AddDate(0, 0, day), Right: true, Thinking: 8 * time.Second})
		}
	}
	at := morning.AddDate(0, 0, makingDays)
	p.Next(at, 10*time.Minute)
	for id, thinking := range map[string]time.Duration{"5/0": 1900 * time.Millisecond, "5/1": 8 * time.Second} {
		before := p.making
		p.Learn(Answer{Item: id, At: at, Right: true, Thinking: thinking})
		if f := p.Fluency(id, at.AddDate(0, 0, 1)); f >= makingBelow || p.making-before != one(thinking > DefaultAim) {
			t.Errorf("met in %v, thought fluent with %.2f: %d more in the making", thinking, f, p.making-before)
		}
	}
}

// Of two items with one history the one comes first whose topic is about to be sure.
// Who begins much at a time need not finish it.
func TestATopicThatIsNearlySureComesFirst(t *testing.T) {
	for _, making := range []int{0, 1000} {
		items := topics(2) // the second one's are quick
		p := newPlanner(t, items, Options{Making: making})
		for day := range 5 {
			for i, it := range items {
				thinking := 900 * time.Millisecond
				if i < 8 || i == 8 && day%2 > 0 {
					thinking = 3 * time.Second
				}
				if i == 0 && day%2 == 0 {
					thinking = 900 * time.Millisecond // as the first of the second topic
				}
				p.Learn(Answer{Item: it.ID, At: morning.AddDate(0, 0, day), Right: true, Thinking: thinking})
			}
		}
		p.Next(morning.AddDate(0, 0, 6), 10*time.Minute)
		slow, near := &p.standing[0], &p.standing[8]
		if slow.loss <= 0 || math.Abs(float64(near.loss/slow.loss)-1) > 0.1 {
			t.Fatalf("the two are not alike: %+v, %+v", slow, near)
		}
		if times := near.worth / slow.worth; making == 0 && times < 2 || making > 0 && (times > 1.15) {
			t.Errorf("with %d in the making what is nearly sure counts %.2f times as much", making, times)
		}
	}
}

// A deadline wants its items one by one: none of them counts more by its topic.
func TestADeadlinesItemsCountAlikeWhateverTheirTopics(t *testing.T) {
	items := topics(2)
	p := newPlanner(t, items, Options{})
	for day := range 5 {
		for i, it := range items {
			p.Learn(Answer{Item: it.ID, At: morning.AddDate(0, 0, day), Right: true, Thinking: time.Duration(3-2*(i/8)) * time.Second})
		}
	}
	p.SetDeadlines([]Deadline{{Name: "fair", Items: ids(items), Day: morning.AddDate(0, 0, 9)}})
	p.Next(morning.AddDate(0, 0, 6), 10*time.Minute)
	for i, s := range p.standing {
		if p.topics[1].weight < 2 || s.worth != s.loss {
			t.Fatalf("%s: %+v counts otherwise; the second topic counts %.2f", items[i].ID, s, p.topics[1].weight)
		}
	}
}

// A family that is asked for gets its turn each week, be it last in the order and
// whatever else is in the making.
func TestEveryFamilyHasItsTurnEachWeek(t *testing.T) {
	items := topics(12)
	for n := range 30 {
		items = append(items, Item{ID: fmt.Sprint("late/", n), Family: "late", Stage: 100})
	}
	p := newPlanner(t, items, Options{})
	last, met := -1, 0
	for day := range 30 {
		before := met
		for _, c := range sit(p, morning.AddDate(0, 0, day), 5*time.Minute, func(string, int) bool { return false }) {
			if p.given[p.index[c.Item]].Family != "late" {
				continue
			}
			if day-last > familyDays+1 {
				t.Errorf("not asked from day %d to %d", last, day)
			}
			last = day
			if c.Reason.Kind == FirstTime {
				met++
			}
		}
		if day+1 < makingDays && met-before > handfulMost {
			t.Errorf("day %d: %d new ones at once, with too much in the making", day, met-before)
		}
	}
	if last < 24 || met < handfulMost {
		t.Errorf("last asked on day %d, %d met", last, met)
	}
}

// Families that were never asked come by and by, and none before the first stage was met:
// what is new of all of them at once is a wall.
func TestFamiliesThatWereLeftOutComeByAndBy(t *testing.T) {
	var items []Item
	for n := range 30 {
		items = append(items, Item{ID: fmt.Sprint("first/", n), Family: "first", Topic: fmt.Sprint(n / 10)})
	}
	for n := range 5 * 8 {
		items = append(items, Item{ID: fmt.Sprint("late/", n), Family: fmt.Sprint(n / 8), Stage: 100})
	}
	p := newPlanner(t, items, Options{})
	first, begun := map[string]bool{}, map[string]bool{}
	for day := range 40 {
		before := len(begun)
		for _, c := range sit(p, morning.AddDate(0, 0, day), 5*time.Minute, func(item string, _ int) bool { return item[0] == 'f' && day > 8 }) {
			if family := p.given[p.index[c.Item]].Family; family == "first" {
				first[c.Item] = true
			} else if begun[family] = true; len(first) < 30 {
				t.Fatalf("day %d: %s is asked, and %d of the first 30 were", day, c.Item, len(first))
			}
		}
		if n := len(begun) - before; n > 2 {
			t.Errorf("day %d: %d families begin", day, n)
		}
	}
	if len(begun) != 5 {
		t.Errorf("%d of 5 families begun in forty days", len(begun))
	}
}

// The turn comes first, however well the family is known and whatever would gain more,
// and one question is a turn.
func TestAFamilyThatRestedComesFirst(t *testing.T) {
	items := append(topics(12), Item{ID: "late/1", Family: "late"}, Item{ID: "late/2", Family: "late"})
	p := newPlanner(t, items, Options{})
	for day := range 20 {
		for _, it := range items {
			thinking := 3 * time.Second
			if it.Family == "late" {
				if thinking = 500 * time.Millisecond; day > 20-familyDays {
					continue
				}
			}
			p.Learn(Answer{Item: it.ID, At: morning.AddDate(0, 0, day), Right: true, Thinking: thinking})
		}
	}
	turns := 0
	for n, c := range sit(p, morning.AddDate(0, 0, 20), 2*time.Minute, always) {
		if c.Reason.Kind == Rested {
			if turns++; n > 0 || p.given[p.index[c.Item]].Family != "late" {
				t.Errorf("answer %d: %+v", n, c)
			}
		}
	}
	if turns != 1 {
		t.Errorf("%d turns of the family that rested", turns)
	}
}
