package theory_test

import (
	"fmt"
	"strings"
	"testing"

	. "surefret/drills/theory"
)

// The handbooks that the values below come from.
const (
	gehrkens = "K. W. Gehrkens, Music Notation and Terminology (1914), "
	gardner  = "C. E. Gardner, Essentials of Music Theory: Elementary (1912), "
	omt      = "K. Shaffer, B. Hughes, B. Moseley, Open Music Theory (2014), "
	ubmt     = "C. Schmidt-Jones, Understanding Basic Music Theory (2013), "
	iso16    = "ISO 16:1975, standard tuning frequency"
	young    = "R. W. Young, Terminology for logarithmic frequency units, JASA 11 (1939) 134"
	midi     = "MIDI 1.0 specification and MIDI Tuning Standard"
	memory   = "from memory: standard textbook material, not looked up"
	practice = "common practice, no source"
)

// Each value is one that a reckoning by semitones, or by sharps only, gets
// wrong.
func TestIntervalsMatchHandbooks(t *testing.T) {
	for _, v := range []struct{ from, to, short, name, source string }{
		{"F4", "G#4", "A2", "augmented second", gehrkens + "par. 186: an augmented second is three half-steps"},
		{"F4", "Ab4", "m3", "minor third", memory},
		{"F4", "B4", "A4", "augmented fourth", memory},
		{"B4", "F5", "d5", "diminished fifth", memory},
		{"C4", "C#4", "A1", "augmented unison", gehrkens + "par. 185, augmented prime C-C#"},
		{"B3", "C#4", "M2", "major second", gehrkens + "par. 186"},
		{"C4", "G#4", "A5", "augmented fifth", gehrkens + "par. 184: C-G# is still a fifth"},
		{"C4", "Bbb4", "d7", "diminished seventh", gehrkens + "par. 191"},
		{"C4", "Cb5", "d8", "diminished octave", gehrkens + "par. 192"},
		{"C4", "C#5", "A8", "augmented octave", gehrkens + "par. 192"},
		{"C4", "C6", "P15", "perfect fifteenth", gehrkens + "par. 193"},
		{"C4", "E5", "M10", "major tenth", omt + "Intervals and dyads, compound intervals"},
		{"C4", "Dbb4", "d2", "diminished second", ubmt + "table of intervals from C: no half steps"},
		{"C4", "Ebb4", "d3", "diminished third", ubmt + "table of intervals from C"},
		{"C4", "Fb4", "d4", "diminished fourth", ubmt + "table of intervals from C"},
		{"C4", "E#4", "A3", "augmented third", ubmt + "table of intervals from C"},
		{"C4", "Abb4", "d6", "diminished sixth", ubmt + "table of intervals from C"},
		{"C4", "A#4", "A6", "augmented sixth", ubmt + "table of intervals from C"},
		{"C4", "B#3", "-d2", "descending diminished second", "LilyPond 2.24, ly:pitch-diff: one step down, no semitones"},
		{"E2", "G3", "m10", "minor tenth", memory},
	} {
		iv := Between(mustPitch(t, v.from), mustPitch(t, v.to))
		if iv.String() != v.short || iv.Name() != v.name {
			t.Errorf("%s to %s: got %v (%s), want %s (%s), %s", v.from, v.to, iv, iv.Name(), v.short, v.name, v.source)
		}
		if back, err := ParseInterval(v.name); err != nil || back != iv {
			t.Errorf("reading %q: got %v, %v", v.name, back, err)
		}
	}
}

func TestInversionsMatchHandbooks(t *testing.T) {
	for _, v := range []struct{ from, to, source string }{
		{"M3", "m6", gehrkens + "par. 195"},
		{"M2", "m7", gardner + "Inversion of Intervals"},
		{"M6", "m3", gardner + "Inversion of Intervals"},
		{"P1", "P8", gardner + "Inversion of Intervals"},
		{"P8", "P1", gardner + "Rule 8: an octave inverts to a prime"},
		{"P4", "P5", gardner + "Inversion of Intervals"},
		{"A4", "d5", gardner + "Inversion of Intervals"},
		{"d7", "A2", gardner + "Inversion of Intervals"},
		{"m10", "M6", gardner + "Inversion of Intervals: a tenth inverts as a third"},
	} {
		iv, err := ParseInterval(v.from)
		if err != nil {
			t.Fatal(err)
		}
		if got := iv.Invert().String(); got != v.to {
			t.Errorf("%s inverts to %s, want %s, %s", v.from, got, v.to, v.source)
		}
	}
}

