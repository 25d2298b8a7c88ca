package report

import (
	"fmt"
	"iter"
	"slices"
	"strings"
	"time"

	"surefret/drills"
	"surefret/drills/theory"
	"surefret/scheduler"
)

// Progress is what the log shows of a stretch of practice.
type Progress struct {
	Since    string     `json:"since"` // first day shown
	Until    string     `json:"until"` // today
	Days     []Day      `json:"days"`  // those with practice, in order
	Recent   int        `json:"days_of_the_last_14"`
	Strings  []Speed    `json:"strings"`       // thinking time by string, the lowest first
	Drills   []Speed    `json:"drills"`        // and by family
	Fluent   []string   `json:"became_fluent"` // items, in words, the latest first
	Trust    []Tenth    `json:"predicted_and_observed"`
	Keys     []Key      `json:"keys"` // major keys round the circle of fifths
	Gigs     []Ready    `json:"gigs"`
	Forecast []Forecast `json:"forecast"`
}

// A Day is one day of practice.
type Day struct {
	Day     string  `json:"day"`
	Minutes float64 `json:"minutes"`
	Answers int     `json:"answers"`
	Right   int     `json:"right"`
	Fluent  int     `json:"fluent_items"` // items whose last answer by the end of the day was fluent
}

// A Speed is how fast right answers came.
type Speed struct {
	Name    string  `json:"name"`
	Answers int     `json:"answers"`  // right ones that were timed
	Typical float64 `json:"thinking"` // the median in seconds
}

// A Tenth holds the answers, the first of their item on a day, whose predicted
// fluency fell into one tenth.
type Tenth struct {
	Predicted float64 `json:"predicted"` // mean, 0 to 1
	Observed  float64 `json:"observed"`  // share that was fluent
	Answers   int     `json:"answers"`
}

// A Key is how sure the player is of one key.
type Key struct {
	Name    string  `json:"key"`
	Fluency float64 `json:"fluency"` // mean over its items, those never asked counting 0
	Met     int     `json:"met"`
	Items   int     `json:"items"`
}

