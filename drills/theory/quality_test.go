package theory

import (
	"strings"
	"testing"
)

// Every set of tones that a symbol can name is printed so that it reads back
// as itself: all of them are tried.
func TestEveryQualityReadsBack(t *testing.T) {
	named := map[string]Quality{}
	for set := tones(0); set <= thirteenth<<1-1; set++ {
		q, ok := set.normal()
		if !ok {
			continue
		}
		s := q.String()
		if back, err := parseQuality(s); err != nil || back != q {
			t.Fatalf("tones %b print as %q, which reads as %b, %v", q.tones(), s, back.tones(), err)
		}
		if other, ok := named[s]; ok && other != q {
			t.Fatalf("%q names two qualities, %b and %b", s, q.tones(), other.tones())
		}
		named[s] = q
		if again, ok := q.tones().normal(); !ok || again != q {
			t.Fatalf("%q has another normal form than itself", s)
		}
		if of, ok := qualityOf(q.intervals()); !ok || of != q {
			t.Fatalf("the intervals of %q make %q", s, of)
		}
	}
	if len(named) < 5000 {
		t.Errorf("only %d qualities were tried", len(named))
	}
}

func TestPlainSuffixesFollowTheRules(t *testing.T) {
	for _, p := range plain {
		if got := p.tones.suffix(); got != p.suffix && p.tones != altered {
			t.Errorf("the rules print %q as %q", p.suffix, got)
		}
	}
}

// The symbols that players write, several ways to one chord.
func TestSymbolsForOneChordAgree(t *testing.T) {
	for canonical, others := range map[string][]string{
		"":       {"M", "maj", "major", "Maj"},
		"m":      {"-", "min", "mi", "minor", "Min"},
		"7":      {"(7)"},
		"maj7":   {"M7", "Maj7", "Δ", "Δ7", "∆7", "△7", "^7", "ma7", "major7", "(maj7)", "MAJ7", "Ma7", "7M"},
		"m7":     {"-7", "min7", "Min7", "mi7", "minor7", "MIN7", "Mi7", "MI7"},
		"mM7":    {"m(maj7)", "mmaj7", "-M7", "minmaj7", "-Δ7", "m/maj7", "mΔ", "m/M7"},
		"m7b5":   {"ø", "ø7", "Ø7", "-7b5", "min7(b5)", "m7♭5", "m7-5"},
		"dim":    {"°", "o", "mb5", "m(b5)", "m-5"},
		"dim7":   {"°7", "o7", "º7"},
		"mM7b5":  {"dimM7", "°maj7", "omaj7"},
		"aug":    {"+", "(#5)", "M#5", "+5"},
		"7#5":    {"+7", "aug7", "7+", "7+5", "7(♯5)"},
		"maj7#5": {"+M7", "augmaj7", "M7+5", "Δ#5"},
		"sus4":   {"sus", "msus4", "4", "SUS4"},
		"7sus4":  {"7sus", "sus7", "sus4 7", "m7sus4"},
		"9sus4":  {"9sus", "sus9", "7sus4add9", "11sus"},
		"sus24":  {"sus2sus4", "sus42", "sus4add9", "sus2add4"},
		"add9":   {"2", "add2", "(add9)", "(add 9)", "/9"},
		"7add13": {"7/13", "7(13)"}, "m7add11": {"m7/11"}, "7#9b13": {"7(#9,b13)"},
		"madd9":  {"m2", "-add9", "m(add9)"},
		"69":     {"6/9", "6add9", "(6/9)", "maj6/9"},
		"6":      {"maj6", "M6", "add6", "add13"},
		"m6":     {"-6", "min6"},
		"9":      {"7add9", "(9)", "7(9)"},
		"13":     {"9add13"},
		"7alt":   {"alt", "7(alt)", "7b5#5b9#9"},
		"7b9":    {"7(b9)", "7-9", "7♭9", "7addb9"},
		"7#9":    {"7+9", "7(#9)"},
		"7#11":   {"7+11", "7(#11)", "7#4"},
		"7b9#11": {"7(b9,#11)", "7#11b9", "7(#11b9)"},
		"13b9":   {"13-9", "13(b9)"},
		"5":      {"no3", "(no 3)", "omit3", "no3rd"},
		"7no5":   {"7(no5)", "7omit5", "7no5th"},
		"add11":  {"add4"},
		"(b5)":   {"M-5", "Mb5"},
	} {
		want, err := parseQuality(canonical)
		if err != nil {
			t.Fatal(err)
		}
		if got := want.String(); got != canonical {
			t.Errorf("%q prints as %q", canonical, got)
		}
		for _, s := range others {
			if got, err := parseQuality(s); err != nil || got != want {
				t.Errorf("%q: got %q, %v, want %q", s, got, err, canonical)
			}
		}
	}
}

func TestTonesThatContradictMakeNoChord(t *testing.T) {
	diminishedFourth := Interval{Steps: 3, Semitones: 4}
	if q, ok := qualityOf([]Interval{{2, 4}, diminishedFourth}); ok {
		t.Errorf("a diminished fourth is a tone of %q", q)
	}
	if q, ok := qualityOf([]Interval{{2, 3}, {2, 4}}); ok {
		t.Errorf("both thirds make %q", q)
	}
	if _, err := parseQuality("dim7#5"); err == nil || !strings.Contains(err.Error(), "contradict") {
		t.Errorf("a diminished seventh on an augmented fifth: %v", err)
	}
}

func TestSymbolsThatSayNothingAreRefused(t *testing.T) {
	for _, s := range []string{
		"x", "77", "79", "mm", "majmin", "8", "15", "m5", "75", "mdim", "7m", "maj7maj", "b7", "#", "add", "add7",
		"sus5", "/", "7/", "/8", "/maj7", "++", "--", "no", "dimm", "H", "\x00", "é",
	} {
		if q, err := parseQuality(s); err == nil {
			t.Errorf("%q is read as %q", s, q)
		}
	}
}
