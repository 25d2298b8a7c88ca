package fretboard

import (
	"fmt"
	"slices"
	"strings"
)

// spell writes positions as string/fret, the way drills write them.
func spell(ps []Position) string {
	var words []string
	for _, p := range ps {
		words = append(words, fmt.Sprintf("%d/%d", p.String, p.Fret))
	}
	return strings.Join(words, " ")
}

// costOf returns what the path over given places takes.
func costOf(sounds []sound, places [][]Position, w wish) (float64, error) {
	fixed := slices.Clone(sounds)
	for i := range fixed {
		fixed[i].At = places[i]
	}
	p, err := guitar.fingering(fixed, w)
	return p.Cost, err
}

func spellInts(ns []int) string { return strings.Trim(fmt.Sprint(ns), "[]") }
