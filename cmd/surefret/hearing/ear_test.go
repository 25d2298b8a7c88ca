package hearing

import (
	"context"
	"io"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/rehearse"
	"surefret/synth"
)

const rate = 48000

// A take is a recording in memory.
type take []float32

func (take) Rate() int { return rate }

func (s *take) Next(context.Context) ([]float32, error) {
	n := min(len(*s), rate/100)
	if n == 0 {
		return nil, io.EOF
	}
	next := (*s)[:n]
	*s = (*s)[n:]
	return next, nil
}

// pluck appends silence up to a time, and a note that is cut off after another.
func (s *take) pluck(t *testing.T, at time.Duration, midi int, lasts time.Duration) {
	t.Helper()
	cue, err := synth.Render(synth.Note(440*math.Exp2(float64(midi-69)/12), time.Second), synth.Options{})
	if err != nil {
		t.Fatal(err)
	}
	*s = append(*s, make([]float32, int(at.Seconds()*rate)-len(*s))...)
	*s = append(*s, cue.Samples[:int(lasts.Seconds()*rate)]...)
}

// asked is an item's question, and an ear for what a take answers to it.
func asked(t *testing.T, s *take, item string) (*Ear, drills.Question) {
	t.Helper()
	neck := fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}
	q, err := drills.NewCatalogue(drills.Setup{Neck: neck, Sound: true}).Ask(item, rand.New(rand.NewPCG(1, 1)))
	if err != nil {
		t.Fatal(err)
	}
	*s = append(*s, make([]float32, rate)...) // until what was heard last is judged
	e, err := New(s, neck, 440)
	if err != nil {
		t.Fatal(err)
	}
	return e, q
}

// What is heard at the moment of the question sounded a latency before: that is no
// thinking.
func TestThinkingIsFromTheQuestionToThePluck(t *testing.T) {
	for _, latency := range []time.Duration{0, 20 * time.Millisecond, 200 * time.Millisecond} {
		var s take
		s.pluck(t, 1500*time.Millisecond, 43, time.Second)
		e, q := asked(t, &s, "note/E2+3/find")
		e.Latency = latency
		heard, err := e.Hear(t.Context(), q)
		if want := 1500*time.Millisecond - latency; err != nil || heard.Answer != "3" || (heard.Thinking-want).Abs() > 15*time.Millisecond {
			t.Errorf("latency %v: %+v, %v, want a thinking time of %v", latency, heard, err, want)
		}
	}
}

// Two notes are played back: thinking is from the end of what was heard, and nothing
// before that is an answer.
func TestWhatIsHeardIsPlayedBackFromItsEnd(t *testing.T) {
	const sounds = 3 * time.Second // from the question
	for _, headphones := range []bool{false, true} {
		var s take
		e, q := asked(t, &s, "ear/interval/P5")
		low := q.Heard[0].MIDI
		s.pluck(t, 2*time.Second, low, time.Second) // the speaker, as the input hears it
		s.pluck(t, 5*time.Second, low, time.Second)
		s.pluck(t, 6500*time.Millisecond, low+7, time.Second)
		s = append(s, make([]float32, rate)...)
		e.Headphones = headphones
		e.Sounding = func() bool { return e.Now() < sounds }
		heard, err := e.Hear(t.Context(), q)
		if v, bad := q.Judge(heard.Answer); err != nil || bad != nil || !v.Right || (heard.Thinking-2*time.Second).Abs() > 30*time.Millisecond {
			t.Errorf("%+v, %v: want a fifth after two seconds", heard, err)
		}
	}
}

// A note heard badly decides nothing; of several all are asked once more, since the next
// answer begins anew.
func TestWhatIsToBePlayedOnceMoreIsSaid(t *testing.T) {
	const badly = 50 * time.Millisecond
	for _, c := range []struct {
		item, said string
		second     int // note after the one that is right; 0 for none
		lasts      time.Duration
		unsure     bool
	}{
		{"note/E2+3/find", "did not hear that, once more", 0, 0, true},
		{"note/all/G@E2-A2-D3-G3-B3-E4", "did not hear that note: play all of them once more", 1, badly, true},
		{"note/all/G@E2-A2-D3-G3-B3-E4", "heard G once too often: play all of them once more", 0, time.Second, false},
		{"walkup/1-4/up@E2-A2-D3", "did not hear that note: play all of them once more", 1, badly, true},
	} {
		var s take
		e, q := asked(t, &s, c.item)
		playing, _ := q.Playing()
		first := playing.Want()[0]
		if c.lasts == 0 {
			s.pluck(t, 2*time.Second, first, badly)
		} else {
			s.pluck(t, 2*time.Second, first, time.Second)
			s.pluck(t, 3500*time.Millisecond, first+c.second, c.lasts)
		}
		s = append(s, make([]float32, rate)...)
		heard, err := e.Hear(t.Context(), q)
		if err != nil || heard.Said != c.said || heard.Answer != "" || heard.Unsure != c.unsure {
			t.Errorf("%s: %+v, %v, want %q", c.item, heard, err, c.said)
		}
	}
}

