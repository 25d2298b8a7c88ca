package score_test

import (
	"testing"
	"time"

	"surefret/cmd/surefret/score"
	"surefret/drills/fretboard"
	"surefret/drills/gig"
	"surefret/drills/rehearse"
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
