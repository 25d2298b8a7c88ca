package score_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"surefret/cmd/surefret/score"
	"surefret/drills/fretboard"
	"surefret/drills/gig"
	"surefret/drills/rehearse"
	"surefret/drills/theory"
	"surefret/synth"
)

// Beat n of a tempo comes n times 60/tempo seconds after the first: each click of a
// long song lies on the sample that this says, and the bar's first one is accented.
func TestClicksAreExactToTheSample(t *testing.T) {
	neck := fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}
	song := gig.Song{Title: "Tin Umbrella", Learned: "G", Called: "G", Sections: []gig.Section{{Chords: "| 1 | 4 | 5 | 1 | (x99)"}}}
	for _, tempo := range []float64{40, 96.5, 240} {
		r, err := rehearse.Of(song, neck, tempo)
		if err != nil {
			t.Fatal(err)
		}
		sc, first := score.Song(r, neck, 440, score.Backing{CountIn: true})
		n := 0
		for _, e := range sc {
			if e.Sound != synth.Click && e.Sound != synth.Accent {
				continue
			}
			if want := time.Duration(float64(n) * 60 / tempo * float64(time.Second)); e.At-want > 2 || want-e.At > 2 || (e.Sound == synth.Accent) != (n%4 == 0) {
				t.Fatalf("at %g, click %d comes at %v, want %v; accented: %v", tempo, n, e.At, want, e.Sound == synth.Accent)
			}
			n++
		}
		if want := 4 * (len(r.Bars) + 1); n != want || first != r.Time(4) {
			t.Errorf("at %g there are %d clicks, want %d; the song begins at %v", tempo, n, want, first)
		}
	}
}

// What the hand plays sounds on the third beat of its change; a walk, on the beats before
// the next one.
func TestTargetsSoundWhereTheHandPlaysThem(t *testing.T) {
	neck := fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}
	song := gig.Song{Title: "Tin Umbrella", Learned: "G", Called: "G", Sections: []gig.Section{{Chords: "| 1 | 4 |"}}}
	for as, want := range map[string]string{
		"roots":  "1s G2 3s C3",
		"tenths": "1s G2 1.0125s B3 3s C3 3.0125s E4",
		"walks":  "1s A2 1.5s B2 3s C3", // from G to C, at 120: the third and the fourth beat
	} {
		r, err := rehearse.Of(song, neck, 120)
		if err == nil {
			err = r.As(as, neck)
		}
		if err != nil {
			t.Fatal(err)
		}
		sc, _ := score.Song(r, neck, 440, score.Backing{Targets: true})
		var got []string
		for _, e := range sc {
			if e.Sound == synth.Plucked {
				got = append(got, fmt.Sprintf("%v %s", e.At, theory.FromMIDI(int(math.Round(69+12*math.Log2(e.Hz/440))), false)))
			}
		}
		if s := strings.Join(got, " "); s != want {
			t.Errorf("%s sound %s, want %s", as, s, want)
		}
	}
}

// A click that is doubled is as strong as two.
func TestALouderClickIsSetTwice(t *testing.T) {
	neck := fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}
	r, err := rehearse.Of(gig.Song{Title: "Tin Umbrella", Learned: "G", Called: "G", Sections: []gig.Section{{Chords: "| 1 |"}}}, neck, 120)
	if err != nil {
		t.Fatal(err)
	}
	plain, _ := score.Song(r, neck, 440, score.Backing{})
	loud, _ := score.Song(r, neck, 440, score.Backing{Louder: 1})
	if len(loud)-1 != 2*(len(plain)-1) {
		t.Errorf("%d events, %d where the click is louder", len(plain), len(loud))
	}
}

// Where a bass walks, its notes sound at their beats below the chords, whose own bass is
// silent.
func TestABassWalksBelowTheChords(t *testing.T) {
	neck := fretboard.Fretboard{Tuning: fretboard.Bass, Frets: 20}
	r, err := rehearse.Of(gig.Song{Title: "Ferry", Learned: "C", Called: "C", Sections: []gig.Section{{Chords: "| 1 | 4 |"}}}, neck, 120)
	if err != nil {
		t.Fatal(err)
	}
	whole, _ := score.Song(r, neck, 440, score.Backing{Chords: true})
	if got := whole[slices.IndexFunc(whole, func(e synth.Event) bool { return e.Sound == synth.Plucked })].Hz; got != score.Hz(36, 440) {
		t.Errorf("the bass of C is at %.1f Hz, want C2, as a bass has it", got)
	}
	line, err := r.Walking(neck)
	if err != nil {
		t.Fatal(err)
	}
	sc, _ := score.Song(r, neck, 440, score.Backing{Chords: true, Walking: line})
	var low []string
	for _, e := range sc {
		if e.Sound == synth.Plucked && e.Hz < score.Hz(55, 440)-1 {
			low = append(low, fmt.Sprintf("%v %.1f", e.At, e.Hz))
		}
	}
	var want []string
	for i, n := range line {
		want = append(want, fmt.Sprintf("%v %.1f", time.Duration(i)*time.Second/2, score.Hz(n.Pitch.MIDI(), 440)))
	}
	if len(want) != 8 || strings.Join(low, ", ") != strings.Join(want, ", ") {
		t.Errorf("below G3 there sound %v, want %v", low, want)
	}
}