func TestPitchesMatchStandards(t *testing.T) {
	for _, v := range []struct {
		pitch  string
		midi   int
		hz     string // to two decimals
		source string
	}{
		{"A4", 69, "440.00", iso16},
		{"C4", 60, "261.63", young},
		{"Cb4", 59, "246.94", omt + "Pitches and octave designations: C-flat4 sounds as B3"},
		{"B#3", 60, "261.63", "the same rule at the other end of the octave, " + memory},
		{"E2", 40, "82.41", "equal temperament from ISO 16: 440 x 2^(-29/12)"},
		{"C-1", 0, "8.18", midi + ": key 0 is 8.1758 Hz"},
		{"G9", 127, "12543.85", midi + ": key 127 is 12543.854 Hz"},
	} {
		p := mustPitch(t, v.pitch)
		if hz := fmt.Sprintf("%.2f", p.Hz(440)); p.MIDI() != v.midi || hz != v.hz {
			t.Errorf("%s: got key %d at %s Hz, want %d at %s, %s", v.pitch, p.MIDI(), hz, v.midi, v.hz, v.source)
		}
	}
	if got := fmt.Sprintf("%.3f", mustPitch(t, "A3").Hz(432)); got != "216.000" {
		t.Errorf("A3 against A4 = 432 Hz: got %s", got)
	}
}

func TestKeysMatchHandbooks(t *testing.T) {
	for _, v := range []struct {
		key       string
		signature int
		scale     string
		source    string
	}{
		{"Gb major", -6, "Gb Ab Bb Cb Db Eb F", gardner + "list of signatures: six flats, b e a d g c"},
		{"Cb major", -7, "Cb Db Eb Fb Gb Ab Bb", gardner + "list of signatures: seven flats"},
		{"C# major", 7, "C# D# E# F# G# A# B#", gardner + "list of signatures: seven sharps, the last on b"},
		{"F# major", 6, "F# G# A# B C# D# E#", gardner + "list of signatures: six sharps, the last on e"},
		{"D# minor", 6, "D# E# F# G# A# B C#", memory},
		{"Ab minor", -7, "Ab Bb Cb Db Eb Fb Gb", memory},
		{"A# minor", 7, "A# B# C# D# E# F# G#", memory},
		{"A harmonic minor", 0, "A B C D E F G#", gardner + "The Minor Scale: the raised seventh is not in the signature"},
		{"G# harmonic minor", 5, "G# A# B C# D# E F##", memory},
		{"F melodic minor", -4, "F G Ab Bb C D E", "J. Burg, J. Romney, E. Schwartz, Digital Sound & Music (2013), ch. 3, fig. 3.20"},
		{"E melodic minor", 1, "E F# G A B C# D#", "J. Burg, J. Romney, E. Schwartz, Digital Sound & Music (2013), ch. 3"},
		{"F lydian", 0, "F G A B C D E", memory},
		{"Eb dorian", -5, "Eb F Gb Ab Bb C Db", memory},
		{"B locrian", 0, "B C D E F G A", memory},
		{"E minor pentatonic", 1, "E G A B D", memory},
		{"C blues", -3, "C Eb F Gb G Bb", memory},
		{"A major blues", 3, "A B C C# E F#", memory},
	} {
		k := mustKey(t, v.key)
		if k.Signature() != v.signature || words(k.Scale()) != v.scale {
			t.Errorf("%s: got %d, %s; want %d, %s, %s", v.key, k.Signature(), words(k.Scale()), v.signature, v.scale, v.source)
		}
	}
	for _, v := range []struct{ key, relative, source string }{
		{"F# major", "D# minor", memory},
		{"Gb major", "Eb minor", memory},
		{"A minor", "C major", gardner + "The Minor Scale: a minor has no sharps or flats"},
	} {
		if got := mustKey(t, v.key).Relative().String(); got != v.relative {
			t.Errorf("relative of %s: got %s, want %s, %s", v.key, got, v.relative, v.source)
		}
	}
}

