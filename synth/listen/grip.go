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
	strong       = 0.1  // of the loudest partial that rang before, for one to tell what rings on: -20 dB
	lobe         = 3    // bins beside a partial that may be its own
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
		other := l.grip.moved(semitones, index)
		if index >= 0 && l.spectrum.hidden(other, index) { // as well as no note at all
			return
		}
		if score, _, _ := l.spectrum.fitGrip(other); score > best {
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
	var there [mostGrip][mostPartial + 1]bool
	for _, p := range s.peaks {
		some := false
		for i := range g.n {
			if n := s.partial(p.hertz, g.notes[i]); n > 0 {
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
			if s.shared(g, i, n) {
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

// partial is which partial of a note a tone is, 0 for none.
func (s *spectrum) partial(hertz, note float64) int {
	n := math.Round(hertz / note)
	if n < 1 || math.Abs(hertz-n*note) > max(0.35*s.rate/float64(s.n), tolerance*n*note) {
		return 0
	}
	return int(n)
}

// shared reports whether a partial of the note at an index is one of another note, too.
func (s *spectrum) shared(g grip, index, n int) bool {
	for k := range g.n {
		if k != index && s.partial(float64(n)*g.notes[index], g.notes[k]) > 0 {
			return true
		}
	}
	return false
}

// hidden reports whether the note at an index has no partial of its own, so that nothing
// can speak for it: an octave of another.
func (s *spectrum) hidden(g grip, index int) bool {
	for n := 1; n <= mostPartial && float64(n)*g.notes[index] < 0.4*s.rate; n++ {
		if !s.shared(g, index, n) {
			return false
		}
	}
	return true
}

// ringsOn is how much is left of what rang before a grip was struck, from 0 to 1: of its
// partials that the grip has not, the share of the one that fell least. What the hand let
// go of hides no partial of the grip.
func (s *spectrum) ringsOn(g grip) float64 {
	bin := s.rate / float64(s.n)
	least, left, some := strong*slices.Max(s.before), 0.0, false
	for i := 2; i < len(s.before)-2; i++ {
		b, hertz := s.before[i], float64(i)*bin
		if b < least || b < s.before[i-1] || b <= s.before[i+1] {
			continue
		}
		own := slices.ContainsFunc(g.notes[:g.n], func(note float64) bool {
			n := max(1, math.Round(hertz/note))
			return math.Abs(hertz-n*note) < max(lobe*bin, tolerance*n*note)
		})
		if !own {
			left, some = max(left, slices.Max(s.mag[i-1:i+2])/b), true
		}
	}
	if !some {
		return 1
	}
	return min(1, left)
}
