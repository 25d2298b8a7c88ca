package fretboard

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"sync"
)

// everyShape has the shapes of all instruments by their names; the first of a name counts.
var everyShape = sync.OnceValue(func() map[string]Recipe {
	all := map[string]Recipe{}
	for _, r := range slices.Concat(Shapes, bassShapes, tunedNames()) {
		if _, there := all[r.Name]; !there {
			all[r.Name] = r
		}
	}
	return all
})

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
	if r, ok := everyShape()[want]; ok {
		return r, nil
	}
	if r, ok := readGrip(want); ok {
		return r, nil
	}
	return Recipe{}, unknownShape(name)
}

// An unknownShape is the name that no shape has. The nearest are looked for only where
// the sentence is read: most callers want to know that there is none.
type unknownShape string

func (name unknownShape) Error() string {
	var names []string
	for _, r := range Shapes {
		names = append(names, r.Name)
	}
	near := Nearest(strings.ToLower(strings.TrimSpace(string(name))), names, 3)
	return fmt.Sprintf("there is no shape called %q: the nearest are %s, %s and %s", string(name), near[0], near[1], near[2])
}

// Nearest returns the n of words nearest to one, by the letters to change; a letter
// at which both begin alike makes up for two, since it is ends that are cut or forgotten.
func Nearest(word string, words []string, n int) []string {
	far := func(w string) int {
		same := 0
		for same < min(len(w), len(word)) && w[same] == word[same] {
			same++
		}
		return edits(word, w) - 2*same
	}
	near := slices.Clone(words)
	slices.SortStableFunc(near, func(a, b string) int { return cmp.Compare(far(a), far(b)) })
	return near[:min(n, len(near))]
}

// ShapesCalled returns the shapes that a word means, of those that can be played on
// fb: one by its name or by the other name that some have, or several, see
// [Recipe.Called]. A word that means none is an error, one sentence, with the nearest
// that there are on fb.
func ShapesCalled(fb Fretboard, word string) ([]Recipe, error) {
	one, unknown := fb.Shape(word)
	if unknown == nil && one.Fits(fb) == nil {
		return []Recipe{one}, nil
	}
	var called []Recipe
	var names []string
	for _, r := range ShapesOn(fb) {
		names = append(names, r.Name)
		if r.Called(word) {
			called = append(called, r)
		}
	}
	if len(called) > 0 {
		return called, nil
	}
	if unknown == nil {
		return nil, one.Fits(fb)
	}
	return nil, fmt.Errorf("no shape on this instrument is called %q: the nearest are %s", word, strings.Join(Nearest(word, names, 3), ", "))
}

// Called reports whether a word means the shape among others: words that its name
// begins with, "tenth-6", or its family, in the plural or not, with any words of its
// name: "tenths", "triads-321", "power-chords-5", "e-form", "own".
func (r Recipe) Called(word string) bool {
	word = strings.Join(strings.Fields(strings.ToLower(strings.ReplaceAll(word, "-", " "))), "-")
	if word == "" || strings.HasPrefix(r.Name+"-", word+"-") {
		return word != ""
	}
	family := strings.ReplaceAll(strings.ToLower(r.Family), " ", "-")
	for _, stem := range []string{family, strings.TrimSuffix(family, "s"), strings.TrimSuffix(family, "-shapes")} {
		rest, ok := strings.CutPrefix(word+"-", stem+"-")
		if !ok {
			continue
		}
		has := strings.Split(r.Name, "-")
		for part := range strings.SplitSeq(strings.TrimSuffix(rest, "-"), "-") {
			ok = ok && (part == "" || slices.Contains(has, part))
		}
		if ok {
			return true
		}
	}
	return false
}

// ShapesOn returns the shapes that can be played somewhere on fb.
func ShapesOn(fb Fretboard) []Recipe {
	var all []Recipe
	for _, r := range fb.AllShapes() {
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
