package scheduler

import (
	"fmt"
	"math"
	"testing"
	"time"
)

// alike are items without kin, dealt out to families and groups in turn.
func alike(n, families, groups int) []Item {
	items := make([]Item, n)
	for i := range items {
		items[i] = Item{ID: fmt.Sprint("item/", i), Family: fmt.Sprint("family ", i%families)}
		if groups > 0 {
			items[i].Group = fmt.Sprint("group ", i%groups)
		}
	}
	return items
}

// Where a sitting has one family or one group, nothing else can come between: its
// misses return all the same, and a gig has its turns.
func TestOneFamilyAloneKeepsItsMissesAndItsGig(t *testing.T) {
	for _, c := range []struct{ families, groups int }{{6, 6}, {2, 6}, {1, 6}, {1, 2}, {1, 1}, {2, 1}, {6, 1}, {1, 0}} {
		p := newPlanner(t, alike(400, c.families, c.groups), Options{})
		for day := range 8 {
			for _, it := range p.given {
				p.Learn(Answer{Item: it.ID, At: morning.AddDate(0, 0, day), Right: true, Thinking: time.Second})
			}
		}
		asked, missed, returned := 0, map[string]bool{}, 0
		sit(p, morning.AddDate(0, 0, 8), 10*time.Minute, func(id string, n int) bool {
			asked++
			if n == 0 && len(missed) < 6 && asked%10 == 0 {
				missed[id] = true
				return false
			}
			if n == 1 && missed[id] {
				returned++
			}
			return true
		})
		if returned != 6 {
			t.Errorf("%v: of 6 missed items %d returned", c, returned)
		}

		p = newPlanner(t, alike(300, c.families, c.groups), Options{})
		gig := Deadline{Items: ids(alike(30, 1, 1)), Day: morning.AddDate(0, 0, 10)}
		p.SetDeadlines([]Deadline{gig})
		turns := 0
		for _, c := range sit(p, morning, 10*time.Minute, always) {
			if p.standing[p.index[c.Item]].deadline >= 0 {
				turns++
			}
		}
		if turns < 50 {
			t.Errorf("%v: a gig's 30 items were asked %d times in ten minutes", c, turns)
		}
	}
}

func TestOneItemIsAskedAgainOnAnotherDay(t *testing.T) {
	p := newPlanner(t, alike(1, 1, 1), Options{})
	p.Learn(Answer{Item: "item/0", At: morning, Thinking: time.Second})
	if c, ok := p.Next(morning.Add(time.Minute), 9*time.Minute); ok {
		t.Errorf("%s came twice running", c.Item)
	}
	if _, ok := p.Next(morning.AddDate(0, 0, 30), 10*time.Minute); !ok {
		t.Error("an item that was missed a month ago is not asked")
	}
}

// A gig far ahead takes nothing from the rest of the board yet: what is practised
// for it now fades until then.
func TestAGigFarAheadHasNoTurnsYet(t *testing.T) {
	answers := func(ahead int) (gigs, again int) {
		p := newPlanner(t, board(600), Options{})
		if ahead > 0 {
			p.SetDeadlines([]Deadline{{Items: ids(board(600)[:40]), Day: morning.AddDate(0, 0, ahead)}})
		}
		for day := range 10 {
			seen := map[string]bool{}
			for _, c := range sit(p, morning.AddDate(0, 0, day), 10*time.Minute, always) {
				if p.index[c.Item] < 40 {
					gigs++
					if seen[c.Item] {
						again++
					}
				}
				seen[c.Item] = true
			}
		}
		return gigs, again
	}
	none, idle := answers(0)
	far, again := answers(90)
	near, _ := answers(14)
	if far > none+none/2 || again > idle+20 || near < 2*far {
		t.Errorf("40 items are asked %d times in ten days, %d times (%d of them again on the day) for a gig in 90 days and %d for one in 14", none, far, again, near)
	}
}

