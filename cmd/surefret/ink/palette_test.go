package ink_test

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"testing"

	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/report"
)

// A linear colour: red, green and blue from 0 to 1 without the gamma of sRGB.
type linear [3]float64

// sRGB to linear light, IEC 61966-2-1.
func fromSRGB(r, g, b int) (c linear) {
	for i, v := range []int{r, g, b} {
		if s := float64(v) / 255; s <= 0.04045 {
			c[i] = s / 12.92
		} else {
			c[i] = math.Pow((s+0.055)/1.055, 2.4)
		}
	}
	return c
}

// sights are matrices on linear colours: what is left of them in full protanopia,
// deuteranopia and tritanopia by Machado, Oliveira and Fernandes, "A
// Physiologically-based Model for Simulation of Color Vision Deficiency", IEEE
// TVCG 15(6), 2009, table of severity 1.0 (the figures from memory; their rows
// sum to 1, which is tested, so that grey stays grey); and grey by the luminance
// of sRGB.
var sights = map[string][3]linear{
	"normal": {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
	"protan": {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
	"deutan": {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}},
	"tritan": {{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}},
	"grey":   {{0.2126, 0.7152, 0.0722}, {0.2126, 0.7152, 0.0722}, {0.2126, 0.7152, 0.0722}},
}

func (c linear) seenBy(m [3]linear) (out linear) {
	for i, row := range m {
		out[i] = max(0, min(1, row[0]*c[0]+row[1]*c[1]+row[2]*c[2]))
	}
	return out
}

// lab is CIE L*a*b* under D65, from the sRGB primaries.
func (c linear) lab() (l, a, b float64) {
	x := 0.4124*c[0] + 0.3576*c[1] + 0.1805*c[2]
	y := 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2]
	z := 0.0193*c[0] + 0.1192*c[1] + 0.9505*c[2]
	f := func(t float64) float64 {
		if t > 216.0/24389 {
			return math.Cbrt(t)
		}
		return (24389.0/27*t + 16) / 116
	}
	fx, fy, fz := f(x/0.95047), f(y), f(z/1.08883)
	return 116*fy - 16, 500 * (fx - fy), 200 * (fy - fz)
}

// contrast is the contrast ratio of WCAG 2.1.
func contrast(a, b linear) float64 {
	light := func(c linear) float64 { return 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2] + 0.05 }
	x, y := light(a), light(b)
	return max(x, y) / min(x, y)
}

// ciede2000 is the colour difference of CIE 142-2001, after Sharma, Wu and Dalal,
// "The CIEDE2000 color-difference formula: implementation notes, supplementary
// test data, and mathematical observations", Color Research & Application 30(1),
// 2005.
func ciede2000(l1, a1, b1, l2, a2, b2 float64) float64 {
	const rad = math.Pi / 180
	c7 := math.Pow((math.Hypot(a1, b1)+math.Hypot(a2, b2))/2, 7)
	g := 0.5 * (1 - math.Sqrt(c7/(c7+math.Pow(25, 7))))
	a1, a2 = a1*(1+g), a2*(1+g)
	ch1, ch2 := math.Hypot(a1, b1), math.Hypot(a2, b2)
	hue := func(a, b float64) float64 {
		if a == 0 && b == 0 {
			return 0
		}
		return math.Mod(math.Atan2(b, a)/rad+360, 360)
	}
	h1, h2 := hue(a1, b1), hue(a2, b2)
	dh, sum := h2-h1, h1+h2
	mean := sum / 2
	switch {
	case ch1*ch2 == 0:
		dh, mean = 0, sum
	case dh > 180:
		dh -= 360
	case dh < -180:
		dh += 360
	}
	if ch1*ch2 != 0 && math.Abs(h1-h2) > 180 {
		if mean = (sum + 360) / 2; sum >= 360 {
			mean = (sum - 360) / 2
		}
	}
	dl, dc, dH := l2-l1, ch2-ch1, 2*math.Sqrt(ch1*ch2)*math.Sin(dh/2*rad)
	ml, mc := (l1+l2)/2, (ch1+ch2)/2
	t := 1 - 0.17*math.Cos((mean-30)*rad) + 0.24*math.Cos(2*mean*rad) + 0.32*math.Cos((3*mean+6)*rad) - 0.20*math.Cos((4*mean-63)*rad)
	sl := 1 + 0.015*(ml-50)*(ml-50)/math.Sqrt(20+(ml-50)*(ml-50))
	sc, sh := 1+0.045*mc, 1+0.015*mc*t
	mc7 := math.Pow(mc, 7)
	rt := -2 * math.Sqrt(mc7/(mc7+math.Pow(25, 7))) * math.Sin(60*math.Exp(-math.Pow((mean-275)/25, 2))*rad)
	return math.Sqrt(math.Pow(dl/sl, 2) + math.Pow(dc/sc, 2) + math.Pow(dH/sh, 2) + rt*dc/sc*dH/sh)
}

