package screen

import "testing"

// Large letters on several lines leave no short word alone on the last.
func TestLargeLettersAreSetEvenly(t *testing.T) {
	l := layout{width: 100, height: 30}
	whole := l.enlarged("wrong, fret 3", 2*pixelRows+1)
	even, _ := l.enlargedTo(l.sizes()[0], "fret 3", 1, l.measure())
	if len(whole) != 2*pixelRows+1 || whole[pixelRows+1] != even[0] {
		t.Errorf("the last line is not 'fret 3': %q", whole)
	}
}
