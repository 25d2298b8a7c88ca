package main

import (
	"fmt"
	"runtime"
	"sync"

	"surefret/cmd/schedulelab/board"
)

// A Lab plays rules on courses: every family on every size with every seed.
type Lab struct {
	Families []string
	Sizes    []int
	Seeds    []int

	boards map[int]*board.Board
	played map[string][]Record // by rule; one of each cell and seed, see at
}

// NewLab returns a lab with its boards laid out.
func NewLab(families []string, sizes, seeds []int) (*Lab, error) {
	l := &Lab{Families: families, Sizes: sizes, Seeds: seeds, boards: map[int]*board.Board{}, played: map[string][]Record{}}
	for _, n := range sizes {
		b, err := board.New(n)
		if err != nil {
			return nil, err
		}
		l.boards[n] = b
	}
	return l, nil
}

// Cells is the number of pairs of family and size.
func (l *Lab) Cells() int { return len(l.Families) * len(l.Sizes) }

// Cell returns the family and size of a cell.
func (l *Lab) Cell(c int) (family string, size int) {
	return l.Families[c/len(l.Sizes)], l.Sizes[c%len(l.Sizes)]
}

// At returns what the rule came to in a cell with the seed of that index.
func (l *Lab) At(rule string, cell, seed int) *Record {
	return &l.played[rule][cell*len(l.Seeds)+seed]
}

// Play runs the rules on all courses, as many at a time as there are
// processors to use. What comes out does not depend on how many.
func (l *Lab) Play(rules []Rule) error {
	type job struct{ rule, cell, seed int }
	jobs := make(chan job)
	var wait sync.WaitGroup
	var once sync.Once
	var failed error
	into := make([][]Record, len(rules))
	for i := range rules {
		into[i] = make([]Record, l.Cells()*len(l.Seeds))
	}
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for j := range jobs {
				family, size := l.Cell(j.cell)
				course := Course{Family: family, Size: size, Seed: l.Seeds[j.seed]}
				rec, err := course.Run(l.boards[size], rules[j.rule])
				if err != nil {
					once.Do(func() { failed = fmt.Errorf("playing %s: %w", rules[j.rule].Name, err) })
				}
				into[j.rule][j.cell*len(l.Seeds)+j.seed] = rec
			}
		})
	}
	for r := range rules {
		for c := range l.Cells() {
			for s := range l.Seeds {
				jobs <- job{r, c, s}
			}
		}
	}
	close(jobs)
	wait.Wait()
	for i, r := range rules {
		l.played[r.Name] = into[i]
	}
	return failed
}

// A measure reads one number off a record.
type measure func(*Record) float64

func courseMean(r *Record) float64 { return mean(r.Share[:]) }

func onDay(day int) measure { return func(r *Record) float64 { return r.Share[day-1] } }

func gigShare(r *Record) float64 { return r.Gig }

// bySeed averages a measure over the cells that in accepts (nil: all), for
// each seed.
func (l *Lab) bySeed(rule string, m measure, in func(cell int) bool) []float64 {
	out := make([]float64, len(l.Seeds))
	for s := range out {
		n := 0
		for c := range l.Cells() {
			if in == nil || in(c) {
				out[s] += m(l.At(rule, c, s))
				n++
			}
		}
		out[s] /= float64(n)
	}
	return out
}

func (l *Lab) mean(rule string, m measure, in func(cell int) bool) float64 {
	return mean(l.bySeed(rule, m, in))
}

func (l *Lab) ofFamily(f int) func(int) bool {
	return func(c int) bool { return c/len(l.Sizes) == f }
}

func (l *Lab) ofSize(n int) func(int) bool {
	return func(c int) bool { return c%len(l.Sizes) == n }
}

func only(cell int) func(int) bool { return func(c int) bool { return c == cell } }