// Six pairs of the test data of Sharma, Wu and Dalal 2005, table
// 1 (from memory).
func TestCIEDE2000AgreesWithItsTestData(t *testing.T) {
	for _, c := range []struct{ l1, a1, b1, l2, a2, b2, want float64 }{
		{50, 2.6772, -79.7751, 50, 0, -82.7485, 2.0425},
		{50, 0, 0, 50, -1, 2, 2.3669},
		{50, 2.5, 0, 50, 0, -2.5, 4.3065},
		{50, 2.5, 0, 73, 25, -18, 27.1492},
		{60.2574, -34.0099, 36.2677, 60.4626, -34.1751, 39.4387, 1.2644},
		{2.0776, 0.0795, -1.1350, 0.9033, -0.0636, -0.5514, 0.9082},
	} {
		if got := ciede2000(c.l1, c.a1, c.b1, c.l2, c.a2, c.b2); math.Abs(got-c.want) > 1e-4 {
			t.Errorf("%v: %.4f", c, got)
		}
	}
	for name, m := range sights {
		for _, row := range m {
			if sum := row[0] + row[1] + row[2]; math.Abs(sum-1) > 1e-5 {
				t.Errorf("%s: a row sums to %.6f", name, sum)
			}
		}
	}
}

// A painted step is a colour and the ink on it.
type painted struct{ fill, ink linear }

// pictureSteps reads the steps off the rules of the map as SVG.
func pictureSteps(t *testing.T) (all []painted) {
	hex := func(s string) linear {
		v, err := strconv.ParseUint(s, 16, 32)
		if err != nil {
			t.Fatal(err)
		}
		return fromSRGB(int(v>>16), int(v>>8&255), int(v&255))
	}
	svg := report.Map{Frets: [2]int{0, 0}}.SVG()
	for _, m := range regexp.MustCompile(`\.h\d\{fill:#(\w{6})\}\.neck text\.on\d\{fill:#(\w{6})\}`).FindAllStringSubmatch(svg, -1) {
		all = append(all, painted{hex(m[1]), hex(m[2])})
	}
	return all
}

// terminalSteps reads them off what a terminal of 256 colours is sent. The cube
// and the greys have the tones of xterm, which others follow (common practice).
func terminalSteps(t *testing.T) (all []painted) {
	tone := func(s string) linear {
		n, err := strconv.Atoi(s)
		if err != nil || n < 16 {
			t.Fatalf("colour %q", s)
		}
		if n >= 232 {
			return fromSRGB(8+10*(n-232), 8+10*(n-232), 8+10*(n-232))
		}
		cube := []int{0, 95, 135, 175, 215, 255}
		return fromSRGB(cube[(n-16)/36], cube[(n-16)/6%6], cube[(n-16)%6])
	}
	for step := range 5 {
		sent := ink.Look{Colours: ink.ManyColours}.Paint(ink.Heat(2*step), "7")
		m := regexp.MustCompile(`38;5;(\d+);48;5;(\d+)m7`).FindStringSubmatch(sent)
		if m == nil {
			t.Fatalf("step %d is sent as %q", step, sent)
		}
		all = append(all, painted{tone(m[2]), tone(m[1])})
	}
	return all
}

// Differences below 10 are hard to see side by side in small cells (common
// practice, no source); 1 is about what can be seen at all.
func TestStepsOfTheMapStayApartInEverySight(t *testing.T) {
	for name, steps := range map[string][]painted{"picture": pictureSteps(t), "terminal": terminalSteps(t)} {
		if len(steps) != 5 {
			t.Fatalf("%s: %d steps", name, len(steps))
		}
		for sight, m := range sights {
			figures := ""
			for i, s := range steps {
				if c := contrast(s.fill.seenBy(m), s.ink.seenBy(m)); c < 4.5 {
					t.Errorf("%s, %s, step %d: contrast %.1f of figure and ground, WCAG 2.1 asks for 4.5", name, sight, i, c)
				}
				if i == 0 {
					continue
				}
				l1, a1, b1 := steps[i-1].fill.seenBy(m).lab()
				l2, a2, b2 := s.fill.seenBy(m).lab()
				d := ciede2000(l1, a1, b1, l2, a2, b2)
				figures += fmt.Sprintf(" %.1f", d)
				if d < 10 {
					t.Errorf("%s, %s: steps %d and %d are %.1f apart", name, sight, i-1, i, d)
				}
			}
			t.Logf("%s, %s: CIEDE2000 of neighbours%s", name, sight, figures)
		}
	}
}

// On wood the weak steps are the loudest and on white paper the darkest; what is sure
// sinks in.
func TestTheWeakStandOffAndTheSureSinkIn(t *testing.T) {
	wood, paper := fromSRGB(38, 38, 38), fromSRGB(255, 255, 255) // grey 235 of xterm
	for ground, steps := range map[linear][]painted{wood: terminalSteps(t), paper: pictureSteps(t)} {
		for i := 1; i < len(steps); i++ {
			if contrast(steps[i].fill, ground) >= contrast(steps[i-1].fill, ground) {
				t.Errorf("step %d stands off more than %d: %.1f, %.1f", i, i-1, contrast(steps[i].fill, ground), contrast(steps[i-1].fill, ground))
			}
		}
		if sunk := contrast(steps[4].fill, ground); sunk > 1.5 {
			t.Errorf("the sure step has a contrast of %.1f to its ground", sunk)
		}
	}
}
