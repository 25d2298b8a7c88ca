package report

import (
	"bytes"
	"encoding/gob"
	"fmt"
	"iter"
	"time"

	"surefret/drills"
	"surefret/scheduler"
)

// A Reader is the scheduler as a tally uses it: it predicts each answer before it
// learns from it.
type Reader interface {
	Knowledge
	Learn(scheduler.Answer)
	Outcome(scheduler.Answer) scheduler.Outcome
	MarshalBinary() ([]byte, error)
	UnmarshalBinary([]byte) error
}

// restart is the pause between two answers after which the clock of a sitting
// starts again, and feedback what is reckoned for reading that of its
// last answer.
const (
	restart  = time.Minute
	feedback = 3 * time.Second
)

// A Tally folds the answer log, in its order, into what [Progress] shows. It
// predicts every answer by a planner of its own, which knows no more than what
// was answered before. It can be kept between two readings of a long log: what
// MarshalBinary returns is as good as the rows that it was made from.
type Tally struct {
	catalogue *drills.Catalogue
	planner   Reader
	Untimed   bool          // times do not count: right is fluent
	Reach     time.Duration // how much longer than the aim a played answer may take
	kept
}

// kept is what a tally has counted.
type kept struct {
	Days   []Day
	Months []month
	Fluent map[string]bool // items whose last answer was fluent
	Became []became        // the latest last
	Last   time.Time       // the last answer
}

// A month counts what needs more than a number a day.
type month struct {
	Month  string // "2026-11"
	Speeds map[string]*times
	Ways   map[string]*way // answers to a drill that were played, and those that were typed
	Tenths [10]tenth
}

// A way counts answers that were given in one way.
type way struct{ Answers, Right int }

// times counts thinking times of right answers in slots of so many milliseconds.
type times map[uint16]uint32

const (
	slot     = 20 // milliseconds
	lastSlot = 3000
)

// median returns the middle of the times in seconds, to half a slot, and how
// many there are.
func (t times) median() (seconds float64, n int) {
	for _, k := range t {
		n += int(k)
	}
	seen := 0
	for s := uint16(0); s <= lastSlot && n > 0; s++ {
		if seen += int(t[s]); seen > n/2 {
			return (float64(s) + 0.5) * slot / 1000, n
		}
	}
	return 0, n
}

// A tenth counts the answers whose predicted fluency fell into one tenth.
type tenth struct {
	Sum       float64 // of the predictions
	Fluent, N int
}

// became is an item that became fluent on a day.
type became struct{ Item, Day string }

// mostBecame is how many of them are kept.
const mostBecame = 200

// NewTally begins a fold. The planner has learned nothing yet.
func NewTally(c *drills.Catalogue, fresh Reader) *Tally {
	return &Tally{catalogue: c, planner: fresh, kept: kept{Fluent: map[string]bool{}}}
}

// MarshalBinary returns what was counted and learned.
func (t *Tally) MarshalBinary() ([]byte, error) {
	memory, err := t.planner.MarshalBinary()
	if err != nil {
		return nil, fmt.Errorf("keep the tally: %w", err)
	}
	var b bytes.Buffer
	e := gob.NewEncoder(&b)
	if err := e.Encode(memory); err != nil {
		return nil, fmt.Errorf("keep the tally: %w", err)
	}
	if err := e.Encode(t.kept); err != nil {
		return nil, fmt.Errorf("keep the tally: %w", err)
	}
	return b.Bytes(), nil
}

// UnmarshalBinary takes over what another tally counted, before any row is read.
// On an error the tally is as before and the log is to be read from its start.
func (t *Tally) UnmarshalBinary(data []byte) error {
	d := gob.NewDecoder(bytes.NewReader(data))
	var memory []byte
	k := kept{Fluent: map[string]bool{}}
	if err := d.Decode(&memory); err != nil {
		return fmt.Errorf("take up the tally: %w", err)
	}
	if err := d.Decode(&k); err != nil {
		return fmt.Errorf("take up the tally: %w", err)
	}
	if err := t.planner.UnmarshalBinary(memory); err != nil {
		return fmt.Errorf("take up the tally: %w", err)
	}
	t.kept = k
	return nil
}

// Read takes in the answers that count, in the order of the log.
func (t *Tally) Read(rows iter.Seq2[drills.Answer, error]) error {
	for r, err := range rows {
		if err != nil {
			return err
		}
		t.add(r)
	}
	return nil
}

