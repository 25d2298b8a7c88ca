package main

import (
	"fmt"
	"strings"

	"surefret/cmd/schedulelab/learner"
	"surefret/cmd/surefret/demo"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/drills/gig"
)

// newCatalogue is what the program asks with its default settings and the gigs of
// the demo, the changes of their songs among it, and the ear drills where there is sound.
func newCatalogue(sound bool) (*drills.Catalogue, error) {
	setup, err := settings.Default().Setup()
	if err != nil {
		return nil, err
	}
	setup.Sound = sound
	gigs := demo.Gigs(0)
	setup.Keys = gig.Keys(gigs)
	var songs []gig.Song
	for _, g := range gigs {
		songs = append(songs, g.Songs...)
	}
	setup.Changes = gig.Changes(songs)
	return drills.NewCatalogue(setup), nil
}

// newBoard lays items of the catalogue out. How far one must count to
// work an item out is the fret for a note, and three steps for the rest: chosen, no
// source.
func newBoard(items []drills.Item) *learner.Board {
	b := &learner.Board{Items: practice.Schedulable(items), Steps: make([]float64, len(items)), Kin: make([][]learner.Link, len(items))}
	index := map[string]int{}
	for i, it := range items {
		index[it.ID] = i
	}
	for i, it := range items {
		b.Steps[i] = 3
		var fret int
		if _, rest, ok := strings.Cut(it.ID, "+"); ok && it.Family == "note" {
			if _, err := fmt.Sscanf(rest, "%d/", &fret); err == nil {
				b.Steps[i] = float64(min(fret, 12-fret))
			}
		}
		for _, k := range it.Kin {
			if j, ok := index[k.ID]; ok {
				b.Kin[i] = append(b.Kin[i], learner.Link{Item: j, Weight: k.Weight})
			}
		}
	}
	return b
}
