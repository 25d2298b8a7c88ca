package scheduler_test

import (
	"fmt"
	"time"

	"surefret/scheduler"
)

// One answer: choose, ask, learn.
func ExamplePlanner() {
	items := []scheduler.Item{
		{ID: "note/E2+3/name", Group: "6", Kin: []scheduler.Kin{{ID: "note/E4+3/name", Weight: 0.7}}},
		{ID: "note/E4+3/name", Group: "1", Kin: []scheduler.Kin{{ID: "note/E2+3/name", Weight: 0.7}}},
	}
	planner, err := scheduler.NewPlanner(items, scheduler.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	now := time.Date(2026, time.March, 2, 18, 0, 0, 0, time.UTC)
	choice, _ := planner.Next(now, 10*time.Minute)
	fmt.Println(choice.Item, "is", choice.Reason)

	answer := scheduler.Answer{Item: choice.Item, At: now, Right: true, Thinking: 1500 * time.Millisecond}
	planner.Learn(answer)
	fmt.Println(planner.Outcome(answer))

	choice, _ = planner.Next(now, 10*time.Minute)
	fmt.Println(choice.Item, "is", choice.Reason)
	// Output:
	// note/E2+3/name is first time
	// steady
	// note/E4+3/name is first time
}
