package drills

import (
	"strconv"
	"strings"
	"testing"

	"surefret/drills/theory"
)

// Half steps from the 1 to the numbers of a major scale, as every handbook has them.
var majorSteps = map[string]int{"1": 0, "2": 2, "3": 4, "4": 5, "5": 7, "6": 9, "7": 11}

// songChanges are the changes of two songs, one of them in minor.
func songChanges() []Change {
	g, am := must(theory.ParseKey("G")), must(theory.ParseKey("Am"))
	return Changes(Need{Key: g, Chords: progression("1 4 5 6-", g)}, Need{Key: am, Chords: progression("Am G F E", am)})
}

// The changes are those of the player's songs, and the right fret is where the number
// lies: as many half steps above the tonic as the major scale has.
func TestChangesAreThoseOfTheSongs(t *testing.T) {
	g := must(theory.ParseKey("G"))
	s := standard()
	s.Changes = nil
	if items := s.changeItems(); len(items) > 0 {
		t.Errorf("without a song there are changes: %v", items)
	}
	s.Changes = Changes(Need{Key: g, Chords: progression("1 4 5 6- 6-7 1", g)})
	var got []string
	c, rng := NewCatalogue(s), seeded(3)
	for _, it := range c.Items() {
		if it.Family != "change" {
			continue
		}
		numbers, strs, _ := strings.Cut(strings.TrimPrefix(it.ID, "change/"), "@")
		if strs != "E2-A2" {
			t.Errorf("%s names other strings", it.ID)
		}
		got = append(got, numbers)
		_, to, _ := strings.Cut(numbers, "-")
		for range 20 {
			q := must(c.Ask(it.ID, rng))
			checkQuestion(t, s, it, q)
			key, _, _ := strings.Cut(strings.TrimPrefix(q.Text, "In "), ",")
			for fret := range 13 {
				v := must(q.Judge(strconv.Itoa(fret)))
				tonic := must(theory.ParseNote(key)).PitchClass()
				open := s.Neck.Tuning.Open[q.String-1].PitchClass()
				if right := (open+fret)%12 == (tonic+majorSteps[to])%12; v.Right != right {
					t.Errorf("%s: fret %d is judged %v", q.Text, fret, v.Right)
				}
			}
		}
	}
	if s := strings.Join(got, " "); s != "1-4 4-5 5-6 6-1" {
		t.Errorf("the changes of 1 4 5 6- 6-7 1 are %s", s)
	}
}
