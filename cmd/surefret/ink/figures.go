package ink

import "strings"

// Raised sets the figures of a chord by number above the line where the terminal can,
// "5⁷", so that a 5 with a seventh is not read as 57.
func Raised(number string, ascii bool) string {
	if ascii {
		return figured(number, func(figures string) string { return "(" + figures + ")" })
	}
	return figured(number, superscript)
}

var superscripts = []rune("⁰¹²³⁴⁵⁶⁷⁸⁹")

// superscript writes figures above the line.
func superscript(figures string) string {
	return strings.Map(func(r rune) rune { return superscripts[r-'0'] }, figures)
}

// figured puts the figures that come right after the degree of a number through raise:
// those of 57 and b713, not those of 2-7.
func figured(number string, raise func(figures string) string) string {
	degree := 1 + strings.IndexAny(number, "1234567")
	rest := strings.TrimLeft(number[degree:], "0123456789")
	if figures := number[degree : len(number)-len(rest)]; figures != "" {
		return number[:degree] + raise(figures) + rest
	}
	return number
}