// A Ready is the readiness for one gig.
type Ready struct {
	Name  string  `json:"name"`
	Day   string  `json:"day"`
	Share float64 `json:"share"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

// A Forecast is the expected practice load of one of the coming days.
type Forecast struct {
	Day     string  `json:"day"`
	Minutes float64 `json:"minutes"`
}

// A Reader is the scheduler as reports use it: it predicts each answer before it
// learns from it.
type Reader interface {
	Knowledge
	Learn(scheduler.Review)
	Outcome(scheduler.Review) scheduler.Outcome
}

// restart is the pause between two answers after which the clock of a sitting
// starts again, and settling what is reckoned for reading the feedback of its
// last answer.
const (
	restart  = time.Minute
	settling = 3 * time.Second
)

// A Tally folds the review log into Progress. It predicts every answer by a
// planner of its own, which has learned nothing yet.
type Tally struct {
	catalogue *drills.Catalogue
	planner   Reader
	since     string
	days      []Day
	fluent    map[string]bool
	became    []string
	speeds    map[string][]time.Duration
	tenths    [10]struct {
		sum    float64
		fluent int
		n      int
	}
	last time.Time
}

// NewTally begins a fold that shows the days from since on, "2026-10-01"; an
// empty text means all.
func NewTally(c *drills.Catalogue, fresh Reader, since string) *Tally {
	return &Tally{catalogue: c, planner: fresh, since: since, fluent: map[string]bool{}, speeds: map[string][]time.Duration{}}
}

// Read takes in the reviews that count, in the order of the log.
func (t *Tally) Read(rows iter.Seq2[drills.Review, error]) error {
	for r, err := range rows {
		if err != nil {
			return err
		}
		t.add(r)
	}
	return nil
}

func (t *Tally) add(r drills.Review) {
	review := scheduler.Review{Item: r.Item, At: r.At, Right: r.Right, Thinking: r.Thinking}
	item, known := t.catalogue.Item(r.Item)
	outcome := t.planner.Outcome(review)
	shown := r.Day >= t.since
	if known && shown {
		// A prediction is for a day: what is asked again in the same sitting, just
		// after its answer was told, says nothing of it.
		if st, _ := t.planner.State(r.Item); st.Asked > 0 && st.Day.String() != r.Day {
			t.predict(t.planner.Fluency(r.Item, r.At), outcome.Fluent())
		}
	}
	t.planner.Learn(review)
	if outcome.Fluent() && !t.fluent[r.Item] && known && shown {
		t.became = append(t.became, item.Title)
	}
	if outcome.Fluent() {
		t.fluent[r.Item] = true
	} else {
		delete(t.fluent, r.Item)
	}
	if !shown {
		return
	}
	if len(t.days) == 0 || t.days[len(t.days)-1].Day != r.Day {
		t.days = append(t.days, Day{Day: r.Day})
	}
	d := &t.days[len(t.days)-1]
	d.Answers++
	d.Minutes += t.spent(r).Minutes()
	d.Fluent = len(t.fluent)
	if r.Right {
		d.Right++
		if known && r.Thinking > 0 {
			t.time("drill "+string(item.Family), r.Thinking)
			if len(item.Strings) == 1 {
				t.time(fmt.Sprintf("string %d", item.Strings[0]), r.Thinking)
			}
		}
	}
}

// spent is the time that an answer took from the one before, or from the
// question where the sitting had just begun.
func (t *Tally) spent(r drills.Review) time.Duration {
	gap := r.At.Sub(t.last)
	t.last = r.At
	if gap > 0 && gap < restart {
		return gap
	}
	return min(r.Thinking, restart) + settling
}

func (t *Tally) time(name string, d time.Duration) { t.speeds[name] = append(t.speeds[name], d) }

func (t *Tally) predict(p float64, fluent bool) {
	b := &t.tenths[min(9, int(p*10))]
	b.n++
	b.sum += p
	if fluent {
		b.fluent++
	}
}

// Progress sums up, as seen at an instant of the day today.
func (t *Tally) Progress(now time.Time, today string) Progress {
	p := Progress{Since: t.since, Until: today, Days: t.days}
	if len(t.days) > 0 && p.Since < t.days[0].Day {
		p.Since = t.days[0].Day
	}
	p.Recent = t.recent(today)
	p.Strings = t.speedsOf("string ")
	slices.Reverse(p.Strings)
	p.Drills = t.speedsOf("drill ")
	slices.Reverse(t.became)
	for _, title := range t.became {
		if !slices.Contains(p.Fluent, title) && len(p.Fluent) < 20 {
			p.Fluent = append(p.Fluent, title)
		}
	}
	for _, b := range t.tenths {
		if b.n > 0 {
			p.Trust = append(p.Trust, Tenth{b.sum / float64(b.n), float64(b.fluent) / float64(b.n), b.n})
		}
	}
	p.Keys = t.keys(now)
	return p
}

// recent counts the days with practice among the last fourteen.
func (t *Tally) recent(today string) int {
	day, err := time.Parse(time.DateOnly, today)
	if err != nil {
		return 0
	}
	from := day.AddDate(0, 0, -13).Format(time.DateOnly)
	n := 0
	for _, d := range t.days {
		if d.Day >= from && d.Day <= today {
			n++
		}
	}
	return n
}

// speedsOf lists the typical thinking times whose names begin with prefix.
func (t *Tally) speedsOf(prefix string) []Speed {
	var all []Speed
	for name, ds := range t.speeds {
		if short, ok := strings.CutPrefix(name, prefix); ok {
			slices.Sort(ds)
			all = append(all, Speed{Name: short, Answers: len(ds), Typical: ds[len(ds)/2].Seconds()})
		}
	}
	slices.SortFunc(all, func(a, b Speed) int { return strings.Compare(a.Name, b.Name) })
	return all
}

// keys tells how sure each major key is, round the circle of fifths.
func (t *Tally) keys(now time.Time) []Key {
	by := map[string]*Key{}
	var keys []Key
	for _, k := range theory.KeysOf(theory.Major)[1:13] { // from G flat to F sharp's neighbour: one of each that sounds
		keys = append(keys, Key{Name: k.String()})
	}
	for i := range keys {
		by["key/"+keys[i].Name] = &keys[i]
	}
	for _, it := range t.catalogue.Items() {
		i := strings.LastIndexByte(it.ID, '/')
		k := by[it.ID[:max(i, 0)]]
		if k == nil {
			continue
		}
		k.Items++
		if st, ok := t.planner.State(it.ID); ok && st.Asked > 0 {
			k.Met++
			k.Fluency += t.planner.Fluency(it.ID, now)
		}
	}
	for i := range keys {
		keys[i].Fluency /= float64(max(keys[i].Items, 1))
	}
	return keys
}
