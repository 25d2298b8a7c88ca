package wav

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
)

// A Reader reads the samples of a WAVE file as they come, its channels mixed into one.
type Reader struct {
	Rate int // samples a second

	in       *bufio.Reader
	format   Format
	eight    bool // unsigned bytes
	wide     bool // 32-bit integers
	channels int
	left     int64 // bytes of samples
	frame    []byte
}

// ErrNotWave says that a file holds no sound that can be read.
var ErrNotWave = errors.New("this is no WAVE file of 8 to 32 bits: record or convert it as one")

// NewReader reads up to the first sample. It takes integers of 8, 16, 24 and 32 bits
// and floats of 32, of one to eight channels; anything else is ErrNotWave.
func NewReader(r io.Reader) (*Reader, error) {
	in := bufio.NewReaderSize(r, 1<<16)
	var head [12]byte
	if _, err := io.ReadFull(in, head[:]); err != nil || string(head[:4]) != "RIFF" || string(head[8:]) != "WAVE" {
		return nil, ErrNotWave
	}
	w := &Reader{in: in}
	for {
		var chunk [8]byte
		if _, err := io.ReadFull(in, chunk[:]); err != nil {
			return nil, ErrNotWave
		}
		size := int64(binary.LittleEndian.Uint32(chunk[4:]))
		switch name := string(chunk[:4]); {
		case name == "data" && w.channels > 0:
			w.left = size
			if size == 0 || size == math.MaxUint32 { // written by a program that could not know
				w.left = math.MaxInt64
			}
			return w, nil
		case name == "fmt " && size >= 16 && size <= 1024:
			body := make([]byte, size+size%2)
			if _, err := io.ReadFull(in, body); err != nil || !w.understand(body) {
				return nil, ErrNotWave
			}
		default:
			if _, err := io.CopyN(io.Discard, in, size+size%2); err != nil {
				return nil, ErrNotWave
			}
		}
	}
}

// understand reads a format chunk.
func (w *Reader) understand(body []byte) bool {
	le := binary.LittleEndian
	tag, bits := le.Uint16(body), le.Uint16(body[14:])
	if tag == 0xFFFE && len(body) >= 26 {
		tag = le.Uint16(body[24:]) // the extensible kind says it there
	}
	w.channels, w.Rate = int(le.Uint16(body[2:])), int(le.Uint32(body[4:]))
	switch {
	case tag == 1 && bits == 8:
		w.eight = true
	case tag == 1 && bits == 16:
		w.format = Int16
	case tag == 1 && bits == 24:
		w.format = Int24
	case tag == 1 && bits == 32:
		w.format, w.wide = Float32, true
	case tag == 3 && bits == 32:
		w.format = Float32
	default:
		return false
	}
	width := w.format.bytes()
	if w.eight {
		width = 1
	}
	w.frame = make([]byte, width*w.channels)
	return w.channels >= 1 && w.channels <= 8 && w.Rate > 0
}

// Read fills dst, full scale 1, and returns how many samples it holds. A file that is cut
// off ends where it is cut; the end is io.EOF.
func (w *Reader) Read(dst []float32) (int, error) {
	for i := range dst {
		if w.left < int64(len(w.frame)) {
			return i, io.EOF
		}
		if _, err := io.ReadFull(w.in, w.frame); err != nil {
			if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
				return i, io.EOF
			}
			return i, fmt.Errorf("read wave: %w", err)
		}
		w.left -= int64(len(w.frame))
		sum := float32(0)
		width := len(w.frame) / w.channels
		for c := range w.channels {
			sum += w.sample(w.frame[c*width:])
		}
		dst[i] = sum / float32(w.channels)
	}
	return len(dst), nil
}

func (w *Reader) sample(b []byte) float32 {
	le := binary.LittleEndian
	switch {
	case w.eight:
		return (float32(b[0]) - 128) / 128
	case w.wide:
		return float32(int32(le.Uint32(b))) / (1 << 31)
	case w.format == Int16:
		return float32(int16(le.Uint16(b))) / (1 << 15)
	case w.format == Int24:
		return float32(int32(uint32(b[0])<<8|uint32(b[1])<<16|uint32(b[2])<<24)) / (1 << 31)
	}
	v := math.Float32frombits(le.Uint32(b))
	if v != v || v > 8 || v < -8 { // no sound, but it would stay in every sum
		return 0
	}
	return v
}
