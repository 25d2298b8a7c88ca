package theory

// Spell returns the pitch that sounds as a MIDI key number, spelled in k: as
// the scale spells it, and for the notes between as the one that lies closest
// to the tonic on the line of fifths, from b2 to #4. That rule is stage 1 of
// the ps13 algorithm (Meredith, Journal of New Music Research 35(2), 2006),
// with the tonic given.
func Spell(midi int, k Key) Pitch {
	tonic := k.Tonic.fifths()
	place := tonic - 5 + mod(7*midi-tonic+5, 12)
	if n := noteAt(place - 12); place == tonic+6 && k.Contains(n) {
		place -= 12 // b5 where the scale has one: locrian, blues
	}
	return pitchOf(noteAt(place).writable(), midi)
}

// SpellLine spells a melody in k. It differs from Spell on chromatic notes that a
// half step leads on from: they are spelled as neighbours of the note they lead to,
// with the letter beside its own, so that rising they are raised (F F# G) and falling
// lowered (D Db C). What would need a double accidental is spelled simply (E G G# A, not
// E F## G# A), and so is what is leapt to, from more than two half steps away: A C C# D,
// not A B# C# D, but B C# B# C#. Common practice, no source.
func SpellLine(midi []int, k Key) []Pitch {
	line := make([]Pitch, len(midi))
	for i, m := range midi {
		line[i] = Spell(m, k)
		if i == 0 || i == len(midi)-1 || k.Contains(line[i].Note) {
			continue
		}
		if step := midi[i+1] - m; abs(step) == 1 {
			n := Spell(midi[i+1], k).Add(Interval{-step, -step}).Note
			if leapt := abs(m-midi[i-1]) > 2; leapt || abs(n.Alter) > 1 {
				n = n.simplest()
			}
			line[i] = pitchOf(n, m)
		}
	}
	return line
}
