package listen_test

import (
	"encoding/binary"
	"os/exec"
	"strings"
	"testing"
	"time"

	"surefret/synth"
	"surefret/synth/listen"
	"surefret/testdata/oracle"
)

const talk = "The Saltmarsh Five play at the harbour on Friday, and the singer wants it in B flat. We begin at eight, so be there at six and bring the long cable. " +
	"Who has the set list? The bridge goes up to the four, then walks down to the one, and we end on the last chorus. Mind the stairs with the amplifier, please, they are wet! "

// Ninety seconds of speech at full level, of which nothing is taken for an answer:
// neither right at once, whatever was asked, nor wrong.
func TestTalkIsNoAnswer(t *testing.T) {
	espeak := oracle.Program(t, "espeak-ng")
	voices, seconds := []string{"en-gb"}, 30
	if oracle.All() {
		voices, seconds = []string{"en-gb", "en-us+f3", "de", "en-gb+f2", "fr"}, 90
	}
	for _, voice := range voices {
		out, err := exec.Command(espeak, "-v", voice, "-s", "150", "--stdout", strings.Repeat(talk, 7)).Output()
		if err != nil {
			t.Fatal(err)
		}
		const rate = 22050
		x := make([]float32, min((len(out)-44)/2, seconds*rate))
		top := float32(0)
		for i := range x {
			x[i] = float32(int16(binary.LittleEndian.Uint16(out[44+2*i:])))
			top = max(top, x[i], -x[i])
		}
		for i := range x {
			x[i] *= 0.9 / top
		}
		onsets, taken := 0, 0
		for _, e := range listenTo(t, listen.Config{Rate: rate}, x) {
			switch e.Kind {
			case listen.Onset:
				onsets++
			case listen.Heard, listen.Settled:
				taken++
				t.Errorf("%s: %v at %v, key %.2f", voice, e.Kind, e.At, e.Key)
			}
		}
		t.Logf("%s: %d s, %d onsets, %d answers", voice, len(x)/rate, onsets, taken)
		if onsets == 0 {
			t.Error("no onset in speech: it was not listened to")
		}
	}
}

// What the program itself sounds is heard by the microphone as well as any guitar, so
// nothing is listened to meanwhile.
func TestMusicFromTheSpeakerIsNoAnswer(t *testing.T) {
	cue, err := synth.Render(synth.CountIn(120, 2).Then(synth.Line(120, 110, 146.83, 196, 246.94)), synth.Options{})
	if err != nil {
		t.Fatal(err)
	}
	hear := func(gate bool) (heard int) {
		l, err := listen.New(listen.Config{Rate: cue.Rate})
		if err != nil {
			t.Fatal(err)
		}
		l.Write(make([]float32, cue.Rate/2))
		if gate {
			l.Deafen(cue.Duration() + 250*time.Millisecond)
		}
		for _, x := range [][]float32{cue.Samples, make([]float32, cue.Rate)} {
			for _, e := range l.Write(x) {
				if e.Kind != listen.Onset {
					heard++
				}
			}
		}
		return heard
	}
	if hear(false) == 0 {
		t.Error("nothing is heard of it without the gate, so this test shows nothing")
	}
	if n := hear(true); n > 0 {
		t.Errorf("heard %d times behind the gate", n)
	}
}
