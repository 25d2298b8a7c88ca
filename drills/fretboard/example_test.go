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
