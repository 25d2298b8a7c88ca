//go:build !silent && (windows || (darwin && (cgo || arm64)) || (linux && cgo))

package speaker

import (
	"io"
	"runtime"
	"time"

	"github.com/hajimehoshi/oto/v2"

	"surefret/synth/quiet"
)

// ahead is how many seconds of a source are read before they are due, so that a
// busy machine does not tear a sound. Volume and Close act on what was read too.
const ahead = 2

// Default is the machine's own sound device.
func Default() Device { return &card{held: bufferSize()} }

// Steady is the same device, which holds more sound at a time: see [Buffer].
func Steady() Device { return &card{held: Buffer()} }

// card is the machine's device by way of oto.
type card struct {
	held    time.Duration // how much sound it is asked to hold, 0 for what the system chooses
	context *oto.Context  // darwin must not make a second one
}

// Open implements Device. oto reports a missing device neither by the error of
// NewContext nor by a player, only by Err once ready.
func (c *card) Open() (Output, error) {
	if runtime.GOOS == "darwin" && c.context != nil {
		return output{c.context, c.held}, c.context.Resume()
	}
	quiet.Hush()
	context, ready, err := oto.NewContextWithOptions(&oto.NewContextOptions{
		SampleRate:   Rate,
		ChannelCount: 2,
		Format:       oto.FormatFloat32LE,
		BufferSize:   c.held,
	})
	if err != nil {
		return nil, err
	}
	<-ready
	c.context = context
	return output{context, c.held}, context.Err()
}

// bufferSize is how much sound the device holds where the sound belongs to the key just
// pressed: little, but enough not to stutter on a machine at rest. Windows multiplies it
// in some modes and knows better itself.
func bufferSize() time.Duration {
	switch runtime.GOOS {
	case "windows":
		return 0
	case "darwin":
		return 100 * time.Millisecond
	}
	return 40 * time.Millisecond
}

type output struct {
	*oto.Context
	held time.Duration
}

// Play implements Output.
func (o output) Play(src io.Reader, volume float64) Player {
	p := o.NewPlayer(src)
	if b, ok := p.(oto.BufferSizeSetter); ok {
		b.SetBufferSize(ahead * Rate * frame)
	}
	p.SetVolume(volume)
	p.Play()
	return p
}

// Latency implements Output: one and a half buffers, as measured.
func (o output) Latency() time.Duration {
	return max(o.held, 60*time.Millisecond) * 3 / 2
}
