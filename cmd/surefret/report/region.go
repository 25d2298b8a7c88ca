package report

import (
	"cmp"
	"fmt"
	"slices"
)

// A Region is a stretch of one string with one kind of note.
type Region struct {
	Words   string  `json:"words"` // "string 5, frets 6 to 9, flats"
	String  int     `json:"string"`
	Frets   [2]int  `json:"frets"` // the lowest and the highest
	Notes   string  `json:"notes"` // Naturals, Sharps or Flats
	Fluency float64 `json:"fluency"`
	Command string  `json:"command"` // to practise just that

	items []string
}

// Kinds of notes: those without an accidental and those with one.
const (
	Naturals = "naturals"
	Sharps   = "sharps"
	Flats    = "flats"
)

// hand is how many frets a region covers: what a hand does, one finger a fret.
const hand = 4

// mostRegions is how many regions are named.
const mostRegions = 3

// weakest lists the regions that were asked and are least sure, none of which
// asks what another does: an octave up are the same notes. Of equal ones the
// lower string and the lower frets come first.
func weakest(places []Place, flats bool) []Region {
	all := regions(places, flats)
	slices.SortStableFunc(all, func(a, b Region) int { return cmp.Compare(a.Fluency, b.Fluency) })
	var chosen []Region
	for _, r := range all {
		shares := func(c Region) bool {
			return slices.ContainsFunc(r.items, func(id string) bool { return slices.Contains(c.items, id) })
		}
		if !enough(r.Fluency) && !slices.ContainsFunc(chosen, shares) {
			chosen = append(chosen, r)
		}
		if len(chosen) == mostRegions {
			break
		}
	}
	return chosen
}

// regions lists every region of a hand's frets, both kinds of notes apart, in
// which at least two places were asked, in the order of the places.
func regions(places []Place, flats bool) []Region {
	var all []Region
	last := 0
	for _, p := range places {
		last = max(last, p.Fret)
	}
	for i, first := range places {
		if first.Level == Unmet || first.Fret+hand-1 > last {
			continue
		}
		r := Region{String: first.String, Frets: [2]int{first.Fret, first.Fret}, Notes: kind(first.natural, flats)}
		n := 0
		for _, p := range places[i:] {
			if p.String != first.String || p.Fret >= first.Fret+hand || p.natural != first.natural || p.Level == Unmet {
				continue
			}
			r.Frets[1] = p.Fret
			r.Fluency += p.Fluency
			r.items = append(r.items, p.items...)
			n++
		}
		if n < 2 {
			continue
		}
		r.Fluency /= float64(n)
		r.Words = fmt.Sprintf("string %d, frets %d to %d, %s", r.String, r.Frets[0], r.Frets[1], r.Notes)
		r.Command = fmt.Sprintf("surefret --strings %d --frets %d-%d --notes %s", r.String, r.Frets[0], r.Frets[1], r.Notes)
		all = append(all, r)
	}
	return all
}

func kind(natural, flats bool) string {
	switch {
	case natural:
		return Naturals
	case flats:
		return Flats
	}
	return Sharps
}
