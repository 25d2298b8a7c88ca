package theory

import (
	"fmt"
	"strings"
)

// A symbol is a chord suffix as far as it has been read. What its figure
// implies is known only at the end, when the alterations have been seen.
type symbol struct {
	read    bool  // something has been read
	third   tones // minorThird once told
	seventh tones // the one a figure will bring, once told
	fifths  tones // altered ones
	sus     tones
	added   tones
	omitted tones
	figure  int  // 0, 2, 5, 6, 69, 7, 9, 11 or 13
	stacked bool // the seventh comes without a figure: ø, Δ
}

// tokenKind says what a token does to a symbol.
type tokenKind int

const (
	minorToken tokenKind = iota
	majorToken
	triangleToken
	dimToken
	halfToken
	augToken
	susToken
	fifthToken
	addToken
	omitToken
	figureToken
)

// chordTokens lists what suffixes are made of, longer ones before those that
// begin them.
var chordTokens = []struct {
	text   string
	kind   tokenKind
	tones  tones
	figure int
}{
	{"minor", minorToken, 0, 0}, {"min", minorToken, 0, 0}, {"mi", minorToken, 0, 0},
	{"major", majorToken, 0, 0}, {"maj", majorToken, 0, 0},
	{"ma7", majorToken, 0, 7}, {"ma9", majorToken, 0, 9}, {"ma11", majorToken, 0, 11}, {"ma13", majorToken, 0, 13},
	{"M", majorToken, 0, 0}, {"m", minorToken, 0, 0},
	{"omit3", omitToken, anyThird, 0}, {"omit5", omitToken, anyFifth, 0},
	{"^", triangleToken, 0, 0}, {"ø", halfToken, 0, 0}, {"o", dimToken, 0, 0},
	{"dim", dimToken, 0, 0}, {"aug", augToken, 0, 0},
	{"sus24", susToken, second | fourth, 0}, {"sus42", susToken, second | fourth, 0},
	{"sus2", susToken, second, 0}, {"sus4", susToken, fourth, 0}, {"sus", susToken, fourth, 0},
	{"b5", fifthToken, flatFifth, 0}, {"-5", fifthToken, flatFifth, 0},
	{"#5", fifthToken, sharpFifth, 0}, {"+5", fifthToken, sharpFifth, 0},
	{"b9", addToken, flatNinth, 0}, {"#9", addToken, sharpNinth, 0},
	{"#11", addToken, sharpEleventh, 0}, {"#4", addToken, sharpEleventh, 0},
	{"b13", addToken, flatThirteenth, 0}, {"b6", addToken, flatThirteenth, 0},
	{"addb9", addToken, flatNinth, 0}, {"add#9", addToken, sharpNinth, 0},
	{"add#11", addToken, sharpEleventh, 0}, {"add#4", addToken, sharpEleventh, 0},
	{"addb13", addToken, flatThirteenth, 0}, {"addb6", addToken, flatThirteenth, 0},
	{"add9", addToken, ninth, 0}, {"add2", addToken, ninth, 0}, {"add11", addToken, eleventh, 0},
	{"add4", addToken, eleventh, 0}, {"add13", addToken, thirteenth, 0}, {"add6", addToken, thirteenth, 0},
	{"/9", addToken, ninth, 0}, {"/11", addToken, eleventh, 0}, {"/13", addToken, thirteenth, 0},
	{"no3rd", omitToken, anyThird, 0}, {"no3", omitToken, anyThird, 0},
	{"no5th", omitToken, anyFifth, 0}, {"no5", omitToken, anyFifth, 0},
	{"7M", majorToken, 0, 7}, {"alt", figureToken, flatFifth | sharpFifth | flatNinth | sharpNinth, 7},
	{"6/9", figureToken, 0, 69}, {"69", figureToken, 0, 69},
	{"13", figureToken, 0, 13}, {"11", figureToken, 0, 11}, {"9", figureToken, 0, 9}, {"7", figureToken, 0, 7},
	{"6", figureToken, 0, 6}, {"5", figureToken, 0, 5}, {"2", figureToken, ninth, 2}, {"4", susToken, fourth, 0},
}

// afterFigure lists the signs that alter once a figure has been read (C7-9).
// Before it, + is augmented and - minor.
var afterFigure = []struct {
	text string
	tone tones
}{
	{"-9", flatNinth}, {"+9", sharpNinth}, {"+11", sharpEleventh}, {"-13", flatThirteenth},
}

