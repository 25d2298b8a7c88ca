package drills

import (
	"fmt"

	"surefret/drills/fretboard/fingering"
	"surefret/drills/theory"
)

// A motion is a way between two numbers of a key.
type motion struct {
	from, to string
	mode     theory.Mode
	walk     fingering.Walk
}

// firstMotions is how many of the motions are basic.
const firstMotions = 4

// motions are the ones that songs use, the first ones first. Common practice, no source.
var motions = []motion{
	{from: "1", to: "4"},
	{from: "4", to: "1", walk: fingering.Walk{Down: true}},
	{from: "5", to: "1"},
	{from: "1", to: "5", walk: fingering.Walk{Down: true}},
	{from: "1", to: "6", walk: fingering.Walk{Down: true}},
	{from: "4", to: "1", walk: fingering.Walk{Skip: 1}},
	{from: "6", to: "4", walk: fingering.Walk{Down: true}},
	{from: "2", to: "5"},
	{from: "6", to: "2"},
	{from: "4", to: "5"},
	{from: "5", to: "6"},
	{from: "1", to: "4", walk: fingering.Walk{Chromatic: true, Notes: 2}},
	{from: "1", to: "4", mode: theory.Minor},
	{from: "1", to: "b6", mode: theory.Minor, walk: fingering.Walk{Down: true}},
	{from: "b7", to: "1", mode: theory.Minor},
	{from: "5", to: "1", mode: theory.Minor}, // by the raised 6 and 7, as its chord has them
}

// stage returns when the motion that comes i-th is met: on a bass behind its scales and
// arpeggios.
func (m motion) stage(i int, bass bool) int {
	switch {
	case bass && i < firstMotions:
		return stageForms
	case i < firstMotions:
		return stageBasics
	case m.plain():
		return stageWalks
	}
	return stageTriads
}

// topic is what the motion that comes i-th is practised with.
func (m motion) topic(i int) string {
	switch {
	case !m.plain():
		return "walk-ups in minor and with half steps"
	case i < firstMotions:
		return "walk-ups between 1, 4 and 5"
	}
	return "walk-ups to and from 2 and 6"
}

// say names the motion: "walk-up from 4 to 1, skipping the first passing note".
func (m motion) say() string {
	word := "walk-up"
	if m.walk.Down {
		word = "walk-down"
	}
	said := fmt.Sprintf("%s from %s to %s", word, m.from, m.to)
	if how := m.how(); how != "" {
		said += ", " + how
	}
	return said
}

// how says what is special about the motion, "" for nothing.
func (m motion) how() string {
	switch {
	case m.walk.Skip > 0:
		return "skipping the " + [...]string{"", "first", "second", "third"}[m.walk.Skip] + " passing note"
	case m.walk.Chromatic:
		return fmt.Sprintf("with %s at the end", halfSteps(m.walk.Notes))
	case m.leading():
		return "with the raised 6 and 7"
	}
	return ""
}

// asked puts the motion into a question, from a place or from none: "In Ab, walk up from
// 1 at string 6, fret 4, to 4".
func (m motion) asked(key, at string) string {
	way := "up"
	if m.walk.Down {
		way = "down"
	}
	if at != "" {
		at = " at " + at + ","
	}
	said := fmt.Sprintf("In %s, walk %s from %s%s to %s", key, way, m.from, at, m.to)
	if how := m.how(); how != "" {
		said += ", " + how
	}
	return said
}

// plain reports whether the motion goes by all notes of a major scale.
func (m motion) plain() bool { return m.mode == theory.Major && m.how() == "" }

// leading reports whether the motion goes from the dominant of a minor key, whose
// chord has the leading tone, to its tonic.
func (m motion) leading() bool { return m.mode == theory.Minor && m.from == "5" && m.to == "1" }

// scale is the scale by which the motion goes in k.
func (m motion) scale(k theory.Key) theory.Key {
	if m.leading() {
		k.Mode = theory.HarmonicMinor
	}
	return k
}

// inMode says that something is of a minor key.
func inMode(m theory.Mode) string {
	if m == theory.Minor {
		return " of a minor key"
	}
	return ""
}
