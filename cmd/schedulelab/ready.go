package main

import (
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"runtime"
	"sync"
	"time"

	"surefret/cmd/schedulelab/board"
	"surefret/cmd/schedulelab/learner"
	"surefret/scheduler"
)

// Readiness is held to what comes of it: players practise ten minutes every
// day, are told of a gig two weeks before it, and the forecast made on the
// days before is compared with an evening on which every item is asked once.
const (
	noticeDays = 14 // that the player is told before
	songItems  = 8  // of a song, to see that ranges of few items hold too
)

// Days practised when the gig is announced, and days before it on which it is
// foretold.
var (
	announced = []int{0, 7, 28}
	foretold  = []int{14, 7, 3}
)

// A forecast is what was said of the share that would be fluent, and what came.
type forecast struct {
	announced, before int
	song              bool
	share, low, high  float64
	truth             float64 // the share to expect of the player as he then was
	played            float64 // the share on the evening, luck and all
	now, trulyNow     float64 // on the day of the forecast
}

// forecasts plays one course up to the gig's evening.
func (c Course) forecasts(b *board.Board, practised int) ([]forecast, error) {
	player, err := learner.New(c.Family, b, c.key())
	if err != nil {
		return nil, err
	}
	planner, err := scheduler.NewPlanner(b.Items, scheduler.Options{})
	if err != nil {
		return nil, err
	}
	index := make(map[string]int, len(b.Items))
	for i, it := range b.Items {
		index[it.ID] = i
	}
	evening := practised + noticeDays
	gig := scheduler.Deadline{Name: "gig", Day: instant(float64(evening) + lookHour/24)}
	items := c.Gig()
	for _, i := range items {
		gig.Items = append(gig.Items, b.Items[i].ID)
	}
	luck := lottery{key: c.key(), asked: make([]uint32, c.Size)}
	fluent := make([]float64, c.Size)
	share := func(of []int) float64 {
		sum := 0.0
		for _, i := range of {
			sum += fluent[i] / float64(len(of))
		}
		return sum
	}
	var songs [][]int
	var named [][]string
	for at := 0; at+songItems <= len(items); at += songItems {
		songs, named = append(songs, items[at:at+songItems]), append(named, gig.Items[at:at+songItems])
	}
	var made []forecast
	for d := range evening + 1 {
		at := float64(d) + practiceHour/24
		if d == practised {
			planner.SetDeadlines([]scheduler.Deadline{gig})
		}
		for _, before := range foretold {
			if d != evening-before {
				continue
			}
			player.Fluencies(at, fluent)
			r, each := planner.Simulate(gig, named, instant(at))
			made = append(made, forecast{announced: practised, before: before,
				share: r.Share, low: r.Low, high: r.High, now: r.Now, trulyNow: share(items)})
			for k, s := range songs {
				made = append(made, forecast{announced: practised, before: before, song: true,
					share: each[k].Share, low: each[k].Low, high: each[k].High, now: each[k].Now, trulyNow: share(s)})
			}
		}
		for spent := 0.0; spent < sitting; {
			now := at + spent/86400
			choice, ok := planner.Next(instant(now), time.Duration((sitting-spent)*float64(time.Second)))
			if !ok {
				break
			}
			i := index[choice.Item]
			chance, entryLuck := luck.draw(i)
			a := player.Answer(i, now, chance)
			entry := entrySeconds * math.Exp(entrySpread*math.Sqrt2*math.Erfinv(2*entryLuck-1))
			spent += a.Thinking + entry + feedbackSeconds
			if !a.Right {
				spent += missSeconds
			}
			planner.Learn(scheduler.Answer{
				Item: choice.Item, Right: a.Right, At: instant(now + (a.Thinking+entry)/86400),
				Thinking: time.Duration(max(0.05, a.Thinking+entry-entrySeconds) * float64(time.Second)),
			})
		}
	}
	player.Fluencies(float64(evening)+lookHour/24, fluent)
	rng := rand.New(rand.NewPCG(c.key(), 13))
	played := make([]float64, len(items))
	truth := make([]float64, len(items))
	for k, i := range items {
		truth[k] = fluent[i]
		if rng.Float64() < fluent[i] {
			played[k] = 1
		}
	}
	song := 0
	for k := range made {
		f, from, to := &made[k], 0, len(items)
		if f.song {
			from, to = song*songItems, (song+1)*songItems
			song = (song + 1) % len(songs)
		}
		f.truth, f.played = mean(truth[from:to]), mean(played[from:to])
	}
	return made, nil
}

// readiness plays all courses and prints how the forecasts came true.
func (p plan) readiness(w io.Writer) error {
	lab, err := NewLab(p.families, p.sizes, p.seeds)
	if err != nil {
		return err
	}
	type job struct{ cell, seed, announced int }
	var jobs []job
	for c := range lab.Cells() {
		for s := range lab.Seeds {
			for _, a := range announced {
				jobs = append(jobs, job{c, s, a})
			}
		}
	}
	made := make([][]forecast, len(jobs))
	errs := make([]error, len(jobs))
	next := make(chan int)
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for k := range next {
				j := jobs[k]
				family, size := lab.Cell(j.cell)
				made[k], errs[k] = Course{family, size, lab.Seeds[j.seed]}.forecasts(lab.boards[size], j.announced)
			}
		})
	}
	for k := range jobs {
		next <- k
	}
	close(next)
	wait.Wait()
	by := map[string][]forecast{}
	for k, fs := range made {
		if errs[k] != nil {
			return errs[k]
		}
		family, _ := lab.Cell(jobs[k].cell)
		for _, f := range fs {
			what := "a gig, "
			if f.song {
				what = "a song, "
			}
			for _, name := range []string{what + "all", what + family,
				fmt.Sprintf("%stold after %d days, %d before", what, f.announced, f.before)} {
				by[name] = append(by[name], f)
			}
		}
	}
	fmt.Fprintf(w, "go run ./cmd/schedulelab%s\nreadiness foretold 14, 7 and 3 days before a gig, ten minutes every day; families %v; %v items; seeds %s\n\n",
		p.asked, p.families, p.sizes, seedRange(p.seeds))
	fmt.Fprintf(w, "%-38s %6s %6s %6s %6s %6s %6s %6s %6s\n", "", "n", "within", "width", "said", "came", "off", "now", "truly")
	for _, what := range []string{"a gig, ", "a song, "} {
		names := []string{what + "all"}
		for _, f := range p.families {
			names = append(names, what+f)
		}
		for _, a := range announced {
			for _, b := range foretold {
				names = append(names, fmt.Sprintf("%stold after %d days, %d before", what, a, b))
			}
		}
		for _, n := range names {
			printForecasts(w, n, by[n])
		}
	}
	return nil
}

func printForecasts(w io.Writer, name string, fs []forecast) {
	var within, width, said, came, off, now, truly float64
	for _, f := range fs {
		if f.low <= f.played && f.played <= f.high {
			within++
		}
		width += f.high - f.low
		said += f.share
		came += f.truth
		off += math.Abs(f.share - f.truth)
		now += f.now
		truly += f.trulyNow
	}
	n := float64(len(fs))
	fmt.Fprintf(w, "%-38s %6.0f %5.0f%% %6.2f %6.2f %6.2f %6.2f %6.2f %6.2f\n", name, n, 100*within/n, width/n, said/n, came/n, off/n, now/n, truly/n)
}
