//go:build !amd64

package synth

func filter(dst, src []float32, h *[taps + 1]float32) { filterPlain(dst, src, h) }
