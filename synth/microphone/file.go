package microphone

import (
	"context"
	"os"
	"time"

	"surefret/synth/wav"
)

// A File is a microphone that reads a recording, as fast as it is asked to: its clock
// is the samples that were read.
type File struct {
	// Paced has Next wait until its samples would have come from an input.
	Paced bool
	due   time.Time

	file  *os.File
	wave  *wav.Reader
	block []float32
	read  int64
}

// OpenFile opens a recording, a WAVE file.
func OpenFile(name string) (*File, error) {
	file, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	wave, err := wav.NewReader(file)
	if err != nil {
		file.Close()
		return nil, err
	}
	return &File{file: file, wave: wave, block: make([]float32, max(1, wave.Rate/100))}, nil
}

// Rate is how many samples there are a second.
func (f *File) Rate() int { return f.wave.Rate }

// Next returns the next 10 ms, valid until it is called again, and io.EOF at the end.
func (f *File) Next(ctx context.Context) ([]float32, error) {
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if f.Paced {
		if err := f.wait(ctx); err != nil {
			return nil, err
		}
	}
	n, err := f.wave.Read(f.block)
	f.read += int64(n)
	if n > 0 {
		err = nil
	}
	return f.block[:n], err
}

// wait waits until the next block is due: ten milliseconds after the last, or now where
// it was asked for later.
func (f *File) wait(ctx context.Context) error {
	left := time.Until(f.due)
	f.due = time.Now().Add(max(left, 0) + 10*time.Millisecond)
	timer := time.NewTimer(left)
	defer timer.Stop()
	select {
	case <-timer.C:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

// Position is how far it was read.
func (f *File) Position() time.Duration {
	return time.Duration(float64(f.read) / float64(f.wave.Rate) * float64(time.Second))
}

// Close closes the recording.
func (f *File) Close() error { return f.file.Close() }
