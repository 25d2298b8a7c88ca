package songbook

import "strings"

// mostSigns is how many bytes one header or field may hold outside of quotation
// marks, comments and space. The longest that makes sense, a list of every
// shape, has a quarter of that. It bounds keys, lists and nesting, each of which
// would otherwise take many times the memory of the file.
const mostSigns = 4000

// tooMuch returns the offset at which one header or field goes past mostSigns, or
// -1. It understands no more of TOML than where strings, comments and lists end:
// a text that misleads it is not TOML, and the parser stops there.
func tooMuch(text string) int {
	signs, depth := 0, 0
	for i := 0; i < len(text); i++ {
		switch text[i] {
		case ' ', '\t', '\r':
			continue
		case '\n':
			if depth == 0 {
				signs = 0
			}
			continue
		case '#':
			comment, _, _ := strings.Cut(text[i:], "\n")
			i += len(comment) - 1
			continue
		case '"', '\'':
			i += stringLength(text[i:]) - 1
		case '[', '{':
			depth++
		case ']', '}':
			depth = max(depth-1, 0)
		}
		if signs++; signs > mostSigns {
			return i
		}
	}
	return -1
}

// stringLength returns how many bytes the string takes that s begins with, its
// quotation marks included: to the end of the line, or of s, where it is not
// closed.
func stringLength(s string) int {
	quote := s[:1]
	if strings.HasPrefix(s[1:], s[:1]+s[:1]) {
		quote = s[:3]
	}
	for i := len(quote); i < len(s); i++ {
		switch {
		case quote[0] == '"' && s[i] == '\\':
			i++
		case len(quote) == 1 && s[i] == '\n':
			return i
		case strings.HasPrefix(s[i:], quote):
			end := i + len(quote)
			for most := end + 2; len(quote) == 3 && end < min(most, len(s)) && s[end] == quote[0]; {
				end++ // TOML lets two quotes stand before the three that close
			}
			return end
		}
	}
	return len(s)
}
