//go:build !amd64

package synth

func filter(buf []float32, from int, h *[taps]float32, delay int) { filterPlain(buf, from, h, delay) }
