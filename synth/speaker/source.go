package speaker

import (
	"encoding/binary"
	"io"
	"math"
	"sync"
	"sync/atomic"

	"surefret/synth"
)

const frame = 8 // bytes: two channels of float32

// A source feeds a cue to an Output: the same samples left and right, untouched
// but for the ramp of the first sound.
type source struct {
	mu    sync.Mutex
	cue   synth.Cue
	was   []float32 // what cue took the place of
	cross int       // samples until nothing of that is heard
	next  int       // sample
	ramp  int       // samples over which the sound rises from nothing
	read  atomic.Int64
}

// crossing is the number of samples in which one cue takes the place of another.
const crossing = Rate / 50

// exchange goes on with another cue where this one is.
func (s *source) exchange(cue synth.Cue) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.was, s.cue, s.cross = s.cue.Samples, cue, crossing
	s.next = min(s.next, len(cue.Samples))
}

// Read implements io.Reader; a loop never ends.
func (s *source) Read(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	n := 0
	for n+frame <= len(p) {
		if s.next == len(s.cue.Samples) {
			if !s.cue.Loop || len(s.cue.Samples) == 0 {
				break
			}
			s.next, s.ramp = 0, 0
		}
		v := s.cue.Samples[s.next]
		if s.cross > 0 && s.next < len(s.was) {
			part := float32(s.cross) / crossing
			v += part * (s.was[s.next] - v)
			s.cross--
		}
		if s.next < s.ramp {
			v *= float32(s.next) / float32(s.ramp)
		}
		bits := math.Float32bits(v)
		binary.LittleEndian.PutUint32(p[n:], bits)
		binary.LittleEndian.PutUint32(p[n+4:], bits)
		s.next++
		n += frame
	}
	s.read.Add(int64(n))
	if n == 0 && len(p) >= frame {
		return 0, io.EOF
	}
	return n, nil
}
