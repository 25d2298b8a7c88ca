package main

import (
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"
	"text/tabwriter"
	"time"

	"surefret/cmd/schedulelab/board"
	"surefret/cmd/schedulelab/learner"
	"surefret/cmd/schedulelab/policy"
	"surefret/drills"
	"surefret/scheduler"
)

// The bank is many players, each drawn from wide distributions, who practise the
// real catalogue without its ear drills. Settings are chosen on one bank; a verdict
// is drawn on another, seldom, and counted in SCIENCE.md; the third has a mechanism
// of memory that the others do not.
type bank struct {
	name     string
	families []string
	seed     uint64
}

var banks = []bank{
	{"choose", learner.Families(), 1},
	{"verdict", learner.Families(), 2},
	{"other", []string{learner.HeldOut}, 3},
}

// A bankPlayer is one player of a bank with his habits.
type bankPlayer struct {
	learner.Traits
	seed    uint64
	extra   float64 // seconds an answer takes besides, for entry and reading
	missed  float64 // chance that a day is missed after one that was not
	resumes float64 // chance that a run of missed days ends
	holiday int     // first of fourteen days off, 0 for none
}

// player draws the n-th of the bank.
func (b bank) player(n int) bankPlayer {
	rng := rand.New(rand.NewPCG(b.seed, uint64(n)))
	p := bankPlayer{Traits: learner.DrawTraits(b.families, rng), seed: rng.Uint64()}
	p.extra = 5 * rng.Float64() * rng.Float64()
	p.missed, p.resumes = 0.3*rng.Float64(), 0.4+0.6*rng.Float64()
	if rng.Float64() < 0.25 {
		p.holiday = 10 + rng.IntN(35)
	}
	return p
}

func (p bankPlayer) beginner() bool { return p.Known == 0 }

// days says on which days the player practises.
func (p bankPlayer) days() (practises [courseDays]bool) {
	rng := rand.New(rand.NewPCG(p.seed, 21))
	away := false
	for d := range practises {
		if away {
			away = rng.Float64() >= p.resumes
		} else {
			away = rng.Float64() < p.missed
		}
		off := p.holiday > 0 && d >= p.holiday && d < p.holiday+14
		practises[d] = d == 0 || !away && !off
	}
	return practises
}

// A material is the catalogue with its topics.
type material struct {
	board  *board.Board
	topics [][]int // items, of each topic that has three or more
}

func newMaterial() (*material, error) {
	c, err := newCatalogue(false)
	if err != nil {
		return nil, err
	}
	m := &material{board: catalogueBoard(c)}
	at := map[string]int{}
	for i, it := range c.Items() {
		m.board.Items[i].Stage = it.Stage // all of them: the program's own planner has fewer
		k, ok := at[it.Topic()]
		if !ok {
			k = len(m.topics)
			at[it.Topic()] = k
			m.topics = append(m.topics, nil)
		}
		m.topics[k] = append(m.topics[k], i)
	}
	m.topics = slices.DeleteFunc(m.topics, func(items []int) bool { return len(items) < 3 })
	return m, nil
}

// sure counts the topics that are sure, and their items: the mean chance of a
// topic's items to be right in time is at least mean, and none is under a half.
func (m *material) sure(fluent []float64, mean float64) (topics, items int) {
	for _, of := range m.topics {
		sum, least := 0.0, 1.0
		for _, i := range of {
			sum += fluent[i]
			least = min(least, fluent[i])
		}
		if sum >= mean*float64(len(of)) && least >= 0.5 {
			topics++
			items += len(of)
		}
	}
	return topics, items
}

// A bankRecord is what sixty days of one player came to.
type bankRecord struct {
	fluent, usable   float64             // shares, means of the evenings of days 1 to 60
	topics, firm     [courseDays]float64 // sure at 0.8, and at 0.9
	first            int                 // day of the first topic sure beyond those brought along, 0 for never
	halfKnown        float64             // items asked and truly under 0.8, mean of the evenings
	newFirst         int                 // new items on day 1
	sittings, barren int                 // after day 7: all, and those with under 20 % fluent answers
	right, early     int                 // in the first ten sittings: right answers, and all
	family           map[string]bool     // asked by day 14
}

