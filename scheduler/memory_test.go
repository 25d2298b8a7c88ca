package scheduler

import (
	"encoding/json"
	"math"
	"testing"

	"surefret/testdata/oracle"
)

// One history through the independent implementation: [days, grade, stability, difficulty].
type oracleHistory struct {
	W     *Weights     `json:"w"`
	Steps [][4]float64 `json:"steps"`
}

// agree holds our formulas to histories of ts-fsrs 5.4.2 (FSRS 6.0). That
// library rounds to 8 decimals at every step and lets a second answer of the
// second grade on one day not weaken the memory, where the published page
// says the third: the test bends our floor to the library's.
func agree(t *testing.T, histories []oracleHistory) {
	t.Helper()
	var worstStep, worstRun float64
	for n, h := range histories {
		w := DefaultWeights
		if h.W != nil {
			w = *h.W
		}
		f := newFormulas(w)
		f.floor = GradeSlow
		var own, theirs Memory
		for k, step := range h.Steps {
			days, g, want := step[0], Grade(step[1]), Memory{step[2], step[3]}

			// One step from the library's own state: nothing but the rounding of this step.
			one := f.next(theirs, days, g)
			stability, difficulty := f.rounding(theirs, days, g)
			step := max(math.Abs(one.Stability-want.Stability)/stability, math.Abs(one.Difficulty-want.Difficulty)/difficulty)
			if worstStep = max(worstStep, step); step > 1 {
				t.Fatalf("history %d, step %d: %v, the oracle says %v (%.1f times its rounding); weights %v", n, k, one, want, step, w)
			}
			theirs = want

			// The whole history: the roundings add up, so only the published
			// weights are held to a millionth.
			own = f.next(own, days, g)
			if h.W != nil {
				continue
			}
			run := max(math.Abs(own.Stability/want.Stability-1), math.Abs(own.Difficulty/want.Difficulty-1))
			if worstRun = max(worstRun, run); run > 1e-6 {
				t.Fatalf("history %d, step %d: %v from the start, the oracle says %v", n, k, own, want)
			}
		}
	}
	t.Logf("%d histories: worst step %.2f of its rounding, worst history off by %.1e", len(histories), worstStep, worstRun)
}

// rounding returns how far rounding to 8 decimals inside one step of the
// library can move its results: the retrievability is rounded, and so is the
// factor of its curve, and then the results themselves.
func (f *formulas) rounding(m Memory, days float64, g Grade) (stability, difficulty float64) {
	const half = 0.501e-8
	difficulty = 3 * half // first difficulty, damping, mean reversion
	if m.Stability == 0 {
		return half, difficulty
	}
	r := f.retrievability(m.Stability, days)
	shift := half + half*f.w[20]/f.factor
	low, high := f.nextAt(m, days, r+shift, g), f.nextAt(m, days, r-shift, g)
	return half + math.Abs(high.Stability-low.Stability)/2*1.001, difficulty
}

func TestMemoryAgreesWithTheOracleTable(t *testing.T) {
	histories := readHistories(t, oracle.Table(t, "memory.json.gz"))
	published := 0
	for _, h := range histories {
		if h.W == nil {
			published++
		}
	}
	if published < 1000 {
		t.Fatalf("%d histories with the published weights in the table, want 1000", published)
	}
	agree(t, histories)
}

func TestMemoryAgreesWithTheOracleOnFreshHistories(t *testing.T) {
	agree(t, readHistories(t, oracle.Make(t, "memory.mjs", "10000", "2", "1")))
}

func TestOracleTableCanBeMadeAgain(t *testing.T) {
	oracle.MakeAgain(t, "memory.json.gz", "memory.mjs", "1500", "1", "0.3")
}

func readHistories(t *testing.T, table []byte) []oracleHistory {
	t.Helper()
	var histories []oracleHistory
	if err := json.Unmarshal(table, &histories); err != nil {
		t.Fatal(err)
	}
	return histories
}
