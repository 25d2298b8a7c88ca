package theory_test

import (
	"errors"
	"strings"
	"testing"

	. "surefret/drills/theory"
)

func TestNotesAreReadAsPlayersWriteThem(t *testing.T) {
	for s, want := range map[string]string{
		"F#": "F#", "f♯": "F#", "Gb": "Gb", "G♭": "Gb", "Fx": "F##", "F##": "F##", "F𝄪": "F##", "F♯#": "F##",
		"Bbb": "Bbb", "bbb": "Bbb", "B𝄫": "Bbb", "b": "B", "bb": "Bb", "E♭♭": "Ebb",
	} {
		if n := mustNote(t, s); n.String() != want {
			t.Errorf("%s is read as %v, want %s", s, n, want)
		}
	}
	for _, s := range []string{"", "H", "F#b", "F###", "Bbbb", "Fxx", "F#x", "C 4", "#", "♯", "Do", "CC", "c4", " C"} {
		if n, err := ParseNote(s); err == nil {
			t.Errorf("%q is read as %v", s, n)
		} else if !strings.Contains(err.Error(), "expected a letter A to G") {
			t.Errorf("%q: the error does not say what to write: %v", s, err)
		}
	}
}

func TestNotesArePrintedInEverySystem(t *testing.T) {
	for _, v := range []struct{ note, ascii, signs, solfege, solfegeSigns, german string }{
		{"B", "B", "B", "Si", "Si", "H"},
		{"Bb", "Bb", "B♭", "Sib", "Si♭", "B"},
		{"Bbb", "Bbb", "B𝄫", "Sibb", "Si𝄫", "Heses"},
		{"F##", "F##", "F𝄪", "Fa##", "Fa𝄪", "Fisis"},
		{"Ab", "Ab", "A♭", "Lab", "La♭", "As"},
		{"Ebb", "Ebb", "E𝄫", "Mibb", "Mi𝄫", "Eses"},
		{"G#", "G#", "G♯", "Sol#", "Sol♯", "Gis"},
		{"C", "C", "C", "Do", "Do", "C"},
	} {
		n := mustNote(t, v.note)
		for _, system := range []struct {
			names Names
			want  string
		}{
			{Names{}, v.ascii},
			{Names{Signs: true}, v.signs},
			{Names{System: Solfege}, v.solfege},
			{Names{System: Solfege, Signs: true}, v.solfegeSigns},
			{Names{System: German}, v.german},
			{Names{System: German, Signs: true}, v.german},
		} {
			if got := system.names.Note(n); got != system.want {
				t.Errorf("%s in %+v: got %s, want %s", v.note, system.names, got, system.want)
			}
		}
	}
	if got := (Names{System: Solfege}).Pitch(mustPitch(t, "Bb3")); got != "Sib3" {
		t.Errorf("Bb3 in solfege: got %s", got)
	}
	for names, want := range map[Names]string{{}: "F#m7b5/Bb", {Signs: true}: "F♯m7♭5/B♭", {System: Solfege}: "Fa#m7b5/Sib", {System: German, Signs: true}: "Fism7♭5/B"} {
		if got := names.Chord(mustChord(t, "F#m7b5/Bb")); got != want {
			t.Errorf("a chord in %+v: got %s, want %s", names, got, want)
		}
	}
}

func TestOtherSystemsReadTheirOwnNames(t *testing.T) {
	solfege, german := Names{System: Solfege}, Names{System: German}
	for _, v := range []struct {
		names Names
		s     string
		want  string
	}{
		{solfege, "ré", "D"}, {solfege, "RE", "D"}, {solfege, "ut", "C"}, {solfege, "ti♭", "Bb"}, {solfege, "sol#", "G#"},
		{german, "h", "B"}, {german, "B", "Bb"}, {german, "Bb", "Bb"}, {german, "F#", "F#"}, {german, "Eb", "Eb"},
		{german, "asas", "Abb"}, {german, "H#", "B#"}, {german, "HIS", "B#"},
	} {
		if n, err := v.names.Parse(v.s); err != nil || n.String() != v.want {
			t.Errorf("%q: got %v, %v, want %s", v.s, n, err, v.want)
		}
	}
	for _, v := range []struct {
		names Names
		s     string
	}{
		{solfege, "C"}, {solfege, "H"}, {solfege, "so"}, {solfege, "do###"},
		{german, "I"}, {german, "Bis"}, {german, "Bes"}, {german, "B#"}, {german, "Bbb"}, {german, "Cisisis"}, {german, "Do"}, {german, "Cises"},
	} {
		if n, err := v.names.Parse(v.s); err == nil {
			t.Errorf("%q in %+v is read as %v", v.s, v.names, n)
		}
	}
	for s, want := range map[string]string{"Asus4": "Asus4", "Assus4": "Absus4", "Esus2": "Esus2", "B7": "Bb7", "H7/Dis": "B7/D#", "Es-": "Ebm", "Fism7b5": "F#m7b5"} {
		if c, err := german.ParseChord(s); err != nil || c.String() != want {
			t.Errorf("%q in German: got %v, %v, want %s", s, c, err, want)
		}
	}
	if k, err := german.ParseKey("h moll"); err != nil || k != (Key{Tonic: Note{Letter: B}, Mode: Minor}) {
		t.Errorf("h moll: got %v, %v", k, err)
	}
}

