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

	review := scheduler.Answer{Item: choice.Item, At: now, Right: true, Thinking: 1500 * time.Millisecond}
	planner.Learn(review)
	fmt.Println(planner.Outcome(review))

	choice, _ = planner.Next(now, 10*time.Minute)
	fmt.Println(choice.Item, "is", choice.Reason)
	// Output:
	// note/E2+3/name is new
	// steady
	// note/E4+3/name is new
}

func ExampleWeights_Retrievability() {
	memory := scheduler.DefaultWeights.Next(scheduler.Memory{}, 0, scheduler.GradeSteady)
	fmt.Printf("%.4f days until it is down to %.2f\n", memory.Stability,
		scheduler.DefaultWeights.Retrievability(memory, memory.Stability))
	// Output: 2.3065 days until it is down to 0.90
}
