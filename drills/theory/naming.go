package theory

import (
	"cmp"
	"slices"
)

// farFetched is how much odder than the best a reading may be.
const farFetched = 1.25

// ChordsOf names the chord that notes make, the first of which is the bass;
// octaves and doublings don't matter. It returns the readings, most likely
// first and the far-fetched left out: the one with the fewest oddities, and
// between equals the one whose root is the bass, so that C E G A is C6 and
// A C E G is Am7. A tone that is missing is named ("Bm7no5"). Fewer than two
// different notes have no reading.
//
// Notes are taken as they sound; their spelling decides only how roots are
// written and between readings otherwise equal.
func ChordsOf(notes ...Note) []Chord {
	sounding := pitchClasses(notes)
	type reading struct {
		chord Chord
		cost  float64
	}
	var readings []reading
	read := func(rootNote Note, sounding uint16, foreign bool) {
		t, ok := hear(rootNote.PitchClass(), sounding)
		if !ok {
			return
		}
		q, _ := t.settle() // what is heard so always has a symbol
		c := Chord{Root: rootNote, Quality: q}.overSounding(notes[0])
		cost := q.tones().oddity()
		switch {
		case foreign:
			cost += 1.5
		case c.Slashed():
			cost++
		}
		for _, iv := range c.Intervals() {
			if !slices.Contains(notes, rootNote.Add(iv)) {
				cost += 0.05
			}
		}
		readings = append(readings, reading{c, cost})
	}
	var roots uint16
	for _, n := range notes {
		if roots&(1<<n.PitchClass()) != 0 || pitchClasses(notes[:1]) == sounding {
			continue
		}
		roots |= 1 << n.PitchClass()
		read(n, sounding, false)
		if rest := sounding &^ pitchClasses(notes[:1]); rest&(1<<n.PitchClass()) != 0 {
			if t, _ := hear(n.PitchClass(), rest); t.any(minorThird|majorThird) && t.any(fifth) {
				read(n, rest, true) // G over A, rather than Gadd9 over A
			}
		}
	}
	slices.SortStableFunc(readings, func(a, b reading) int { return cmp.Compare(a.cost, b.cost) })
	var chords []Chord
	for _, r := range readings {
		if r.cost > readings[0].cost+farFetched {
			break
		}
		chords = append(chords, r.chord)
	}
	return chords
}

// overSounding returns c over a bass, spelled as c spells that tone if it has
// it: Cm over D# is Cm/Eb.
func (c Chord) overSounding(bass Note) Chord {
	for _, iv := range c.Intervals() {
		if tone := c.Root.Add(iv); tone.Enharmonic(bass) {
			return c.WithBass(tone)
		}
	}
	return c.WithBass(bass)
}

// hear takes the sounding pitch classes as tones above a root. It is not ok
// where two sevenths sound, for which there is no symbol.
func hear(rootClass int, sounding uint16) (t tones, ok bool) {
	above := (sounding>>rootClass | sounding<<(12-rootClass)) & 0xfff
	has := func(semitones int) bool { return above&(1<<semitones) != 0 }
	// By semitones above the root: what each is taken for.
	as := [12]tones{root, flatNinth, ninth, minorThird, majorThird, eleventh,
		flatFifth, fifth, sharpFifth, sixth, minorSeventh, majorSeventh}
	if has(4) {
		as[3] = sharpNinth
	}
	if has(7) {
		as[6] = sharpEleventh
	}
	if has(7) || has(6) {
		as[8] = flatThirteenth
	}
	if has(3) && !has(4) && has(6) && !has(7) && !has(10) && !has(11) {
		as[9] = diminishedSeventh
	}
	for semitones, tone := range as {
		if has(semitones) {
			t |= tone
		}
	}
	return t, !(has(10) && has(11))
}

// oddity is a cost: 0 for a plain triad, and more the less often a chord like
// it is met. Only comparisons matter. The weights are ours.
func (t tones) oddity() float64 {
	cost := 0.0
	add := func(u tones, c float64) {
		if t.any(u) {
			cost += c
		}
	}
	switch {
	case t.any(minorThird | majorThird):
	case t.any(second | fourth):
		add(fourth, 0.5)
		add(second, 0.7)
	case t&^(root|fifth) == 0:
		cost += 0.8 // power chord
	default:
		cost += 2
	}
	switch {
	case !t.any(anyFifth) && t.any(minorThird|majorThird):
		cost += 0.6
	case !t.any(anyFifth):
		cost += 1.6
	case t.diminished():
		cost += 0.3
	case t.augmented():
		cost += 0.5
	case !t.any(fifth):
		cost += 1.2
	}
	add(minorSeventh|majorSeventh, 0.3)
	add(sixth, 0.7)
	stacked := 1.0 // nothing to stand on
	if t.any(anySeventh | sixth) {
		stacked = 0
	}
	add(ninth, 0.4+0.4*stacked)
	add(thirteenth, 0.6)
	if t.any(majorThird) {
		add(eleventh, 1.2)
	} else {
		add(eleventh, 0.6)
	}
	for _, u := range []tones{flatNinth, sharpNinth, sharpEleventh, flatThirteenth} {
		add(u, 0.8+stacked)
	}
	return cost
}
