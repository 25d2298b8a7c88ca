package chart

import (
	"errors"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"surefret/drills/theory"
)

// whole compares the unexported fields of a chart, too.
var whole = cmp.Exporter(func(reflect.Type) bool { return true })

var (
	anyChord = rapid.Custom(func(t *rapid.T) string {
		root := rapid.SampledFrom(strings.Fields("C D E F G A B Bb F# Eb C# Ab B♭ F♯")).Draw(t, "root")
		suffix := rapid.SampledFrom(strings.Split(",m,7,m7,maj7,sus4,4,MIN7,°,ø,+,6/9,7/13,7(b9),-,Δ,add9,m7b5,5,^7", ",")).Draw(t, "suffix")
		return root + suffix + rapid.SampledFrom([]string{"", "", "", "/E", "/G#", "/B♭"}).Draw(t, "bass")
	})
	anyNumber = rapid.Custom(func(t *rapid.T) string {
		return rapid.SampledFrom(strings.Fields("1 2- 2m 3- 4 5 6- 6m b7 #4° 5/7 4/6 57 6-7 1(5) 5sus 1maj7 b3 57/7 ♭6")).Draw(t, "number")
	})
	anyRoman = rapid.Custom(func(t *rapid.T) string {
		return rapid.SampledFrom(strings.Fields("I ii iii IV V vi vii° bVII V7 I/V V/V IV/VI iiø7 V65 I/3 VI III")).Draw(t, "roman")
	})
	// As many words follow that no chord begins like, so that no line looks like chords.
	anyWords = rapid.Map(rapid.StringMatching(`[a-z ,.'é日\t]{0,40}`), func(words string) string {
		return words + strings.Repeat(" zo", len(strings.Fields(words)))
	})
	lines = rapid.IntRange(1, 8)
)

// anyRow makes a line of music in one notation, as a player may space it.
func anyRow(t *rapid.T, chord *rapid.Generator[string], barred bool) string {
	var b strings.Builder
	b.WriteString(rapid.SampledFrom([]string{"", "", "   "}).Draw(t, "indent"))
	bars := rapid.IntRange(1, 6).Draw(t, "bars")
	opened := rapid.SampledFrom([]string{"| ", "|", "||: ", "|: "}).Draw(t, "opening")
	if barred {
		b.WriteString(opened)
	}
	for i := range bars {
		beats := rapid.IntRange(1, 4).Draw(t, "beats")
		for j := range beats {
			c := chord.Draw(t, "chord")
			if j > 0 || !barred {
				c = rapid.SampledFrom([]string{c, c, c, "(" + c + ")", "<" + c + ">", "^" + c, c + "...", c + "///", ".", "/", "N.C.", "r", c + "_" + c, "(" + c + " " + c + ")", c + ","}).Draw(t, "beat")
			}
			b.WriteString(c + rapid.SampledFrom([]string{" ", " ", "  ", "      "}).Draw(t, "space"))
		}
		if barred {
			b.WriteString(rapid.SampledFrom([]string{"|", "| ", "| ", "|| ", ":|| ", "| % | ", "|[1. ", "| (2/4) "}).Draw(t, "bar"))
			if i == bars-1 {
				return b.String() + rapid.SampledFrom([]string{"", "| (x3)"}).Draw(t, "times")
			}
		}
	}
	return b.String()
}

func anyText(t *rapid.T) string {
	chord := rapid.SampledFrom([]*rapid.Generator[string]{anyChord, anyChord, anyNumber, anyRoman}).Draw(t, "notation")
	var b strings.Builder
	b.WriteString(rapid.SampledFrom([]string{"", "Tin Umbrella\n\n", "Title: Tin Umbrella\nKey: G\n", "Key: Bb\nTempo: 96 bpm\nTime: 3/4\nCapo: 2\n", "Key: D\n\n"}).Draw(t, "head"))
	for range lines.Draw(t, "lines") {
		switch rapid.IntRange(0, 5).Draw(t, "line") {
		case 0:
			b.WriteString(rapid.SampledFrom([]string{"[Verse 1]\n", "Chorus x2\n", "Bridge:\n", "\n", "The last bit:\n", "[A]\n", "Key: A\n"}).Draw(t, "heading"))
		case 1:
			b.WriteString("Intro: " + anyRow(t, chord, true) + "\n")
		case 2:
			b.WriteString(anyRow(t, chord, true) + "\n")
		default:
			b.WriteString(anyRow(t, chord, false) + "\n" + anyWords.Draw(t, "words") + "\n")
		}
	}
	return b.String()
}