func TestPitchesThatDontExistAreRefused(t *testing.T) {
	for _, s := range []string{"", "C", "4", "C10", "C-2", "C+4", "C04", "C4 ", "H4", "C#b4", "C4.0"} {
		if p, err := ParsePitch(s); err == nil {
			t.Errorf("%q is read as %v", s, p)
		}
	}
	for _, a4 := range []float64{431.9, 446.1, 0, -440} {
		if CheckA(a4) == nil {
			t.Errorf("%g Hz passes as a reference", a4)
		}
	}
	for _, a4 := range []float64{432, 440, 446, ConcertA} {
		if err := CheckA(a4); err != nil {
			t.Error(err)
		}
	}
}

func TestIntervalsAreReadInManyWays(t *testing.T) {
	for s, want := range map[string]string{
		"m3": "m3", "min3": "m3", "minor third": "m3", "minor 3": "m3", "compound minor third": "m10",
		"P5": "P5", "perfect fifth": "P5", "perf5": "P5", "tritone": "A4", "octave": "P8", "unison": "P1",
		"-M10": "-M10", "descending major tenth": "-M10", "AA4": "AA4", "doubly augmented fourth": "AA4",
		"dd5": "dd5", "doubly diminished fifth": "dd5", "dim7": "d7", "aug6": "A6", "d8": "d8", "P29": "P29", "compound octave": "P15",
	} {
		if iv, err := ParseInterval(s); err != nil || iv.String() != want {
			t.Errorf("%q: got %v, %v, want %s", s, iv, err, want)
		}
	}
	for _, s := range []string{"", "3", "P3", "m5", "M4", "p", "m0", "M30", "d1", "dd1", "m+3", "AAA4", "third", "minor", "x3", "m3x", "--m3"} {
		if iv, err := ParseInterval(s); err == nil {
			t.Errorf("%q is read as %v", s, iv)
		}
	}
	if got := (Interval{Steps: 29, Semitones: 51}).Name(); got != "augmented 30th" {
		t.Errorf("thirty letters: got %s", got)
	}
	if got := (Interval{Steps: 22, Semitones: 38}).Name(); got != "major 23rd" {
		t.Errorf("twenty-three letters: got %s", got)
	}
	if got := (Interval{Steps: 110, Semitones: 189}).Name(); got != "major 111th" {
		t.Errorf("a hundred and eleven letters: got %s", got)
	}
	if got := (Interval{Steps: 3, Semitones: 8}).Name(); got != "3 times augmented fourth" {
		t.Errorf("F flat to B sharp: got %s", got)
	}
}

// From memory: the everyday names of the semitones.
func TestChromaticIntervalsHaveEverydayNames(t *testing.T) {
	want := strings.Fields("P1 m2 M2 m3 M3 P4 A4 P5 m6 M6 m7 M7 P8 m9 M9 m10 M10 P11 A11 P12")
	for semitones, name := range want {
		if got := Chromatic(semitones).String(); got != name {
			t.Errorf("%d semitones: got %s, want %s", semitones, got, name)
		}
	}
	if got := Chromatic(-3).String(); got != "-m3" {
		t.Errorf("3 semitones down: got %s", got)
	}
}

