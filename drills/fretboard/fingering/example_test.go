package fingering_test

import (
	"fmt"

	"surefret/drills/fretboard"
	"surefret/drills/fretboard/fingering"
	"surefret/drills/fretboard/tablature"
	"surefret/drills/theory"
)

func ExampleWalk_On() {
	fb := fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}
	key, _ := theory.ParseKey("D")
	g, _ := theory.ParseNote("G")
	line, _ := fingering.Walk{Skip: 1}.On(fb, key, g, key.Tonic)
	fmt.Println(line.Notes())
	for _, at := range line.Path {
		fmt.Println(at.Say())
	}
	// Output:
	// [G B C# D]
	// string 6, fret 3
	// string 5, fret 2
	// string 5, fret 4
	// string 5, fret 5
}

// We do it in E tonight, not D.
func ExampleMove() {
	fb := fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}
	tab, _ := tablature.Parse(`e|---------|
B|-----3---|
G|---2---2-|
D|-0-------|
A|---------|
E|---------|
`, fb)
	d, _ := theory.ParseKey("D")
	e, _ := theory.ParseKey("E")
	offers, _ := fingering.Move(tab.Part(), d, e, fingering.Asked{})
	moved := offers[0]
	fmt.Println(moved.Say())
	for _, way := range moved.Ways {
		fmt.Println(way.Message)
	}
	page, _ := tab.Write(moved.Events)
	fmt.Print(page)
	// Output:
	// D to E, a whole step up on the same strings: 1 open string lost
	// put a capo at fret 2 and play it as written, in D shapes: nothing breaks
	// e|---------|
	// B|-----5---|
	// G|---4---4-|
	// D|-2-------|
	// A|---------|
	// E|---------|
}
