package ink

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// luminance is the relative luminance of WCAG 2.2 of a colour of the 256: a cube
// of six levels a side and 24 greys, as xterm has them.
func luminance(n int) float64 {
	level := [6]int{0, 95, 135, 175, 215, 255}
	rgb := [3]int{level[(n-16)/36%6], level[(n-16)/6%6], level[(n-16)%6]}
	if n >= 232 {
		grey := 8 + 10*(n-232)
		rgb = [3]int{grey, grey, grey}
	}
	var sum float64
	for i, weight := range [3]float64{0.2126, 0.7152, 0.0722} {
		c := float64(rgb[i]) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

// WCAG 2.2, success criteria 1.4.3 and 1.4.11: text has a contrast of 4.5 to 1
// or more, lines that mean something 3 to 1.
func TestContrastIsEnoughForWeakEyes(t *testing.T) {
	for p := Board; p < paints; p++ {
		var fg, bg int
		if _, err := fmt.Sscanf(strings.TrimPrefix(sgr[p].many, "1;"), "38;5;%d;48;5;%d", &fg, &bg); err != nil {
			t.Fatalf("paint %d: %q: %v", p, sgr[p].many, err)
		}
		a, b := luminance(fg), luminance(bg)
		contrast, least := (max(a, b)+0.05)/(min(a, b)+0.05), 4.5
		switch p {
		case Board, Inlaid:
			least = 2.5 // wires; the frets are numbered too
		case Steel, SteelInlaid, Bronze, BronzeInlaid, SteelWanted, BronzeWanted, Bone, Pearl:
			least = 3
		}
		if contrast < least {
			t.Errorf("paint %d, %s: contrast %.1f, want %.1f", p, sgr[p].many, contrast, least)
		}
	}
}

// Right and wrong differ in lightness too, so that no eye needs the hue.
func TestRightAndWrongDifferWithoutHue(t *testing.T) {
	const blue, orange = 25, 208 // the grounds of good and bad
	if !strings.HasSuffix(sgr[Right].many, fmt.Sprint(";", blue)) || !strings.HasSuffix(sgr[Wrong].many, fmt.Sprint(";", orange)) {
		t.Fatal("other colours now")
	}
	if c := (luminance(orange) + 0.05) / (luminance(blue) + 0.05); c < 2.5 {
		t.Errorf("contrast %.1f", c)
	}
}

func TestWhatATerminalCanShowIsReadFromTheEnvironment(t *testing.T) {
	for _, c := range []struct {
		env     string
		drawing string
		want    Look
	}{
		{"TERM=xterm-256color LANG=en_GB.UTF-8", "auto", Look{ManyColours, false}},
		{"TERM=xterm LANG=C.utf8", "auto", Look{FewColours, false}},
		{"TERM=xterm COLORTERM=truecolor LC_ALL=C LANG=en_GB.UTF-8", "auto", Look{ManyColours, true}},
		{"TERM=xterm-256color LC_CTYPE=POSIX LANG=en_GB.UTF-8", "auto", Look{ManyColours, true}},
		{"TERM=xterm-256color NO_COLOR=1 LANG=en_GB.UTF-8", "auto", Look{NoColours, false}},
		{"TERM=dumb LANG=en_GB.UTF-8", "auto", Look{NoColours, true}},
		{"TERM=linux LANG=en_GB.UTF-8", "auto", Look{FewColours, true}},
		{"TERM=xterm-256color LANG=en_GB.UTF-8", "ascii", Look{ManyColours, true}},
		{"TERM=linux", "lines", Look{FewColours, false}},
	} {
		env := map[string]string{}
		for _, word := range strings.Fields(c.env) {
			k, v, _ := strings.Cut(word, "=")
			env[k] = v
		}
		if got := LookFor(func(k string) string { return env[k] }, c.drawing); got != c.want {
			t.Errorf("%s, %s: %+v, want %+v", c.env, c.drawing, got, c.want)
		}
	}
}