func (t *Tally) add(r drills.Answer) {
	answer := scheduler.Answer{Item: r.Item, At: r.At, Right: r.Right, Thinking: Against(r, t.Reach)}
	item, known := t.catalogue.Item(r.Item)
	fluent := t.planner.Outcome(answer).Fluent() && (r.Thinking > 0 || t.Untimed) // what was not timed was not seen to be
	if len(r.Day) == len(time.DateOnly) {
		if n := len(t.Months); n == 0 || t.Months[n-1].Month != r.Day[:7] {
			t.Months = append(t.Months, month{Month: r.Day[:7], Speeds: map[string]*times{}, Ways: map[string]*way{}})
		}
	} else if len(t.Months) == 0 {
		return // not a row that the store would keep
	}
	m := &t.Months[len(t.Months)-1]
	if known {
		// A prediction is for a day: what is asked again in the same sitting, just
		// after its answer was told, says nothing of it.
		if st, _ := t.planner.State(r.Item); st.Asked > 0 && st.Day.String() != r.Day {
			m.predict(t.planner.Fluency(r.Item, r.At), fluent)
		}
	}
	now := Outlook{Know: t.planner, Now: r.At, Location: time.UTC} // a day more or less does not matter
	wasSure := known && fluent && now.Sure(r.Item)
	t.planner.Learn(answer)
	// It became sure where it was not before. One that was sure, was missed and is sure
	// once more is named by its latest day.
	if known && fluent && !wasSure && now.Sure(r.Item) {
		t.Became = append(t.Became, became{r.Item, r.Day})
		t.Became = t.Became[max(0, len(t.Became)-mostBecame):]
	}
	if fluent {
		t.Fluent[r.Item] = true
	} else {
		delete(t.Fluent, r.Item)
	}
	if len(t.Days) == 0 || t.Days[len(t.Days)-1].Day != r.Day {
		t.Days = append(t.Days, Day{Day: r.Day})
	}
	d := &t.Days[len(t.Days)-1]
	d.Answers++
	d.Minutes += t.spent(r).Minutes()
	d.Fluent = len(t.Fluent)
	if r.Right {
		d.Right++
	}
	if known {
		m.answered(r, item)
	}
}

// leastPlucked is the shortest thinking time of a note that was played to a question: a
// note of a song that came on its beat has less.
const leastPlucked = 50 * time.Millisecond

// answered counts an answer by the way in which it was given, and how long a right one
// took.
func (m *month) answered(r drills.Answer, item drills.Item) {
	name := typed + string(item.Family)
	if r.Entry == drills.EntryPlayed {
		name = played + string(item.Family)
	}
	w := m.Ways[name]
	if w == nil {
		w = &way{}
		m.Ways[name] = w
	}
	if w.Answers++; !r.Right {
		return
	}
	w.Right++
	switch {
	case r.Thinking == 0:
	case r.Entry == drills.EntryPlayed:
		if r.Thinking >= leastPlucked {
			m.time(name, r.Thinking)
		}
	default:
		m.time("drill "+string(item.Family), r.Thinking)
		if len(item.Strings) == 1 {
			m.time(fmt.Sprintf("string %d", item.Strings[0]), r.Thinking)
		}
	}
}

// What comes before a drill where its answers are counted by the way they were given.
const (
	played = "played "
	typed  = "typed "
)

// Against is the thinking time of an answer as it is held against the aim of its item:
// what was played may take longer by the reach. 0 is not timed.
func Against(r drills.Answer, reach time.Duration) time.Duration {
	if r.Entry != drills.EntryPlayed || r.Thinking == 0 {
		return r.Thinking
	}
	return max(r.Thinking-reach, time.Millisecond)
}

// spent is the time that an answer took from the one before, or from the
// question where the sitting had just begun.
func (t *Tally) spent(r drills.Answer) time.Duration {
	gap := r.At.Sub(t.Last)
	t.Last = r.At
	if gap > 0 && gap < restart {
		return gap
	}
	return min(r.Thinking, restart) + feedback
}

func (m *month) time(name string, d time.Duration) {
	t := m.Speeds[name]
	if t == nil {
		t = &times{}
		m.Speeds[name] = t
	}
	(*t)[uint16(min(lastSlot, d.Milliseconds()/slot))]++
}

func (m *month) predict(p float64, fluent bool) {
	b := &m.Tenths[max(0, min(9, int(p*10)))]
	b.N++
	b.Sum += p
	if fluent {
		b.Fluent++
	}
}
