package synth

// run works out buf[from:], a multiple of four samples, from the delay+taps-1
// samples or more that stand before.
func (l *loop) run(buf []float32, from int) {
	filter(buf[from-4:], buf[from-l.delay-taps+1:], &l.h)
}

// filterPlain is filter in plain Go, to the bit: where the processor has no
// faster one, it is the one that sounds. dst begins with the four samples before
// those to be worked out, src taps-1 samples and the delay before them.
func filterPlain(dst, src []float32, h *[taps + 1]float32) {
	for i := range dst[4:] {
		x := (*[taps]float32)(src[i:])
		sum := float32(h[0] * x[taps-1])
		for j := 1; j < taps; j++ {
			sum += float32(h[j] * x[taps-1-j])
		}
		dst[4+i] = float32(h[taps]*dst[i]) + sum
	}
}