func anyPro(t *rapid.T) string {
	chord := rapid.SampledFrom([]*rapid.Generator[string]{anyChord, anyChord, anyNumber, anyRoman}).Draw(t, "notation")
	var b strings.Builder
	b.WriteString(rapid.SampledFrom([]string{"{title: Tin Umbrella}\n", "{t:Tin Umbrella}\n{key: G}\n{meta: tempo 96}\n{x_lamp: green}\n", "# ours\n{key:Bb}\n{time: 3/4}\n{capo: 2}\n"}).Draw(t, "head"))
	for range lines.Draw(t, "lines") {
		switch rapid.IntRange(0, 4).Draw(t, "line") {
		case 0:
			b.WriteString(rapid.SampledFrom([]string{"{c: softly}\n", "{chorus}\n", "\n", "# a remark\n", "{comment: Bridge}\n", "{define: G 1 3 2 0 0 0 3}\n", "{sot}\ne|-3-|\n{eot}\n"}).Draw(t, "directive"))
		case 1:
			b.WriteString("{start_of_grid}\nA " + anyRow(t, chord, true) + "\n{end_of_grid}\n")
		default:
			b.WriteString(rapid.SampledFrom([]string{"{soc}\n", "{start_of_verse: Verse 1}\n", "{start_of_bridge label=\"The turn\"}\n"}).Draw(t, "start"))
			for range lines.Draw(t, "sung") {
				for range rapid.IntRange(0, 4).Draw(t, "chords") {
					b.WriteString(anyWords.Draw(t, "words") + rapid.SampledFrom([]string{"[" + chord.Draw(t, "chord") + "]", "[N.C.]", "[*Rit.]"}).Draw(t, "bracket"))
				}
				b.WriteString(anyWords.Draw(t, "rest") + "\n")
			}
			b.WriteString(rapid.SampledFrom([]string{"{eoc}\n"}).Draw(t, "end"))
			s := b.String() // with the end that belongs to it
			at := max(strings.LastIndex(s, "{soc}"), strings.LastIndex(s, "{start_of_"))
			if kind := s[at:]; !strings.HasPrefix(kind, "{soc}") {
				b.Reset()
				b.WriteString(strings.TrimSuffix(s, "{eoc}\n") + map[bool]string{true: "{eov}\n", false: "{end_of_bridge}\n"}[strings.HasPrefix(kind, "{start_of_verse")])
			}
		}
	}
	return b.String()
}

// squeeze leaves out what only spaces a chart.
func squeeze(s string) string { return strings.Join(strings.Fields(s), "") }

// lyrics lists the words of a chart.
func lyrics(c Chart) (words []string) {
	for _, s := range c.Sections {
		for _, l := range s.lines {
			if l.sung || l.kind == plainLine {
				words = append(words, l.words+l.text)
			}
		}
	}
	return words
}

// meant lists what the marks of a chart mean, wherever they stand.
func meant(c Chart) (marks []string) {
	for _, s := range c.Sections {
		for _, l := range s.lines {
			for _, m := range l.marks {
				marks = append(marks, m.written(), m.chord.String())
			}
		}
	}
	return marks
}

// For both formats: what is written reads as what it was; what is read is written again
// equal but for spacing; in another key, or in numbers, the words are the same to the
// byte, and so is what is written there; and back again every chord is where it began.
func TestReadingWhatIsWritten(t *testing.T) {
	for name, format := range map[string]func(*rapid.T) string{"tin.txt": anyText, "tin.cho": anyPro} {
		t.Run(name, rapid.MakeCheck(func(t *rapid.T) {
			text := format(t)
			charts, err := Read(name, text, Options{})
			if err != nil {
				t.Fatalf("%v in\n%s", err, text)
			}
			c := charts[0]
			reads := func(c Chart) Chart {
				again, err := Read(name, c.String(), Options{})
				if err != nil {
					t.Fatalf("%v in\n%s", err, c)
				}
				return again[0]
			}
			if diff := cmp.Diff(c, reads(c), whole); diff != "" {
				t.Fatalf("%s\nis written\n%s\nand reads otherwise: %s", text, c, diff)
			}
			if squeeze(c.String()) != squeeze(text) {
				t.Fatalf("%s\nis written\n%s", text, c)
			}
			to := rapid.SampledFrom(theory.KeysOf(c.Key.Mode)[1:14]).Draw(t, "to")
			moved, err := c.Move(to, rapid.IntRange(0, 5).Draw(t, "capo"))
			if errors.Is(err, Unkeyed) {
				return
			} else if err != nil {
				t.Fatal(err)
			}
			for _, other := range []Chart{moved, must[Chart](t)(c.Numbers())} {
				again := reads(other)
				if diff := cmp.Diff(meant(other), meant(again), whole); diff != "" {
					t.Fatalf("%s\nreads otherwise than it is meant: %s", other, diff)
				}
				if again.Keyed && again.Key != other.Key || again.Capo != other.Capo {
					t.Fatalf("%s\nis in %v with capo %d, want %v and %d", other, again.Key, again.Capo, other.Key, other.Capo)
				}
				if diff := cmp.Diff(lyrics(c), lyrics(again), whole); diff != "" {
					t.Fatalf("%s\nhas other words: %s", other, diff)
				}
			}
			home := must[Chart](t)(moved.Move(c.Sounding(), c.Capo))
			for i, was := range meant(c) {
				a, err := c.Names.ParseChord(was)
				b, err2 := c.Names.ParseChord(meant(home)[i])
				if err == nil && err2 == nil && !a.Enharmonic(b) {
					t.Fatalf("%s there and back is %s", was, meant(home)[i])
				}
			}
		}))
	}
}
