package fingering

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"surefret/drills/fretboard/tablature"
	"surefret/drills/theory"
)

// onString sets a line of tablature on one string of a guitar.
func onString(str int, line string) string {
	lines := make([]string, 6)
	for i := range lines {
		lines[i] = "|" + strings.Repeat("-", len(line)) + "|"
	}
	lines[str-1] = "|" + line + "|"
	return strings.Join(lines, "\n") + "\n"
}

// chordTab sets numbers under each other, 0 to 22 or - for each string from the highest.
func chordTab(frets string) string {
	return "|-" + strings.Join(strings.Fields(frets), "-|\n|-") + "-|\n"
}

func TestMarksSurviveAMoveOrAreToldAsLost(t *testing.T) {
	for _, c := range []struct {
		tab, from, to string
		how           How
		problems      string
		written       string // the line of the string that it is on, "" where it may go anywhere
	}{
		// Harmonics: the twelfth fret sounds an octave, 7 a twelfth, 5 two octaves.
		{onString(1, "-<12>--"), "E", "B", "same-strings", "", "-<7>---"},
		{onString(1, "-<7>--"), "B", "E", "same-strings", "", "-<5>--"},
		{onString(1, "-<12>--<7>--<5>--"), "E", "G", "same-strings", "0:mark 1:mark 2:mark", "--3-----10---15--"},
		{onString(1, "-<12>--"), "E", "G", "refinger", "0:mark", "--15---"},
		{onString(1, "-<12>--<7>--"), "E", "E", "refinger", "", "-<12>--<7>--"},
		// Nothing that needs a stopped string lands on an open one.
		{onString(3, "-2~~-5-"), "D", "C", "same-strings", "", ""},
		{onString(3, "-2b4-"), "D", "B", "refinger", "", ""},
		{onString(1, "-2b4-"), "D", "C", "refinger", "", ""},
		// Slurs stay on one string.
		{onString(3, "-2h4p2-"), "D", "B", "refinger", "", ""},
		{onString(2, "-1h3p1-"), "C", "A", "refinger", "", ""},
		// A tap and a slide are no stretch; bends by other signs are bends.
		{onString(2, "-7t12-"), "D", "E", "same-strings", "", "-9t14-"},
		{onString(2, "-7^9--"), "D", "E", "same-strings", "", "-9^11-"},
	} {
		neck := guitar
		if strings.HasPrefix(c.problems, "0:mark") && c.how == "same-strings" {
			neck.Frets = 12 // no way up
		}
		if strings.Contains(c.tab, "<") {
			neck.Frets = 22
		}
		tab, err := tablature.Parse(c.tab, neck)
		must(t, err)
		m := moved(t, tab.Part(), c.from, c.to, c.how)
		if got := problems(m); got != c.problems {
			t.Errorf("%s%s to %s, %s: %q, want %q", c.tab, c.from, c.to, c.how, got, c.problems)
		}
		written, err := tab.Write(m.Events)
		must(t, err)
		if c.written != "" && !strings.Contains(written, "|"+c.written+"|") {
			t.Errorf("%s%s to %s, %s: written\n%s, want %s", c.tab, c.from, c.to, c.how, written, c.written)
		}
	}
}

// A player who holds a part holds it in another key, where it is no wider there.
func TestWhatTheOriginalNeedsIsNotCountedAgainstACopy(t *testing.T) {
	for _, c := range []struct{ tab, problems string }{
		{chordTab("1 - - - - 6"), ""},
		{chordTab("1 2 3 3 1 2"), ""}, // a thumb
		{onString(1, "-1h6-"), ""},
		{chordTab("9 - - - - 0"), "0:octave 0:open-string"},
		{onString(1, "-0h5-"), "0:open-string 1:stretch"},
	} {
		for _, how := range []How{SameStrings, Refingered} {
			for _, to := range []string{"C", "D"} {
				m := moved(t, part(t, c.tab), "C", to, how)
				if want := c.problems; to == "C" || how == Refingered {
					if c.problems == "" && len(m.Problems) > 0 {
						t.Errorf("%s%s, to %s: %s", c.tab, how, to, problems(m))
					}
				} else if got := problems(m); got != want {
					t.Errorf("%s%s, to %s: %q, want %q", c.tab, how, to, got, want)
				}
			}
		}
	}
}

// Whatever is moved, a mark is written again or told as lost.
func TestNoMarkIsDroppedSilently(t *testing.T) {
	keys := map[string]theory.Key{}
	for _, name := range []string{"C", "D", "Eb", "G", "A"} {
		keys[name] = key(t, name)
	}
	rapid.Check(t, func(t *rapid.T) {
		line := "-"
		for range rapid.IntRange(1, 6).Draw(t, "notes") {
			line += fmt.Sprint(rapid.IntRange(0, 12).Draw(t, "fret")) +
				rapid.SampledFrom([]string{"-", "--", "h", "p", "/", "\\", "b", "~~-", "^", "t", "=--", "v-", "*-"}).Draw(t, "mark")
		}
		tab, err := tablature.Parse(onString(rapid.IntRange(1, 6).Draw(t, "string"), line+"3-"), guitar)
		must(t, err)
		how := rapid.SampledFrom([]How{SameStrings, Refingered}).Draw(t, "how")
		all, err := Move(tab.Part(), keys["C"], keys[rapid.SampledFrom([]string{"C", "D", "Eb", "G", "A"}).Draw(t, "to")], Asked{How: how})
		must(t, err)
		m := all[0]
		lost := 0
		for _, p := range m.Problems {
			if p.kind == slurBroken || p.kind == markLost {
				lost++
			}
		}
		written, err := tab.Write(m.Events)
		must(t, err)
		for _, mark := range []string{"h", "p", "/", "\\", "b", "~", "^", "t", "=", "v", "*"} {
			was, is := strings.Count(line, mark), strings.Count(written, mark)
			if mark == "~" {
				was, is = was/2, min(is, was/2)
			}
			if lost == 0 && is < was {
				t.Fatalf("%s in\n%s: %d of %s are %d in\n%s", how, line, was, mark, is, written)
			}
		}
	})
}
