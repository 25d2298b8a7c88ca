package main

import (
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"slices"

	"surefret/cmd/schedulelab/learner"
	"surefret/cmd/schedulelab/policy"
)

// Readiness is held to what comes of it: players are told of a gig two weeks before
// it, and the forecast made on the days before is compared with an evening on which
// every item is asked once.
const (
	noticeDays = 14 // that the player is told before
	songItems  = 8  // of a song, to see that ranges of few items hold too
)

// Days of the course when the gig is announced, and days before it on which it is
// foretold.
var (
	announced = []int{0, 7, 28}
	foretold  = []int{14, 7, 3}
)

// A forecast is what was said of the share that would be fluent, and what came.
type forecast struct {
	announced, before int
	items             []int // on the board
	song              bool
	share, low, high  float64
	truth             float64 // the share to expect of the player as he then was
	played            float64 // the share on the evening, luck and all
}

func (f forecast) holds() bool { return f.low <= f.played && f.played <= f.high }

// forecasts plays one player up to the gig's evening.
func (m *material) forecasts(who bankPlayer, told int) ([]forecast, error) {
	c, err := m.newCourse(who, rule{New: policy.Ours})
	if err != nil {
		return nil, err
	}
	teller := c.policy.(policy.Teller)
	evening := told + noticeDays
	gig := m.gig(who.seed)
	var songs [][]int
	for song := range slices.Chunk(gig, songItems) {
		if len(song) == songItems {
			songs = append(songs, song)
		}
	}
	day := instant(float64(evening) + lookHour/24)
	var made []forecast
	for d, at := range who.days() {
		if d > evening {
			break
		}
		if d == told {
			teller.Expect(gig, day)
		}
		if slices.Contains(foretold, evening-d) {
			r, each := teller.Foretell(gig, songs, day, instant(float64(d)+practiceHour/24))
			made = append(made, forecast{announced: told, before: evening - d, items: gig, share: r.Share, low: r.Low, high: r.High})
			for k, s := range each {
				made = append(made, forecast{announced: told, before: evening - d, items: songs[k], song: true, share: s.Share, low: s.Low, high: s.High})
			}
		}
		if !math.IsNaN(at) {
			c.sit(d, at)
		}
	}
	c.player.Fluencies(float64(evening)+lookHour/24, c.fluent)
	rng := rand.New(rand.NewPCG(who.seed, 13))
	right := make([]float64, len(c.fluent))
	for i, f := range c.fluent {
		right[i] = float64(one(rng.Float64() < f))
	}
	for k := range made {
		f := &made[k]
		for _, i := range f.items {
			f.truth += c.fluent[i] / float64(len(f.items))
			f.played += right[i] / float64(len(f.items))
		}
	}
	return made, nil
}

// allForecasts are those of the first players of the bank.
func (b bank) allForecasts(m *material, players int) (all []forecast, who []bankPlayer, err error) {
	made := make([][]forecast, players*len(announced))
	err = parallel(len(made), func(k int) (err error) {
		made[k], err = m.forecasts(b.player(k/len(announced)), announced[k%len(announced)])
		return err
	})
	for k, fs := range made {
		for range fs {
			who = append(who, b.player(k/len(announced)))
		}
		all = append(all, fs...)
	}
	return all, who, err
}

// printReadiness writes how the forecasts came true, each of a player.
func (b bank) printReadiness(w io.Writer, all []forecast, who []bankPlayer) {
	fmt.Fprintf(w, "Readiness foretold 14, 7 and 3 days before a gig of one item in %d, told of it after 0, 7 and 28 days\n\n", gigFraction)
	fmt.Fprintf(w, "%-36s %6s %6s %6s %6s %6s %6s\n", "", "n", "within", "width", "said", "came", "off")
	for _, song := range []bool{false, true} {
		what := map[bool]string{false: "a gig", true: "a song"}[song]
		row := func(name string, in func(forecast, learner.Traits) bool) {
			var of []forecast
			for k, f := range all {
				if f.song == song && in(f, who[k].Traits) {
					of = append(of, f)
				}
			}
			printForecasts(w, what+", "+name, of)
		}
		row("all", func(forecast, learner.Traits) bool { return true })
		for _, before := range foretold {
			row(fmt.Sprintf("%d days before", before), func(f forecast, _ learner.Traits) bool { return f.before == before })
		}
		for _, told := range announced {
			row(fmt.Sprintf("told after %d days", told), func(f forecast, _ learner.Traits) bool { return f.announced == told })
		}
		for _, memory := range b.memories {
			row(memory, func(_ forecast, t learner.Traits) bool { return t.Memory == memory })
		}
		row("beginners", func(_ forecast, t learner.Traits) bool { return t.Known == 0 })
	}
	fmt.Fprint(w, "within: % of the evenings that came within a range that claims 90; off: mean distance of what was said from\n",
		"the share to expect of the player as he then was\n")
}

func printForecasts(w io.Writer, name string, fs []forecast) {
	var within, width, said, came, off float64
	for _, f := range fs {
		within += float64(one(f.holds()))
		width += f.high - f.low
		said += f.share
		came += f.truth
		off += math.Abs(f.share - f.truth)
	}
	if n := float64(len(fs)); n > 0 {
		fmt.Fprintf(w, "%-36s %6.0f %5.0f%% %6.2f %6.2f %6.2f %6.2f\n", name, n, 100*within/n, width/n, said/n, came/n, off/n)
	}
}
