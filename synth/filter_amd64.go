package synth

// filter works out four samples at a time, with instructions that every amd64 has.
func filter(dst, src []float32, h *[taps + 1]float32) {
	if fours := len(dst)/4 - 1; fours > 0 {
		_ = src[4*fours+taps-2]
		filterFours(&dst[0], &src[0], fours, h)
	}
}

//go:noescape
func filterFours(dst, src *float32, fours int, h *[taps + 1]float32)
