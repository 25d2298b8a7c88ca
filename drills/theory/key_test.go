package theory_test

import (
	"errors"
	"strings"
	"testing"

	. "surefret/drills/theory"
)

func TestKeysAreReadAsPlayersWriteThem(t *testing.T) {
	for s, want := range map[string]string{
		"Eb": "Eb major", "F#m": "F# minor", "C minor": "C minor", "c min": "C minor", "Bbmaj": "Bb major", "F♯-": "F# minor",
		"D dorian": "D dorian", "A harmonic minor": "A harmonic minor", "A Harmonic Minor": "A harmonic minor", "bb": "Bb major",
		"G natural minor": "G minor", "C ionian": "C major", "A aeolian": "A minor", "E minor-pentatonic": "E minor pentatonic",
		" G ": "G major", "GM": "G major", "Gm": "G minor", "E blues": "E blues", "A minor blues": "A blues",
		"A Minor Blues": "A blues", "Eb Dur": "Eb major", "C MOLL": "C minor", "B flat": "Bb major", "F sharp minor": "F# minor", "c-sharp m": "C# minor", "D dorian ": "D dorian",
	} {
		if k, err := ParseKey(s); err != nil || k.String() != want {
			t.Errorf("%q: got %v, %v, want %s", s, k, err, want)
		}
	}
	for s, want := range map[string]string{"C": "no sharps or flats", "G": "1 sharp", "F": "1 flat", "A": "3 sharps", "Fm": "4 flats"} {
		if got := mustKey(t, s).SignatureName(); got != want {
			t.Errorf("%s has %s, want %s", s, got, want)
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

// From memory, standard textbook material: on the white keys of a piano each
// letter has its mode.
func TestEveryLetterHasItsModeWithoutAccidentals(t *testing.T) {
	for mode, tonic := range map[Mode]Letter{Ionian: C, Dorian: D, Phrygian: E, Lydian: F, Mixolydian: G, Aeolian: A, Locrian: B} {
		k := Key{Tonic: Note{Letter: tonic}, Mode: mode}
		if k.Signature() != 0 {
			t.Errorf("%v has %s", k, k.SignatureName())
		}
		for i, n := range k.Scale() {
			if n != (Note{Letter: (tonic + Letter(i)) % 7}) {
				t.Errorf("%v: note %d is %v", k, i+1, n)
			}
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
}
