package theory_test

import (
	"errors"
	"fmt"

	"surefret/drills/theory"
)

func ExampleBetween() {
	low, _ := theory.ParsePitch("E2")
	high, _ := theory.ParsePitch("G3")
	iv := theory.Between(low, high)
	fmt.Println(iv, iv.Name())
	fmt.Println(iv.Simple(), iv.Invert(), iv.Neg().Name())
	// Output:
	// m10 minor tenth
	// m3 M6 descending minor tenth
}

func ExamplePitch_Add() {
	p, _ := theory.ParsePitch("Gb3")
	fourth, _ := theory.ParseInterval("P4")
	fmt.Println(p.Add(fourth), p.Add(fourth.Neg()))
	// Output: Cb4 Db3
}

func ExamplePitch_Hz() {
	p, _ := theory.ParsePitch("E2")
	fmt.Printf("%.2f Hz at A4 = 440, %.2f at 432\n", p.Hz(440), p.Hz(432))
	// Output: 82.41 Hz at A4 = 440, 80.91 at 432
}

func ExampleNames() {
	n, _ := theory.ParseNote("Bb")
	for _, names := range []theory.Names{{}, {Signs: true}, {System: theory.Solfege}, {System: theory.German}} {
		fmt.Println(names.Note(n))
	}
	german := theory.Names{System: theory.German}
	c, _ := german.ParseChord("Hm7/Fis")
	fmt.Println(c, "is", german.Chord(c))
	// Output:
	// Bb
	// B♭
	// Sib
	// B
	// Bm7/F# is Hm7/Fis
}

func ExampleParseKey() {
	k, _ := theory.ParseKey("Ebm")
	fmt.Println(k, "has", k.SignatureName(), k.Accidentals())
	fmt.Println(k.Scale())
	fmt.Println("relative:", k.Relative())

	_, err := theory.ParseKey("G# major")
	fmt.Println(errors.Is(err, theory.ErrNoSignature), err)
	// Output:
	// Eb minor has 6 flats [Bb Eb Ab Db Gb Cb]
	// [Eb F Gb Ab Bb Cb Db]
	// relative: Gb major
	// true G# major has no key signature: it would need 8 sharps, seven is the most; write Ab major, which sounds the same
}

func ExampleKey_Neighbours() {
	k, _ := theory.ParseKey("Ab")
	below, above := k.Neighbours()
	fmt.Println(below, "-", k, "-", above)
	// Output: Db major - Ab major - Eb major
}

// What teaching a key needs: its chords by number, numeral and name.
func ExampleKey_Triads() {
	k, _ := theory.ParseKey("D")
	for _, c := range k.Triads() {
		n := k.Numeral(c)
		fmt.Printf("%-5s%-5s%-6v%v\n", n.Number(), n.Roman(), c, c.Notes())
	}
	// Output:
	// 1    I    D     [D F# A]
	// 2-   ii   Em    [E G B]
	// 3-   iii  F#m   [F# A C#]
	// 4    IV   G     [G B D]
	// 5    V    A     [A C# E]
	// 6-   vi   Bm    [B D F#]
	// 7dim vii° C#dim [C# E G]
}

func ExampleSpell() {
	for _, name := range []string{"A minor", "C minor"} {
		k, _ := theory.ParseKey(name)
		fmt.Println(k, theory.Spell(68, k))
	}
	// Output:
	// A minor G#4
	// C minor Ab4
}

func ExampleParseChord() {
	for _, symbol := range []string{"B-", "F#ø", "GΔ9", "A/C#", "C7(b9,#11)", "C#°7"} {
		c, err := theory.ParseChord(symbol)
		fmt.Println(c, c.Notes(), err)
	}
	_, err := theory.ParseChord("Bmj7")
	fmt.Println(err)
	// Output:
	// Bm [B D F#] <nil>
	// F#m7b5 [F# A C E] <nil>
	// Gmaj9 [G B D F# A] <nil>
	// A/C# [C# E A] <nil>
	// C7b9#11 [C E G Bb Db F#] <nil>
	// C#dim7 [C# E G Bb] <nil>
	// "Bmj7" is not a chord: "j7" means nothing there; expected a symbol like Bm7, F#m7b5, Asus4 or A/C#
}

func ExampleChordsOf() {
	notes := func(names ...string) (notes []theory.Note) {
		for _, name := range names {
			n, _ := theory.ParseNote(name)
			notes = append(notes, n)
		}
		return notes
	}
	fmt.Println(theory.ChordsOf(notes("C", "E", "G", "A")...))
	fmt.Println(theory.ChordsOf(notes("A", "E", "A", "D")...)[0])
	fmt.Println(theory.ChordsOf(notes("B", "A", "D")...)[0])
	// Output:
	// [C6 Am7/C]
	// Asus4
	// Bm7no5
}

func ExampleParseNumeral() {
	k, _ := theory.ParseKey("Eb")
	for _, s := range []string{"6-", "2-7", "5/7", "b7", "V7/V", "V65", "iiø7"} {
		n, _ := theory.ParseNumeral(s)
		fmt.Println(s, "is", k.Chord(n), "-", n.Number(), "or", n.Roman())
	}
	// Output:
	// 6- is Cm - 6- or vi
	// 2-7 is Fm7 - 2-7 or ii7
	// 5/7 is Bb/D - 5/7 or V/7
	// b7 is Db - b7 or bVII
	// V7/V is F7 - 27 or V7/V
	// V65 is Bb7/D - 57/7 or V7/7
	// iiø7 is Fm7b5 - 2-7b5 or iiø7
}

func ExampleNumeral_FromMinor() {
	k, _ := theory.ParseKey("Am")
	n, _ := theory.ParseNumeral("III")
	fmt.Println(k.Chord(n), k.Chord(n.FromMinor()))
	// Output: C# C
}

func ExampleProgression_Move() {
	d, _ := theory.ParseKey("D")
	c, _ := theory.ParseKey("C")
	song, _ := theory.ParseProgression("4 1 6- 5", d)
	fmt.Println(song, "->", song.Move(d, c))
	// Output: G D Bm A -> F C Am G
}

func ExampleProgression_Keys() {
	song, _ := theory.ParseProgression("Em C G D", theory.Key{})
	for _, fit := range song.Keys()[:2] {
		fmt.Println(fit.Key, song.Numbers(fit.Key))
	}
	// Output:
	// E minor 1- b6 b3 b7
	// G major 6- 4 1 5
}
