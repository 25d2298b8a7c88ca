package chart

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// A word is one word of a line of music.
type word struct {
	r        *reader
	row      *row
	text     string
	before   string // what stands before it on its line
	column   int    // where it stands on the screen, from 0
	last     bool   // of its line
	numbered bool   // no letter or roman numeral stands on its line
}

var (
	timesForm  = formOf(`^\(?(?:[x×X](\d{1,2})|(\d{1,2})[x×X])\)?$`)
	meterForm  = formOf(`^\((\d{1,2})/(2|4|8|16)\)$`)
	bareMeter  = formOf(`^(\d{1,2})/(2|4|8|16)$`)
	endingForm = formOf(`^\[?[1-9](?:[,-][1-9])*\.?$`)
	noChord    = formOf(`^(?i:\(?n\.? ?c\.?\)?|n/c)$`)
)

// read adds what the word means to the row.
func (w word) read() {
	text := w.text
	plain := func(k Kind) { w.row.add(Mark{kind: k, Text: text, at: w.column}) }
	switch {
	case text == "%":
		plain(same1)
	case text == "%%":
		plain(same2)
	case strings.Trim(text, "/") == "":
		plain(Slash)
	case strings.Trim(text, ".") == "":
		plain(Hold)
	case text == "r" || text == "R" || text == "𝄽":
		plain(Rest)
	case contains(text[:1], "Nn(") && noChord().MatchString(text):
		plain(NoChord)
	case text == "-" || text == "–" || text == "—" || text == "→" || text == "," || w.r.typed && (text == ":" || text == ";"):
		plain(joinMark)
	case text == "_" || text == "~":
		plain(togetherMark)
	case text[0] == '(' && meterForm().MatchString(text), w.afterTime() && bareMeter().MatchString(text):
		plain(meterMark)
	case strings.EqualFold(text, "time"):
		plain(remark) // what follows is a metre
	case contains(text, "xX×") && timesForm().MatchString(text):
		w.times(plain)
	case (text[0] == '[' || w.row.before() == barLine && contains(text, ".,")) && endingForm().MatchString(text):
		w.ending(plain)
	default:
		w.chords()
	}
}

// afterTime reports whether the word before is "time".
func (w word) afterTime() bool {
	return w.row.before() == remark && strings.EqualFold(w.row.marks[len(w.row.marks)-1].Text, "time")
}

// times reads x3: what is meant is sure in brackets, behind a bar line and
// behind a single chord.
func (w word) times(plain func(Kind)) {
	count := strings.Trim(w.text, "()xX×")
	switch n, _ := strconv.Atoi(count); {
	case n < 2:
		w.fault("how often? write (x2), or leave it out")
	case w.text[0] == '(' && strings.HasSuffix(w.text, ")") && w.last, w.row.before() == barLine && (w.last || w.closes()), w.last && len(w.row.marks) == 1, w.r.settled && len(w.row.marks) > 0:
		plain(timesMark)
	default:
		w.fault("repeat " + inWords(n) + " times? write (x" + count + ") at the end of the line")
	}
}

func inWords(n int) string {
	if n < 5 {
		return [...]string{"", "", "two", "three", "four"}[n]
	}
	return strconv.Itoa(n)
}

// closes reports whether the bar line before the word ends a repeat.
func (w word) closes() bool { return w.row.marks[len(w.row.marks)-1].Text[0] == ':' }

// ending reads 1. behind a bar line. Between numbers it could be a chord that is held.
func (w word) ending(plain func(Kind)) {
	if w.numbered && w.text[0] != '[' {
		w.fault("the first ending, or the chord held for a beat? write [" + w.text + " or " + strings.TrimRight(w.text, ".") + " .")
		return
	}
	plain(endingMark)
}

// chords reads one chord, or several that something joins.
func (w word) chords() {
	if len(w.text) > longestWord {
		w.fault("no chord: it is too long for one")
		return
	}
	if m, reading := w.r.chord(w.text); reading == "" {
		w.take(m, w.column)
		return
	} else if parts, joins := w.joined(); parts != nil {
		column := w.column
		for i, m := range parts {
			w.take(m, column)
			column += columns(m.pre + m.Text + m.post)
			if i < len(joins) {
				kind := joinMark
				if joins[i] == "_" || joins[i] == "~" {
					kind = togetherMark
				}
				w.row.add(Mark{kind: kind, Text: joins[i], at: column})
				column += columns(joins[i])
			}
		}
		return
	} else {
		if m.In == Numbers {
			w.row.near++
		}
		w.fault(reading)
	}
}

// take adds a chord.
func (w word) take(m Mark, column int) {
	m.at = column
	w.row.add(m)
	if m.In == Romans && strings.EqualFold(m.Text, "I") || m.In == Letters && m.suffix == "o" {
		w.row.doubts++
	} else {
		w.row.chords++
	}
}

func (w word) fault(reading string) {
	place := 0
	if !w.r.quiet { // else it is only counted
		place = 1 + utf8.RuneCountInString(w.before)
	}
	w.row.faults = append(w.row.faults, fault{w.r.line, place, w.text, reading})
}

// joined cuts a word like G-D-Em or 2-_5 or G, into its chords and what joins them.
func (w word) joined() (chords []Mark, joins []string) {
	if !strings.ContainsAny(w.text, "-–—→,_~;") {
		return nil, nil
	}
	if chords, joins := w.parts("–—→,_~;"); chords != nil {
		return chords, joins
	}
	return w.parts("-–—→,_~;")
}

// parts cuts the word at the given signs. It returns none where one part is no chord,
// and where a dash between numbers could be a minor chord's own.
func (w word) parts(signs string) (chords []Mark, joins []string) {
	rest := w.text
	for rest != "" {
		end := strings.IndexAny(rest, signs)
		if end < 0 {
			end = len(rest)
		}
		m, reading := w.r.chord(rest[:end])
		if reading != "" || m.In == Numbers && strings.HasPrefix(rest[end:], "-") {
			return nil, nil
		}
		chords = append(chords, m)
		if rest = rest[end:]; rest != "" {
			_, size := utf8.DecodeRuneInString(rest)
			joins, rest = append(joins, rest[:size]), rest[size:]
		}
	}
	return chords, joins
}
