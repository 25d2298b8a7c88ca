package listen

import (
	"math"
	"slices"
)

// Several notes struck together have no single pitch. Where it is known what should come
// they are looked for in the spectrum: the grip that was asked for is held against the
// whole of it a few frets off, and against each of its notes a fret or two off.
//
// The score and its margins are those that stood a trial on 855 grips of five sampled
// guitars: none that was right was judged wrong, and none that was off was accepted.
const (
	mostGrip     = 6    // notes
	gripAhead    = 0.03 // of the score of every other, for it to be right
	gripBehind   = 0.30 // of the score of another, for it to be wrong
	gripExplains = 0.5  // share of the weight of the peaks
	gripSupport  = 0.3  // share of the partials of its weakest note
	gripShift    = 5    // semitones that all of it may be off
	noteShift    = 2    // semitones that one of its notes may be off
)

// A grip is some notes that sound together, in hertz.
type grip struct {
	notes [mostGrip]float64
	n     int
}

// moved is the grip with all of its notes, or the one at an index, some semitones off.
func (g grip) moved(semitones, index int) grip {
	for i := range g.n {
		if index < 0 || i == index {
			g.notes[i] *= math.Exp2(float64(semitones) / 12)
		}
	}
	return g
}

// ExpectGrip says which keys are struck together next, the lowest first: then they are
// looked for as one, and told as the first of them where they are right; where they surely
// are others, as one of those that should not be there. At most six count; none, or one,
// is as if none was expected.
func (l *Listener) ExpectGrip(keys []float64) {
	l.grip.n, l.expected = 0, 0
	if len(keys) < 2 {
		return
	}
	for i, k := range keys[:min(len(keys), mostGrip)] {
		l.gripKeys[i], l.grip.notes[i] = k, l.hertz(k)
		l.grip.n = i + 1
	}
}

// verifyGrip holds what sounds against the grip that is expected.
func (l *Listener) verifyGrip() {
	n := &l.note
	own, explains, support := l.spectrum.fitGrip(l.grip)
	best, off := math.Inf(-1), 0.0
	try := func(semitones, index int) {
		if score, _, _ := l.spectrum.fitGrip(l.grip.moved(semitones, index)); score > best {
			best, off = score, l.stranger(semitones, index)
		}
	}
	for k := 1; k <= gripShift; k++ {
		for _, way := range []int{-k, k} {
			try(way, -1)
			for i := range l.grip.n {
				if k <= noteShift {
					try(way, i)
				}
			}
		}
	}
	switch {
	case own >= best+gripAhead && explains > gripExplains && support > gripSupport:
		n.seen, n.strange = n.seen+1, 0
	case best >= own+gripBehind && off > 0:
		n.seen, n.strange = 0, n.strange+1
	default:
		n.seen, n.strange = 0, 0
	}
	kind, key := Heard, l.gripKeys[0]
	if n.strange == verified {
		kind, key = Settled, off
	}
	if n.seen != verified && n.strange != verified {
		return
	}
	n.gripped, n.heard, n.settled, l.rang = true, true, kind == Settled, key
	l.tell(kind, key)
}

// stranger is a key of the grip, moved, that is none of the grip's in any octave; 0 where
// there is none.
func (l *Listener) stranger(semitones, index int) float64 {
	for i := range l.grip.n {
		key := l.gripKeys[i] + float64(semitones)
		same := func(k float64) bool { return math.Mod(math.Round(math.Abs(k-key)), 12) == 0 }
		if (index < 0 || i == index) && !slices.ContainsFunc(l.gripKeys[:l.grip.n], same) {
			return key
		}
	}
	return 0
}

// fitGrip says how well some notes together explain the peaks: the share of their weight
// that are partials of one, and how much of the partials of each is there, those that it
// shares with another left out.
func (s *spectrum) fitGrip(g grip) (score, explained, weakest float64) {
	if s.total == 0 {
		return 0, 0, 0
	}
	bin := s.rate / float64(s.n)
	partial := func(hertz, note float64) int {
		n := math.Round(hertz / note)
		if n < 1 || math.Abs(hertz-n*note) > max(0.35*bin, tolerance*n*note) {
			return 0
		}
		return int(n)
	}
	var there [mostGrip][mostPartial + 1]bool
	for _, p := range s.peaks {
		some := false
		for i := range g.n {
			if n := partial(p.hertz, g.notes[i]); n > 0 {
				some = true
				if n <= mostPartial {
					there[i][n] = true
				}
			}
		}
		if some {
			explained += p.weight / s.total
		}
	}
	weakest = 1
	sum := 0.0
	for i := range g.n {
		have, want := 0.0, 0.0
		for n := 1; n <= mostPartial && float64(n)*g.notes[i] < 0.4*s.rate; n++ {
			shared := false
			for k := range g.n {
				shared = shared || k != i && partial(float64(n)*g.notes[i], g.notes[k]) > 0
			}
			if shared {
				continue
			}
			w := 1 / math.Sqrt(float64(n))
			want += w
			if there[i][n] {
				have += w
			}
		}
		support := 1.0 // all that it has another has, too
		if want > 0 {
			support = have / want
		}
		weakest, sum = min(weakest, support), sum+support
	}
	return explained + 0.5*weakest + 0.25*sum/float64(g.n), explained, weakest
}
