package scheduler

import (
	"testing"
	"time"
)

func TestNextAsksSomethingAndLearns(t *testing.T) {
	p, err := NewPlanner([]Item{{ID: "a"}, {ID: "b"}, {ID: "c"}}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	now := time.Date(2026, 3, 2, 18, 0, 0, 0, time.UTC)
	c, ok := p.Next(now, 10*time.Minute)
	if !ok || c.Item != "a" || c.Reason.String() != "new" {
		t.Fatalf("first choice %+v, %v", c, ok)
	}
	p.Learn(Review{Item: "a", At: now, Right: true, Thinking: time.Second})
	if c, _ = p.Next(now, 10*time.Minute); c.Item == "a" {
		t.Fatal("the same item twice in a row")
	}
}
