// Package listen hears single plucked notes in a stream of samples.
//
// Samples go in, what was heard comes out: when a string was plucked, and which
// pitch it gave. A note is told twice. After [frames] frames that agree it is
// [Heard]: enough to call the expected note right. After [settledFrames] that
// agree, and with the spectrum preferring the same note over every other, it is
// [Settled]: only then may another note than the expected one be called wrong.
// What comes to neither is [Unsure]. A right note that is judged wrong takes more
// trust than "did not hear that, once more".
//
// The pitch is McLeod and Wyvill's (A smarter way to find pitch, 2005), the pluck
// Boeck and Widmer's (Maximum filter vibrato suppression for onset detection,
// 2013), the second witness a comb of partials laid over the spectrum. BARS.md
// says how well each does.
//
// The package knows keys (MIDI numbers, in fractions) and times, nothing of guitars
// or devices. Neighbour: synth/microphone has the samples.
package listen

import (
	"fmt"
	"math"
	"time"
)

// How many frames, one every 10 ms, have to agree.
const (
	frames        = 8
	settledFrames = 15
)

// A Config says what is listened for.
type Config struct {
	Rate      int     // samples a second, 8000 to 192000
	Low, High float64 // lowest and highest key that can be played; zero is a guitar's, 40 and 88
	Reference float64 // hertz of A4, key 69; 0 is 440
	floor     float64 // level of the quiet room in dB, under 0, which is full scale; 0 is not measured
}

// A Kind is what an Event tells.
type Kind int

const (
	Onset   Kind = iota // something was struck
	Heard               // it has this pitch
	Settled             // and surely so
	Unsure              // it came to neither, or not to both
)

func (k Kind) String() string { return [...]string{"onset", "heard", "settled", "unsure"}[k] }

// An Event is one thing that was heard.
type Event struct {
	Kind  Kind
	At    time.Duration // of the pluck, from the first sample
	Known time.Duration // when it could be told
	Key   float64       // in fractions of a semitone; of an Onset 0
	Level float64       // in dB at its loudest; 0 is full scale
}

// A Verdict judges a note against the one that was asked for.
type Verdict int

const (
	Undecided Verdict = iota // wait for the next event
	Right
	Wrong
	Repeat // it was heard too badly to judge: once more
)

// near is how far off, in semitones, a note still is the one asked for.
const near = 0.5

// Judge judges an event where want was asked for, offset being how sharp its string is
// known to be; both in semitones.
func (e Event) Judge(want, offset float64) Verdict {
	hit := math.Abs(e.Key-offset-want) < near
	switch {
	case e.Kind == Unsure:
		return Repeat
	case hit && e.Kind != Onset:
		return Right
	case e.Kind == Settled:
		return Wrong
	}
	return Undecided
}

const (
	frameTime  = 85 * time.Millisecond  // of samples that a pitch is read from
	settleTime = 700 * time.Millisecond // from the pluck, until a note must have settled
	ringTime   = 4 * time.Second        // of samples that are held
	beyond     = 0.6                    // semitones below the lowest and above the highest key that may be sounded
	quietest   = -70                    // dB: what is softer is not listened to
)

// A Listener hears one stream. It is used from one goroutine, holds the last four
// seconds of samples and no more, and allocates nothing once it is made.
type Listener struct {
	c     Config
	rate  float64 // of the samples that are held: about 12,000 a second
	hop   int     // of them in 5 ms
	frame int     // of them that a pitch is read from

	thin     thinner
	held     []float32 // 2*keep samples at the most
	first    int64     // number of held[0] in the stream
	done     int64     // samples up to which hops were done
	keep     int
	odd      bool
	deaf     int64 // samples before this one are not listened to
	clipped  int   // samples in a row at full scale
	tooLoud  bool
	events   []Event
	pitch    pitcher
	fine     pitcher // of twice as many samples
	flux     fluxer
	spectrum spectrum
	note     note
	expected float64 // key of the note that comes next, 0 for any
	grip     grip    // notes that come together next, none for a single one
	gripKeys [mostGrip]float64
	rang     float64  // key of the note that was heard last
	nothing  [4]int64 // the last strokes that came to nothing
	count    int      // of them
}

