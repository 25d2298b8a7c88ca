package report

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"surefret/cmd/surefret/ink"
	"surefret/drills"
)

// What stands below a head has one left edge, two columns in and two more for what
// belongs to it, on every plain page; a neck has its own.
func TestPlainPagesHaveOneLeftEdge(t *testing.T) {
	p := progressOf(t, "")
	c, _, o := learned(t)
	for name, text := range map[string]string{
		"progress": p.Text(80, ink.Look{}), "neck": p.Neck.Text(80, ink.Look{}), "choose": ChoiceOf(c, drills.Choice{}, o).Text(80, ink.Look{}),
	} {
		for line := range strings.Lines(text) {
			if drawn := strings.ContainsAny(line, "║┼┿") || strings.Trim(line, " 0123456789-\n") == ""; drawn {
				continue
			}
			if indent := len(line) - len(strings.TrimLeft(line, " ")); indent%2 > 0 || indent > 6 {
				t.Errorf("%s: %d columns in: %q", name, indent, line)
			}
		}
	}
}

// Bars of a kind begin in one column and have one scale: per cent to 100, and minutes of
// weeks and of the days to come; times have theirs, of seconds, in the same columns.
func TestBarsOfAKindHaveOneScale(t *testing.T) {
	type bar struct{ value, long float64 }
	row := regexp.MustCompile(`^(  .*? )([▆─━●○┊]+) ([0-9.]+)`)
	kind, begins, bars := "", map[int]bool{}, map[string][]bar{}
	for line := range strings.Lines(progressOf(t, "").Text(100, ink.Look{})) {
		if line[0] != ' ' {
			kind = strings.Trim(strings.Fields(line + ".")[0], ",.")
		}
		if m := row.FindStringSubmatch(line); m != nil {
			begins[len([]rune(m[1]))] = true
			value, err := strconv.ParseFloat(m[3], 64)
			if err != nil {
				t.Fatal(err)
			}
			bars[kind] = append(bars[kind], bar{value, float64(len([]rune(m[2])))})
		}
	}
	if len(begins) != 1 {
		t.Errorf("bars begin in columns %v", begins)
	}
	bars["Gigs"] = append(bars["Gigs"], bars["Keys"]...)
	for kind, least := range map[string]int{"Gigs": 3, "Minutes": 4, "Items": 2, "Thinking": 4} {
		most := bar{100, 40}
		for _, b := range bars[kind] {
			if kind != "Gigs" && (b.long > most.long || most.value == 100) {
				most = b
			}
		}
		if len(bars[kind]) < least {
			t.Fatalf("%s: %d bars", kind, len(bars[kind]))
		}
		for _, b := range bars[kind] {
			want, near := b.value*most.long/most.value, 1+most.long/most.value/2+b.long/20 // figures and bars are rounded
			if kind == "Thinking" {
				want, near = most.long, 0 // the whole scale is drawn
			}
			if math.Abs(want-b.long) > near {
				t.Errorf("%s %v is %v columns long, want %.1f", kind, b.value, b.long, want)
			}
		}
	}
}

// What lately takes longer than at first is drawn in another colour, and what takes as
// long or less is not.
func TestWhatIsSlowerIsOrangeOnThePage(t *testing.T) {
	for _, c := range []struct {
		first, latest float64
		slower        bool
	}{{1.2, 1.5, true}, {1.5, 1.2, false}, {1.21, 1.24, false}, {0, 1.2, false}} {
		drawn := string(dumbbells("times", []Speed{{Name: "6", First: c.first, Latest: c.latest, Aim: 2}}, 3, func(s Speed) string { return s.Name }))
		if strings.Contains(drawn, `class="slower"`) != c.slower || strings.Contains(drawn, `class="slowerdot"`) != c.slower || strings.Contains(drawn, `class="waydot"`) == c.slower {
			t.Errorf("%v s after %v: %s", c.latest, c.first, drawn)
		}
	}
	for _, class := range []string{".slower", ".slowerdot"} {
		if !regexp.MustCompile(regexp.QuoteMeta(class) + ` \{[^}]*: var\(--other\)`).MatchString(pageText) {
			t.Errorf("no colour of its own for %s", class)
		}
	}
}

// Figures on an axis are one, two or five times a power of ten apart, few, and reach what
// is drawn.
func TestAxesHaveRoundFigures(t *testing.T) {
	round := regexp.MustCompile(`^[125]e`)
	for most := 0.5; most < 20000; most *= 1.07 {
		all := ticks(most)
		last := all[len(all)-1]
		if n := len(all); n < 2 || n > 5 || all[0] != 0 || last < most || n > 2 && all[n-2] >= most {
			t.Errorf("to %.1f: %v", most, all)
		}
		for i, v := range all {
			if step := all[1]; v != float64(i)*step || !round.MatchString(fmt.Sprintf("%.6g", step)) && !round.MatchString(strings.TrimRight(fmt.Sprintf("%.0f", step), "0")+"e") {
				t.Errorf("to %.1f: %v", most, all)
			}
		}
	}
}

// Every key has the same ink, however sure it is; how far its sector reaches tells.
func TestKeysAreDrawnByOneInk(t *testing.T) {
	drawn := string(circle("keys", []Key{{Name: "C major", Fluency: 0.1, Asked: 3}, {Name: "G major", Fluency: 0.79, Asked: 3}, {Name: "D major", Fluency: 1, Asked: 3}, {Name: "A major"}}))
	inks := map[string]int{}
	for _, m := range regexp.MustCompile(`<path class="(\w+)"|(?:fill|stroke|style)="([^"]*)"`).FindAllStringSubmatch(drawn, -1) {
		inks[m[1]+m[2]]++
	}
	if len(inks) != 2 || inks["bar"] != 3 || inks["sector"] != 4 {
		t.Errorf("drawn with %v", inks)
	}
}