// A line that is not played on is asked once more, and no wait for half a minute.
func TestALineThatStopsIsAskedOnceMore(t *testing.T) {
	var s take
	e, q := asked(t, &s, "walkup/1-4/up@E2-A2-D3")
	playing, _ := q.Playing()
	s.pluck(t, 2*time.Second, playing.Want()[0], time.Second)
	s = append(s, make([]float32, 8*rate)...)
	heard, err := e.Hear(t.Context(), q)
	if err != nil || !heard.Unsure || !strings.HasSuffix(heard.Said, ", and no note after it: play it once more from the first") {
		t.Errorf("%+v, %v", heard, err)
	}
}

// A question that is sounded as well as shown is a count-in and the first note of what is to
// be played: it is not taken for the answer, whose time runs from its end.
func TestAQuestionIsSoundedAndThenAnswered(t *testing.T) {
	for _, headphones := range []bool{false, true} {
		var s take
		e, q := asked(t, &s, "walkup/1-4/up@E2-A2-D3")
		own := q.Target[0].MIDI
		q = q.Sounded()
		var ends time.Duration
		for i, h := range q.Heard {
			ends = max(ends, h.At+h.For)
			if click := h.MIDI == 0; click != (i < 2) || !click && h.MIDI != own {
				t.Errorf("sounds %+v, want two clicks and the first note", q.Heard)
			}
		}
		if len(q.Heard) != 3 || ends > 2*time.Second {
			t.Errorf("%d sounds in %v", len(q.Heard), ends)
		}
		s.pluck(t, ends-300*time.Millisecond, own, 300*time.Millisecond) // the speaker, as the input hears it
		s.pluck(t, ends+time.Second, own+1, time.Second)
		s = append(s, make([]float32, rate)...)
		e.Headphones = headphones
		e.Sounding = func() bool { return e.Now() < ends }
		heard, err := e.Hear(t.Context(), q)
		if err != nil || heard.Answer == "" || (heard.Thinking-time.Second).Abs() > 30*time.Millisecond {
			t.Errorf("headphones %v: %+v, %v, want the wrong first note after a second", headphones, heard, err)
		}
	}
	if q := (drills.Question{Target: []drills.Sounding{{MIDI: 40}}}).Sounded(); q.Heard != nil {
		t.Error("a question that is typed is sounded")
	}
}

// What the tuner heard of the day's guitar counts in a rehearsal, too: on one that is 35
// cents sharp, an A that sounds 60 sharp, 40 under A sharp, is an A.
func TestARunIsHeardOnTheGuitarAsItIsTuned(t *testing.T) {
	for sharp, want := range map[float64]int{0: 46, 35: 45} {
		var s take
		s.pluck(t, time.Second, 46, time.Second)
		e, err := New(&s, fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}, 440*math.Exp2(0.4/12))
		if err != nil {
			t.Fatal(err)
		}
		for str := 1; str <= 6; str++ {
			e.Calibration.Heard(Tuned{String: str, Cents: sharp})
		}
		heard := e.Take(nil)
		heard.GoTo(rehearse.Run{}, 0, 0)
		if err := heard.Follow(t.Context(), 3*time.Second); err != nil {
			t.Fatal(err)
		}
		if got := heard.Strokes(); len(got) != 1 || got[0].Key != want {
			t.Errorf("%g cents sharp: heard %+v, want key %d", sharp, got, want)
		}
	}
}

// A tuning adds to what was heard earlier that day, of strings that are tuned alike.
func TestATuningAddsToTheDays(t *testing.T) {
	open := []int{64, 59}
	earlier := Calibration{Day: "2026-11-25", Open: open, Reference: 440, Floor: -60, Strings: []Tuned{{String: 1, Cents: 5}, {String: 2, Cents: 7}}}
	now := Calibration{Day: "2026-11-25", Open: open, Reference: 440, Strings: []Tuned{{String: 2, Cents: -4}}}
	got := now.After(earlier)
	if got.Floor != -60 || got.offset(1) != 0.05 || got.offset(2) != -0.04 || len(got.Strings) != 2 || len(earlier.Strings) != 2 {
		t.Errorf("together %+v, earlier %+v", got, earlier)
	}
	if now.Floor = -50; now.After(earlier).Floor != -50 {
		t.Error("the room as it was earlier counts")
	}
	for what, other := range map[string]func(*Calibration){
		"day":       func(c *Calibration) { c.Day = "2026-11-24" },
		"tuning":    func(c *Calibration) { c.Open = []int{63, 58} },
		"reference": func(c *Calibration) { c.Reference = 442 },
	} {
		c := earlier
		if other(&c); len(now.After(c).Strings) != 1 || now.After(c).Floor != -50 {
			t.Errorf("one of another %s counts", what)
		}
	}
}
