package synth

// filter is filterPlain, four samples at a time.
//
//go:noescape
func filter(buf []float32, from int, h *[taps]float32, delay int)
