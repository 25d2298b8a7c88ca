package theory

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// What players write, read as what it prints as, and what says nothing, refused. The
// spellings are common practice, no source, where no other is named.

// reads checks that read takes each text for what prints as wanted.
func reads[T fmt.Stringer](t *testing.T, read func(string) (T, error), want map[string]string) {
	t.Helper()
	for s, want := range want {
		if v, err := read(s); err != nil || v.String() != want {
			t.Errorf("%q: got %v, %v, want %s", s, v, err, want)
		}
	}
}

// refuses checks that read takes none of the texts, and says what it expected.
func refuses[T any](t *testing.T, read func(string) (T, error), says string, texts ...string) {
	t.Helper()
	for _, s := range texts {
		if v, err := read(s); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: got %v, %v, want an error that says %q", s, v, err, says)
		}
	}
}

// must reads s, which the test takes to be readable.
func must[T any](t testing.TB, read func(string) (T, error), s string) T {
	t.Helper()
	v, err := read(s)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func words[T fmt.Stringer](list []T) string {
	return strings.Trim(fmt.Sprint(list), "[]")
}

func TestNotesAreReadAsPlayersWriteThem(t *testing.T) {
	reads(t, ParseNote, map[string]string{
		"F#": "F#", "f♯": "F#", "Gb": "Gb", "G♭": "Gb", "Fx": "F##", "F##": "F##", "F𝄪": "F##", "F♯#": "F##",
		"Bbb": "Bbb", "bbb": "Bbb", "B𝄫": "Bbb", "b": "B", "bb": "Bb", "E♭♭": "Ebb",
		"F sharp": "F#", "f-sharp": "F#", "B flat": "Bb", "Aflat": "Ab", "F #": "F#", "E ♭": "Eb", "C double sharp": "C##", "G natural": "G",
	})
	refuses(t, ParseNote, "use a letter A to G", "", "H", "F#b", "F###", "Bbbb", "Fxx", "F#x", "C 4", "#", "♯", "Do", "CC", "c4", " C", "F b", "F sharp sharp", "F ish")
	reads(t, ParsePitch, map[string]string{"E2": "E2", "bb3": "Bb3", "C-1": "C-1", "Cb4": "Cb4"})
	refuses(t, ParsePitch, "use a note and its octave", "", "C", "4", "C10", "C-2", "C+4", "C04", "C4 ", "H4", "C#b4", "C4.0")
}

func TestNotesAreReadAndPrintedInEverySystem(t *testing.T) {
	solfege, german := Names{System: Solfege}, Names{System: German}
	for note, v := range map[string][2]string{"B": {"Si", "H"}, "Bb": {"Sib", "B"}, "Bbb": {"Sibb", "Heses"}, "F##": {"Fa##", "Fisis"}, "Ab": {"Lab", "As"}, "Ebb": {"Mibb", "Eses"}} {
		n := must(t, ParseNote, note)
		if solfege.Note(n) != v[0] || german.Note(n) != v[1] {
			t.Errorf("%s is %s and %s, want %s and %s", note, solfege.Note(n), german.Note(n), v[0], v[1])
		}
	}
	reads(t, solfege.Parse, map[string]string{
		"ré": "D", "RE": "D", "ut": "C", "ti♭": "Bb", "sol#": "G#",
		"fa dièse": "F#", "Si bémol": "Bb", "sol sharp": "G#", "mi bemolle": "Eb", "Fa #": "F#",
	})
	reads(t, german.Parse, map[string]string{
		"h": "B", "B": "Bb", "Bb": "Bb", "F#": "F#", "Eb": "Eb", "asas": "Abb", "H#": "B#", "HIS": "B#",
		"F sharp": "F#", "A sharp": "A#", "E flat": "Eb", "B flat": "Bb", "H flat": "Bb", "H natural": "B",
	})
	refuses(t, solfege.Parse, "use Do", "C", "H", "so", "do###")
	refuses(t, german.Parse, "use a letter A to H", "", "I", "Bis", "Bes", "B#", "Bbb", "Cisisis", "Do", "Cises", "B sharp", "B natural")
	reads(t, german.ParseChord, map[string]string{
		"Asus4": "Asus4", "Assus4": "Absus4", "Esus2": "Esus2", "B7": "Bb7", "H7/Dis": "B7/D#", "Es-": "Ebm", "Fism7b5": "F#m7b5",
		"F sharp minor 7": "F#m7", "Asharp": "A#",
	})
	c := must(t, ParseChord, "F#m7b5/Bb")
	if got := solfege.Chord(c) + " " + german.Chord(c) + " " + german.Key(Key{Note{Letter: B}, Minor}) + " " + solfege.Pitch(Pitch{Note{B, -1}, 3}); got != "Fa#m7b5/Sib Fism7b5/B H minor Sib3" {
		t.Errorf("got %s", got)
	}
}

func TestIntervalsAreReadInManyWays(t *testing.T) {
	reads(t, ParseInterval, map[string]string{
		"m3": "m3", "min3": "m3", "minor third": "m3", "minor 3": "m3", "compound minor third": "m10",
		"P5": "P5", "perfect fifth": "P5", "perf5": "P5", "tritone": "A4", "a tritone": "A4", "octave": "P8", "an octave and a minor seventh": "m14", "two octaves and major third": "M17", "two octaves": "P15", "unison": "P1",
		"-M10": "-M10", "descending major tenth": "-M10", "AA4": "AA4", "doubly augmented fourth": "AA4",
		"dd5": "dd5", "doubly diminished fifth": "dd5", "dim7": "d7", "aug6": "A6", "d8": "d8", "P29": "P29", "compound octave": "P15",
		"fourth": "P4", "fifth": "P5", "twelfth": "P12", "third": "M3", "Sixth": "M6", "compound third": "M10",
		"minor 3rd": "m3", "Perfect 5th": "P5", "maj 10th": "M10", "2nd": "M2", "Minor Tenth": "m10", "compound M3": "M10",
		"3": "M3", "10": "M10", "8": "P8", "b3": "m3", "♭10": "m10", "#4": "A4", "b5": "d5", "bb7": "d7", "flat 3": "m3", "sharp fourth": "A4",
	})
	refuses(t, ParseInterval, "is not an interval", "", "-3", "P3", "m5", "M4", "p", "m0", "M30", "d1", "dd1", "m+3", "AAA4", "3th", "0", "b1", "30", "minor", "x3", "m3x", "--m3")
}

// Ordinary English, from memory.
func TestIntervalsAreNamedInWords(t *testing.T) {
	for s, want := range map[string]string{
		"P1": "perfect unison", "m2": "minor second", "M3": "major third", "A4": "augmented fourth", "d5": "diminished fifth", "dd7": "doubly diminished seventh",
		"P8": "perfect octave", "m10": "minor tenth", "P15": "perfect fifteenth", "P22": "perfect twenty-second", "M23": "major 23rd", "-AA2": "descending doubly augmented second",
	} {
		if got := must(t, ParseInterval, s).Name(); got != want {
			t.Errorf("%s is a %s, want %s", s, got, want)
		}
	}
	for s, want := range map[string]string{"m10": "m3", "P15": "P8", "P8": "P8", "-M9": "-M2", "P1": "P1"} {
		if got := must(t, ParseInterval, s).Simple().String(); got != want {
			t.Errorf("%s without its octaves is %s, want %s", s, got, want)
		}
	}
	for iv, want := range map[Interval]string{{30, 52}: "major 31st", {110, 189}: "major 111th"} {
		if got := iv.Name(); got != want {
			t.Errorf("%d letters and %d semitones: got %s, want %s", iv.Steps, iv.Semitones, got, want)
		}
	}
	for semitones, name := range strings.Fields("P1 m2 M2 m3 M3 P4 A4 P5 m6 M6 m7 M7 P8 m9 M9 m10 M10 P11 A11 P12") {
		if got := Chromatic(semitones).String() + " " + Chromatic(-semitones).Neg().String(); got != name+" "+name {
			t.Errorf("%d semitones up and down: got %s, want %s", semitones, got, name)
		}
	}
}

func TestKeysAreReadAsPlayersWriteThem(t *testing.T) {
	reads(t, ParseKey, map[string]string{
		"Eb": "Eb major", "F#m": "F# minor", "C minor": "C minor", "c min": "C minor", "Bbmaj": "Bb major", "F♯-": "F# minor",
		"D dorian": "D dorian", "A harmonic minor": "A harmonic minor", "A Harmonic Minor": "A harmonic minor", "bb": "Bb major",
		"G natural minor": "G minor", "C ionian": "C major", "A aeolian": "A minor", "E minor-pentatonic": "E minor pentatonic",
		" G ": "G major", "GM": "G major", "Gm": "G minor", "E blues": "E blues", "A minor blues": "A blues", "Eb Dur": "Eb major", "C MOLL": "C minor",
		"B flat": "Bb major", "F sharp minor": "F# minor", "c-sharp m": "C# minor",
	})
	refuses(t, ParseKey, "use ", "", "H", "Ebx", "E majr", "X minor", "major", "C4", "Am7")
	for s, offer := range map[string]string{
		"G# major": "Ab major", "D#": "Eb major", "Gbm": "F# minor", "E# minor": "F minor", "B#": "C major", "F##m": "G minor", "Abb": "G major", // Gardner, rule 4: eleven flats sound as one sharp
	} {
		refuses(t, ParseKey, "use "+offer+",", s)
	}
	for s, want := range map[string]string{"C": "no sharps or flats", "G": "1 sharp", "F": "1 flat", "A": "3 sharps", "Fm": "4 flats"} {
		if got := must(t, ParseKey, s).SignatureName(); got != want {
			t.Errorf("%s has %s, want %s", s, got, want)
		}
	}
	var shorts []string
	for _, k := range Keys() {
		shorts = append(shorts, k.Short())
	}
	if got := strings.Join(shorts, " "); got != "Cb Gb Db Ab Eb Bb F C G D A E B F# C# Abm Ebm Bbm Fm Cm Gm Dm Am Em Bm F#m C#m G#m D#m A#m" {
		t.Errorf("the keys are %s", got)
	}
	for pc, want := range strings.Fields("C Db D Eb E F F#,Gb G Ab A Bb B") {
		for _, flats := range []bool{false, true} {
			if got := SimplestKey(pc, Major, flats).Tonic.String(); !slices.Contains(strings.Split(want, ","), got) || got == "Gb" && !flats || got == "F#" && flats {
				t.Errorf("simplest key on %d, flats %t: got %s, want %s", pc, flats, got, want)
			}
		}
	}
	for _, m := range strings.Split("minor, harmonic minor, melodic minor, dorian, phrygian, locrian, minor pentatonic, blues", ", ") {
		if !must(t, ParseKey, "A "+m).Mode.Minor() {
			t.Errorf("%s is no minor mode", m)
		}
	}
	for _, m := range strings.Fields("major lydian mixolydian pentatonic") {
		if must(t, ParseKey, "A "+m).Mode.Minor() {
			t.Errorf("%s is a minor mode", m)
		}
	}
}

func TestAProgressionMovesWithItsSpelling(t *testing.T) {
	d := must(t, ParseKey, "D")
	var song Progression
	for _, name := range strings.Fields("D A/C# Bm G Em7 A7 Dsus4 D") {
		song = append(song, must(t, ParseChord, name))
	}
	for to, want := range map[string]string{"C": "C G/B Am F Dm7 G7 Csus4 C", "Gb": "Gb Db/F Ebm Cb Abm7 Db7 Gbsus4 Gb"} {
		if got := song.Move(d, must(t, ParseKey, to)).String(); got != want {
			t.Errorf("from D to %s: got %s, want %s", to, got, want)
		}
	}
}

func TestNumeralsSayTheirChord(t *testing.T) {
	inC := func(s string) (Chord, error) {
		n, err := ParseNumeral(s)
		if err != nil {
			return Chord{}, err
		}
		return Key{}.Chord(n), nil
	}
	reads(t, inC, map[string]string{
		"1": "C", "b7": "Bb", "♭3": "Eb", "bb7": "Bbb", "flat 7": "Bb", "sharp 4": "F#", "6-": "Am", "2-7": "Dm7", "5/7": "G/B",
		"imaj7": "CmM7", "iM7": "CmM7", "iim7": "Dm7", "iimin7": "Dm7", "VIm": "Am", "vi": "Am", "IVadd6": "F6", "ivadd6": "Fm6",
		"V7sus4": "G7sus4", "vsus4": "Gsus4", "i5": "C5", "iii+": "Em#5", "viio7": "Bdim7", "vii°": "Bdim", "viidim": "Bdim", "iiø": "Dm7b5",
		"I69": "C69", "I6/9": "C69", "I6": "C/E", "ii65": "Dm7/F", "I64": "C/G", "V42": "G7/F", "V4/3": "G7/D", "i63": "Cm/Eb",
		"I/3": "C/E", "V7/V/3": "D7/E", "bVII/4": "Bb/F", "#iv°7": "F#dim7", "iadd9": "Cmadd9", "i-7": "Cm7",
	})
	refuses(t, inC, "is not a chord by degree", "", "0", "8", "7b", "bbb7", "#b7", "Iv", "IIII", "V6/7", "5/8", "V/X", "6-4", "b", "vI", "H")
	inMinor := func(s string) (Chord, error) {
		n, err := ParseNumeral(s)
		return must(t, ParseKey, "Am").Chord(n.FromMinor()), err
	}
	reads(t, inMinor, map[string]string{
		"III": "C", "VI": "F", "VII": "G", "VII7": "G7", "i": "Am", "iv": "Dm", "V7": "E7", "vii°": "G#dim", "bVII": "G",
		"III6": "C/E", "VI/3": "F/C", "i/3": "Am/C", "V/7": "E/G#", "VII/4": "G/D", "V7/V": "B7", "6": "F", "3": "C",
	})
}

func TestNotesStayWritable(t *testing.T) {
	for s, want := range map[string]string{"B#": "C", "Fb": "E", "C##": "D", "Abb": "G", "F#": "F#", "Gb": "Gb", "D": "D"} {
		if got := must(t, ParseNote, s).simplest().String(); got != want {
			t.Errorf("simplest spelling of %s: got %s, want %s", s, got, want)
		}
	}
	for s, want := range map[string]string{"B##": "G#", "B##m/D##": "G#m/A##", "E#m7/B#": "B#m7/F##"} {
		if got := must(t, ParseChord, s).transpose(Interval{4, 7}); got.String() != want {
			t.Errorf("%s a fifth up: got %v, want %s", s, got, want)
		}
	}
	for flats, want := range map[bool]string{false: "C C# D D# E F F# G G# A A# B", true: "C Db D Eb E F Gb G Ab A Bb B"} {
		for i, name := range strings.Fields(want) {
			if got := FromMIDI(60+i, flats); got.String() != name+"4" {
				t.Errorf("key %d, flats %t: got %v, want %s4", 60+i, flats, got, name)
			}
		}
	}
	for _, v := range []struct {
		c, d string
		same bool
	}{{"F#", "Gb", true}, {"C6", "Am7/C", true}, {"C6", "Am7", false}, {"Cdim7", "Adim7/C", true}, {"Cm", "C", false}, {"C/E", "C", false}} {
		if got := must(t, ParseChord, v.c).Enharmonic(must(t, ParseChord, v.d)); got != v.same {
			t.Errorf("%s and %s sound alike: got %t", v.c, v.d, got)
		}
	}
}

// A player reads in his own names first, and in English what can mean one thing alone.
// German calls B natural H and B flat B (Duden, entries "H" and "B", from memory); fixed
// do calls B natural Si (common practice, no source).
func TestAPlayersNamesComeBeforeEnglish(t *testing.T) {
	for _, v := range []struct {
		system     System
		text, want string
	}{
		{German, "H2", "B2"}, {German, "B2", "Bb2"}, {German, "Fis2", "F#2"}, {Solfege, "Si2", "B2"}, {Solfege, "Sib2", "Bb2"}, {Solfege, "B2", "B2"}, {English, "B2", "B2"},
	} {
		names := Names{v.system}
		pitch, err := names.ReadPitch(v.text)
		note, err2 := names.ReadNote(strings.TrimSuffix(v.text, "2"))
		key, err3 := names.ReadKey(strings.TrimSuffix(v.text, "2"))
		if err != nil || err2 != nil || err3 != nil || pitch.String() != v.want || note != pitch.Note || key.Tonic != note {
			t.Errorf("%s, system %d: %v, %v, %v, want %s", v.text, v.system, pitch, note, key, v.want)
		}
	}
}

// How keys are written where notes are called otherwise, from memory: by the words of
// German, French, Spanish and Italian for major and minor, and for the accidentals.
func TestKeysAreReadAsTheyAreWrittenElsewhere(t *testing.T) {
	for text, want := range map[string]string{
		"Sol mineur": "G minor", "Si bémol majeur": "Bb major", "Do dièse mineur": "C# minor", "Mib majeur": "Eb major",
		"La menor": "A minor", "Si bemol": "Bb major", "Fa sostenido menor": "F# minor", "Si bemol mayor": "Bb major", "La menor armónica": "A harmonic minor",
		"Sol minore": "G minor", "Mi bemolle maggiore": "Eb major", "Fa diesis minore": "F# minor",
		"as-Moll": "Ab minor", "Es-Dur": "Eb major", "fis-Moll": "F# minor", "H-Dur": "B major", "Cis-Dur": "C# major", "Ges": "Gb major",
	} {
		for _, system := range []System{English, Solfege, German} {
			if got, err := (Names{system}).ReadKey(text); err != nil || got.String() != want {
				t.Errorf("%q, system %d: %v, %v, want %s", text, system, got, err, want)
			}
		}
	}
	if got, err := (Names{German}).ReadKey("B-Dur"); err != nil || got.String() != "Bb major" {
		t.Errorf("B-Dur is %v, %v", got, err)
	}
	for _, system := range []System{English, German} {
		names := Names{system}
		if _, err := names.ReadKey("Heses"); err == nil || !strings.Contains(err.Error(), "use A major") || !strings.Contains(err.Error(), "9 flats") {
			t.Errorf("Heses as a key: %v", err)
		}
	}
	if got, err := (Names{German}).ReadNote("Heses"); err != nil || got.String() != "Bbb" {
		t.Errorf("the note Heses: %v, %v", got, err)
	}
}