func TestKeysAreReadAsPlayersWriteThem(t *testing.T) {
	for s, want := range map[string]string{
		"Eb": "Eb major", "F#m": "F# minor", "C minor": "C minor", "c min": "C minor", "Bbmaj": "Bb major", "F♯-": "F# minor",
		"D dorian": "D dorian", "A harmonic minor": "A harmonic minor", "A Harmonic Minor": "A harmonic minor", "bb": "Bb major",
		"G natural minor": "G minor", "C ionian": "C major", "A aeolian": "A minor", "E minor-pentatonic": "E minor pentatonic",
		" G ": "G major", "GM": "G major", "Gm": "G minor", "E blues": "E blues", "A minor blues": "A blues",
	} {
		if k, err := ParseKey(s); err != nil || k.String() != want {
			t.Errorf("%q: got %v, %v, want %s", s, k, err, want)
		}
	}
	for _, s := range []string{"", "H", "Ebx", "E majr", "X minor", "major", "C4", "Am7"} {
		if k, err := ParseKey(s); err == nil {
			t.Errorf("%q is read as %v", s, k)
		}
	}
}

func TestAKeyWithoutSignatureOffersItsEnharmonic(t *testing.T) {
	for s, offer := range map[string]string{
		"G# major": "Ab major", "D#": "Eb major", "Fb": "E major", "Gbm": "F# minor", "E# minor": "F minor", "B#": "C major",
		"Cb minor": "B minor", "F##m": "G minor", "G# dorian": "", "E##": "F# major", "Fbbm": "Eb minor",
	} {
		_, err := ParseKey(s)
		if offer == "" {
			if err != nil {
				t.Errorf("%s has six sharps: %v", s, err)
			}
			continue
		}
		if !errors.Is(err, ErrNoSignature) || !strings.Contains(err.Error(), "write "+offer+",") {
			t.Errorf("%s: got %v, want an offer of %s", s, err, offer)
		}
	}
}

func TestThereAreFifteenKeysOfEachKind(t *testing.T) {
	var shorts []string
	for _, k := range Keys() {
		shorts = append(shorts, k.Short())
		if k.Check() != nil || len(k.Scale()) != 7 {
			t.Errorf("%v: %v", k, k.Check())
		}
	}
	want := "Cb Gb Db Ab Eb Bb F C G D A E B F# C# Abm Ebm Bbm Fm Cm Gm Dm Am Em Bm F#m C#m G#m D#m A#m"
	if got := strings.Join(shorts, " "); got != want {
		t.Errorf("got %s", got)
	}
	if got := words(mustKey(t, "C#").Accidentals()); got != "F# C# G# D# A# E# B#" {
		t.Errorf("order of sharps: got %s", got)
	}
	if got := words(mustKey(t, "Cb").Accidentals()); got != "Bb Eb Ab Db Gb Cb Fb" {
		t.Errorf("order of flats: got %s", got)
	}
}

func TestParallelsAndTheCircle(t *testing.T) {
	for s, want := range map[string]string{"C": "C minor", "Am": "A major", "F#": "F# minor", "Ebm": "Eb major", "A harmonic minor": "A major"} {
		if p, err := mustKey(t, s).Parallel(); err != nil || p.String() != want {
			t.Errorf("parallel of %s: got %v, %v, want %s", s, p, err, want)
		}
	}
	for s, offer := range map[string]string{"Gb": "F# minor", "Db": "C# minor", "G#m": "Ab major", "Cb": "B minor"} {
		if _, err := mustKey(t, s).Parallel(); !errors.Is(err, ErrNoSignature) || !strings.Contains(err.Error(), offer) {
			t.Errorf("parallel of %s: got %v, want an offer of %s", s, err, offer)
		}
	}
	for _, v := range []struct{ key, below, above string }{
		{"C", "F major", "G major"}, {"F#", "B major", "C# major"}, {"Gb", "Cb major", "Db major"}, {"Eb", "Ab major", "Bb major"}, {"Am", "D minor", "E minor"},
		{"C#", "F# major", "Ab major"}, {"Cb", "E major", "Gb major"}, {"A#m", "D# minor", "F minor"}, {"Abm", "C# minor", "Eb minor"},
	} {
		below, above := mustKey(t, v.key).Neighbours()
		if below.String() != v.below || above.String() != v.above {
			t.Errorf("beside %s: got %v and %v, want %s and %s", v.key, below, above, v.below, v.above)
		}
	}
	for pc, want := range strings.Fields("C Db D Eb E F F# G Ab A Bb B") {
		if got := SimplestKey(pc, Major, false).Tonic.String(); got != want {
			t.Errorf("simplest key on %d: got %s, want %s", pc, got, want)
		}
	}
	if got := SimplestKey(6, Major, true).String() + ", " + SimplestKey(3, Minor, true).String() + ", " + SimplestKey(3, Minor, false).String(); got != "Gb major, Eb minor, D# minor" {
		t.Errorf("six against six: got %s", got)
	}
}

