package speaker

import (
	"encoding/binary"
	"errors"
	"io"
	"math"
	"sync"
	"time"
)

// A fake is a device in memory: each period it takes what its players have, as
// a mixer does, and keeps what would be heard.
type fake struct {
	openErr  error
	hangs    bool          // Open waits for the end
	openHang chan struct{} // closed at the end

	mu        sync.Mutex
	players   []*fakePlayer
	heard     []float32 // left channel
	err       error
	stuck     bool
	suspended bool
	opens     int
	onPlay    func() // before a sound is played
	onClose   func() // after one was closed
	stop      chan struct{}
}

const fakePeriod = 20 * time.Millisecond

var errUnplugged = errors.New("no such device")

func (f *fake) Open() (Output, error) {
	f.opens++
	if f.hangs {
		<-f.openHang
		return nil, errUnplugged
	}
	if f.openErr != nil {
		return nil, f.openErr
	}
	if f.stop != nil {
		close(f.stop)
	}
	f.err, f.stuck, f.players, f.stop = nil, false, nil, make(chan struct{})
	go f.pull(f.stop)
	return f, nil
}

// end lets the goroutines of the fake finish.
func (f *fake) end() {
	if f.stop != nil {
		close(f.stop)
	}
	if f.openHang != nil {
		close(f.openHang)
	}
}

func (f *fake) pull(stop chan struct{}) {
	ticker := time.NewTicker(fakePeriod)
	defer ticker.Stop()
	for {
		select {
		case <-stop:
			return
		case <-ticker.C:
		}
		f.mu.Lock()
		if f.err == nil && !f.stuck && !f.suspended {
			period := make([]float32, Rate/50)
			for _, p := range f.players {
				p.mix(period)
			}
			f.heard = append(f.heard, period...)
		}
		f.mu.Unlock()
	}
}

func (f *fake) do(change func()) {
	f.mu.Lock()
	defer f.mu.Unlock()
	change()
}

func (f *fake) Play(src io.Reader, volume float64) Player {
	if f.onPlay != nil {
		f.onPlay()
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	p := &fakePlayer{device: f, src: src, volume: volume, reached: volume, playing: true}
	f.players = append(f.players, p)
	return p
}

func (f *fake) Suspend() error         { f.do(func() { f.suspended = true }); return f.Err() }
func (f *fake) Resume() error          { f.do(func() { f.suspended = false }); return f.Err() }
func (f *fake) Latency() time.Duration { return 3 * fakePeriod }
func (f *fake) Err() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.err
}

// A fakePlayer ramps its volume over one period, as oto does.
type fakePlayer struct {
	device          *fake
	src             io.Reader
	volume, reached float64
	playing, closed bool
	err             error
}

func (p *fakePlayer) mix(period []float32) {
	if !p.playing || p.closed {
		return
	}
	buf := make([]byte, frame*len(period))
	n, err := io.ReadFull(p.src, buf)
	for i := range n / frame {
		v := math.Float32frombits(binary.LittleEndian.Uint32(buf[frame*i:]))
		at := float64(i) * frame / float64(n)
		period[i] += v * float32(p.reached*(1-at)+p.volume*at)
	}
	p.reached = p.volume
	p.playing = err == nil
}

func (p *fakePlayer) SetVolume(v float64) { p.device.do(func() { p.volume = v }) }
func (p *fakePlayer) Close() error {
	p.device.do(func() { p.closed = true })
	if p.device.onClose != nil {
		p.device.onClose()
	}
	return nil
}
func (p *fakePlayer) Err() (err error) {
	p.device.do(func() { err = p.err })
	return err
}
func (*fakePlayer) UnplayedBufferSize() int {
	return 0
}
func (p *fakePlayer) IsPlaying() (playing bool) {
	p.device.do(func() { playing = p.playing })
	return playing
}
