package scheduler

import "math"

// A Tenth compares what was predicted with what came, over the reviews whose
// predicted fluency lay in one tenth.
type Tenth struct {
	Answers   int
	Predicted float64 // mean predicted fluency, 0 to 1
	Observed  float64 // share that was fluent, 0 to 1
}

// Calibration replays a log, in log order, and compares the fluency predicted
// before each review with what came of it, by tenths of what was predicted.
// The first skip reviews are learnt from and not counted. It fails as
// [NewPlanner] does.
func Calibration(items []Item, log []Answer, opt Options, skip int) ([10]Tenth, error) {
	var tenths [10]Tenth
	p, err := NewPlanner(items, opt)
	if err != nil {
		return tenths, err
	}
	for k, r := range log {
		if i, ok := p.index[r.Item]; ok && k >= skip {
			v := p.look(i, p.answerDay(r))
			t := &tenths[min(int(v.fluent*10), 9)]
			t.Answers++
			t.Predicted += v.fluent
			t.Observed += p.Outcome(r).share()
		}
		p.Learn(r)
	}
	for i := range tenths {
		if t := &tenths[i]; t.Answers > 0 {
			t.Predicted /= float64(t.Answers)
			t.Observed /= float64(t.Answers)
		}
	}
	return tenths, nil
}

// LogLoss replays a log, in log order, and returns the mean log loss (natural
// logarithm, 0 for a perfect foresight) of the fluency predicted for the reviews
// of items met on an earlier day; 0 where there is none. The first skip reviews
// are learnt from and not counted. It fails as [NewPlanner] does.
func LogLoss(items []Item, log []Answer, opt Options, skip int) (float64, error) {
	each, err := logLosses(items, log, opt, skip)
	return mean(each), err
}

// logLosses are those of the reviews, one by one.
func logLosses(items []Item, log []Answer, opt Options, skip int) ([]float64, error) {
	p, err := NewPlanner(items, opt)
	if err != nil {
		return nil, err
	}
	var each []float64
	for k, r := range log {
		if i, ok := p.index[r.Item]; ok && k >= skip {
			e, day := &p.items[i], p.answerDay(r)
			if e.state.Asked > 0 && day > e.state.Day {
				v := p.look(i, day)
				f := clamp(v.fluent, 0.001, 0.999)
				if !p.Outcome(r).Fluent() {
					f = 1 - f
				}
				each = append(each, -math.Log(f))
			}
		}
		p.Learn(r)
	}
	return each, nil
}