// suffixSpelling brings a suffix to the characters that the tokens use.
var suffixSpelling = strings.NewReplacer("♭", "b", "♯", "#", "Δ", "^", "∆", "^", "△", "^", "°", "o", "º", "o", "Ø", "ø",
	"(9)", "/9", "(11)", "/11", "(13)", "/13", " ", "", "(", "", ")", "", ",", "",
	"MINOR", "minor", "MIN", "min", "Min", "min", "MAJOR", "major", "MAJ", "maj", "Maj", "maj", "DIM", "dim", "Dim", "dim", "Aug", "aug", "AUG", "aug", "SUS", "sus", "ADD", "add", "ALT", "alt", "OMIT", "omit",
	"Sus", "sus", "Add", "add", "Mi", "mi", "MI", "mi", "Ma", "ma", "MA", "ma",
	"⁰", "0", "¹", "1", "²", "2", "³", "3", "⁴", "4", "⁵", "5", "⁶", "6", "⁷", "7", "⁸", "8", "⁹", "9")

// respelled reports whether suffixSpelling may have to do with r.
func respelled(r rune) bool {
	return r > 0x7f || r == ' ' || r == '(' || r == ')' || r == ',' || r >= 'A' && r <= 'Z'
}

// parseQuality reads a chord suffix, what is left of a symbol without its root
// and bass: "", "m7", "(b5)", "Δ9". The error says what stopped it.
func parseQuality(suffix string) (Quality, error) {
	for _, p := range plain {
		if p.suffix == suffix {
			return p.tones.quality(), nil
		}
	}
	var s symbol
	rest := suffix
	for _, figure := range []string{"9", "11", "13"} { // behind a figure it is added to that
		if after, ok := strings.CutPrefix(suffix, "("+figure+")"); ok {
			rest = figure + after
		}
	}
	if strings.ContainsFunc(suffix, respelled) {
		rest = suffixSpelling.Replace(rest)
	}
	for rest != "" {
		after, ok := s.next(rest)
		if !ok {
			return 0, fmt.Errorf("%q means nothing there", rest)
		}
		rest, s.read = after, true
	}
	q, ok := s.quality()
	if !ok {
		return 0, fmt.Errorf("its parts contradict each other")
	}
	return q, nil
}

// next reads one token from the front of rest.
func (s *symbol) next(rest string) (after string, ok bool) {
	if s.figure != 0 {
		for _, a := range afterFigure {
			if after, ok := strings.CutPrefix(rest, a.text); ok {
				s.added |= a.tone
				return after, true
			}
		}
	}
	for _, token := range chordTokens {
		if after, ok := strings.CutPrefix(rest, token.text); ok {
			return after, s.take(token.kind, token.tones, token.figure)
		}
	}
	switch {
	case rest[0] == '+':
		return rest[1:], s.take(augToken, 0, 0)
	case rest[0] == '-':
		return rest[1:], s.take(minorToken, 0, 0)
	case strings.HasPrefix(rest, "/m") || strings.HasPrefix(rest, "/M"):
		return rest[1:], s.third == minorThird // Cm/maj7
	}
	return "", false
}

// take records what a token says. It is false where the token contradicts what
// came before.
func (s *symbol) take(kind tokenKind, t tones, figure int) bool {
	ok := true
	switch kind {
	case minorToken:
		ok, s.third = !s.read, minorThird
	case majorToken, triangleToken:
		ok = s.figure == 0 && (s.seventh == 0 || s.seventh == diminishedSeventh)
		s.seventh, s.stacked = majorSeventh, kind == triangleToken
	case dimToken:
		ok, s.third, s.fifths, s.seventh = !s.read, minorThird, flatFifth, diminishedSeventh
	case halfToken:
		ok, s.third, s.fifths, s.seventh, s.stacked = !s.read, minorThird, flatFifth, minorSeventh, true
	case augToken:
		ok, s.fifths = s.fifths == 0, sharpFifth
	case susToken:
		s.sus |= t
	case fifthToken:
		s.fifths |= t
	case addToken:
		s.added |= t
	case omitToken:
		s.omitted |= t
	case figureToken:
		s.added |= t &^ anyFifth
		s.fifths |= t & anyFifth
		if t.any(anyFifth) && s.figure == 7 {
			figure = 0 // C7alt says 7 twice
		}
	}
	if figure == 0 {
		return ok
	}
	ok = ok && s.figure == 0 && (figure != 5 || !s.read)
	s.figure = figure
	return ok
}

// quality adds up what was read.
func (s *symbol) quality() (Quality, bool) {
	t := root | s.added
	switch {
	case s.sus != 0:
		t |= s.sus
	case s.figure == 5 || s.omitted.any(anyThird):
	case s.third != 0:
		t |= s.third
	default:
		t |= majorThird
	}
	switch {
	case s.omitted.any(anyFifth):
	case s.fifths != 0:
		t |= s.fifths
	default:
		t |= fifth
	}
	figure := s.figure
	if figure == 0 && s.stacked {
		figure = 7
	}
	switch {
	case figure < 7 || figure == 69:
	case s.seventh != 0:
		t |= s.seventh
	default:
		t |= minorSeventh
	}
	return (t | t.implied(figure)).normal()
}