func TestProgressionsAreReadAsPlayersWriteThem(t *testing.T) {
	g := mustKey(t, "G")
	for s, want := range map[string]string{
		"G D Em C":               "G D Em C",
		"1 5 6- 4":               "G D Em C",
		"I V vi IV":              "G D Em C",
		"I-V-vi-IV":              "G D Em C",
		"G-D-Em-C":               "G D Em C",
		"1, 5, 6m, 4":            "G D Em C",
		"| G / D/F# | Em7 % |":   "G D/F# Em7 Em7",
		"1 b7 V7/V D":            "G F A7 D",
		"ii7 V7 Imaj7":           "Am7 D7 Gmaj7",
		"C-7 F7 Bb":              "Cm7 F7 Bb",
		"#iv° IV/5 bVI":          "C#dim C/D Eb",
		"vi–IV–I–V":              "Em C G D",
		"1 5/7 6- 4 2-7 57 1/3 ": "G D/F# Em C Am7 D7 G/B",
	} {
		if p, err := ParseProgression(s, g); err != nil || p.String() != want {
			t.Errorf("%q: got %v, %v, want %s", s, p, err, want)
		}
	}
	for s, part := range map[string]string{
		"": "holds no chord", " | / ": "holds no chord", "G Dy Em": "chord 2", "1 8": "chord 2", "6-4": "chord 1", "%": "chord 1",
	} {
		if p, err := ParseProgression(s, g); err == nil || !strings.Contains(err.Error(), part) {
			t.Errorf("%q: got %v, %v, want an error about %q", s, p, err, part)
		}
	}
	solfege := Names{System: Solfege}
	if p, err := solfege.ParseProgression("Sol Re Mim Do 4", g); err != nil || p.String() != "G D Em C C" {
		t.Errorf("in solfege: got %v, %v", p, err)
	}
}

func TestDegreesAreRead(t *testing.T) {
	g := mustKey(t, "G")
	for s, note := range map[string]string{"1": "G", "b7": "F", "#4": "C#", "♭3": "Bb", "bb7": "Fb", "7": "F#"} {
		d, err := ParseDegree(s)
		if err != nil || g.Note(d).String() != note || g.Degree(mustNote(t, note)) != d {
			t.Errorf("%s in G: got %v, %v, want %s", s, g.Note(d), err, note)
		}
	}
	for _, s := range []string{"", "0", "8", "b", "7b", "1 ", "IV"} {
		if d, err := ParseDegree(s); err == nil {
			t.Errorf("%q is read as %v", s, d)
		}
	}
	for _, s := range []string{"", "8", "Iv", "IIII", "V6/7", "5/8", "V/X", "6-4", "b", "vI", "H"} {
		if n, err := ParseNumeral(s); err == nil {
			t.Errorf("%q is read as %v", s, n)
		}
	}
}

func TestRomanNumeralsSayTheirChord(t *testing.T) {
	c := mustKey(t, "C")
	for s, want := range map[string]string{
		"imaj7": "CmM7", "iM7": "CmM7", "iim7": "Dm7", "iimin7": "Dm7", "VIm": "Am", "vi": "Am", "IVadd6": "F6", "ivadd6": "Fm6",
		"V7sus4": "G7sus4", "vsus4": "Gsus4", "i5": "C5", "iii+": "Em#5", "viio7": "Bdim7", "vii°": "Bdim", "viidim": "Bdim", "iiø": "Dm7b5",
		"I69": "C69", "I6/9": "C69", "I6": "C/E", "ii65": "Dm7/F", "I64": "C/G", "V42": "G7/F", "V4/3": "G7/D", "i63": "Cm/Eb",
		"I/3": "C/E", "V7/V/3": "D7/E", "bVII/4": "Bb/F", "#iv°7": "F#dim7", "iadd9": "Cmadd9", "i-7": "Cm7",
	} {
		n, err := ParseNumeral(s)
		if err != nil {
			t.Error(err)
			continue
		}
		if got := c.Chord(n).String(); got != want {
			t.Errorf("%s in C: got %s, want %s", s, got, want)
		}
		if back, err := ParseNumeral(n.Roman()); err != nil || back != n {
			t.Errorf("%s prints as %s, which reads as %v, %v", s, n.Roman(), back, err)
		}
	}
}