func TestGigsShareThePracticeThatIsForetold(t *testing.T) {
	items := board(600)
	p := newPlanner(t, items, Options{})
	for _, r := range history(items, 900, 130, 4) {
		p.Learn(r)
	}
	now := morning.AddDate(0, 0, 8)
	gig := func(k int) Deadline {
		return Deadline{Name: fmt.Sprint("gig ", k), Items: ids(items[k*85 : k*85+85]), Day: now.AddDate(0, 0, 8+k)}
	}
	alone := p.Readiness(gig(4), now)
	p.SetDeadlines([]Deadline{gig(0), gig(1), gig(2), gig(3), gig(4)})
	among := p.Readiness(gig(4), now)
	if among.Share > alone.Share-0.02 {
		t.Errorf("alone %.2f and %v a day, among five gigs %.2f and %v", alone.Share, alone.Need, among.Share, among.Need)
	}
	// One that is over takes nothing any more.
	p.SetDeadlines([]Deadline{{Items: ids(items[:300]), Day: now.AddDate(0, 0, -1)}, gig(4)})
	if after := p.Readiness(gig(4), now); after != alone {
		t.Errorf("after another gig %+v, alone %+v", after, alone)
	}
}

// mixed is a player's day of forty answers, some of them wrong and some slow.
func mixed(day int, at time.Time) []Answer {
	rows := make([]Answer, 40)
	for i := range rows {
		rows[i] = Answer{
			Item: board(100)[(i*3+day*37)%100].ID, At: at.Add(time.Duration(8*i) * time.Second),
			Right: (i+day)%9 > 0, Thinking: time.Duration(800+(i*day*131)%3500) * time.Millisecond,
		}
	}
	return rows
}

// alikeOn holds what two planners foretell of a day against each other: before they
// plan it, of gigs and of the practice to come, and after.
func alikeOn(t *testing.T, what string, a, b *Planner, at time.Time, most float64) {
	t.Helper()
	gig := Deadline{Items: ids(board(100)[:30]), Day: at.AddDate(0, 0, 4)}
	for range 2 {
		off := 0.0
		for _, it := range board(100) {
			off += math.Abs(a.Fluency(it.ID, at)-b.Fluency(it.ID, at)) / 100
		}
		idle := math.Abs(a.Readiness(gig, at).Idle - b.Readiness(gig, at).Idle)
		load := math.Abs((a.Forecast(at, 1)[0] - b.Forecast(at, 1)[0]).Minutes())
		if off > most || idle > most || load > 20*most {
			t.Fatalf("%s, %s: fluency is %.3f off, what a gig comes to %.3f, the practice to come %.1f minutes", what, at.Format(time.DateOnly), off, idle, load)
		}
		a.Next(at, 10*time.Minute)
		b.Next(at, 10*time.Minute)
	}
}

// The clock is back a year, or where it began, for one sitting and right again, on
// another day or on the same.
func TestAClockSetBackForASittingCostsNoKnowledge(t *testing.T) {
	for _, back := range []int{40, 365, 20_000} {
		right, wrong := newPlanner(t, board(100), Options{}), newPlanner(t, board(100), Options{})
		for day := range 26 {
			at := morning.AddDate(0, 0, day)
			if day == 21 || day == 25 {
				alikeOn(t, fmt.Sprint(back, " days back"), right, wrong, at, 0.025)
			}
			for i, r := range mixed(day, at) {
				right.Learn(r)
				if day == 20 || day == 23 && i >= 10 && i < 30 {
					r.At = r.At.AddDate(0, 0, -back)
				}
				wrong.Learn(r)
			}
		}
	}
}

// After a clock that was ahead for a week, a break is a break: what went back is
// not put forward again.
func TestABreakIsNotTakenForAClockThatIsRightAgain(t *testing.T) {
	right, wrong := newPlanner(t, board(100), Options{}), newPlanner(t, board(100), Options{})
	for day := range 24 {
		at := morning.AddDate(0, 0, day)
		for _, r := range mixed(day, at) {
			right.Learn(r)
			if day >= 10 && day < 16 {
				r.At = r.At.AddDate(0, 0, 9)
			}
			wrong.Learn(r)
		}
	}
	alikeOn(t, "after a break", right, wrong, morning.AddDate(0, 0, 40), 0.06)
}

// What is kept of a damaged memory is nothing: one bit is enough.
func TestADamagedSnapshotIsRefused(t *testing.T) {
	p := newPlanner(t, board(4), Options{})
	for _, r := range history(board(4), 30, 10, 2) {
		p.Learn(r)
	}
	data, _ := p.MarshalBinary()
	for i := range data {
		for bit := range 8 {
			bad := append([]byte(nil), data...)
			bad[i] ^= 1 << bit
			if newPlanner(t, board(4), Options{}).UnmarshalBinary(bad) == nil {
				t.Fatalf("bit %d of byte %d changed, and it was taken", bit, i)
			}
		}
	}
}
