package store

import (
	"crypto/rand"
	"encoding/binary"
	"encoding/hex"
	"io"
	"sync"
	"time"
)

// NewID returns a new unique id that sorts by the time it was made, to the
// millisecond: a UUID of version 7 in its usual 36 characters (RFC 9562,
// section 5.7). The 74 bits beside the time come from rnd; nil means the
// system's own random source, which is what ids are for: a seeded source that
// is used twice makes the same ids twice, and the log takes a row once.
func NewID(now time.Time, rnd io.Reader) string {
	return newUUID(now, rnd).String()
}

type uuid [16]byte

func newUUID(now time.Time, rnd io.Reader) uuid {
	var u uuid
	if rnd == nil {
		rnd = rand.Reader
	}
	if _, err := io.ReadFull(rnd, u[6:]); err != nil {
		rand.Read(u[6:])
	}
	ms := uint64(max(now.UnixMilli(), 0))
	binary.BigEndian.PutUint16(u[0:], uint16(ms>>32))
	binary.BigEndian.PutUint32(u[2:], uint32(ms))
	u[6] = u[6]&0x0f | 0x70
	u[8] = u[8]&0x3f | 0x80
	return u
}

func (u uuid) String() string {
	h := hex.EncodeToString(u[:])
	return h[:8] + "-" + h[8:12] + "-" + h[12:16] + "-" + h[16:20] + "-" + h[20:]
}

// next is the smallest id after u that keeps the version and variant bits.
func (u uuid) next() uuid {
	for i := 15; i >= 0; i-- {
		fixed := byte(0)
		switch i {
		case 6:
			fixed = 0xf0
		case 8:
			fixed = 0xc0
		}
		if u[i]|fixed != 0xff {
			u[i]++
			return u
		}
		u[i] &= fixed
	}
	return u
}

// ids makes ids that always rise, whatever the clock does: with a clock that
// stands still or steps back the last id is counted up (RFC 9562, section 6.2,
// method 2). So the rows of one sitting keep their order even within one
// millisecond.
type ids struct {
	mu   sync.Mutex
	last uuid
}

func (s *ids) next(now time.Time) string {
	s.mu.Lock()
	defer s.mu.Unlock()
	u := newUUID(now, nil)
	if string(u[:]) <= string(s.last[:]) {
		u = s.last.next()
	}
	s.last = u
	return u.String()
}
