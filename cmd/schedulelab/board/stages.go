package board

import (
	"fmt"
	"slices"
)

// ungated is the first stage that waits only for those before it, as in the program.
const ungated = 4

// stages is how many of a family's items the drills meet at each stage, on a
// guitar of 22 frets in standard tuning. A board deals its own out in the same
// proportions, in the order in which it has them; notes go by string, as there.
var stages = map[string][]int{
	"shape":    {0, 0, 16, 26, 0, 30, 0, 0, 0, 48, 87, 105},
	"interval": {0, 0, 0, 12, 14, 0, 0, 0, 0, 17, 0, 92},
	"walkup":   {0, 0, 0, 0, 5, 5, 6},
	"key":      {0, 0, 37, 37, 32, 28, 0, 0, 0, 0, 21, 63},
}

// stage sets the stages of the items.
func (b *builder) stage() {
	of := map[string][]int{}
	for i, it := range b.Items {
		if it.Family == "note" {
			b.Items[i].Stage = min(noteStage(it.ID), ungated)
			continue
		}
		of[it.Family] = append(of[it.Family], i)
	}
	for family, items := range of {
		total := 0
		for _, n := range stages[family] {
			total += n
		}
		at, met := 0, 0
		for k, i := range items {
			for k*total >= (met+stages[family][at])*len(items) {
				met += stages[family][at]
				at++
			}
			b.Items[i].Stage = min(at, ungated)
		}
	}
}

// open holds the pitch classes of the open strings, the first being E.
var open = []int{4, 11, 7, 2, 9, 4}

// noteStage is when the drills meet a note: naturals of the two lowest strings, the
// others there, and then a string at a time.
func noteStage(id string) int {
	var str, fret int
	if _, err := fmt.Sscanf(id, "note/%d+%d/", &str, &fret); err != nil {
		panic(err) // the ids are ours
	}
	natural := slices.Contains([]int{0, 2, 4, 5, 7, 9, 11}, (open[str-1]+fret)%12)
	switch {
	case str <= 4:
		return 5 + 4 - str
	case natural:
		return 0
	}
	return 1
}
