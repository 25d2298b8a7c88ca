package dsr_test

import (
	"encoding/json"
	"math"
	"testing"

	"surefret/cmd/schedulelab/dsr"
	"surefret/testdata/oracle"
)

// A history through ts-fsrs 5.4.2, an independent implementation of version 6:
// weights, nil for the published ones, and days, grade, stability and difficulty of
// each step.
type history struct {
	W     *dsr.Weights `json:"w"`
	Steps [][4]float64 `json:"steps"`
}

// agree takes each step from the library's own state, so that nothing but the
// rounding of one step, to 8 decimals inside it, tells them apart. On one day the
// library lets an answer of the second grade not weaken the memory, where the
// published page says the third: those steps are passed over.
func agree(t *testing.T, table []byte) {
	t.Helper()
	var histories []history
	if err := json.Unmarshal(table, &histories); err != nil {
		t.Fatal(err)
	}
	steps := 0
	for n, h := range histories {
		w, most := dsr.Published, 1e-6
		if h.W != nil {
			w, most = *h.W, 1e-4 // odd ones may be steep
		}
		m := dsr.NewModel(w)
		var s dsr.Memory
		for k, step := range h.Steps {
			want := dsr.Memory{Stability: step[2], Difficulty: step[3]}
			if got := m.Next(s, step[0], dsr.Grade(step[1])); !(step[0] == 0 && step[1] == 2 && k > 0) {
				steps++
				if math.Abs(got.Stability-want.Stability) > most*want.Stability+2e-8 || math.Abs(got.Difficulty-want.Difficulty) > 4e-8 {
					t.Fatalf("history %d, step %d: %v, the oracle says %v; weights %v", n, k, got, want, w)
				}
			}
			s = want
		}
	}
	if steps < 1000 {
		t.Errorf("only %d steps in the table", steps)
	}
}

func TestMemoryAgreesWithTheOracleTable(t *testing.T) { agree(t, oracle.Table(t, "memory.json.gz")) }

func TestMemoryAgreesWithTheOracleOnFreshHistories(t *testing.T) {
	agree(t, oracle.Make(t, "memory.mjs", "10000", "2", "1"))
}

func TestOracleTableCanBeMadeAgain(t *testing.T) {
	oracle.MakeAgain(t, "memory.json.gz", "memory.mjs", "1500", "1", "0.3")
}

// Stability is by definition the days after which recall is 0.9.
func TestRecallIsNineTenthsAfterStability(t *testing.T) {
	m := dsr.NewModel(dsr.Published)
	s := dsr.Memory{Stability: 12.5, Difficulty: 5}
	if r := m.Recall(s, 12.5); math.Abs(r-0.9) > 1e-12 {
		t.Errorf("recall after the stability is %v", r)
	}
	for _, want := range []float64{0.8, 0.9, 0.95} {
		if r := m.Recall(s, m.Interval(s, want)); math.Abs(r-want) > 1e-12 {
			t.Errorf("recall after the interval for %v is %v", want, r)
		}
	}
}
