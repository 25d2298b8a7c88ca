// Package chart reads and writes songs as players have them: chords over lyrics,
// ChordPro, and bars of letters, numbers or roman numerals.
//
// Its one idea is a model that loses nothing. A [Chart] has sections, a section has
// lines, and a line is a row of marks (chords, bar lines, holds, repeats ...) with
// the words under them, each mark as its maker wrote it and with what it means.
// Bars and beats are what the marks add up to ([Chart.Bars]), and letters and
// numbers are two views of the chords ([Chart.Letters], [Chart.Numbers]), which sound
// in a key. A chart that was read is written again equal but for spacing.
//
// Nothing is guessed in silence: what is not understood is a [Fault], with its line,
// its column and the nearest reading. CONVENTIONS.md has the grammars and where
// they come from. The package knows theory alone.
package chart

import (
	"fmt"
	"slices"

	"surefret/drills/theory"
)

// A Format is a way in which charts are written.
type Format int

// The formats. Text is chords over lyrics and bar charts, which are one grammar:
// lines of chords, with or without bar lines, with or without words below.
const (
	Text Format = iota
	ChordPro
)

// String names the format in a sentence.
func (f Format) String() string { return [...]string{"text", "ChordPro"}[f] }

// A Notation is a way to write a chord.
type Notation uint8

// The notations.
const (
	Letters Notation = iota // "Em7/B"
	Numbers                 // "6-7/3", counted from the major scale
	Romans                  // "vi7/3", counted as the song's mode counts
)

// A Chart is one song as it was written.
type Chart struct {
	Format   Format
	Title    string
	Key      theory.Key // in which the chords are written; with a capo, what the hand plays
	Keyed    bool       // whether the chart says its key; if not, numbers count from C
	Capo     int        // fret, 0 where there is none
	Tempo    float64    // beats a minute, 0 where it is not given
	Time     Meter      // zero where it is not given
	Sections []Section
	Names    theory.Names // in which its letters are named
}

// A Meter is a time signature. The zero value is none.
type Meter struct{ Beats, Unit int }

// String prints the meter: "3/4".
func (m Meter) String() string { return fmt.Sprintf("%d/%d", m.Beats, m.Unit) }

// A Section is a stretch of a song. What stands before the first heading is a section
// without a name.
type Section struct {
	Name  string // "Verse 1"
	Kind  string // of a ChordPro environment: "verse", "chorus", "grid", "tab"
	head  string // how it begins, as written: "[Verse 1]", "{soc}"; empty for none
	foot  string // how it ends: "{eoc}"; empty for none
	Times int    // how often it is played, where its heading says so; else 0
	lines []songLine
}

// recall reports whether the section only calls for another one to be played again,
// as {chorus} does.
func (s Section) recall() bool { return s.Kind == "recall" }

// A songLine is one line of a section.
type songLine struct {
	kind  lineKind
	marks []Mark // of music, from left to right
	words string // the lyrics below the marks, byte for byte
	sung  bool   // whether there are any, be they empty
	text  string // what else stands there, as it is; the value of a fact
	field string // its name: "key"
	label string // what stands before its value: "Key: ", "{key: "
}

// A lineKind says what a line holds.
type lineKind int

// What a line may hold.
const (
	plainLine lineKind = iota // words without chords, remarks, tablature, an empty line
	musicLine
	sameLine  // music on the line of the heading: "Verse: G D"
	fieldLine // a fact about the song that this package understands
)

// A Mark is one sign of a line of music.
type Mark struct {
	kind   Kind
	In     Notation     // of Chord
	tight  bool         // whether it follows the mark before without a space, wherever that stands
	slash  bool         // of Chord: whether it is written over a bass
	at     int          // where it stands: the offset in words, past their end one a column
	pre    string       // what is written before the sign: "(", "<", "^"
	Text   string       // the sign
	post   string       // what is written behind it: ")", ">", "..."
	chord  theory.Chord // of Chord: what it is, in the key that the chart has there
	suffix string       // its quality as written: "MIN7"
}

// A Kind says what a mark means.
type Kind uint8

// What a mark may mean.
const (
	Chord        Kind = iota
	Slash             // "/": a beat of the chord before
	Hold              // ".": the chord before rings on for a beat
	Rest              // "r"
	NoChord           // "N.C."
	same1             // "%": the bar before again
	same2             // "%%": the two bars before again
	barLine           // "|", "||:"
	endingMark        // "1.", behind a bar line
	timesMark         // "(x3)": how often what stands before is played
	meterMark         // "(2/4)"
	joinMark          // "-", ",": only keeps two chords apart
	togetherMark      // "_", "~": two chords share what one would have
	remark            // a remark among the marks: "[*Rit.]", the margin of a grid
)

// diamonds are signs for a chord that is struck once and rings.
const diamonds = "◇♢◆♦"

// diamond reports whether a chord is struck once and rings through the bar.
func (m Mark) diamond() bool {
	return contains(m.pre, "<") && contains(m.post, ">") || contains(m.pre+m.post, diamonds)
}

// push reports whether a chord comes half a beat early.
func (m Mark) push() bool {
	return contains(m.pre, "^>") || contains(m.pre, "<") && !contains(m.post, ">") // "<1" leans forward, "<1>" is a diamond
}

// marks counts the marks of a chart.
func (c Chart) marks() (n int) {
	for _, s := range c.Sections {
		for _, l := range s.lines {
			n += len(l.marks)
		}
	}
	return n
}

// clone returns a copy whose lines and marks can be changed.
func (c Chart) clone() Chart {
	c.Sections = slices.Clone(c.Sections)
	for i := range c.Sections {
		c.Sections[i].lines = slices.Clone(c.Sections[i].lines)
		for j := range c.Sections[i].lines {
			l := &c.Sections[i].lines[j]
			l.marks = slices.Clone(l.marks)
		}
	}
	return c
}

// Sounding returns the key that is heard: the key of the chords, raised by the capo.
func (c Chart) Sounding() theory.Key {
	if c.Capo == 0 {
		return c.Key
	}
	return theory.SimplestKey(c.Key.Tonic.PitchClass()+c.Capo, c.Key.Mode, c.Key.Signature() <= 0)
}
