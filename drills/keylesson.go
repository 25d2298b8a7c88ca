package drills

import (
	"fmt"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// What a teacher says of a key: how its signature is counted, and where its chords lie
// on the low strings.

// signatureRule spells the signature of a key and says how it is found.
func (s Setup) signatureRule(k theory.Key) string {
	major := k
	rule := ""
	if k.Mode.Minor() {
		major = k.Relative()
		rule = fmt.Sprintf("%s has the signature of %s: ", s.Names.Key(k), s.Names.Key(major))
	} else {
		rule = s.Names.Key(k) + " has "
	}
	signs := major.Accidentals()
	if len(signs) == 0 {
		return rule + "no sharps or flats"
	}
	rule += s.sayNotes(signs)
	switch last := s.Names.Note(signs[len(signs)-1]); {
	case signs[0].Alter > 0:
		return fmt.Sprintf("%s; the last sharp, %s, is a half step below %s", rule, last, s.Names.Note(major.Tonic))
	case len(signs) > 1:
		return fmt.Sprintf("%s; the last flat but one is the keynote, %s", rule, s.Names.Note(major.Tonic))
	}
	return fmt.Sprintf("%s, its 4", rule)
}

// written says how a key is written that has too many accidentals for a signature.
func (s Setup) written(k theory.Key) string {
	return fmt.Sprintf("%s is written %s", s.Names.Key(k), s.Names.Key(theory.SimplestKey(k.Tonic.PitchClass(), k.Mode, k.Signature() < 0)))
}

func (s Setup) signatureLesson(k theory.Key) Lesson {
	return Lesson{
		Pattern: s.signatureRule(k),
		Here:    fmt.Sprintf("%s: %s", s.Names.Key(k), s.sayNotes(k.Scale())),
		Heard:   s.scaleRow(k),
	}
}

// scaleRow is the cue of a scale, from the low strings up to the keynote.
func (s Setup) scaleRow(k theory.Key) []Sounding {
	lowest := s.Neck.MIDI(fretboard.Position{String: s.Neck.Tuning.Strings()})
	midi := lowest + (k.Tonic.PitchClass()+120-lowest)%12
	if at, ok := s.rootPlace(k.Tonic); ok {
		midi = s.Neck.MIDI(at)
	}
	var midis []int
	for _, n := range k.Scale() {
		midis = append(midis, midi+(n.PitchClass()-k.Tonic.PitchClass()+12)%12)
	}
	return row(append(midis, midi+12))
}

// rootPlace is where a root is looked for first: on the lowest string that has it, between
// the frets asked, or as near to them as that has it. Behind a high capo there may be none.
func (s Setup) rootPlace(n theory.Note) (at fretboard.Position, ok bool) {
	for _, str := range lowFirst(s.Neck.Tuning) {
		for _, at = range s.Neck.Find(n, str) {
			if ok = true; at.Fret >= s.Frets[0] {
				return at, true
			}
		}
		if ok {
			return at, true
		}
	}
	return at, false
}

// degreePlaces are the places of the 1 of a key and of a degree beside it, on the two
// lowest strings, or the next that has it. Behind a high capo there may be none.
func (s Setup) degreePlaces(k theory.Key, d theory.Degree) (one, other fretboard.Position, ok bool) {
	one, ok = s.rootPlace(k.Tonic)
	best := -1
	for i, str := range lowFirst(s.Neck.Tuning) {
		if i > 1 && best >= 0 {
			break
		}
		for _, p := range s.Neck.Find(k.Note(d), str) {
			if away := abs(p.Fret - one.Fret); best < 0 || away < best {
				best, other = away, p
			}
		}
	}
	return one, other, ok && best >= 0
}

// degreeLesson shows the 1 of a key and another degree on the low strings.
func (s Setup) degreeLesson(k theory.Key, d theory.Degree, rule string) Lesson {
	one, other, ok := s.degreePlaces(k, d)
	if !ok {
		return Lesson{Pattern: rule, Here: fmt.Sprintf("In %s: the 1 is %s, the %s is %s", s.Names.Key(k), s.Names.Note(k.Tonic), d, s.Names.Note(k.Note(d)))}
	}
	marks := append(s.named(k.Tonic, one), s.named(k.Note(d), other)...)
	return Lesson{
		Pattern: rule,
		Here:    fmt.Sprintf("In %s: the 1 is %s at %s, the %s is %s at %s", s.Names.Key(k), marks[0].Label, say(one), d, marks[1].Label, say(other)),
		Marks:   marks,
		Heard:   row([]int{s.Neck.MIDI(one), s.Neck.MIDI(other)}),
	}
}

// chordLesson shows the chord of a number and where its root lies.
func (s Setup) chordLesson(k theory.Key, n theory.Numeral) Lesson {
	l := s.degreeLesson(k, n.Degree, s.degreeRule(k, n))
	l.Here = fmt.Sprintf("The %s of %s is %s. %s", n.Number(), s.inKey(k), s.Names.Chord(k.Chord(n)), l.Here)
	return l
}

// isChord says what a chord is in a key: its number, or that the key does not have it.
func (s Setup) isChord(k theory.Key, c theory.Chord) string {
	for _, n := range c.Notes() {
		if !k.Contains(n) {
			return fmt.Sprintf("%s has %s, which %s does not", s.Names.Chord(c), s.Names.Note(n), s.Names.Key(k))
		}
	}
	return fmt.Sprintf("%s is the %s", s.Names.Chord(c), k.Numeral(c).Number())
}

func (s Setup) progressionLesson(numbers string, k theory.Key, chords theory.Progression) Lesson {
	var words []string
	var marks []Mark
	var midis []int
	seen := map[theory.Note]bool{}
	for i, number := range strings.Fields(numbers) {
		words = append(words, fmt.Sprintf("%s is %s", number, s.Names.Chord(chords[i])))
		_, at, ok := s.degreePlaces(k, k.Degree(chords[i].Root))
		if !ok {
			continue
		}
		if !seen[chords[i].Root] {
			marks = append(marks, s.named(chords[i].Root, at)...)
		}
		seen[chords[i].Root] = true
		midis = append(midis, s.Neck.MIDI(at))
	}
	return Lesson{
		Pattern: fmt.Sprintf("Count up the scale of %s: %s", s.Names.Key(k), s.sayNotes(k.Scale())),
		Here:    strings.Join(words, ", "),
		Marks:   marks,
		Heard:   row(midis),
	}
}