// Where the minor is counted from its own scale, 3, 6 and 7 are lowered.
func TestMinorCountedFromItsOwnScale(t *testing.T) {
	am := mustKey(t, "Am")
	for s, want := range map[string]string{
		"III": "C", "VI": "F", "VII": "G", "VII7": "G7", "i": "Am", "iv": "Dm", "V7": "E7", "vii°": "G#dim", "bVII": "G",
		"III6": "C/E", "VI/3": "F/C", "i/3": "Am/C", "V/7": "E/G#", "VII/4": "G/D", "V7/V": "B7", "6": "F", "3": "C",
	} {
		n, err := ParseNumeral(s)
		if err != nil {
			t.Fatal(err)
		}
		if got := am.Chord(n.FromMinor()).String(); got != want {
			t.Errorf("%s in A minor: got %s, want %s", s, got, want)
		}
	}
}

func TestNotesWithoutAKeyAreSpelledPlainly(t *testing.T) {
	for flats, want := range map[bool]string{
		false: "C C# D D# E F F# G G# A A# B",
		true:  "C Db D Eb E F Gb G Ab A Bb B",
	} {
		for i, name := range strings.Fields(want) {
			if got := FromMIDI(60+i, flats); got.String() != name+"4" {
				t.Errorf("key %d, flats %t: got %v, want %s4", 60+i, flats, got, name)
			}
		}
	}
	if got := FromMIDI(-1, false); got != mustPitch(t, "B-1").Add(Interval{Steps: -7, Semitones: -12}) {
		t.Errorf("key -1: got %v", got)
	}
}

func TestNotesStandOnTheLineOfFifths(t *testing.T) {
	for place, name := range strings.Fields("Fb Cb Gb Db Ab Eb Bb F C G D A E B F# C# G# D# A# E# B#") {
		n := mustNote(t, name)
		if got := n.Fifths(); got != place-8 || NoteAt(got) != n {
			t.Errorf("%s stands at %d, where %v is", name, got, NoteAt(got))
		}
	}
}

// Past the double accidental there is nothing left to write.
func TestNotesStayWritable(t *testing.T) {
	for s, want := range map[string]string{"B#": "C", "Fb": "E", "C##": "D", "Abb": "G", "F#": "F#", "Gb": "Gb", "D": "D"} {
		if got := mustNote(t, s).Simplest().String(); got != want {
			t.Errorf("simplest spelling of %s: got %s, want %s", s, got, want)
		}
	}
	if got := (Note{Letter: F, Alter: 3}).Simplest(); got.String() != "G#" {
		t.Errorf("simplest spelling of F###: got %v", got)
	}
	for s, want := range map[string]string{"B##": "G#", "B##m/D##": "G#m/A##", "E#m7/B#": "B#m7/F##"} {
		moved := mustChord(t, s).Transpose(Interval{Steps: 4, Semitones: 7})
		if moved.String() != want {
			t.Errorf("%s a fifth up: got %v, want %s", s, moved, want)
		}
	}
}

func TestChordsThatSoundAlikeAreEnharmonic(t *testing.T) {
	for _, v := range []struct {
		c, d string
		same bool
	}{
		{"F#", "Gb", true}, {"C6", "Am7/C", true}, {"C6", "Am7", false}, {"Cdim7", "Adim7/C", true}, {"Cm", "C", false}, {"C/E", "C", false},
	} {
		if got := mustChord(t, v.c).Enharmonic(mustChord(t, v.d)); got != v.same {
			t.Errorf("%s and %s sound alike: got %t", v.c, v.d, got)
		}
	}
}

func TestModesWithAMinorThirdAreMinor(t *testing.T) {
	var minor []string
	for _, m := range Modes() {
		if m.Minor() {
			minor = append(minor, m.String())
		}
		if back, err := ParseMode(m.String()); err != nil || back != m {
			t.Errorf("%v reads as %v, %v", m, back, err)
		}
	}
	if got := strings.Join(minor, ", "); got != "minor, harmonic minor, melodic minor, dorian, phrygian, locrian, minor pentatonic, blues" {
		t.Errorf("got %s", got)
	}
	if d := Dorian.Degrees(); words(d) != "1 2 b3 4 5 6 b7" {
		t.Errorf("degrees of dorian: got %v", d)
	}
}
