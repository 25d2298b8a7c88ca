package fretboard_test

import (
	"fmt"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// The same recipe gives other frets in another tuning.
func ExampleRecipe_On() {
	shape, _ := fretboard.Shape("power-6")
	g, _ := theory.ParseNote("G")
	for _, tuning := range []fretboard.Tuning{fretboard.Standard, fretboard.DropD} {
		fb := fretboard.Fretboard{Tuning: tuning, Frets: 22}
		fmt.Println(tuning.Name+":", shape.On(fb, g)[0])
	}
	// Output:
	// standard: 3 5 x x x x
	// drop D: 5 5 x x x x
}
<<<<<<< HEAD
=======

func ExampleFretboard_Walk() {
	fb := fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}
	key, _ := theory.ParseKey("D")
	g, _ := theory.ParseNote("G")
	line, _ := fb.Walk(key, g, key.Tonic, fretboard.Walk{Skip: 1})
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
func ExamplePart_Move() {
	fb := fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}
	tab, _ := fretboard.ParseTab(`e|---------|
B|-----3---|
G|---2---2-|
D|-0-------|
A|---------|
E|---------|
`, fb)
	d, _ := theory.ParseKey("D")
	e, _ := theory.ParseKey("E")
	offers, _ := tab.Part().Move(d, e, fretboard.Asked{})
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
>>>>>>> 8536b75 (parts: a move names its keys as bands do, and says why it goes the longer way)
