package drills

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

var update = flag.Bool("update", false, "write the pages under testdata anew")

// explanationsOf is how many explanations of each family stand in the page.
var explanationsOf = map[Family]int{"note": 35, "shape": 70, "interval": 30, "walkup": 20, "key": 30, "ear": 15, "part": 6}

// The page is read by a teacher after a change that is meant: go test -update.
func TestExplanationsAreAsRead(t *testing.T) {
	const page = "testdata/explanations.txt"
	var b strings.Builder
	s := standard()
	s.Frets, s.Sound = [2]int{0, 12}, true
	c, rng := NewCatalogue(s), seeded(11)
	for _, f := range Families() {
		if explanationsOf[f] == 0 {
			continue
		}
		fmt.Fprintf(&b, "== %s\n\n", f)
		items := slices.DeleteFunc(slices.Clone(c.Items()), func(it Item) bool { return it.Family != f })
		rng.Shuffle(len(items), func(i, j int) { items[i], items[j] = items[j], items[i] })
		for i := range explanationsOf[f] {
			q := must(c.Ask(items[i%len(items)].ID, rng))
			v, ok := slip(q, rng)
			if !ok {
				t.Fatalf("%s: no slip of a player is judged wrong", q.Text)
			}
			fmt.Fprintf(&b, "%s\n   wrong: %s, not %s. %s\n", q.Text, v.Want, v.Given, v.Explanation())
			l := q.Lesson()
			fmt.Fprintf(&b, "   shown: %s. %s.\n\n", l.Pattern, l.Here)
		}
	}
	if *update {
		if err := os.WriteFile(page, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if got := b.String(); got != string(must(os.ReadFile(page))) {
		t.Errorf("the explanations changed: read the difference of %s after go test -update", page)
	}
}

// slip answers q as a player does who is nearly right: a fret or a string off, one note
// of several, another quality, an octave.
func slip(q Question, rng *rand.Rand) (Verdict, bool) {
	wrong, _ := mistake(q, theory.Names{})
	want, _, _ := strings.Cut(wrong.Want, " or ")
	near := func(n int) int { return n + []int{-2, -1, 1, 2, 5, -5, 12, -12}[rng.IntN(8)] }
	words := strings.Fields(want)
	i := rng.IntN(len(words))
	for range 50 {
		answer := want
		switch q.Expect {
		case ExpectFret:
			if answer = strconv.Itoa(near(must(strconv.Atoi(words[1])))); rng.IntN(20) == 0 {
				answer = "0"
			}
		case ExpectNote, ExpectKey:
			up := theory.Chromatic(rng.IntN(12))
			answer = must(theory.ParseNote(words[0])).Add(up).String()
		case ExpectNotes:
			changed := slices.Clone(words)
			changed[i] = must(theory.ParseNote(words[i])).Add(theory.Chromatic(1 + rng.IntN(2))).String()
			answer = strings.Join(changed, " ")
		case ExpectPlaces, ExpectPath:
			changed := slices.Clone(words)
			all := rng.IntN(3)
			by := near(0)
			for k, w := range words {
				str, fret, slash := strings.Cut(w, "/")
				if !slash {
					fret = w
				}
				n, err := strconv.Atoi(fret)
				if err != nil || k != i && all > 0 {
					continue
				}
				changed[k] = strconv.Itoa(n + by)
				if slash {
					changed[k] = str + "/" + changed[k]
				}
			}
			if answer = strings.Join(changed, " "); strings.Contains(want, "/") && rng.IntN(5) == 0 {
				answer = strings.Join(slices.Delete(changed, i, i+1), " ")
			}
		case ExpectInterval:
			answer = theory.Chromatic(max(0, near(must(theory.ParseInterval(want)).Semitones))).String()
		case ExpectChord:
			c := must(theory.ParseChord(words[i]))
			other := []theory.Quality{theory.MajorTriad, theory.MinorTriad, c.Quality}[rng.IntN(3)]
			words[i] = theory.Chord{Root: c.Root.Add(theory.Chromatic([]int{0, 0, 5, 7, 2}[rng.IntN(5)])), Quality: other}.String()
			answer = strings.Join(words, " ")
		case ExpectNumber:
			answer = []string{"1", "2-", "3-", "4", "5", "6-", "b7"}[rng.IntN(7)]
		case ExpectSignature:
			answer = []string{"1#", "2#", "3b", "4b", "2b", "3#"}[rng.IntN(6)]
		case ExpectChoice:
			answer = q.Choices[rng.IntN(len(q.Choices))]
		}
		if v, err := q.Judge(answer); err == nil && !v.Right {
			return v, true
		}
	}
	return wrong, !wrong.Right && wrong.Want != ""
}

// Where the note lies that was given instead is told within the frets that are practised.
func TestWhatWasGivenLiesWhereThePlayerPractises(t *testing.T) {
	s := standard()
	at, g := fretboard.Position{String: 6, Fret: 10}, theory.Note{Letter: theory.G}
	if got := s.instead(g, at); got != "G is at fret 15, on the inlay" {
		t.Errorf("on the whole neck: %q", got)
	}
	s.Frets[1] = 12
	if got := s.instead(g, at); got != "G is at fret 3, on the inlay" {
		t.Errorf("up to fret 12: %q", got)
	}
}
