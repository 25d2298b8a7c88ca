// Package wav writes samples to a RIFF/WAVE file and reads them (Microsoft and IBM, Multimedia
// Programming Interface and Data Specifications 1.0, 1991; the float format of
// its 1994 revision).
//
// It writes one channel in three ways, reads what recorders make, and knows nothing
// of where the samples come from.
package wav

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"io"
	"math"
)

// A Format is how one sample is written.
type Format int

const (
	Int16   Format = iota // 16-bit integers, what every player plays
	Int24                 // 24-bit integers
	Float32               // 32-bit floats: the samples themselves
)

// bytes of one sample.
func (f Format) bytes() int { return [...]int{2, 3, 4}[f] }

// A File is one channel of sound, ready to be written.
type File struct {
	Samples []float32 // full scale 1; integers clip beyond it
	Rate    int       // samples a second
	Format  Format
}

// WriteTo implements io.WriterTo: a whole WAVE file. It fails if the format,
// rate or length cannot be written, or if w does.
func (f File) WriteTo(w io.Writer) (int64, error) {
	if f.Format < Int16 || f.Format > Float32 {
		return 0, fmt.Errorf("write wave: there is no format %d", f.Format)
	}
	if f.Rate <= 0 {
		return 0, fmt.Errorf("write wave: a rate of %d samples a second is impossible", f.Rate)
	}
	size := f.Format.bytes()
	if int64(len(f.Samples))*int64(size) > math.MaxUint32-100 {
		return 0, fmt.Errorf("write wave: %d samples are more than the format can hold", len(f.Samples))
	}
	out := bufio.NewWriterSize(w, 1<<16)
	count := &counter{w: out}
	err := f.header(count, size)
	var b [4]byte
	for _, v := range f.Samples {
		if err != nil {
			break
		}
		f.Format.put(&b, v)
		_, err = count.Write(b[:size])
	}
	if pad := len(f.Samples) * size % 2; pad == 1 && err == nil {
		_, err = count.Write([]byte{0}) // chunks are an even number of bytes
	}
	if err == nil {
		err = out.Flush()
	}
	if err != nil {
		return count.n, fmt.Errorf("write wave: %w", err)
	}
	return count.n, nil
}

// header writes everything before the samples. Floats need a longer format
// chunk and say how many samples there are.
func (f File) header(w io.Writer, size int) error {
	tag, chunk, fact := uint16(1), 16, 0
	if f.Format == Float32 {
		tag, chunk, fact = 3, 18, 12
	}
	data := len(f.Samples) * size
	h := make([]byte, 0, 64)
	le := binary.LittleEndian
	h = append(h, "RIFF"...)
	h = le.AppendUint32(h, uint32(4+8+chunk+fact+8+data+data%2))
	h = append(h, "WAVEfmt "...)
	h = le.AppendUint32(h, uint32(chunk))
	h = le.AppendUint16(h, tag)
	h = le.AppendUint16(h, 1)
	h = le.AppendUint32(h, uint32(f.Rate))
	h = le.AppendUint32(h, uint32(f.Rate*size))
	h = le.AppendUint16(h, uint16(size))
	h = le.AppendUint16(h, uint16(8*size))
	if f.Format == Float32 {
		h = le.AppendUint16(h, 0)
		h = append(h, "fact"...)
		h = le.AppendUint32(h, 4)
		h = le.AppendUint32(h, uint32(len(f.Samples)))
	}
	h = append(h, "data"...)
	h = le.AppendUint32(h, uint32(data))
	_, err := w.Write(h)
	return err
}

// put writes v to the front of b. There is no dither: at 16 bits the last of a
// decaying note is worth less than the noise that would hide it.
func (f Format) put(b *[4]byte, v float32) {
	switch f {
	case Int16:
		binary.LittleEndian.PutUint16(b[:], uint16(quantize(v, 1<<15)))
	case Int24:
		binary.LittleEndian.PutUint32(b[:], uint32(quantize(v, 1<<23)))
	case Float32:
		binary.LittleEndian.PutUint32(b[:], math.Float32bits(v))
	}
}

// quantize rounds to the nearest of 2*full integers.
func quantize(v float32, full float64) int32 {
	return int32(max(-full, min(full-1, math.RoundToEven(float64(v)*full))))
}

type counter struct {
	w io.Writer
	n int64
}

func (c *counter) Write(p []byte) (int, error) {
	n, err := c.w.Write(p)
	c.n += int64(n)
	return n, err
}