// New returns a Listener for one stream.
func New(c Config) (*Listener, error) {
	if c.Rate < 8000 || c.Rate > 192000 {
		return nil, fmt.Errorf("listen at %d samples a second: 8000 to 192000 can be listened to", c.Rate)
	}
	if c.Low == 0 && c.High == 0 {
		c.Low, c.High = 40, 88
	}
	if c.Low < 12 || c.High > 108 || c.Low > c.High {
		return nil, fmt.Errorf("listen for keys %g to %g: 12 to 108 can be heard", c.Low, c.High)
	}
	if c.Reference == 0 {
		c.Reference = 440
	}
	if c.floor == 0 {
		c.floor = quietest
	}
	l := &Listener{c: c, events: make([]Event, 0, 256)}
	step := max(1, c.Rate/11000)
	l.rate = float64(c.Rate) / float64(step)
	l.thin = newThinner(step)
	l.hop = int(l.rate / 200)
	l.frame = int(l.samples(frameTime))
	l.keep = int(l.samples(ringTime))
	l.held = make([]float32, 0, 2*l.keep)
	l.pitch = newPitcher(l.frame, l.rate, l.hertz(c.Low-beyond), l.hertz(c.High+beyond))
	l.fine = newPitcher(2*l.frame, l.rate, l.hertz(c.Low-3), l.hertz(c.High+beyond))
	l.flux = newFluxer()
	l.spectrum = newSpectrum(int(l.samples(witnessTime)), l.rate)
	return l, nil
}

func (l *Listener) hertz(key float64) float64 { return l.c.Reference * math.Exp2((key-69)/12) }
func (l *Listener) key(hertz float64) float64 { return 69 + 12*math.Log2(hertz/l.c.Reference) }

// at is the time of a sample that is held.
func (l *Listener) at(sample int64) time.Duration {
	return time.Duration(float64(sample) / l.rate * float64(time.Second))
}

// samples is how many of those that are held there are in d.
func (l *Listener) samples(d time.Duration) int64 { return int64(d.Seconds() * l.rate) }

// Write takes the next samples, full scale 1, and returns what was heard in them: valid
// until the next Write. How a stream is cut into calls does not change what is heard.
func (l *Listener) Write(samples []float32) []Event {
	l.events = l.events[:0]
	for len(samples) > 0 {
		part := samples[:min(len(samples), l.c.Rate/50)]
		samples = samples[len(part):]
		l.clip(part)
		if len(l.held)+len(part) > cap(l.held) {
			drop := len(l.held) - l.keep
			l.held = append(l.held[:0], l.held[drop:]...)
			l.first += int64(drop)
		}
		l.held = l.thin.thin(l.held, part)
		for end := l.first + int64(len(l.held)); l.done+int64(l.hop) <= end; {
			l.done += int64(l.hop)
			l.step()
		}
	}
	return l.events
}

// Deafen leaves out what sounds from now on until d has gone by: the speaker plays.
func (l *Listener) Deafen(d time.Duration) {
	l.deaf = max(l.deaf, l.done+l.samples(d))
}

// last returns the n samples up to the one numbered end, nil where they are not held.
func (l *Listener) last(n int, end int64) []float32 {
	to := int(end - l.first)
	if to-n < 0 || to > len(l.held) {
		return nil
	}
	return l.held[to-n : to]
}

// clip looks for samples that were cut off: three in a row.
func (l *Listener) clip(samples []float32) {
	for _, v := range samples {
		if v < 0.99 && v > -0.99 {
			l.clipped = 0
		} else if l.clipped++; l.clipped >= 3 {
			l.tooLoud = true
		}
	}
}

// Clipped reports whether the input was too loud since it was last asked.
func (l *Listener) Clipped() bool {
	was := l.tooLoud
	l.tooLoud = false
	return was
}

// Level returns how loud it is now, in dB: 0 is full scale.
func (l *Listener) Level() float64 { return level(l.last(l.frame, l.done)) }

// Expect says which key comes next in a line of notes that may ring on, 0 for none: then
// it is looked for among them.
func (l *Listener) Expect(key float64) { l.expected, l.grip.n = key, 0 }

// Fine returns the key of what sounds now, from the last 170 ms: a fraction of a cent
// of a steady tone. It returns false where nothing clear sounds.
func (l *Listener) Fine() (key float64, ok bool) {
	samples := l.last(2*l.frame, l.done)
	if samples == nil || level(samples) < l.c.floor {
		return 0, false
	}
	hertz, clear := l.fine.of(samples)
	if clear < leastClear {
		return 0, false
	}
	return l.key(hertz), true
}

// level is the root mean square of samples in dB.
func level(samples []float32) float64 {
	if len(samples) == 0 {
		return -120
	}
	sum := 1e-12 * float64(len(samples))
	for _, v := range samples {
		sum += float64(v) * float64(v)
	}
	return 10 * math.Log10(sum/float64(len(samples)))
}
