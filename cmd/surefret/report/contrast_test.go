package report

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// contrast is that of WCAG 2.2 between two colours, each "#rrggbb".
func contrast(t *testing.T, one, other string) float64 {
	t.Helper()
	light := func(colour string) (sum float64) {
		for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
			v, err := strconv.ParseUint(colour[1+2*i:3+2*i], 16, 8)
			if err != nil {
				t.Fatalf("%q: %v", colour, err)
			}
			if c := float64(v) / 255; c <= 0.04045 {
				sum += weight * c / 12.92
			} else {
				sum += weight * math.Pow((c+0.055)/1.055, 2.4)
			}
		}
		return sum + 0.05
	}
	a, b := light(one), light(other)
	return max(a, b) / min(a, b)
}

// WCAG 2.2, success criteria 1.4.3 and 1.4.11, of every ground that a page has: text 4.5
// to 1, and what is drawn with a meaning, the edges of sectors and wires among it, 3.
func TestWhatAPageDrawsStandsOffItsPaper(t *testing.T) {
	for _, drawn := range []string{".sector { fill: none; stroke: var(--soft); }", ".wire,.nut{stroke:var(--soft)}", ".bar { fill: var(--bar); }", ".slower { stroke: var(--other);"} {
		if !strings.Contains(pageText+string(pageTones.Style), drawn) {
			t.Errorf("no rule %q: what is held here is not what is drawn", drawn)
		}
	}
	rule := regexp.MustCompile(`--([a-z]+): (#[0-9a-f]{6});`)
	for name, page := range map[string]string{"progress": pageText, "pupils": pupilsText} {
		grounds := regexp.MustCompile(`:root \{[^}]*\}`).FindAllString(page, -1)
		if len(grounds) != 3 { // light, dark and printed
			t.Fatalf("%s: %d grounds", name, len(grounds))
		}
		for _, ground := range grounds {
			colours := map[string]string{}
			for _, m := range rule.FindAllStringSubmatch(ground, -1) {
				colours[m[1]] = m[2]
			}
			for what, least := range map[string]float64{"ink": 4.5, "soft": 4.5, "bar": 3, "other": 3} {
				if colour, ok := colours[what]; ok {
					if c := contrast(t, colour, colours["paper"]); c < least {
						t.Errorf("%s, %s: --%s stands off the paper by %.1f, want %.1f", name, ground, what, c, least)
					}
				}
			}
		}
	}
	for _, h := range cividis {
		if c := contrast(t, h.ink, h.fill); c < 4.5 {
			t.Errorf("a figure on %s: %.1f", h.fill, c)
		}
	}
}
