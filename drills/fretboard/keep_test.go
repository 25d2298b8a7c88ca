package fretboard

import (
	"slices"
	"strings"
	"testing"

	"surefret/drills/theory"
)

// Tones that stay are the same places under every chord, sound in the key, and leave
// each chord its bass and a hand that holds it. Two are found for the songs of a working
// band in every key, and open ones in A, D, E and G. That G, C, D and Em are held so
// with the third fret of the upper strings is common practice, no source.
func TestTonesAreKeptOverAllChordsOfASong(t *testing.T) {
	found := map[string]string{}
	for _, numbers := range []string{"1 4 5", "1 5 6- 4"} {
		for _, tonic := range strings.Fields("C Db D Eb E F F# G Ab A Bb B") {
			k, err := theory.ParseKey(tonic)
			must(t, err)
			var chords theory.Progression
			for _, word := range strings.Fields(numbers) {
				n, err := theory.ParseNumeral(word)
				must(t, err)
				chords = append(chords, k.Chord(n))
			}
			for _, kept := range guitar.Keep(k, chords) {
				said := kept.Say(theory.Names{})
				for _, c := range kept.Chords {
					said += "; " + c.Frets(guitar)
					checkKept(t, k, kept, c)
				}
				found[tonic+" "+numbers+map[bool]string{true: " open"}[kept.Open]] = said
			}
			if found[tonic+" "+numbers] == "" {
				t.Errorf("%s in %s: no two tones are kept", numbers, tonic)
			}
		}
		for _, tonic := range strings.Fields("A D E G") {
			if found[tonic+" "+numbers+" open"] == "" {
				t.Errorf("%s in %s: nothing rings open", numbers, tonic)
			}
		}
	}
	for song, want := range map[string]string{
		"G 1 5 6- 4":      "D and G stay on strings 2 and 1, at fret 3; 3 2 0 0 3 3; x x 0 2 3 3; 0 2 2 0 3 3; x 3 2 0 3 3",
		"E 1 5 6- 4 open": "B and E ring open on strings 2 and 1; 0 2 2 1 0 0; x 2 4 4 0 0; x 4 6 6 0 0; 5 7 7 6 0 0",
	} {
		if found[song] != want {
			t.Errorf("%s: %s, want %s", song, found[song], want)
		}
	}
	if k, err := theory.ParseKey("C"); err != nil || len(guitar.Keep(k, theory.Progression{{Root: theory.Note{Letter: theory.C}}})) > 0 {
		t.Errorf("tones are kept over one chord, %v", err)
	}
}

func checkKept(t *testing.T, k theory.Key, kept Keeping, c KeptChord) {
	t.Helper()
	n := len(c.Places)
	if c.Places[n-2] != kept.Tones[0].Position || c.Places[n-1] != kept.Tones[1].Position {
		t.Errorf("%s in %s: the tones move: %v", c.Chord, k, c.Places)
	}
	if guitar.MIDI(c.Places[0])%12 != c.Chord.Bass().PitchClass() {
		t.Errorf("%s in %s: %s has another bass", c.Chord, k, c.Frets(guitar))
	}
	if g := grip(guitar, c.Places, false); g.why != "" {
		t.Errorf("%s in %s: %s: %s", c.Chord, k, c.Frets(guitar), g.why)
	}
	for _, p := range c.Places[:n-2] {
		if !slices.ContainsFunc(c.Chord.Notes(), func(n theory.Note) bool { return n.PitchClass() == guitar.MIDI(p)%12 }) {
			t.Errorf("%s in %s: %s is foreign to it", c.Chord, k, p.Say())
		}
	}
}