// play lets the player practise by the rule.
func (m *material) play(p bankPlayer, rule policy.Maker) (bankRecord, error) {
	rec := bankRecord{family: map[string]bool{}}
	player, err := learner.NewDrawn(p.Traits, m.board, p.seed)
	if err != nil {
		return rec, err
	}
	pol := rule(m.board.Items, p.seed)
	fluent := make([]float64, len(m.board.Items))
	asked := make([]bool, len(fluent))
	luck := lottery{key: p.seed, asked: make([]uint32, len(fluent))}
	player.Fluencies(0, fluent)
	brought, _ := m.sure(fluent, 0.8)
	sat := 0
	for d, practises := range p.days() {
		if practises {
			s := m.sit(p, pol, player, &luck, float64(d)+practiceHour/24, asked)
			if sat++; sat <= 10 {
				rec.right, rec.early = rec.right+s.right, rec.early+s.answers
			}
			if d == 0 {
				rec.newFirst = s.new
			}
			if d >= 7 {
				rec.sittings++
				if 5*s.fluent < s.answers {
					rec.barren++
				}
			}
		}
		player.Fluencies(float64(d)+lookHour/24, fluent)
		topics, items := m.sure(fluent, 0.8)
		firm, _ := m.sure(fluent, 0.9)
		rec.topics[d], rec.firm[d] = float64(topics), float64(firm)
		rec.usable += float64(items) / float64(len(fluent)) / courseDays
		rec.fluent += mean(fluent) / courseDays
		if rec.first == 0 && topics > brought {
			rec.first = d + 1
		}
		for i, yes := range asked {
			if yes && fluent[i] < 0.8 {
				rec.halfKnown += 1.0 / courseDays
			}
			if yes && d == 13 {
				rec.family[m.board.Items[i].Family] = true
			}
		}
	}
	return rec, nil
}

type sittingRecord struct{ answers, right, fluent, new int }

// sit is one sitting of ten minutes.
func (m *material) sit(p bankPlayer, pol policy.Policy, player learner.Learner, luck *lottery, day float64, asked []bool) (s sittingRecord) {
	for spent := 0.0; spent < sitting; {
		now := day + spent/86400
		item, ok := pol.Next(instant(now), time.Duration((sitting-spent)*float64(time.Second)))
		if !ok {
			break
		}
		chance, entryLuck := luck.draw(item)
		a := player.Answer(item, now, chance)
		entry := entrySeconds * math.Exp(entrySpread*math.Sqrt2*math.Erfinv(2*entryLuck-1))
		seen := max(0.05, a.Thinking+entry-entrySeconds)
		pol.Learn(policy.Answer{Item: item, Right: a.Right, Seconds: seen, At: instant(now + (a.Thinking+entry)/86400)})
		spent += a.Thinking + entry + feedbackSeconds + p.extra
		if !asked[item] {
			asked[item] = true
			s.new++
		}
		s.answers++
		switch {
		case !a.Right:
			spent += missSeconds
		case seen <= m.board.Items[item].Aim.Seconds():
			s.fluent++
			s.right++
		default:
			s.right++
		}
	}
	return s
}

// asProgram hands a rule the stages as the program does.
func asProgram(m policy.Maker) policy.Maker {
	return func(items []scheduler.Item, seed uint64) policy.Policy {
		few := slices.Clone(items)
		for i := range few {
			few[i].Stage = min(few[i].Stage, drills.Ungated)
		}
		return m(few, seed)
	}
}

// bankRules are what is compared on a bank: the planner, baselines that meet the
// items in the same order of stages, and the rule of few at a time.
func bankRules() []Rule {
	staged := func(pace policy.Pace) policy.Setting {
		return policy.Setting{Grading: policy.BySpeed, Pace: pace, Repeat: policy.RepeatNone, Spare: policy.LongestRest, InOrder: true}
	}
	rules := []Rule{
		{Name: planner, New: asProgram(policy.Ours)},
		{Name: "Leitner by speed, meeting first, in order", New: policy.Leitner(staged(policy.Pace{Waiting: math.MaxInt}), true)},
		{Name: "Leitner by speed, meeting under 60 waiting, in order", New: policy.Leitner(staged(policy.Pace{Waiting: 60}), true)},
		{Name: growingGaps + " by speed, meeting under 60 waiting, in order", New: policy.GrowingGaps(staged(policy.Pace{Waiting: 60}))},
		{Name: "published by speed, meeting at will, in order at 0.90", New: policy.Published(staged(policy.Pace{}), 0.9)},
	}
	for _, limit := range []int{10, 25, 50, 100, 0} {
		name := fmt.Sprintf("few at a time, %d", limit)
		if limit == 0 {
			name = "few at a time, no limit"
		}
		rules = append(rules, Rule{Name: name, New: policy.Few(limit)})
	}
	return rules
}

