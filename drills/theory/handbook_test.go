package theory

import (
	"fmt"
	"strings"
	"testing"
)

// The handbooks that the values below come from.
const (
	gardner  = "C. E. Gardner, Essentials of Music Theory: Elementary (1912), "
	omt      = "K. Shaffer, B. Hughes, B. Moseley, Open Music Theory (2014), "
	meredith = "stage 1 of ps13, Meredith 2006: nearest on the line of fifths"
	memory   = "from memory: standard textbook material, not looked up"
	practice = "common practice, no source"
)

func TestPitchesMatchStandards(t *testing.T) {
	for _, v := range []struct {
		pitch  string
		midi   int
		hz     string // to two decimals
		source string
	}{
		{"A4", 69, "440.00", "ISO 16:1975, standard tuning frequency"},
		{"C4", 60, "261.63", "R. W. Young, Terminology for logarithmic frequency units, JASA 11 (1939) 134"},
		{"Cb4", 59, "246.94", omt + "Pitches and octave designations: C-flat4 sounds as B3"},
		{"B#3", 60, "261.63", "the same rule at the other end of the octave, " + memory},
		{"C-1", 0, "8.18", "MIDI Tuning Standard: key 0 is 8.1758 Hz"},
		{"G9", 127, "12543.85", "MIDI Tuning Standard: key 127 is 12543.854 Hz"},
	} {
		p := must(t, ParsePitch, v.pitch)
		if hz := fmt.Sprintf("%.2f", p.Hz(440)); p.MIDI() != v.midi || hz != v.hz {
			t.Errorf("%s: got key %d at %s Hz, want %d at %s, %s", v.pitch, p.MIDI(), hz, v.midi, v.hz, v.source)
		}
	}
	if got := fmt.Sprintf("%.3f", must(t, ParsePitch, "A3").Hz(432)); got != "216.000" {
		t.Errorf("A3 against A4 = 432 Hz: got %s", got)
	}
}

func TestChordsInKeysMatchHandbooks(t *testing.T) {
	for _, v := range []struct{ key, roman, number, chord, notes, source string }{
		{"Gb", "IV", "4", "Cb", "Cb Eb Gb", memory},
		{"B", "vi", "6-", "G#m", "G# B D#", memory},
		{"D", "V/7", "5/7", "A/C#", "C# E A", practice},
		{"C", "I/2", "1/2", "C/D", "D C E G", practice},
		{"Eb", "ii7", "2-7", "Fm7", "F Ab C Eb", omt + "Triads and seventh chords: ii7 is a minor seventh on re fa la do"},
		{"Eb", "V7/V", "27", "F7", "F A C Eb", omt + "applied chords: F7 in E flat is V7/V"},
		{"C", "vii°/V", "#4dim", "F#dim", "F# A C", omt + "applied chords: F#dim in C is vii°/V"},
		{"C# major", "V", "5", "G#", "G# B# D#", gardner + "list of signatures: B is sharp"},
		{"A minor", "bVI", "b6", "F", "F A C", omt + "VI: major on le do me"},
		{"C minor", "vii°7", "7dim7", "Bdim7", "B D F Ab", omt + "vii°7: diminished seventh on ti re fa le"},
		{"F minor", "iiø7", "2-7b5", "Gm7b5", "G Bb Db F", omt + "ii7 in minor: half-diminished on re fa le do"},
		{"C minor", "bIII+", "b3aug", "Ebaug", "Eb G B", omt + "III+ of the harmonic minor"},
		{"Db", "bII", "b2", "Ebb", "Ebb Gb Bbb", memory},
	} {
		k, n := must(t, ParseKey, v.key), must(t, ParseNumeral, v.roman)
		c := k.Chord(n)
		if c.String() != v.chord || words(c.Notes()) != v.notes || n.Roman() != v.roman || n.Number() != v.number {
			t.Errorf("%s in %s: got %s, %s, %v (%s), want %s, %s (%s), %s", v.roman, v.key, n.Roman(), n.Number(), c, words(c.Notes()), v.number, v.chord, v.notes, v.source)
		}
	}
}

func TestSpellingInAKeyMatchesHandbooks(t *testing.T) {
	for _, v := range []struct {
		midi               int
		key, spelt, source string
	}{
		{68, "A minor", "G#4", gardner + "The Minor Scale: the raised seventh"},
		{71, "C# major", "B4", "the flat seventh of C sharp, " + memory},
		{72, "C# major", "B#4", gardner + "list of signatures"},
		{59, "Eb minor", "Cb4", "the octave belongs to the letter: " + omt + "Pitches"},
		{66, "C major", "F#4", meredith},
		{61, "C major", "Db4", meredith},
		{67, "G# harmonic minor", "F##4", memory},
		{66, "C blues", "Gb4", "the blues scale has a flat fifth, " + practice},
		{65, "B locrian", "F4", "the flat fifth of the mode, " + memory},
	} {
		if got := Spell(v.midi, must(t, ParseKey, v.key)).String(); got != v.spelt {
			t.Errorf("key %d in %s: got %s, want %s, %s", v.midi, v.key, got, v.spelt, v.source)
		}
	}
	// Passing notes, common practice, no source: rising they are raised,
	// falling lowered, and so are neighbours that turn back.
	for _, v := range [][2]string{
		{"C", "F4 F#4 G4 G#4 A4"}, {"C", "D4 Db4 C4"}, {"F", "C4 C#4 D4"}, {"G", "B4 Bb4 A4"}, {"C", "E4 F4 F#4 G4"}, {"C", "C4 Db4 C4"}, {"C", "D4 C#4 D4"},
		{"E", "E3 G3 G#3 A3"}, {"F#", "C#4 D4 D#4"}, {"B", "E4 E#4 F#4"}, {"C", "C4 Eb4 C4"},
		{"A", "A3 C4 C#4 D4"}, {"D", "D3 F3 F#3 G3"}, {"G", "G3 A#3 B3 C4"}, {"Ab", "Ab3 E3 Eb3"}, {"A", "B3 C#4 B#3 C#4"},
	} {
		var midi []int
		for _, f := range strings.Fields(v[1]) {
			midi = append(midi, must(t, ParsePitch, f).MIDI())
		}
		if got := words(SpellLine(midi, must(t, ParseKey, v[0]))); got != v[1] {
			t.Errorf("in %s: got %s, want %s", v[0], got, v[1])
		}
	}
}
