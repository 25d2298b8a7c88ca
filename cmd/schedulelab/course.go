package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	"surefret/cmd/schedulelab/learner"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/practice/practicetest"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/drills/gig"
)

// A lived course is a named player who practises with the program itself: its
// sittings choose, pose, judge, log and learn.
type lived struct {
	*material
	log      practicetest.Log
	practice *practice.Player
	o        practice.Options // of every sitting
	items    []drills.Item
	index    map[string]int
	who      bankPlayer
	player   *learner.Player
	luck     lottery
	now      time.Time
	fluent   []float64
	asked    []bool
}

// lessonSeconds is what it takes to look at what is shown before it is asked. Chosen, no
// source.
const lessonSeconds = 5

// A livedDay is what one day of it came to.
type livedDay struct {
	minutes               float64
	asked, fresh, right   int
	open                  int // asked at some time, and truly not sure
	sure                  int // topics
	families, begun, done []string
	told                  []string // by the summary
}

// newLived opens a practice for the player, with nothing in its log. Where he hears
// what the program plays, the ear drills are asked, too.
func newLived(ctx context.Context, who bankPlayer, o practice.Options, gigs []gig.Gig) (*lived, error) {
	time.Local = time.UTC // the program's days are the player's own
	l := &lived{who: who, log: practicetest.Log{Dates: gigs}, o: o, index: map[string]int{}, now: start}
	s := settings.Default()
	if who.tuning != "" {
		s.Tuning = who.tuning
	}
	if who.knows != "" {
		s.Knows = who.knows
		s.Arrive()
	}
	l.log.Held.Settings = s.ToMap()
	var err error
	if l.practice, err = practice.Open(ctx, &l.log, func() time.Time { return l.now }); err != nil {
		return nil, err
	}
	l.items = slices.DeleteFunc(l.practice.Catalogue().Items(), func(it drills.Item) bool { return it.Family == "ear" && !o.Selection.Heard })
	l.material = newMaterial(l.items)
	for i, it := range l.items {
		l.index[it.ID] = i
	}
	n := len(l.items)
	l.fluent, l.asked, l.luck = make([]float64, n), make([]bool, n), lottery{key: who.seed, asked: make([]uint32, n)}
	l.player, err = learner.New(who.Traits, l.board, who.seed)
	return l, err
}

// day is one sitting, on the day and hour given.
func (l *lived) day(ctx context.Context, at float64) (livedDay, error) {
	var d livedDay
	before := l.sure(l.fluent, 0.8)
	l.now = instant(at)
	began := l.now
	s, err := l.practice.Begin(l.o)
	if err != nil {
		return d, err
	}
	for {
		turn, ok, err := s.Next(ctx, l.now)
		if err != nil {
			return d, err
		}
		if !ok {
			break
		}
		if turn.Lesson != nil {
			l.read(turn.Lesson.Item)
			continue
		}
		i, known := l.index[turn.Question.Item]
		if !known {
			return d, fmt.Errorf("the sitting asks %s, which the lab does not have", turn.Question.Item)
		}
		if err := l.answer(ctx, s, turn.Question, i, &d); err != nil {
			return d, err
		}
		if add(&d.families, string(l.items[i].Family)); !l.asked[i] {
			l.asked[i] = true
			d.fresh++
			add(&d.begun, l.items[i].Topic())
		}
	}
	d.minutes, d.told = l.now.Sub(began).Minutes(), s.Summary(ctx, l.now).Lines()
	l.player.Fluencies(math.Floor(at)+lookHour/24, l.fluent)
	for i, yes := range l.asked {
		d.open += one(yes && l.fluent[i] < 0.8)
	}
	for k, yes := range l.sure(l.fluent, 0.8) {
		if d.sure += one(yes); yes && !before[k] {
			add(&d.done, l.items[l.topics[k][0]].Topic())
		}
	}
	slices.Sort(d.families)
	return d, nil
}

// read looks at a lesson, in his time. One of no item is what a beginner is told first.
func (l *lived) read(item string) {
	if i, ok := l.index[item]; ok {
		l.player.Show(i, l.now.Sub(start).Hours()/24)
	}
	l.now = l.now.Add(time.Duration((lessonSeconds + l.who.extra) * float64(time.Second)))
}

// answer answers as the player would, in his time.
func (l *lived) answer(ctx context.Context, s *practice.Sitting, q drills.Question, item int, d *livedDay) error {
	chance, _ := l.luck.draw(item)
	a := l.player.Answer(item, l.now.Sub(start).Hours()/24, chance)
	right, wrong := practicetest.AnswersTo(q)
	text := right
	if !a.Right {
		text = wrong
	}
	// The player types as the program expects of him.
	const long = time.Minute
	key := time.Duration(a.Thinking*float64(time.Second)) + long - s.Typing().Thinking(q, drills.EntryKeys, long)
	l.now = l.now.Add(key)
	res, err := s.Answer(ctx, l.now, text, key, drills.EntryKeys)
	if err != nil {
		return fmt.Errorf("%s, answered %q: %w", q.Text, text, err)
	}
	if res.Verdict.Right != a.Right {
		return fmt.Errorf("%s, answered %q, is judged otherwise", q.Text, text)
	}
	after := feedbackSeconds + l.who.extra
	if !a.Right {
		after += missSeconds
	}
	l.now = l.now.Add(time.Duration(after * float64(time.Second)))
	d.asked++
	d.right += one(a.Right)
	return nil
}

// add appends what is not there yet.
func add(to *[]string, name string) {
	if !slices.Contains(*to, name) {
		*to = append(*to, name)
	}
}

// printCourse plays the named player's first days with the program and writes them.
func printCourse(ctx context.Context, w io.Writer, name string, days int) error {
	k := slices.IndexFunc(profiles, func(p profile) bool { return p.name == name })
	rng := rand.New(rand.NewPCG(1, 8))
	l, err := newLived(ctx, profilePlayer(k, "mixture", 1), practice.Options{Rand: rng, Length: sitting * time.Second, Show: true}, nil)
	if err != nil {
		return err
	}
	l.player.Fluencies(0, l.fluent)
	brought := 0
	for _, yes := range l.sure(l.fluent, 0.8) {
		brought += one(yes)
	}
	fmt.Fprintf(w, "%s: %d items in %d topics; at the start %.0f %% would be right in time, %d topics are sure\n\n",
		name, len(l.items), len(l.topics), 100*mean(l.fluent), brought)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "day\tminutes\tasked\tnew\tright\tnot yet sure\ttopics sure\tfamilies\ttopics begun; became sure")
	for day, at := range l.who.days() {
		if day == days {
			break
		}
		if math.IsNaN(at) {
			fmt.Fprintf(t, "%d\tno practice\t\t\t\t\t\t\t\n", day+1)
			continue
		}
		d, err := l.day(ctx, at)
		if err != nil {
			return err
		}
		begun := strings.Join(d.begun, ", ")
		if len(d.done) > 0 {
			begun += "; " + strings.Join(d.done, ", ")
		}
		fmt.Fprintf(t, "%d\t%.1f\t%d\t%d\t%.0f %%\t%d\t%d\t%s\t%s\n", day+1, d.minutes, d.asked, d.fresh,
			100*float64(d.right)/float64(max(d.asked, 1)), d.open, d.sure, strings.Join(d.families, " "), begun)
	}
	return t.Flush()
}
