package practice

import (
	"cmp"
	"context"
	"fmt"
	"iter"
	"math"
	"slices"
	"strings"
	"time"

	"surefret/cmd/surefret/report"
	"surefret/drills"
	"surefret/drills/theory"
	"surefret/scheduler"
)

// Map draws up the map of the neck as of now; no strings mean all, and zero frets
// the whole neck.
func (p *Player) Map(strs []int, frets [2]int) report.Map {
	if frets == [2]int{} {
		frets[1] = p.setup.Neck.Last()
	}
	m := report.NeckMap(p.catalogue, p.foresight(), p.setup, strs, frets)
	m.LeftHanded = p.Settings.LeftHanded
	return m
}

// foresight is what reports predict by.
func (p *Player) foresight() report.Outlook {
	return report.Outlook{Know: p, Now: p.Now(), Location: time.Local}
}

// outlook says what is weak and what tomorrow can finish.
func (p *Player) outlook() []string {
	var lines []string
	if sure := p.SureTopics(); len(sure) > 0 {
		if more := len(sure) - longestList; more > 0 {
			sure = append(sure[:longestList:longestList], fmt.Sprintf("and %d more", more))
		}
		lines = append(lines, "You know by now: "+strings.Join(sure, "; ")+".")
	} else if most := p.mostlySure(); most != "" {
		lines = append(lines, "You know by now: "+most+".")
	}
	if weak := SayWeak(p.Weak()); weak != "" {
		lines = append(lines, weak)
	}
	if parked := p.parked(); len(parked) > 0 {
		lines = append(lines, "Slow after ten days of practice, so once a week is enough for now: "+titles(parked)+".")
	}
	if lines = append(lines, p.tomorrow()); p.planner.Spread(p.Now()) > 1 {
		lines = append(lines, fmt.Sprintf("What rested while you were away is spread over %s.", report.Many(p.planner.Spread(p.Now()), "day")))
	}
	return lines
}

// SureTopics names the topics that are sure, in the order in which they are met. What
// was set aside belongs to none.
func (p *Player) SureTopics() (names []string) {
	items := slices.DeleteFunc(slices.Clone(p.catalogue.Items()), func(it drills.Item) bool { return p.aside[it.ID] })
	for _, topic := range p.foresight().SureTopics(items) {
		names = append(names, topic.Name)
	}
	return names
}

// mostlySure names the topic of which most is sure, with how much: for who knows no topic
// whole. It is empty where fewer than three questions of each are sure.
func (p *Player) mostlySure() (said string) {
	const fewest = 3
	o, of, sure, most := p.foresight(), map[string]int{}, map[string]int{}, 0
	for _, it := range p.catalogue.Items() {
		name := it.Topic()
		of[name]++
		sure[name] += one(o.Sure(it.ID))
	}
	for _, it := range p.catalogue.Items() { // of two the one that is met first
		if name := it.Topic(); sure[name] > max(most, fewest-1) {
			most = sure[name]
			said = fmt.Sprintf("%d of the %d questions on %s", most, of[name], name)
		}
	}
	return said
}

// parked lists what stays slow after ten days of practice: it comes once a week.
func (p *Player) parked() []drills.Item {
	var items []drills.Item
	for _, id := range p.planner.Parked(p.Now()) {
		if it, ok := p.catalogue.Item(id); ok && !p.aside[id] {
			items = append(items, it)
		}
	}
	return items
}

// What ten minutes do, for the sentence on the next day: how long an answer takes with
// its question and its feedback, and how often an item is asked until it is sure, about
// as the log of the demo has them. Nobody's own pace is in them: whoever needs longer
// than 8 s an answer, as one who listens to the questions may, is offered too much.
const (
	asking    = 8 * time.Second
	asksToday = 2
	mostNamed = 2
)

