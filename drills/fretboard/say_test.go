package fretboard_test

import (
	"fmt"
	"strings"

	"surefret/drills/fretboard"
)

// spell writes positions as string/fret, the way drills write them.
func spell(ps []fretboard.Position) string {
	var words []string
	for _, p := range ps {
		words = append(words, fmt.Sprintf("%d/%d", p.String, p.Fret))
	}
	return strings.Join(words, " ")
}

func spellInts(ns []int) string { return strings.Trim(fmt.Sprint(ns), "[]") }
