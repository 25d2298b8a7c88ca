package drills

import (
	"regexp"
	"slices"
	"strings"
	"testing"
)

// Every item can be shown before it is asked, and is then asked elsewhere: what is drawn
// is what sounds, and one sentence says the pattern.
func TestEveryItemIsShownAndThenAskedElsewhere(t *testing.T) {
	c, rng := whole(), seeded(3)
	again := map[Family]int{}
	openFamily := regexp.MustCompile(`^shape/kept-[A-G]-`) // its strings ring in one key alone
	for _, it := range c.Items() {
		l := must(c.Lesson(it.ID, rng))
		title := l.Title
		if note, rest, _ := strings.Cut(title, " "); it.Family == "note" { // spelled in the head as in the picture
			if title = rest; note != l.Marks[0].Label {
				t.Errorf("%s: %q over %q", it.ID, l.Title, l.Marks[0].Label)
			}
		}
		if l.Item != it.ID || !strings.HasSuffix(it.Title, title) || l.Pattern == "" || l.Here == "" || len(l.Heard) == 0 || strings.HasSuffix(l.Pattern+l.Here, ".") {
			t.Errorf("%s is shown as %+v", it.ID, l)
		}
		if len(l.Marks) == 0 && len(it.Strings) > 0 && it.Family != "ear" {
			t.Errorf("%s is drawn nowhere", it.ID)
		}
		for _, m := range l.Marks {
			if n, err := c.setup.Names.Parse(m.Label); err != nil || !c.setup.Neck.Has(m.At) || n.PitchClass() != c.setup.Neck.MIDI(m.At)%12 {
				t.Errorf("%s draws %q at %v, %v", it.ID, m.Label, m.At, err)
			}
		}
		if other := must(c.AskElsewhere(l, func(Question) bool { return true }, rng)).Lesson(); !openFamily.MatchString(it.ID) && (other.Here == l.Here || len(l.Marks) > 0 && slices.Equal(other.Marks, l.Marks)) {
			again[it.Family]++
		}
	}
	// A key has one signature, and a note four places in five in its lower octave.
	if n := again["shape"] + again["interval"] + again["walkup"]; n > 0 {
		t.Errorf("asked again where they were shown: %v", again)
	}
}

// The gaps of standard tuning are five half steps, and four from string 3 to string 2.
func TestAPatternSaysWhereItLiesOtherwise(t *testing.T) {
	s := standard()
	for _, v := range []struct {
		over, semitones int
		want            string
	}{
		{2, 12, "two strings over, two frets up; from string 4 or 3, three"},
		{3, 15, "three strings over, one fret up; from string 6, the same fret"},
		{1, 5, "one string over, the same fret; from string 3, one fret up"},
		{1, 4, "one string over, one fret down; from string 3, the same fret"},
		{5, 24, "5 strings over, the same fret"},
	} {
		if got := s.hops(0, v.over, v.semitones, false); got != v.want {
			t.Errorf("%d strings, %d half steps: %s, want %s", v.over, v.semitones, got, v.want)
		}
	}
}
