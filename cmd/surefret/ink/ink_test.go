package ink

import (
	"fmt"
	"math"
	"strconv"
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
// or more, lines that mean something 3 to 1, and the string that is asked, with the wires
// that it crosses, 4.5; in high contrast everything has.
func TestContrastIsEnoughForWeakEyes(t *testing.T) {
	for p := Board; p < paints; p++ {
		for i, parameters := range []string{sgr[p].many, sgr[p].contrast} {
			if i == 1 && parameters == "" {
				continue
			}
			var fg, bg int
			if _, err := fmt.Sscanf(strings.TrimPrefix(parameters, "1;"), "38;5;%d;48;5;%d", &fg, &bg); err != nil {
				t.Fatalf("paint %d: %q: %v", p, parameters, err)
			}
			a, b := luminance(fg), luminance(bg)
			contrast, least := (max(a, b)+0.05)/(min(a, b)+0.05), 4.5
			switch p {
			case Board, Inlaid, Steel, SteelInlaid, Bronze, BronzeInlaid, Bone, Pearl:
				if i == 0 {
					least = 3
				}
			}
			if contrast < least {
				t.Errorf("paint %d, %s: contrast %.1f, want %.1f", p, parameters, contrast, least)
			}
		}
	}
}

// The 16 colours as five common terminals have them, of those that a paint uses: the
// default ink and ground, 0, 11 and 14. From memory.
var palettes = map[string]map[int]string{
	"xterm":                 {39: "000000", 49: "ffffff", 0: "000000", 11: "ffff00", 14: "00ffff"},
	"GNOME (Tango)":         {39: "d3d7cf", 49: "2e3436", 0: "2e3436", 11: "fce94f", 14: "34e2e2"},
	"Windows (Campbell)":    {39: "cccccc", 49: "0c0c0c", 0: "0c0c0c", 11: "f9f1a5", 14: "61d6d6"},
	"an editor's, on dark":  {39: "cccccc", 49: "1e1e1e", 0: "000000", 11: "f5f543", 14: "29b8db"},
	"an editor's, on light": {39: "333333", 49: "ffffff", 0: "000000", 11: "b5ba00", 14: "0598bc"},
}

// WCAG 2.2 again: badges, wires and strings 4.5 to 1, the edges that mean something 3 to 1.
func TestSixteenColoursAreReadInCommonPalettes(t *testing.T) {
	light := func(hex string) (sum float64) {
		for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
			v, err := strconv.ParseUint(hex[2*i:2*i+2], 16, 8)
			if err != nil {
				t.Fatalf("%q: a colour that the table lacks", hex)
			}
			if c := float64(v) / 255; c <= 0.04045 {
				sum += weight * c / 12.92
			} else {
				sum += weight * math.Pow((c+0.055)/1.055, 2.4)
			}
		}
		return sum
	}
	for name, palette := range palettes {
		for p := Strong; p < paints; p++ {
			ink, ground := 39, 49
			for _, code := range strings.Split(sgr[p].few, ";") {
				switch n, _ := strconv.Atoi(code); {
				case n == 7:
					ink, ground = ground, ink
				case n >= 30 && n < 38:
					ink = n - 30
				case n >= 40 && n < 48:
					ground = n - 40
				case n >= 90 && n < 98:
					ink = n - 82
				case n >= 100 && n < 108:
					ground = n - 92
				}
			}
			contrast := func(one, other int) float64 {
				a, b := light(palette[one]+"      ")+0.05, light(palette[other]+"      ")+0.05
				return max(a, b) / min(a, b)
			}
			if c := contrast(ink, ground); c < 4.5 { // the wires and strings among them, whose ground is the terminal's
				t.Errorf("%s, paint %d, %q: contrast %.1f", name, p, sgr[p].few, c)
			}
			switch p {
			case Asked, Right, Shown, Hand, Heat(0), Heat(4): // told by their edge; a sign of its own tells the others
				if c := contrast(ground, 49); c < 3 {
					t.Errorf("%s, paint %d, %q: contrast %.1f of its edge", name, p, sgr[p].few, c)
				}
			}
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
		{"TERM=xterm-256color LANG=en_GB.UTF-8", "auto", Look{Colours: ManyColours}},
		{"TERM=xterm LANG=C.utf8", "auto", Look{Colours: FewColours}},
		{"TERM=xterm COLORTERM=truecolor LC_ALL=C LANG=en_GB.UTF-8", "auto", Look{Colours: ManyColours, ASCII: true}},
		{"TERM=xterm-256color LC_CTYPE=POSIX LANG=en_GB.UTF-8", "auto", Look{Colours: ManyColours, ASCII: true}},
		{"TERM=xterm-256color NO_COLOR=1 LANG=en_GB.UTF-8", "auto", Look{Colours: NoColours}},
		{"TERM=dumb LANG=en_GB.UTF-8", "auto", Look{ASCII: true}},
		{"TERM=xterm-256color LANG=en_GB.UTF-8", "contrast", Look{Colours: ManyColours, Contrast: true}},
		{"TERM=linux LANG=en_GB.UTF-8", "auto", Look{Colours: FewColours, ASCII: true}},
		{"TERM=xterm-256color LANG=en_GB.UTF-8", "ascii", Look{Colours: ManyColours, ASCII: true}},
		{"TERM=linux", "lines", Look{Colours: FewColours}},
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

// Where high contrast is asked for, what has a brush of its own for it is painted with that.
func TestHighContrastIsPainted(t *testing.T) {
	for p, s := range sgr {
		l := Look{Colours: ManyColours, Contrast: true}
		if got := l.Paint(Paint(p), "x"); s.contrast != "" && !strings.Contains(got, "\x1b["+s.contrast+"m") {
			t.Errorf("paint %d is painted %q, want %s", p, got, s.contrast)
		}
	}
}
