package main

import (
	"testing"
	"time"

	"surefret/cmd/schedulelab/board"
	"surefret/cmd/schedulelab/learner"
	"surefret/scheduler"
)

// logOf is what a player's log holds after so many days of ten minutes.
func logOf(t *testing.T, b *board.Board, c Course, days int) []scheduler.Answer {
	t.Helper()
	player, err := learner.New(c.Family, b, c.key())
	if err != nil {
		t.Fatal(err)
	}
	planner, err := scheduler.NewPlanner(b.Items, scheduler.Options{})
	if err != nil {
		t.Fatal(err)
	}
	index := make(map[string]int, len(b.Items))
	for i, it := range b.Items {
		index[it.ID] = i
	}
	luck := lottery{key: c.key(), asked: make([]uint32, c.Size)}
	var log []scheduler.Answer
	for d := range days {
		for spent := 0.0; spent < sitting; {
			now := float64(d) + practiceHour/24 + spent/86400
			choice, ok := planner.Next(instant(now), time.Duration((sitting-spent)*float64(time.Second)))
			if !ok {
				break
			}
			chance, _ := luck.draw(index[choice.Item])
			a := player.Answer(index[choice.Item], now, chance)
			r := scheduler.Answer{Item: choice.Item, Right: a.Right, At: instant(now + a.Thinking/86400),
				Thinking: time.Duration(a.Thinking * float64(time.Second))}
			planner.Learn(r)
			log = append(log, r)
			if spent += a.Thinking + entrySeconds + feedbackSeconds; !a.Right {
				spent += missSeconds
			}
		}
	}
	return log
}

// The lab's players gain nothing by weights of their own, since the planner's
// regression takes up the difference; what is fitted to four weeks must not
// predict the twelve days after worse either.
func TestOwnWeightsPredictNoWorse(t *testing.T) {
	b, err := board.New(300)
	if err != nil {
		t.Fatal(err)
	}
	if testing.Short() {
		t.Skip("weeks of practice take seconds")
	}
	gain := 0.0
	for _, family := range learner.Families() {
		for seed := 1; seed <= 2; seed++ {
			log := logOf(t, b, Course{family, 300, seed}, 40)
			cut := 0
			for cut < len(log) && log[cut].At.Before(instant(28)) {
				cut++
			}
			fit, err := scheduler.FitWeights(t.Context(), b.Items, log[:cut], scheduler.Options{})
			if err != nil {
				t.Fatal(err)
			}
			before, err := scheduler.LogLoss(b.Items, log, scheduler.Options{}, cut)
			if err != nil {
				t.Fatal(err)
			}
			own, err := scheduler.LogLoss(b.Items, log, scheduler.Options{Weights: fit.Weights}, cut)
			if err != nil {
				t.Fatal(err)
			}
			gain += before - own
			if own > before+0.002 {
				t.Errorf("%s %d: later answers are predicted at %.4f, and at %.4f by the default", family, seed, own, before)
			}
			t.Logf("%s %d: %d reviews, kept %v, held out %.4f -> %.4f, later %.4f -> %.4f", family, seed, cut, fit.Kept, fit.Before, fit.Own, before, own)
		}
	}
	if gain < -0.001 {
		t.Errorf("all in all later answers are predicted worse by %.4f", -gain)
	}
}