func TestEnharmonicKeysMatchHandbooks(t *testing.T) {
	for _, v := range []struct{ key, other, source string }{
		{"B major", "Cb major", gardner + "The enharmonic keys used in practice"},
		{"Gb major", "F# major", gardner + "The enharmonic keys used in practice"},
		{"C# major", "Db major", gardner + "The enharmonic keys used in practice"},
	} {
		got, ok := mustKey(t, v.key).Enharmonic()
		if !ok || got.String() != v.other {
			t.Errorf("%s: got %v, %t, want %s, %s", v.key, got, ok, v.other, v.source)
		}
	}
	if got, ok := mustKey(t, "E major").Enharmonic(); ok {
		t.Errorf("E major has no enharmonic key in use (Gardner), got %v", got)
	}
	// Gardner, Rule 4, worked: the key of eleven flats sounds as the key of
	// one sharp, and is A double flat.
	abb := Key{Tonic: mustNote(t, "Abb")}
	if abb.Signature() != -11 {
		t.Errorf("A double flat major: got signature %d", abb.Signature())
	}
	if err := abb.Check(); err == nil || !strings.Contains(err.Error(), "11 flats") || !strings.Contains(err.Error(), "G major") {
		t.Errorf("A double flat major: got error %v", err)
	}
}

func TestChordsMatchHandbooks(t *testing.T) {
	for _, v := range []struct{ symbol, notes, source string }{
		{"C+", "C E G#", omt + "Triads and seventh chords, building a triad"},
		{"Cm/Eb", "Eb G C", omt + "Triads and seventh chords, building a triad"},
		{"D#dim/F#", "F# A D#", omt + "Triads and seventh chords, lead-sheet symbols"},
		{"G△7", "G B D F#", omt + "Triads and seventh chords: major seventh M3 P5 M7"},
		{"F♯m7", "F# A C# E", omt + "Triads and seventh chords: minor seventh m3 P5 m7"},
		{"D°7", "D F Ab Cb", omt + "Triads and seventh chords: diminished seventh m3 d5 d7"},
		{"Aø7", "A C Eb G", omt + "Triads and seventh chords: half-diminished m3 d5 m7"},
		{"C#dim7", "C# E G Bb", omt + "the same intervals, on C sharp"},
		{"Cdim7", "C Eb Gb Bbb", omt + "the same intervals, on C"},
		{"Cdim7", "C Eb Gb Bbb", "LilyPond 2.24, chord mode c:dim7"},
		{"Abdim7", "Ab Cb Ebb Gbb", omt + "the same intervals, on A flat"},
		{"Bbaug", "Bb D F#", omt + "augmented triad M3 A5, on B flat"},
		{"G#aug", "G# B# D##", omt + "augmented triad M3 A5, on G sharp"},
		{"EmM7", "E G B D#", memory},
		{"Gsus2", "G A D", memory},
		{"Ebm", "Eb Gb Bb", memory},
		{"D#m", "D# F# A#", memory},
		{"F7#9", "F A C Eb G#", memory},
		{"B7b9", "B D# F# A C", memory},
		{"Dbmaj9", "Db F Ab C Eb", memory},
	} {
		c := mustChord(t, v.symbol)
		if words(c.Notes()) != v.notes {
			t.Errorf("%s: got %s, want %s, %s", v.symbol, words(c.Notes()), v.notes, v.source)
		}
	}
}

