package chart

import (
	"unicode"
	"unicode/utf8"
)

// Columns are those of a terminal or a typewriter font: a letter takes one, an
// accent that is typed behind its letter none, and a tab goes to the next eighth.

// after returns the column behind r, which stands at a column.
func after(column int, r rune) int {
	switch {
	case r == '\t':
		return column + 8 - column%8
	case r >= 0x300 && unicode.Is(unicode.Mn, r):
		return column
	}
	return column + 1
}

// space returns how many bytes of space s begins with, which is not empty. Pages of the
// web have spaces that do not break, and some that take no room.
func space(s string) int {
	if s[0] == ' ' || s[0] == '\t' {
		return 1
	}
	if r, size := utf8.DecodeRuneInString(s); unicode.IsSpace(r) || r == '\u200b' || r == '\ufeff' {
		return size
	}
	return 0
}

// columns returns how many columns a text takes.
func columns(s string) (n int) {
	for _, r := range s {
		n = after(n, r)
	}
	return n
}

// offset returns the offset in words of what stands at a column; past the end of
// the words each column counts one more. It begins the search at an offset and its
// column, and returns where it ended, so that a line is walked once.
type walk struct{ at, column int }

// to walks on to a column.
func (w *walk) to(words string, column int) int {
	for w.at < len(words) {
		r, size := utf8.DecodeRuneInString(words[w.at:])
		next := after(w.column, r)
		if next > column {
			return w.at
		}
		w.at, w.column = w.at+size, next
	}
	return len(words) + max(column-w.column, 0)
}

// columnOf walks on to an offset and returns its column.
func (w *walk) columnOf(words string, offset int) int {
	for w.at < len(words) && w.at < offset {
		r, size := utf8.DecodeRuneInString(words[w.at:])
		w.at, w.column = w.at+size, after(w.column, r)
	}
	return w.column + max(offset-w.at, 0)
}
