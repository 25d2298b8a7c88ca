// Package midi writes timed events as a Standard MIDI File (MIDI Manufacturers
// Association, Standard MIDI Files 1.0, RP-001), format 0.
//
// It knows keys, times and a tempo to count them by, and nothing of scores,
// guitars or tablature: those who have notes turn them into Events.
package midi

import (
	"cmp"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"slices"
	"time"
)

// division is the number of ticks in a beat.
const division = 960

// General MIDI 1 (MIDI Manufacturers Association, RP-003), the table of its sound set:
// programs count from 0 here, from 1 there, and channel 10 (here 9) is drums.
const (
	steelGuitar  = 25
	FingerBass   = 33
	Drums        = 9
	LowWoodBlock = 77 // on Drums, a click
	HiWoodBlock  = 76 // on Drums, its accent
)

// An Event is one note.
type Event struct {
	At, For  time.Duration // both 0 or more
	Key      int           // 0 to 127; 69 is A4
	Velocity int           // 1 to 127; 0 means 80
	Channel  int           // 0 to 15
}

// A File is what is written. The zero File is empty and valid.
type File struct {
	Tempo   float64 // beats a minute, 4 to 1000; 0 means 120
	Program int     // of channel 1, 0 to 127; 0 means a steel guitar
	Events  []Event // in any order
}

// Key is the key nearest to hz hertz where a4 is the pitch of A4, and the
// distance from it to hz in cents, -50 to 50.
func Key(hz, a4 float64) (key int, cents float64) {
	exact := 69 + 12*math.Log2(hz/a4)
	key = int(math.Round(exact))
	return key, 100 * (exact - float64(key))
}

// message is a channel message at its tick.
type message struct {
	tick  int64
	order int // at one tick, notes end before others begin
	data  [3]byte
}

// WriteTo implements io.WriterTo. It fails on a value out of range, or if w
// does.
func (f File) WriteTo(w io.Writer) (int64, error) {
	if f.Tempo == 0 {
		f.Tempo = 120
	}
	if !(f.Tempo >= 4 && f.Tempo <= 1000) {
		return 0, fmt.Errorf("write MIDI: a tempo of %g is out of range: give 4 to 1000 beats a minute", f.Tempo)
	}
	if f.Program == 0 {
		f.Program = steelGuitar
	}
	if f.Program < 0 || f.Program > 127 {
		return 0, fmt.Errorf("write MIDI: there is no program %d: give 0 to 127", f.Program)
	}
	beat := int(math.Round(60e6 / f.Tempo)) // microseconds, as the file keeps it
	messages, err := f.messages(time.Duration(beat) * time.Microsecond)
	if err != nil {
		return 0, fmt.Errorf("write MIDI: %w", err)
	}

	track := []byte{0, 0xFF, 0x51, 3, byte(beat >> 16), byte(beat >> 8), byte(beat), 0, 0xC0, byte(f.Program)}
	var now int64
	for _, m := range messages {
		track = appendVariable(track, uint32(m.tick-now))
		track = append(track, m.data[:]...)
		now = m.tick
	}
	track = append(track, 0, 0xFF, 0x2F, 0)

	out := append([]byte("MThd"), 0, 0, 0, 6, 0, 0, 0, 1, division>>8, division&0xFF)
	out = append(out, "MTrk"...)
	out = binary.BigEndian.AppendUint32(out, uint32(len(track)))
	out = append(out, track...)
	n, err := w.Write(out)
	if err != nil {
		return int64(n), fmt.Errorf("write MIDI: %w", err)
	}
	return int64(n), nil
}

// messages turns events into note-ons and note-offs in order of time. A key
// struck again while it sounds is let go first: the file has no other way to
// tell the two apart.
func (f File) messages(beat time.Duration) ([]message, error) {
	events := slices.Clone(f.Events)
	slices.SortStableFunc(events, func(a, b Event) int { return cmp.Compare(a.At, b.At) })
	ticks := func(d time.Duration) int64 {
		return int64(math.Round(float64(d) / float64(beat) * division))
	}
	type voice struct{ channel, key int }
	ends := map[voice]int{} // index of the note-off
	var out []message
	for _, e := range events {
		if err := e.check(); err != nil {
			return nil, err
		}
		on, off := ticks(e.At), ticks(e.At+e.For)
		if off >= 1<<28 {
			return nil, fmt.Errorf("a note that ends at %v is too late for the format", e.At+e.For)
		}
		if e.Velocity == 0 {
			e.Velocity = 80
		}
		v := voice{e.Channel, e.Key}
		if i, ok := ends[v]; ok && out[i].tick > on {
			out[i].tick = on
		}
		out = append(out,
			message{on, 1, [3]byte{0x90 | byte(e.Channel), byte(e.Key), byte(e.Velocity)}},
			message{max(off, on+1), 0, [3]byte{0x80 | byte(e.Channel), byte(e.Key), 64}})
		ends[v] = len(out) - 1
	}
	slices.SortStableFunc(out, func(a, b message) int {
		return cmp.Or(cmp.Compare(a.tick, b.tick), cmp.Compare(a.order, b.order))
	})
	return out, nil
}

func (e Event) check() error {
	switch {
	case e.At < 0 || e.For < 0:
		return fmt.Errorf("a note cannot start at %v and last %v: give times of 0 or more", e.At, e.For)
	case e.Key < 0 || e.Key > 127:
		return fmt.Errorf("key %d is out of range: give 0 to 127", e.Key)
	case e.Velocity < 0 || e.Velocity > 127:
		return fmt.Errorf("velocity %d is out of range: give 0 to 127", e.Velocity)
	case e.Channel < 0 || e.Channel > 15:
		return fmt.Errorf("channel %d is out of range: give 0 to 15", e.Channel)
	}
	return nil
}

// appendVariable appends v, below 2^28, seven bits a byte, the highest first.
func appendVariable(b []byte, v uint32) []byte {
	for shift := 21; shift > 0; shift -= 7 {
		if v >= 1<<shift {
			b = append(b, byte(v>>shift)|0x80)
		}
	}
	return append(b, byte(v&0x7F))
}
