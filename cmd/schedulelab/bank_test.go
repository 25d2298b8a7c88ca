package main

import (
	"strings"
	"testing"

	"surefret/cmd/schedulelab/policy"
)

func TestATopicIsSureByItsMeanAndItsWeakest(t *testing.T) {
	m := &material{topics: [][]int{{0, 1, 2}, {3, 4, 5}, {6, 7, 8}}}
	fluent := []float64{0.95, 0.9, 0.6, 1, 1, 0.49, 0.79, 0.79, 0.79}
	if topics, items := m.sure(fluent, 0.8); topics != 1 || items != 3 {
		t.Errorf("%d topics of %d items are sure, want the first alone", topics, items)
	}
}

// Few items at a time finish topics that a rule without a limit leaves half known:
// the bank must show it, or it measures nothing.
func TestTheBankShowsWhatIsFinished(t *testing.T) {
	m, err := newMaterial()
	if err != nil {
		t.Fatal(err)
	}
	var few, all float64
	for n := range 3 {
		for _, into := range []struct {
			sum   *float64
			limit int
		}{{&few, 10}, {&all, 0}} {
			rec, err := m.play(banks[0].player(n), policy.Few(into.limit))
			if err != nil {
				t.Fatal(err)
			}
			*into.sum += rec.usable
		}
	}
	if few <= all {
		t.Errorf("usable share %.4f with ten at a time, %.4f without a limit", few, all)
	}
	var b strings.Builder
	if err := banks[0].compare(&b, 1, bankRules()); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(b.String(), "few at a time, 25") {
		t.Errorf("the table lacks a rule:\n%s", b.String())
	}
}
