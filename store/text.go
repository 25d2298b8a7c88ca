package store

import (
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// The longest texts that the log takes, in bytes.
const (
	maxName = 200  // ids, items, keys, ways of entry
	maxText = 2000 // questions and answers
)

// clean makes s safe to store and to print: valid UTF-8 in one line, no
// characters that a terminal takes as a command, at most limit bytes. What is
// not allowed becomes U+FFFD.
func clean(s string, limit int) string {
	if !printable(s) {
		s = strings.Map(func(r rune) rune {
			if forbidden(r) {
				return utf8.RuneError
			}
			return r
		}, strings.ToValidUTF8(s, "\uFFFD"))
	}
	if len(s) > limit {
		s = s[:limit]
		for !utf8.ValidString(s) {
			s = s[:len(s)-1]
		}
	}
	return s
}

// printable reports whether s is valid UTF-8 without control characters.
func printable(s string) bool {
	ascii := true
	for i := range len(s) {
		if c := s[i]; c < ' ' || c == 0x7f {
			return false
		} else if c >= utf8.RuneSelf {
			ascii = false
		}
	}
	return ascii || utf8.ValidString(s) && strings.IndexFunc(s, forbidden) < 0
}

// forbidden reports whether r is a control character, or one of those that
// turn the direction of the text around it.
func forbidden(r rune) bool {
	return unicode.IsControl(r) || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069 || r == 0x2028 || r == 0x2029
}

// isDay reports whether s is a date like "2026-11-25".
func isDay(s string) bool {
	_, err := time.Parse(time.DateOnly, s)
	return err == nil
}

// cleanJSON makes a JSON text safe as clean does, in its characters as well as
// in its escapes, but for the line break \n and the tab \t, which tablature may
// have. It never changes its structure.
func cleanJSON(text []byte) []byte {
	s := strings.Map(func(r rune) rune {
		if r >= 0x7f && forbidden(r) {
			return utf8.RuneError
		}
		return r
	}, strings.ToValidUTF8(string(text), "\uFFFD"))
	var b strings.Builder
	for {
		before, escape, found := strings.Cut(s, `\`)
		b.WriteString(before)
		if !found {
			break
		}
		if escape == "" { // no JSON; that is for others to say
			b.WriteByte('\\')
			break
		}
		n := 1
		switch escape[0] {
		case 'b', 'f', 'r':
			b.WriteString(`\ufffd`)
		case 'u':
			n = min(5, len(escape))
			if code, err := strconv.ParseUint(escape[1:n], 16, 16); err == nil && code != '\n' && code != '\t' && forbidden(rune(code)) {
				b.WriteString(`\ufffd`)
				break
			}
			fallthrough
		default:
			b.WriteString(`\` + escape[:n])
		}
		s = escape[n:]
	}
	return []byte(b.String())
}
