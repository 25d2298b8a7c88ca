package synth

import "math"

// Volumes in dB under full level.
const (
	DefaultVolume = -12.0 // where every player begins
	LoudestVolume = 0.0   // never exceeded
	VolumeStep    = 3.0   // one press of a key
	quietest      = -60.0 // and below this, silence
)

// Gain is the factor of a volume in dB: 1 at LoudestVolume and above, 0 under
// -60 dB.
func Gain(db float64) float64 {
	if !(db >= quietest) {
		return 0
	}
	return math.Pow(10, math.Min(db, LoudestVolume)/20)
}

// Caution goes with every command that sounds or encourages long practice.
const Caution = "Start with the volume low, headphones lowest of all, and rest often. " +
	"Stop if anything hurts or your ears ring, and ask a teacher, a doctor or an audiologist."
