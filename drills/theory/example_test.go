package theory_test

import (
	"fmt"

	"surefret/drills/theory"
)

func ExampleBetween() {
	low, _ := theory.ParsePitch("E2")
	high, _ := theory.ParsePitch("G3")
	iv := theory.Between(low, high)
	fmt.Println(iv, "is a", iv.Name(), "and", iv.Simple(), "without its octave")
	fmt.Println(low.Add(iv), low.Add(iv.Neg()))
	// Output:
	// m10 is a minor tenth and m3 without its octave
	// G3 C#1
}

// What teaching a key needs: its chords by number, numeral and name.
func ExampleKey_Triads() {
	k, _ := theory.ParseKey("D")
	fmt.Println(k, "has", k.SignatureName(), k.Accidentals())
	for _, c := range k.Triads() {
		n := k.Numeral(c)
		fmt.Printf("%-5s%-5s%-6v%v\n", n.Number(), n.Roman(), c, c.Notes())
	}
	// Output:
	// D major has 2 sharps [F# C#]
	// 1    I    D     [D F# A]
	// 2-   ii   Em    [E G B]
	// 3-   iii  F#m   [F# A C#]
	// 4    IV   G     [G B D]
	// 5    V    A     [A C# E]
	// 6-   vi   Bm    [B D F#]
	// 7dim vii° C#dim [C# E G]
}

func ExampleParseChord() {
	for _, symbol := range []string{"B-", "F#ø", "GΔ9", "A/C#", "C7(b9,#11)"} {
		c, _ := theory.ParseChord(symbol)
		fmt.Println(c, c.Notes())
	}
	_, err := theory.ParseChord("Bmj7")
	fmt.Println(err)
	// Output:
	// Bm [B D F#]
	// F#m7b5 [F# A C E]
	// Gmaj9 [G B D F# A]
	// A/C# [C# E A]
	// C7b9#11 [C E G Bb Db F#]
	// "Bmj7" is not a chord: "j7" means nothing there; use a symbol like Bm7, F#m7b5, Asus4 or A/C#
}
