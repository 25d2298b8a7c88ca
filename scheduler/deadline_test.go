package scheduler

import (
	"testing"
	"time"
)

func gigOf(n int, day time.Time) Deadline {
	d := Deadline{Name: "Harbour Night", Day: day}
	for i := range n {
		d.Items = append(d.Items, board(300)[i*7].ID)
	}
	return d
}

func TestAGigsItemsComeFirstUntilItIsOver(t *testing.T) {
	p := newPlanner(t, board(300), Options{})
	day := morning.AddDate(0, 0, 5).Add(12 * time.Hour) // a Saturday
	gig := gigOf(20, day)
	p.SetDeadlines([]Deadline{gig, {Name: "later", Items: []string{"item/1", "not an item"}, Day: day.AddDate(0, 0, 30)}})
	wanted := map[string]bool{}
	for _, id := range gig.Items {
		wanted[id] = true
	}
	asked := sit(p, morning, 10*time.Minute, always)
	n := 0
	for _, c := range asked[:25] {
		if wanted[c.Item] {
			if n++; c.Reason.String() != "for Harbour Night" || c.Reason.Deadline != "Harbour Night" {
				t.Errorf("%s is asked as %q of %q", c.Item, c.Reason, c.Reason.Deadline)
			}
		}
	}
	if n < 18 {
		t.Errorf("%d of the gig's 20 items among the first 25 answers", n)
	}
	for _, c := range sit(p, morning.AddDate(0, 0, 6), 10*time.Minute, always) {
		if c.Reason.Deadline == "Harbour Night" {
			t.Errorf("%s is asked for a gig that is over", c.Item)
		}
	}
	if all := sit(p, morning.AddDate(0, 0, 7), 10*time.Minute, always); len(all) < 50 {
		t.Errorf("%d answers after the gig", len(all))
	}
}

func TestReadinessGrowsWithPracticeAndSaysWhatIsNeeded(t *testing.T) {
	p := newPlanner(t, board(300), Options{})
	day := morning.AddDate(0, 0, 14)
	gig := gigOf(40, day)
	p.SetDeadlines([]Deadline{gig})
	before := p.Readiness(gig, morning)
	if before.Items != 40 || before.Met != 0 || before.Days != 15 {
		t.Errorf("before: %+v", before)
	}
	for d := range 13 {
		sit(p, morning.AddDate(0, 0, d), 10*time.Minute, func(string, int) bool { return true })
	}
	after := p.Readiness(gig, morning.AddDate(0, 0, 13))
	if after.Share <= before.Share || after.Share < 0.85 || after.Met != 40 || !after.Enough {
		t.Errorf("before practice %+v, after it %+v", before, after)
	}
	if !(after.Low <= after.Share && after.Share <= after.High) || after.High-after.Low >= before.High-before.Low {
		t.Errorf("range before %.2f to %.2f, after %.2f to %.2f", before.Low, before.High, after.Low, after.High)
	}
	if after.Need > before.Need {
		t.Errorf("%v a day needed after practice, %v before", after.Need, before.Need)
	}
	short := p.Readiness(Deadline{Items: ids(board(300)), Day: morning.AddDate(0, 0, 14)}, morning.AddDate(0, 0, 13))
	if short.Need <= 0 {
		t.Errorf("the whole board by tomorrow: %+v", short)
	}
	past := p.Readiness(gig, day.AddDate(0, 0, 2))
	if past.Days != 0 || past.Need != 0 {
		t.Errorf("past: %+v", past)
	}
}

func ids(items []Item) []string {
	var all []string
	for _, it := range items {
		all = append(all, it.ID)
	}
	return all
}