func TestChordsInKeysMatchHandbooks(t *testing.T) {
	for _, v := range []struct{ key, roman, chord, notes, source string }{
		{"Gb", "IV", "Cb", "Cb Eb Gb", memory},
		{"B", "vi", "G#m", "G# B D#", memory},
		{"Eb", "ii7", "Fm7", "F Ab C Eb", omt + "Triads and seventh chords: ii7 is a minor seventh on re fa la do"},
		{"Eb", "V7/V", "F7", "F A C Eb", omt + "Applied chords: F7 in E flat is V7/V"},
		{"C", "vii°/V", "F#dim", "F# A C", omt + "Applied chords: F#dim in C is vii°/V"},
		{"C", "#iv°", "F#dim", "F# A C", omt + "Applied chords"},
		{"C# major", "V", "G#", "G# B# D#", gardner + "list of signatures: B is sharp"},
		{"A minor", "bVI", "F", "F A C", omt + "VI: major on le do me"},
		{"C minor", "vii°7", "Bdim7", "B D F Ab", omt + "vii°7: diminished seventh on ti re fa le"},
		{"F minor", "iiø7", "Gm7b5", "G Bb Db F", omt + "ii7 in minor: half-diminished on re fa le do"},
		{"Db", "bII", "Ebb", "Ebb Gb Bbb", memory},
	} {
		k := mustKey(t, v.key)
		n, err := ParseNumeral(v.roman)
		if err != nil {
			t.Fatal(err)
		}
		c := k.Chord(n)
		if c.String() != v.chord || words(c.Notes()) != v.notes {
			t.Errorf("%s in %s: got %v (%s), want %s (%s), %s", v.roman, v.key, c, words(c.Notes()), v.chord, v.notes, v.source)
		}
		if n.Roman() != v.roman {
			t.Errorf("%s prints as %s", v.roman, n.Roman())
		}
		if v.key == "F minor" && k.Sevenths()[1] != c {
			t.Errorf("second seventh chord of F minor: got %v", k.Sevenths()[1])
		}
	}
	// Open Music Theory, Triads and seventh chords: the qualities on the
	// degrees of major, minor and harmonic minor.
	for _, v := range []struct{ key, triads, sevenths string }{
		{"C", "I ii iii IV V vi vii°", "Imaj7 ii7 iii7 IVmaj7 V7 vi7 viiø7"},
		{"C minor", "i ii° bIII iv v bVI bVII", "i7 iiø7 bIIImaj7 iv7 v7 bVImaj7 bVII7"},
		{"C harmonic minor", "i ii° bIII+ iv V bVI vii°", "iM7 iiø7 bIIImaj7#5 iv7 V7 bVImaj7 vii°7"},
	} {
		k := mustKey(t, v.key)
		if got := Progression(k.Triads()).Romans(k); got != v.triads {
			t.Errorf("triads of %s: got %s", v.key, got)
		}
		if got := Progression(k.Sevenths()).Romans(k); got != v.sevenths {
			t.Errorf("sevenths of %s: got %s", v.key, got)
		}
	}
}

func TestSpellingInAKeyMatchesHandbooks(t *testing.T) {
	for _, v := range []struct {
		midi        int
		key, spelt  string
		whyOrSource string
	}{
		{68, "A minor", "G#4", gardner + "The Minor Scale: the raised seventh"},
		{68, "C minor", "Ab4", memory},
		{71, "C# major", "B4", "the flat seventh of C sharp, " + memory},
		{72, "C# major", "B#4", gardner + "list of signatures"},
		{71, "Gb major", "Cb5", gardner + "list of signatures"},
		{59, "Eb minor", "Cb4", "the octave belongs to the letter: " + omt + "Pitches"},
		{66, "C major", "F#4", "stage 1 of ps13, Meredith 2006: nearest on the line of fifths"},
		{61, "C major", "Db4", "stage 1 of ps13, Meredith 2006: nearest on the line of fifths"},
		{67, "G# harmonic minor", "F##4", memory},
		{66, "C blues", "Gb4", "the blues scale has a flat fifth, " + practice},
		{65, "B locrian", "F4", "the flat fifth of the mode, " + memory},
	} {
		if got := Spell(v.midi, mustKey(t, v.key)).String(); got != v.spelt {
			t.Errorf("key %d in %s: got %s, want %s, %s", v.midi, v.key, got, v.spelt, v.whyOrSource)
		}
	}
	// Passing notes, common practice, no source: rising they are raised,
	// falling lowered; a neighbour that turns back is no passing note.
	for _, v := range []struct {
		key, line string
	}{
		{"C", "F4 F#4 G4 G#4 A4"},
		{"C", "D4 Db4 C4"},
		{"F", "C4 C#4 D4"},
		{"G", "B4 Bb4 A4"},
		{"C", "E4 F4 F#4 G4"},
		{"C", "C4 Db4 C4"},
	} {
		var midi []int
		for _, f := range strings.Fields(v.line) {
			midi = append(midi, mustPitch(t, f).MIDI())
		}
		if got := words(SpellLine(midi, mustKey(t, v.key))); got != v.line {
			t.Errorf("in %s: got %s, want %s", v.key, got, v.line)
		}
	}
}
