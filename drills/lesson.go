package drills

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
)

// A Lesson shows what an item is in place of asking it: what a teacher would say,
// draw and play before he asks it elsewhere. Its sentences have no full stop.
type Lesson struct {
	Item    string
	Title   string     // what is shown: "minor tenth on strings 6 and 3"
	Pattern string     // what is to be remembered, wherever it lies: one sentence
	Here    string     // the same where Marks show it: "In Bb: 6 x x 6 x x"
	Marks   []Mark     // the places on the neck, with their notes; none for what lies nowhere
	Heard   []Sounding // what to play with it; none where there is nothing to hear
}

// Lesson shows the answer to q: for a player who asks to be shown.
func (q Question) Lesson() Lesson {
	l := q.lesson()
	l.Item, l.Title = q.Item, q.title
	for _, asked := range []string{"naming ", "finding ", "placing the ", "reading the "} {
		l.Title = strings.TrimPrefix(l.Title, asked)
	}
	if l.Heard == nil {
		l.Heard = q.Target
	}
	return l
}

// Heading is the title of a lesson, "" where its pattern begins with the same words.
func (l Lesson) Heading() string {
	head, _, found := strings.Cut(l.Pattern, ":")
	if found && strings.HasPrefix(strings.ToLower(l.Title), strings.ToLower(head)) {
		return ""
	}
	return l.Title
}

// Lesson shows an item at a place that is drawn from rng. It returns an error for an
// id that this setup does not have.
func (c *Catalogue) Lesson(id string, rng *rand.Rand) (Lesson, error) {
	q, err := c.Ask(id, rng)
	if err != nil {
		return Lesson{}, err
	}
	return q.Lesson(), nil
}

// AskElsewhere poses the item of a lesson afresh, in another place or key than it was
// shown in, and so that it fits, where there is such a posing.
func (c *Catalogue) AskElsewhere(shown Lesson, fits func(Question) bool, rng *rand.Rand) (Question, error) {
	const tries = 20
	var q Question
	for range tries {
		var err error
		if q, err = c.Ask(shown.Item, rng); err != nil {
			return q, err
		}
		if l := q.Lesson(); fits(q) && l.Here != shown.Here && (len(l.Marks) == 0 || !slices.Equal(l.Marks, shown.Marks)) {
			break
		}
	}
	return q, nil
}

// sayUp says frets toward the bridge: "two frets up", "the same fret".
func sayUp(by int) string {
	switch {
	case by > 0:
		return frets(by) + " up"
	case by < 0:
		return frets(-by) + " down"
	}
	return "the same fret"
}

// hops says how an interval lies on strings so far apart: as it lies from the string
// where it is asked, or on most of them where that is 0, and on which it lies otherwise:
// "two strings over, two frets up; from string 4 or 3, three". Down, it is told from the
// higher string: "two strings back, two frets down".
func (s Setup) hops(from, over, semitones int, down bool) string {
	var ways []int            // frets up, the first met first
	having := map[int][]int{} // the strings that have each way
	back, word := 0, "over"
	if down {
		back, word = over, "back"
	}
	strs := s.Neck.Tuning.Strings()
	for low := strs; low-over >= 1; low-- {
		up := semitones - s.gap(pattern{low: low, high: low - over})
		if down {
			up = -up
		}
		if having[up] == nil {
			ways = append(ways, up)
		}
		having[up] = append(having[up], low-back)
	}
	if ways == nil {
		return ""
	}
	slices.SortStableFunc(ways, func(a, b int) int {
		if here := slices.Contains(having[a], from); here != slices.Contains(having[b], from) {
			return 1 - 2*one(here)
		}
		return len(having[b]) - len(having[a])
	})
	said := fmt.Sprintf("%s %s, %s", counted(over, "string"), word, sayUp(ways[0]))
	for _, up := range ways[1:] {
		how := sayUp(up)
		if number := strings.Fields(how)[0]; up*ways[0] > 0 && !strings.ContainsAny(number, "0123456789") {
			how = number // the same way, by another number
		}
		said += fmt.Sprintf("; from %s, %s", anyOf("string", having[up]), how)
	}
	return said
}

// anyOf joins numbers of one kind of thing: "string 4 or 3".
func anyOf(thing string, numbers []int) string {
	words := make([]string, len(numbers))
	for i, n := range numbers {
		words[i] = fmt.Sprint(n)
	}
	return thing + " " + listed(words, "or")
}

// listed joins words: "3", "3 or 4", "3, 4 or 5".
func listed(words []string, last string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " " + last + " " + words[n-1]
	}
	return strings.Join(words, "")
}

// octaves says where the octave of a note lies, two strings over: the pattern that
// most players know first.
func (s Setup) octaves() string { return "the octave: " + s.hops(0, 2, 12, false) }

func one(yes bool) int {
	if yes {
		return 1
	}
	return 0
}
