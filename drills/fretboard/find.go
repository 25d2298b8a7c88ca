package fretboard

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// aliases are other names for shapes that players know by two.
var aliases = map[string]string{
	"d-form-top-major": "triad-321-major-second",
	"d-form-top-minor": "triad-321-minor-second",
}

// Shape finds a movable shape by its name, in any case, or by the other name
// that some have. An unknown name is an error, one sentence, with the nearest.
func Shape(name string) (Recipe, error) {
	want := strings.ToLower(strings.TrimSpace(name))
	if known, ok := aliases[want]; ok {
		want = known
	}
	for _, r := range Shapes {
		if r.Name == want {
			return r, nil
		}
	}
	names := slices.Clone(Shapes)
	// A name cut short is nearest to what it begins.
	begins := func(r Recipe) int {
		if strings.HasPrefix(r.Name, want) {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(names, func(a, b Recipe) int {
		return cmp.Or(begins(a)-begins(b), edits(want, a.Name)-edits(want, b.Name))
	})
	return Recipe{}, fmt.Errorf("there is no shape called %q: the nearest are %s, %s and %s",
		name, names[0].Name, names[1].Name, names[2].Name)
}

// ShapesOn returns the shapes that can be played somewhere on fb.
func ShapesOn(fb Fretboard) []Recipe {
	var all []Recipe
	for _, r := range Shapes {
		if r.Fits(fb) == nil {
			all = append(all, r)
		}
	}
	return all
}

// edits counts the letters to change, add or drop from a to b.
func edits(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, diagonal+1, row[j]+1)
		}
	}
	return row[len(b)]
}
