package theory

// Spell returns the pitch that sounds as a MIDI key number, spelled in k: as
// the scale spells it, and for the notes between as the one that lies closest
// to the tonic on the line of fifths, from b2 to #4. That rule is stage 1 of
// the ps13 algorithm (Meredith, Journal of New Music Research 35(2), 2006),
// with the tonic given.
func Spell(midi int, k Key) Pitch {
	tonic := k.Tonic.Fifths()
	place := tonic - 5 + mod(7*midi-tonic+5, 12)
	if n := NoteAt(place - 12); place == tonic+6 && k.Contains(n) {
		place -= 12 // b5 where the scale has one: locrian, blues
	}
	return pitchOf(NoteAt(place).writable(), midi)
}

// SpellLine spells a melody in k. It differs from Spell on chromatic passing
// notes: rising by semitones they are the note left, raised (F F# G), falling
// they are the note left, lowered (D Db C). Common practice, no source.
func SpellLine(midi []int, k Key) []Pitch {
	line := make([]Pitch, len(midi))
	for i, m := range midi {
		line[i] = Spell(m, k)
		if i == 0 || i == len(midi)-1 || k.Contains(line[i].Note) {
			continue
		}
		// On its way to a note a half step off it is what it comes from, altered: A
		// sharp on the way up to B, B flat on the way down to A.
		step := midi[i+1] - m
		if from := Spell(m-step, k); abs(step) == 1 && (m-midi[i-1])*step > 0 && k.Contains(from.Note) && abs(from.Alter+step) <= 2 {
			from.Alter += step
			line[i] = from
		}
	}
	return line
}
