package chart

import (
	"strings"
	"testing"

	"surefret/drills/theory"
)

// Charts of the Saltmarsh Five as they come from mails, pages of the web and old
// machines: what they mean is read, and in numbers it reads the same.
func TestNothingOfAnAwkwardChartIsLost(t *testing.T) {
	for _, v := range []struct{ name, text, played string }{
		{"tabs.txt", "G\tD/F#\tEm\nDown\tby\tthe slip\n", "G | D/F# | Em"},
		{"nbsp.txt", "Tempo:\u00a096\n[Verse]\u00a0\nG\u00a0\u00a0D\nPilot\u00a0boat\n|\u00a0C\u00a0|\u3000D\u00a0|\n", "G | D | C | D"},
		{"zero-width.txt", "G\u200b   D\u200b\nPilot boat\n", "G | D"},
		{"windows.txt", "\ufeffFog Signal\r\nG D\r\nFog is on the sound\r\n", "G | D"},
		{"old.txt", "Fog Signal\r\rG D\rFog is on the sound\r", "G | D"},
		{"unicode.txt", "G♯°   B♭/D\nRopewalk\n", "G#dim | Bb/D"},
		{"endings.txt", "|: G | C |\n| D |1. G | Em :|\n|2. D | G |\n", "G | C | D | G | Em | G | C | D | D | G"},
		{"fourfour.txt", "Cockles\n 4/4\nG D\n", "G | D"},
		{"capo.txt", "Capo on 3\nG D\n", "G | D"},
		{"shout.txt", "CAPO 3\nG D\n", "G | D"},
		{"about.txt", "Cockles\nTuning: E A D G B E\nOriginal key: Ab\nStrum: D D\nStarting note: B\n\nG D\n", "G | D"},
		{"margin.cho", "{sog}\n|: G . | D . :| x3\n{eog}\n", "G . | D . | G . | D . | G . | D ."},
		{"words.cho", "[]A E\n[G]I O\n", "G"},
	} {
		o := Options{Key: key(t, "G"), Keyed: true}
		c := must[[]Chart](t)(Read(v.name, v.text, o))[0]
		if got := show(c.played(99)); got != v.played {
			t.Errorf("%s is played %s, want %s", v.name, got, v.played)
		}
		if strings.Contains(strings.ToLower(v.text), "capo") && c.Capo != 3 || strings.Contains(v.text, "4/4") && c.Time != (Meter{4, 4}) || strings.Contains(v.text, "96") && c.Tempo != 96 {
			t.Errorf("%s has the capo %d, the metre %v and the tempo %g", v.name, c.Capo, c.Time, c.Tempo)
		}
		for _, other := range []Chart{c, must[Chart](t)(c.Numbers())} {
			again, err := Read(v.name, other.String(), o)
			if err != nil || show(again[0].played(99)) != v.played {
				t.Errorf("%s is written %q and reads otherwise: %v", v.name, other, err)
			}
		}
	}
}

// What could be lost or read wrongly in silence is told instead.
func TestWhatIsAwkwardIsTold(t *testing.T) {
	for _, v := range []struct{ name, text, want string }{
		{"x.txt", "|: G |1 D :|2 C |\n", "line 1, column 7: 1: an ending, or a chord? write [1. or the chord by its letter"},
		{"x.cho", "{sog}\n|: G . |1 D . :|\n{eog}\n", "line 2, column 9: 1: an ending"},
		{"x.txt", "|1. | 4 | N.C. |\n", "1.: the first ending, or the chord held for a beat?"},
		{"x.txt", "C D\n3/4\nG\n", "line 2, column 1: 3/4: a metre, or a chord over a bass?"},
		{"x.txt", "am  dm  e\nTin umbrella\n", "line 1, column 1: am: Am? a chord begins with a capital"},
		{"x.txt", "( G | D )x2\n", "line 1, column 1: (: no chord"},
		{"x.txt", "Key: Hm\nHm\n", "Hm: Bm? H is a German name"},
		{"x.cho", "{t: Tin} {key: G}\n[G]a\n", "line 1, column 1: {t: Tin} {key: G}: two directives?"},
		{"x.cho", "{soc} [G]a\n{eoc}\n", "give it a line of its own"},
		{"x.cho", "[G]a\nG    D\nhey you\n", "line 2, column 1: G    D: chords? give each brackets"},
		{"x.cho", "| G |\n", "chords? give each brackets"},
		{"x.cho", "{key: G\n[G]a\n", "a directive? close it with }"},
		{"x.cho", "{soc}\n{sov}\n[G]a\n{eov}\n{eoc}\n", "a verse within the chorus"},
	} {
		if charts, err := Read(v.name, v.text, Options{}); err == nil || !strings.Contains(err.Error(), v.want) {
			t.Errorf("%q is read as %s, %v, want %q", v.text, show(charts[0].played(9)), err, v.want)
		}
	}
}

// German names: H is the note below C, and B the one below that.
func TestGermanChartsAreRead(t *testing.T) {
	german := theory.Names{System: theory.German}
	c := must[[]Chart](t)(Read("nebel.txt", "Key: H\n\nH B Fis Es As Hm7/Fis\nNebelhorn\n", Options{Names: german}))[0]
	if got := show(c.played(9)); got != "B | Bb | F# | Eb | Ab | Bm7/F#" || c.Key != key(t, "B") {
		t.Errorf("is played %s in %v", got, c.Key)
	}
	if got := c.Named(theory.Names{}).String(); got != "Key: B\n\nB Bb F# Eb Ab Bm7/F#\nNebelhorn\n" {
		t.Errorf("in English names: %q", got)
	}
}
