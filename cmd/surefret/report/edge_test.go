package report

import (
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
	for kind, least := range map[string]int{"Gigs": 3, "Minutes": 4, "Fluent": 2, "Thinking": 4} {
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
