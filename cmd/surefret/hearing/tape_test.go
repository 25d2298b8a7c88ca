package hearing_test

import (
	"context"
	"io"

	"surefret/testdata/oracle"
)

// A tape is a recording in memory.
type tape []float32

func (tape) Rate() int { return oracle.GuitarRate }

func (s *tape) Next(context.Context) ([]float32, error) {
	n := min(len(*s), oracle.GuitarRate/100)
	if n == 0 {
		return nil, io.EOF
	}
	next := (*s)[:n]
	*s = (*s)[n:]
	return next, nil
}
