package listen

import (
	"math"
	"time"
)

const (
	early     = 0.45 // share of the first frame that comes after the pluck
	agree     = 0.35 // semitones from their mean within which frames agree
	patience  = 2    // frames in between that may not
	steady    = 0.12 // semitones within which the last [frames] must stay: voices glide
	attack    = 60 * time.Millisecond
	mostSwell = 3 // dB that it may get louder after the attack: strings fall, voices swell
	talkTime  = time.Second
	mostTalk  = 2                      // strokes within talkTime that may come to nothing before it is talk
	verified  = 4                      // frames in a row in which the spectrum prefers the expected note
	verifyEnd = 450 * time.Millisecond // from the pluck: what is left later is too weak to tell
	leastSaid = 3                      // frames that agree, below which nothing is said of a stroke
)

// A note is what has come of the last stroke.
type note struct {
	open    bool
	onset   int64   // number of its first sample
	level   float64 // at its loudest
	most    int     // frames that agreed
	heard   bool
	settled bool
	seen    int  // frames in a row in which the spectrum preferred the expected note
	strange int  // frames in a row in which it preferred others by far
	gripped bool // told of as the expected grip, or as another

	// The frames that agree now.
	key    float64 // their mean
	frames int
	off    int // frames since that did not
	told   bool
	keys   [settledFrames]float64 // the last ones, in a ring
}

// add takes a frame in, and starts anew where it agrees with none before.
func (n *note) add(key float64) bool {
	if n.frames > 0 && math.Abs(key-n.key) > agree {
		if n.off++; n.off <= patience {
			return false
		}
		n.frames = 0
	}
	if n.frames == 0 {
		n.key, n.told = 0, false
	}
	n.keys[n.frames%settledFrames] = key
	n.frames++
	n.off = 0
	n.key += (key - n.key) / float64(n.frames)
	n.most = max(n.most, n.frames)
	return true
}

// miss takes in a frame without a clear pitch.
func (n *note) miss() {
	if n.off++; n.off > patience {
		n.frames = 0
	}
}

// spread is how far apart the last keys are.
func (n *note) spread(frames int) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for i := range frames {
		k := n.keys[(n.frames-1-i)%settledFrames]
		low, high = min(low, k), max(high, k)
	}
	return high - low
}

// step is done every 5 ms: the onset function, and every other time a pitch.
func (l *Listener) step() {
	if f := l.last(l.flux.size, l.done); f != nil {
		if ago := l.flux.next(f); ago > 0 && l.done > l.deaf {
			l.struck(l.done - int64(ago*l.hop) - int64(fluxLate*l.rate))
		}
	}
	if l.odd = !l.odd; l.odd || !l.note.open {
		return
	}
	if l.done-l.note.onset > l.samples(settleTime) {
		l.close()
	} else if l.done > l.deaf {
		l.hear()
	}
}

// struck begins a note.
func (l *Listener) struck(at int64) {
	loud := level(l.last(3*l.hop, l.done))
	if loud < l.c.floor+6 {
		return
	}
	l.close()
	l.note = note{open: true, onset: at, level: loud}
	l.spectrum.remember(l.last(l.spectrum.size, at-int64(l.hop)))
	l.tell(Onset, 0)
}

// close ends the note that is open, and says so where it came to nothing sure.
func (l *Listener) close() {
	n := &l.note
	if !n.open {
		return
	}
	rings := !n.heard && math.Abs(n.key-l.rang) < agree // on, through a squeak or a gap in the sound
	if !n.settled && n.most >= leastSaid && !l.talk() && !rings {
		l.tell(Unsure, n.key)
	}
	if !n.heard {
		l.nothing[l.count%len(l.nothing)] = n.onset
		l.count++
	}
	n.open = false
}

func (l *Listener) tell(k Kind, key float64) {
	l.events = append(l.events, Event{Kind: k, At: l.at(l.note.onset), Known: l.at(l.done), Key: key, Level: l.note.level})
}

// hear reads a pitch from the last frame.
func (l *Listener) hear() {
	n := &l.note
	if l.done-n.onset < int64(early*float64(l.frame)) {
		return
	}
	samples := l.last(l.frame, l.done)
	if samples == nil {
		return
	}
	loud := level(samples)
	n.level = max(n.level, loud)
	if loud < l.c.floor {
		return
	}
	l.verify()
	hertz, clear := l.pitch.of(samples)
	if clear < leastClear {
		n.miss()
		return
	}
	if key := l.key(hertz); key >= l.c.Low-beyond && key <= l.c.High+beyond && n.add(key) {
		l.decide()
	}
}

// decide tells a note once enough speaks for it.
func (l *Listener) decide() {
	n := &l.note
	if n.settled || n.frames < frames || n.spread(frames) > steady || l.talk() || l.swells() || !l.witness() {
		return
	}
	n.heard, l.rang = true, n.key
	if !n.told {
		n.told = true
		l.tell(Heard, n.key)
	}
	if n.frames >= settledFrames && n.spread(settledFrames) <= 2*steady {
		n.settled = true
		l.tell(Settled, n.key)
	}
}

// verify looks for the expected note in the spectrum alone: where other notes ring on, no
// single pitch is clear. What rang before is left out, and the note has to be preferred
// over every other in a few frames in a row.
func (l *Listener) verify() {
	n := &l.note
	since, several := l.done-n.onset, l.grip.n > 0
	if l.expected == 0 && !several || n.heard && !several || n.gripped || since < l.samples(witnessTime) || l.talk() || l.swells() {
		return
	}
	if since > l.samples(verifyEnd) && !several {
		return
	}
	samples := l.last(l.spectrum.size, l.done)
	if several {
		l.spectrum.lookFor(l.grip, samples)
		l.verifyGrip()
		return
	}
	l.spectrum.look(samples)
	if !l.verifies() {
		n.seen = 0
		return
	}
	if n.seen++; n.seen == verified {
		n.heard, l.rang = true, l.expected
		l.tell(Heard, l.expected)
	}
}

// verifies reports whether what was looked at last speaks for the expected note.
func (l *Listener) verifies() bool {
	hertz := l.hertz(l.expected)
	if math.Abs(l.expected-l.rang-12) < agree && !l.spectrum.octave(hertz/2) {
		return false
	}
	return l.spectrum.own(hertz) && l.spectrum.prefers(hertz, l.hertz(l.c.Low-beyond), l.hertz(l.c.High+beyond))
}

// talk reports whether much was struck lately that came to nothing.
func (l *Listener) talk() bool {
	n := 0
	for i, at := range l.nothing {
		if i < l.count && l.note.onset-at < l.samples(talkTime) {
			n++
		}
	}
	return n >= mostTalk
}

// swells reports whether the note got louder after its attack.
func (l *Listener) swells() bool {
	size := l.samples(10 * time.Millisecond)
	first, later := math.Inf(-1), math.Inf(-1)
	for at := l.note.onset; at+size <= l.done; at += size {
		loud := level(l.last(int(size), at+size))
		if at < l.note.onset+l.samples(attack) {
			first = max(first, loud)
		} else {
			later = max(later, loud)
		}
	}
	return later > first+mostSwell
}

// witness reports whether the spectrum prefers the note over every other, what rang
// before left out.
func (l *Listener) witness() bool {
	samples := l.last(l.spectrum.size, l.done)
	if samples == nil {
		return false
	}
	l.spectrum.look(samples)
	return l.spectrum.prefers(l.hertz(l.note.key), l.hertz(l.c.Low-beyond), l.hertz(l.c.High+beyond))
}
