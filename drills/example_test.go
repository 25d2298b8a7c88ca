package drills_test

import (
	"fmt"
	"math/rand/v2"

	"surefret/drills"
	"surefret/drills/fretboard"
)

// How many items a guitar of six strings and 22 frets has, by family.
func ExampleCatalogue_Items() {
	c := drills.NewCatalogue(drills.Setup{Neck: fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}, Sound: true})
	count := map[drills.Family]int{}
	for _, it := range c.Items() {
		count[it.Family]++
	}
	for _, f := range drills.Families() {
		fmt.Printf("%-8s %d\n", f, count[f])
	}
	fmt.Println("in all  ", len(c.Items()))
	// Output:
	// note     156
	// shape    342
	// interval 135
	// walkup   16
	// walking  0
	// change   0
	// key      196
	// ear      28
	// part     0
	// in all   873
}

// One item, asked and judged.
func ExampleCatalogue_Ask() {
	c := drills.NewCatalogue(drills.Setup{Neck: fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 12}})
	q, err := c.Ask("note/E2+3/name", rand.New(rand.NewPCG(1, 2)))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(q.Text)
	v, err := q.Judge("g")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(v.Right, v.Want)
	fmt.Println(v.Why)
	// Output:
	// String 6, fret 3: which note?
	// true G
	// G is at fret 3, on the inlay
}
