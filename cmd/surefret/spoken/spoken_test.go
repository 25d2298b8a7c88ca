package spoken

import (
	"testing"

	"surefret/drills/theory"
)

func TestSignsAreSaidInWords(t *testing.T) {
	english, solfege, german := Speller{}, Speller{theory.Names{System: theory.Solfege}}, Speller{theory.Names{System: theory.German}}
	for _, c := range []struct {
		s          Speller
		text, want string
	}{
		{english, "Which note is string 6, fret 3?", "Which note is string 6, fret 3?"},
		{english, "F# on string 6: which fret?", "F sharp on string 6: which fret?"},
		{english, "A minor tenth over Bb: A, Db and Gbb.", "A minor tenth over B flat: A, D flat and G double flat."},
		{english, "Bbm7b5/Ab, F#sus4 (Em7) Gmaj7 B7#9 C6/9 Caug E5", "B flat minor 7 flat 5 over A flat, F sharp suspended 4 (E minor 7) G major 7, B 7 sharp 9, C 6 9, C augmented, E power chord"},
		{english, "6/3 3/4; 5/0.", "string 6 fret 3, string 3 fret 4; string 5 open."},
		{english, "in 6/8 a long one; a bar of 3/4 from 1 to 4; half bars, 3/4 and 6/8", "in six eight time a long one; a bar of three four time from 1 to 4; half bars, three four and six eight time"},
		{english, "In C at 6/8 and 3/4", "In C at string 6 fret 8 and string 3 fret 4"},
		{english, "1 5 6- 4 b7 2-7 57 #4 b3.", "1, 5, 6 minor, 4, flat 7, 2 minor 7, 57, sharp 4, flat 3."},
		{english, "vi, bVII and iim7", "6 minor, flat 7 and 2 minor minor 7"},
		{english, "It has 3b, or 1#", "It has 3 flats, or 1 sharp"},
		{english, "x 3 2 0 1 0: which chord?", "string 5 fret 3, string 4 fret 2, string 3 open, string 2 fret 1, string 1 open: which chord?"},
		{english, "frets 0-12: 69 %, 1.4 s", "frets 0 to 12: 69 percent, 1.4 seconds"},
		{english, "E#/G## is F", "E sharp over G double sharp is F"},
		{english, "F#/Gb", "F sharp or G flat"},
		{english, "triad-321-m, tenth-6-minor and e-form-m7", "triad 3 2 1 minor, tenth 6 minor and e form minor 7"},
		{english, "by 2026-12-05, 'surefret neck --strings 6-5'", "by 5 December 2026, 'surefret neck --strings 6-5'"},
		{english, "/tmp/2026-12-05/b.db: 5 on 2026-12-05", "/tmp/2026-12-05/b.db: 5 on 5 December 2026"},
		{english, "Add Dim Best Am Bass Fade C", "Add Dim Best A minor Bass Fade C"},
		{english, "Breaks Best A and down Cmaj7 D/F# Bb major Gsus4", "Breaks Best A and down C major 7, D over F sharp, B flat major G suspended 4"},
		{english, "In Bb: Eb E F, by number 4 #4 5", "In B flat: E flat, E, F, by number 4, sharp 4, 5"},
		{english, "A Bb. It is A Bb, capo 1, play D: D A/C# Bm", "A B flat. It is A, B flat, capo 1, play D: D, A over C sharp, B minor"},
		{english, "B1 E2 A5. Ab5/Eb (now: -12) -60 to 0 dB", "B 1, E 2, A 5. A flat 5 over E flat (now: minus 12) minus 60 to 0 decibels"},
		{english, "Ab5/Eb and A5", "A flat power chord over E flat and A power chord"},
		{solfege, "Fa# Sib Solm7 Do Domino", "Fa sharp, Si flat, Sol minor 7, Do Domino"},
		{german, "Fis Hm7 B Esmaj7 Has", "Fis, H minor 7, B, Es major 7 Has"},
	} {
		if got := c.s.Text(c.text); got != c.want {
			t.Errorf("%q\nis said %q,\nwant    %q", c.text, got, c.want)
		}
	}
}

func TestAnswersAreReadInWords(t *testing.T) {
	for said, want := range map[string]string{
		"string six fret nine": "string 6 fret 9", "Three flats": "3 flats", "twenty two": "22", "fifth fret": "5 fret", "F sharp": "f#", "": "", "six, three": "6, 3",
		"three, not played, open": "3 x 0", "E flat seven over G": "eb 7 / g", "b half diminished": "b m7b5", "A flat power chord": "ab 5", "string three, fret one": "string 3, fret 1",
	} {
		if got := Written(said); got != want {
			t.Errorf("%q is %q, want %q", said, got, want)
		}
	}
}