// tomorrow says which topics the next day's minutes can finish: those of which least is
// not sure yet. It is an offer and never a debt.
func (p *Player) tomorrow() string {
	type topic struct {
		name        string
		left, asked int
		never       bool // one of those left was never right: it takes two days
	}
	named := map[string]*topic{}
	o, wants := p.foresight(), p.catalogue.Choose(p.choice).Wants
	for _, it := range p.catalogue.Items() {
		name := it.Topic()
		if name == "" || p.aside[it.ID] || p.proven(it.ID) || !wants(it) {
			continue
		}
		t := named[name]
		if t == nil {
			t = &topic{name: name}
			named[name] = t
		}
		st, _ := p.planner.State(it.ID)
		if st.Asked > 0 {
			t.asked++
		}
		if !o.Sure(it.ID) {
			t.left++
			t.never = t.never || st.Right == 0
		}
	}
	var begun []topic
	known := p.SureTopics()
	for _, t := range named {
		if t.asked > 0 && t.left > 0 && !slices.Contains(known, t.name) {
			begun = append(begun, *t)
		}
	}
	slices.SortFunc(begun, func(a, b topic) int { return cmp.Or(cmp.Compare(a.left, b.left), cmp.Compare(a.name, b.name)) })
	minutes := time.Duration(p.Settings.Minutes * float64(time.Minute))
	room := int(minutes / asking / asksToday)
	var words []string
	for _, t := range begun {
		if t.never || len(words) == mostNamed {
			continue
		}
		if room -= t.left; room >= 0 {
			words = append(words, fmt.Sprintf("%s (%d left)", t.name, t.left))
		}
	}
	whole := int(math.Round(minutes.Minutes()))
	long, goOn, keep := report.Many(whole, "minute"), "go on", "keep"
	if whole == 1 {
		goOn, keep = "goes on", "keeps"
	}
	switch {
	case len(words) > 0:
		return fmt.Sprintf("Tomorrow %s can finish %s.", long, strings.Join(words, " and "))
	case len(begun) > 0:
		return fmt.Sprintf("Tomorrow %s %s with %s (%d left).", long, goOn, begun[0].name, begun[0].left)
	}
	return fmt.Sprintf("Tomorrow %s %s what you know.", long, keep)
}

// forecastDays is how far ahead the load is foretold: a week.
const forecastDays = 7

// Progress sums the log up from a day on, "" for all of it.
func (p *Player) Progress(ctx context.Context, since string) (report.Progress, error) {
	tally, err := p.tally(ctx)
	if err != nil {
		return report.Progress{}, err
	}
	today := p.today()
	played := map[string]float64{}
	for _, r := range p.runs {
		if r.Given == 0 { // what was answered counts by its answers
			played[r.Day] += r.Seconds / 60
		}
	}
	page := tally.Progress(p.foresight(), since, today.String(), played)
	for _, g := range p.Coming() {
		if r, _ := p.Readiness(g); r.Days > 0 && r.Items > 0 {
			page.Gigs = append(page.Gigs, report.Ready{Name: g.Name, Day: g.Day, Now: r.Now, Share: r.Share, Low: r.Low, High: r.High, Thin: r.Thin()})
		}
	}
	page.Neck = p.Map(nil, [2]int{})
	for i := range page.Keys {
		page.Keys[i].Called = p.called(page.Keys[i].Name)
	}
	for i, load := range p.planner.Forecast(p.Now(), forecastDays) {
		page.Forecast = append(page.Forecast, report.Forecast{Day: (today + scheduler.Day(i)).String(), Minutes: load.Minutes()})
	}
	return page, nil
}

// called reports whether a coming gig calls a key, by its name.
func (p *Player) called(name string) bool {
	for _, g := range p.Coming() {
		for _, s := range g.Songs {
			if k, err := theory.ParseKey(s.Called); err == nil && k.String() == name {
				return true
			}
		}
	}
	return false
}

// tally takes up the tally where it was kept and counts on to the end of the log,
// and keeps it where it counted anything.
func (p *Player) tally(ctx context.Context) (*report.Tally, error) {
	fresh, err := p.newPlanner()
	if err != nil {
		return nil, err
	}
	t := report.NewTally(p.catalogue, fresh)
	t.Untimed, t.Reach = !p.Settings.Times, p.typing.reach(drills.EntryPlayed)
	version := fmt.Sprintf("progress 3 %v %s", p.Settings.Times, p.version())
	added := false
	resume := func(_ int64, state []byte) bool { return state != nil && t.UnmarshalBinary(state) == nil }
	upto, err := p.log.Replay(ctx, version, resume, func(rows iter.Seq2[drills.Answer, error]) error {
		return t.Read(func(yield func(drills.Answer, error) bool) {
			for r, err := range rows {
				added = true
				if !yield(r, err) {
					return
				}
			}
		})
	})
	if err != nil || !added {
		return t, err
	}
	state, err := t.MarshalBinary()
	if err != nil {
		return nil, err
	}
	if err := p.log.SaveSnapshot(ctx, version, upto, state); err != nil && !locked(err) {
		return nil, err
	}
	return t, nil
}
