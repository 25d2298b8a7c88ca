package chart

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"surefret/drills/theory"
)

type fataler interface {
	Helper()
	Fatal(...any)
}

func must[T any](t fataler) func(v T, err error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func key(t fataler, s string) theory.Key { return must[theory.Key](t)(theory.ParseKey(s)) }

// typed reads chords as they are typed, in a key.
func typed(t testing.TB, text, in string) (Chart, error) {
	return ReadTyped(text, Options{Key: key(t, in), Keyed: true})
}

// show prints bars as chords with a bar line between them: what repeats is unfolded.
func show(bars []Bar) string {
	var out []string
	for _, b := range bars {
		var beats []string
		for _, beat := range b.Beats {
			text := map[Kind]string{Slash: "/", Hold: ".", Rest: "r", NoChord: "N.C."}[beat.Kind]
			if beat.Kind == Chord {
				text = beat.Chord.String()
			}
			if beat.Diamond {
				text = "<" + text + ">"
			}
			if beat.Push {
				text = "^" + text
			}
			beats = append(beats, text)
		}
		out = append(out, strings.Join(beats, " "))
	}
	return strings.Join(out, " | ")
}

func TestBarsAreReadAndPlayed(t *testing.T) {
	for _, v := range []struct{ text, in, want string }{
		{"G x4", "G", "G | G | G | G"},
		{"| A | A D/A C#m | % | x2", "A", "A | A D/A C#m | A D/A C#m | A | A D/A C#m | A D/A C#m"},
		{"||: G | C :||", "G", "G | C | G | C"},
		{"1 4 5 (x3)", "G", "G | C | D | G | C | D | G | C | D"},
		{"i VI III VII", "Am", "Am | F | C | G"},
		{"I/V IV/VI", "C", "C/G | F/A"},
		{"i/V i/III", "Am", "Am/E | Am/C"},
		{"V/V", "C", "D"},
		{"| 1 . 5/7 . | 6m | 4 | x2", "G", "G . D/F# . | Em | C | G . D/F# . | Em | C"},
		{"2- 2m 4/6 b7 5sus 6-7 57 1(5) 4(6)", "C", "Dm | Dm | F/A | Bb | Gsus4 | Am7 | G7 | C5 | F6"},
		{"G D", "G", "G | D"},
		{"||: 1 | 4 |[1. 5 :||[2. 1 |", "G", "G | C | D | G | C | G"},
		{"|: Am | Dm |1,2. E :|3. Am |", "Am", "Am | Dm | E | Am | Dm | E | Am | Dm | Am"},
		{"| G | D | %% | |", "G", "G | D | G | D"},
		{"(4 5) 1", "G", "C D | G"},
		{"4_5 1", "G", "C D | G"},
		{"| <1> | ◇4 | ^5 r N.C. / |", "G", "<G> | <C> | ^D r N.C. /"},
		{"| 1 | <4 | >5 <1> |", "G", "G | ^C | ^D <G>"},
		{"1... 4...", "G", "G . . . | C . . ."},
		{"G-D-Em-C", "G", "G | D | Em | C"},
		{"G, D, e-", "G", "G | D | Em"},
		{"| G | (2/4) D |", "G", "G | D"},
		{"| B♭ E♭/G | F♯m |", "Bb", "Bb Eb/G | F#m"},
	} {
		c, err := typed(t, v.text, v.in)
		if err != nil {
			t.Errorf("%s: %v", v.text, err)
			continue
		}
		if got := show(c.played(100)); got != v.want {
			t.Errorf("%s in %s is played %s, want %s", v.text, v.in, got, v.want)
		}
		if got := strings.TrimSuffix(c.String(), "\n"); got != v.text {
			t.Errorf("%s is written %s", v.text, got)
		}
	}
}

func TestWhatIsNotSureIsRefusedWithItsReadings(t *testing.T) {
	for _, v := range []struct{ text, want string }{
		{"1 4 5 x3", "x3, at letter 7: repeat three times? write (x3)"},
		{"6-2-5", "6- 2- 5 or 6 2 5?"},
		{"2-5", "2- 5 or 2 5?"},
		{"15", "1 5 or one chord, 1(5)?"},
		{"45", "4 5 or one chord, 4(5)?"},
		{"16", "1 6 or one chord, 1(6)?"},
		{"V7/ii", "VI7, or V7 over a bass, V7/2?"},
		{"| 1. 4 | 5 |", "write [1. or 1 ."},
		{"8", "from 1 to 7"},
		{"3/8", "a metre? write (3/8)"},
		{"G Hm", "Hm, at letter 3: Bm? H is a German name"},
		{"Gxx", "Gx? the rest says nothing"},
		{"G D\nEm Cfoo", "line 2, column 4: Cfoo: C? the rest says nothing"},
		{"foo", "no chord: use a letter"},
	} {
		if c, err := typed(t, v.text, "C"); err == nil || !strings.Contains(err.Error(), v.want) {
			t.Errorf("%s is read as %s, %v, want %q", v.text, show(c.played(9)), err, v.want)
		}
	}
}

func TestWhatChordProDoesNotMeanIsTold(t *testing.T) {
	for text, want := range map[string]string{
		"[G]Tin\n[D\n":                          "line 2, column 1: [D: a chord? close it with ]",
		"[G D]Tin\n":                            "line 1, column 2: G D: several chords? give each its own brackets",
		"um [Foo]Tin\n":                         "line 1, column 5: Foo: Fo? the rest says nothing, or a remark, [*Foo]",
		"{transpose: 2}\n[G]Tin\n":              "write them in the key they are played in",
		"{soc}\n[G]Tin\n":                       "the chorus is still open: close it with {end_of_chorus}",
		"{soc}\n[G]Tin\n{eov}\n":                "the end of a verse, and a chorus is open",
		"{sog}\n| G . | D .\n{eog}\n":           "line 2, column 9: D .: a bar? close it with |",
		"{key: X}\n[G]Tin\n":                    "line 1, column 7: X: no key",
		"{t: a}\n[G]Tin\n{ns}\n{t: b}\n[Gq]T\n": "line 5, column 2: Gq: G?",
	} {
		if _, err := Read("tin.cho", text, Options{}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
	charts := must[[]Chart](t)(Read("tin.cho", "{t: a}\n[G]Tin\n{ns}\n{t: b}\n[D]T\n", Options{}))
	if len(charts) != 2 || charts[1].Title != "b" || charts[1].String() != "{ns}\n{t: b}\n[D]T\n" {
		t.Errorf("two songs are %+v", charts)
	}
}

// The chords of charts, and what theory makes of them.
func TestTheZooOfChordsIsRead(t *testing.T) {
	for text, want := range map[string]string{
		"C4": "Csus4", "C2": "Cadd9", "C7/13": "C7add13", "C7(13)": "C7add13", "Cm7/11": "Cm7add11", "CMIN7": "Cm7", "(C)": "C", "C-": "Cm",
		"CΔ": "Cmaj7", "C+": "Caug", "C°": "Cdim", "C^7": "Cmaj7", "Cø": "Cm7b5", "C6/9": "C69", "C7#9b13": "C7#9b13", "C/E": "C/E", "C/G": "C/G",
		"C♯m7": "C#m7", "B♭/D": "Bb/D", "D4": "Dsus4", "F#m7b5/E": "F#m7b5/E", "Cmaj7(#11)": "Cmaj7#11", "C7(b9,#11)": "C7b9#11", "Csus24": "Csus24",
	} {
		c, err := typed(t, text, "C")
		if err != nil || show(c.played(9)) != want {
			t.Errorf("%s: %s, %v, want %s", text, show(c.played(9)), err, want)
		}
	}
}

const umbrella = `Tin Umbrella
Key: G
Tempo: 96
Capo: 1, play G

Intro: | G | D/F# |

[Verse 1]
G           D/F#      Em7
Tin umbrella over the quay,
   C                D (x2)
it rattles when the rain comes in

Chorus x2
| G . D . | Em C | %
All the bells are under water
`

const umbrellaPro = `# the band's own
{title: Tin Umbrella}
{t:again}
{key: G}
{capo: 1}
{x_band_pedal: 3}

{start_of_verse: Verse 1}
[G]Tin umbrella [D/F#]over the [Em7]quay,
it [C]rattles when the [*softly]rain comes [D]in [N.C.]
{end_of_verse}
{c: Bridge}
no chords here
{sog: 1+4x2+1}
A |: G . | D . :| twice
  | % . | C . |.
{eog}
{soc}
[Em]All the [C]bells
{eoc}
{chorus}
{sot}
e|--3--|
{eot}
`

func TestAChartIsReadWhole(t *testing.T) {
	for _, v := range []struct{ name, text, sections, played string }{
		{"tin.txt", umbrella, ",Intro,Verse 1,Chorus", "G | D/F# | G | D/F# | Em7 | C | D | C | D | G . D . | Em C | Em C | G . D . | Em C | Em C"},
		{"tin.cho", umbrellaPro, ",Verse 1,,Bridge,,,Chorus,,Chorus,,Tab,", "G | D/F# | Em7 | C | D | N.C. | G . | D . | G . | D . | D . | C . | Em | C | Em | C"},
	} {
		c := must[[]Chart](t)(Read(v.name, v.text, Options{}))[0]
		if got := c.String(); got != v.text {
			t.Errorf("%s is written otherwise: %s", v.name, cmp.Diff(v.text, got))
		}
		if c.Title != "Tin Umbrella" || c.Key != key(t, "G") || c.Capo != 1 || c.Sounding() != key(t, "Ab") {
			t.Errorf("%s: %q in %v, capo %d, sounding %v", v.name, c.Title, c.Key, c.Capo, c.Sounding())
		}
		var names []string
		for _, s := range c.Sections {
			names = append(names, s.Name)
		}
		if got := strings.Join(names, ","); got != v.sections {
			t.Errorf("%s has the sections %s", v.name, got)
		}
		if got := show(c.played(100)); got != v.played {
			t.Errorf("%s is played %s, want %s", v.name, got, v.played)
		}
	}
}

// ChordPro's {chorus}; a heading without music is common practice, no source.
func TestASectionIsPlayedAgainWhereItIsCalledFor(t *testing.T) {
	for _, v := range []struct{ name, text, want string }{
		{"x.cho", "{key: G}\n{c: Chorus}\n[G]Rain\n{c: Verse}\n[Em]Quay\n{chorus: Last}\n", "G | Em | G"},
		{"x.cho", "{key: G}\n{soc}\n[G]Rain\n{eoc}\n{c: Verse}\n[Em]Quay\n{chorus: Last}\n{soc}\n[C]Sun\n{eoc}\n{chorus}\n", "G | Em | G | C | C"},
		{"x.cho", "{key: G}\n{sov: Verse}\n[G]Rain\n{eov}\n{chorus}\n", "G"},
		{"x.txt", "Key: G\n[Chorus]\nG\n[Verse]\nEm\n[Chorus] x2\n[Coda]\nwords\n", "G | Em | G | G"},
	} {
		c := must[[]Chart](t)(Read(v.name, v.text, Options{}))[0]
		if got := show(c.played(9)); got != v.want {
			t.Errorf("%q is played %s, want %s", v.text, got, v.want)
		}
	}
}

// With a second key the numbers of the bars are those that a view in numbers writes.
func TestNumbersCountFromTheKeyThatHolds(t *testing.T) {
	c := must[[]Chart](t)(Read("x.txt", "Key: Ab\nCapo 1, play G\n[A]\nG D\nKey: A\n[B]\nA E\n", Options{}))[0]
	if got := must[Chart](t)(c.Numbers()).String(); got != "Key: Ab\nCapo 1, play G\n[A]\n1 5\nKey: A\n[B]\n1 5\n" {
		t.Errorf("in numbers: %q", got)
	}
	for i, want := range []string{"", "G", "A"} {
		for _, b := range c.Bars(i) {
			if b.Key != key(t, want) {
				t.Errorf("section %d is in %v, want %s", i, b.Key, want)
			}
		}
	}
}

func TestAChartIsMovedAndSeenInNumbers(t *testing.T) {
	c := must[[]Chart](t)(Read("tin.txt", umbrella, Options{}))[0]
	for _, v := range []struct {
		chart Chart
		want  string
	}{
		{must[Chart](t)(c.Move(key(t, "Bb"), 0)), "Tin Umbrella\nKey: Bb\nTempo: 96\n\nIntro: | Bb | F/A |\n\n[Verse 1]\nBb          F/A       Gm7\nTin umbrella over the quay,\n" +
			"   Eb               F (x2)\nit rattles when the rain comes in\n\nChorus x2\n| Bb . F . | Gm Eb | %\nAll the bells are under water\n"},
		{must[Chart](t)(c.Move(key(t, "C"), 5)), strings.Replace(umbrella, "1, play", "5, play", 1)},
		{must[Chart](t)(c.Numbers()), "Tin Umbrella\nKey: G\nTempo: 96\nCapo: 1, play G\n\nIntro: | 1 | 5/7  |\n\n[Verse 1]\n1           5/7       6-7\nTin umbrella over the quay,\n" +
			"   4                5 (x2)\nit rattles when the rain comes in\n\nChorus x2\n| 1 . 5 . | 6- 4 | %\nAll the bells are under water\n"},
	} {
		if got := v.chart.String(); got != v.want {
			t.Errorf("got %s", cmp.Diff(v.want, got))
		}
	}
	zoo := must[Chart](t)(typed(t, "GMIN7 B♭Δ/D C7/13 (D4) F♯°", "G"))
	if got := must[Chart](t)(zoo.Move(key(t, "Ab"), 0)).String(); !strings.HasSuffix(got, "\nA♭MIN7 C♭Δ/E♭ D♭7/13 (E♭4) G°\n") {
		t.Errorf("qualities and signs are written otherwise: %q", got)
	}
	if _, err := c.Move(key(t, "Bm"), 0); err == nil || !strings.Contains(err.Error(), "give a major key") {
		t.Errorf("to a minor key: %v", err)
	}
	none := must[Chart](t)(ReadTyped("G D", Options{}))
	if _, err := none.Move(key(t, "Bb"), 0); err != Unkeyed {
		t.Errorf("without a key: %v", err)
	}
	sounding := must[[]Chart](t)(Read("x.txt", "Key: Ab\nCapo 1, play G\nG D\n", Options{}))[0]
	if got := must[Chart](t)(sounding.Move(key(t, "B"), 4)).String(); got != "Key: B\nCapo 4, play G\nG D\n" {
		t.Errorf("the key that sounds: got %q", got)
	}
	if got := must[Chart](t)(sounding.Numbers()).String(); got != "Key: Ab\nCapo 1, play G\n1 5\n" {
		t.Errorf("numbers count from the key of the hand: got %q", got)
	}
}

// played returns the bars of the whole chart in the order in which they sound, with
// every repeat, ending and recall played. It stops at most bars.
func (c Chart) played(most int) []Bar {
	var all []Bar
	for i, s := range c.Sections {
		once := Unfold(c.Bars(c.Source(i)), most)
		for range max(1, s.Times) {
			if all = append(all, once...); len(all) >= most {
				return all[:most]
			}
		}
	}
	return all
}
