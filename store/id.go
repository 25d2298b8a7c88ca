package store

import (
	"crypto/rand"
	"encoding/binary"
	"encoding/hex"
	"io"
	"strings"
	"sync"
	"time"
)

// newID returns a new unique id that sorts by the time it was made, to the
// millisecond: a UUID of version 7 in its usual 36 characters (RFC 9562,
// section 5.7). The 74 bits beside the time come from rnd; nil means the
// system's own random source, which is what ids are for: a seeded source that
// is used twice makes the same ids twice, and the log takes a row once.
func newID(now time.Time, rnd io.Reader) string {
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

// parseUUID reads an id that newID made, and reports whether it is one.
func parseUUID(s string) (u uuid, ok bool) {
	b, err := hex.DecodeString(strings.ReplaceAll(s, "-", ""))
	if err != nil || len(b) != len(u) || b[6]>>4 != 7 || b[8]>>6 != 2 {
		return u, false
	}
	return uuid(b), true
}

// after returns an id that sorts after u by a random step, so that two processes
// that count on from the same id do not meet.
func (u uuid) after() uuid {
	var step [8]byte
	rand.Read(step[2:])
	low := binary.BigEndian.Uint64(u[8:])&(1<<62-1) + binary.BigEndian.Uint64(step[:]) + 1
	if low >= 1<<62 {
		low -= 1 << 62
		high := binary.BigEndian.Uint16(u[6:])&0x0fff + 1
		if high > 0x0fff { // the millisecond is used up: borrow from the next
			high = 0
			ms := binary.BigEndian.Uint64(u[:]) >> 16
			binary.BigEndian.PutUint64(u[:], (ms+1)<<16)
		}
		binary.BigEndian.PutUint16(u[6:], 0x7000|high)
	}
	binary.BigEndian.PutUint64(u[8:], 1<<63|low)
	return u
}

// ids makes ids that always rise, whatever the clock does: with a clock that
// stands still or steps back it counts on from the last id (RFC 9562, section
// 6.2, method 2), at first from the newest one in the log. So rows of one
// millisecond keep the order in which they were made.
type ids struct {
	mu   sync.Mutex
	last uuid
}

func (s *ids) next(now time.Time) string {
	s.mu.Lock()
	defer s.mu.Unlock()
	u := newUUID(now, nil)
	if string(u[:]) <= string(s.last[:]) {
		u = s.last.after()
	}
	s.last = u
	return u.String()
}