// compare plays the first players of the bank by every rule and prints the measures.
func (b bank) compare(w io.Writer, players int, rules []Rule) error {
	m, err := newMaterial()
	if err != nil {
		return err
	}
	made := make([][]bankRecord, len(rules))
	errs := make([]error, len(rules)*players)
	jobs := make(chan [2]int)
	var wait sync.WaitGroup
	for r := range rules {
		made[r] = make([]bankRecord, players)
	}
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for j := range jobs {
				made[j[0]][j[1]], errs[j[0]*players+j[1]] = m.play(b.player(j[1]), rules[j[0]].New)
			}
		})
	}
	for r := range rules {
		for n := range players {
			jobs <- [2]int{r, n}
		}
	}
	close(jobs)
	wait.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	fmt.Fprintf(w, "%d players of the bank %q, %d days of ten minutes, %d items in %d topics\n\n", players, b.name, courseDays, len(m.board.Items), len(m.topics))
	groups := []struct {
		name string
		in   func(bankPlayer) bool
	}{
		{"all", func(bankPlayer) bool { return true }},
		{"beginners", bankPlayer.beginner},
		{"others", func(p bankPlayer) bool { return !p.beginner() }},
	}
	for _, g := range groups {
		t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
		fmt.Fprintf(t, "%s\tusable\tworst tenth\tfluent\tworst tenth\ttopics 7\t14\t30\t60\tat 0.9 on 60\tfirst\thalf known\tnew day 1\tright\tbarren\tfamilies\n", g.name)
		for r, rule := range rules {
			var of []bankRecord
			for n, rec := range made[r] {
				if g.in(b.player(n)) {
					of = append(of, rec)
				}
			}
			if len(of) > 0 {
				printBankRow(t, rule.Name, of)
			}
		}
		t.Flush()
		fmt.Fprintln(w)
	}
	fmt.Fprint(w, "usable: share of the items that lie in topics sure at 0.8, and fluent: share of the items, both in % and\n",
		"means of the evenings of days 1 to 60, with that of the worst tenth of the players; first: median day of the\n",
		"first topic sure; half known: items asked and truly under 0.8; right: % of the answers of the first ten\n",
		"sittings; barren: % of the sittings after day 7 with under 20 % fluent answers; families asked by day 14.\n")
	return nil
}

func printBankRow(w io.Writer, name string, of []bankRecord) {
	average := func(m func(*bankRecord) float64) float64 {
		sum := 0.0
		for i := range of {
			sum += m(&of[i])
		}
		return sum / float64(len(of))
	}
	worst := func(m func(*bankRecord) float64) float64 {
		var all []float64
		for i := range of {
			all = append(all, m(&of[i]))
		}
		slices.Sort(all)
		return mean(all[:max(len(all)/10, 1)])
	}
	usable := func(r *bankRecord) float64 { return 100 * r.usable }
	fluent := func(r *bankRecord) float64 { return 100 * r.fluent }
	var first []float64
	right, early, sittings, barren := 0, 0, 0, 0
	for _, r := range of {
		day := float64(r.first)
		if r.first == 0 {
			day = math.Inf(1)
		}
		first = append(first, day)
		right, early, sittings, barren = right+r.right, early+r.early, sittings+r.sittings, barren+r.barren
	}
	fmt.Fprintf(w, "%s\t%.2f\t%.2f\t%.2f\t%.2f\t", name, average(usable), worst(usable), average(fluent), worst(fluent))
	for _, d := range []int{7, 14, 30, 60} {
		fmt.Fprintf(w, "%.1f\t", average(func(r *bankRecord) float64 { return r.topics[d-1] }))
	}
	fmt.Fprintf(w, "%.1f\t%.0f\t%.0f\t%.0f\t%.0f\t%.0f\t%.1f\n",
		average(func(r *bankRecord) float64 { return r.firm[59] }), median(first),
		average(func(r *bankRecord) float64 { return r.halfKnown }), average(func(r *bankRecord) float64 { return float64(r.newFirst) }),
		100*float64(right)/float64(early), 100*float64(barren)/float64(sittings),
		average(func(r *bankRecord) float64 { return float64(len(r.family)) }))
}
