package hearing

import (
	"cmp"
	"math"
	"slices"
)

// mostOffset is by how many cents a string may be off so that it is subtracted in judging:
// what is farther off is to be tuned first.
const mostOffset = 40.0

// A Calibration is what the tuner heard of a guitar and its room. It holds for the day on
// which it was made, and for strings that are tuned alike.
type Calibration struct {
	Day       string  `json:"day"`
	Open      []int   `json:"open"`      // the strings as they should be, MIDI numbers, string 1 first
	Reference float64 `json:"reference"` // hertz of A4
	Floor     float64 `json:"floor"`     // of the room, dB; 0 is not measured
	Strings   []Tuned `json:"strings"`   // as they were heard last
}

// After is c with what an earlier one knows and c does not, where both are of one day and
// of strings that are tuned alike.
func (c Calibration) After(earlier Calibration) Calibration {
	if c.Day != earlier.Day || c.Reference != earlier.Reference || !slices.Equal(c.Open, earlier.Open) {
		return c
	}
	c.Floor = cmp.Or(c.Floor, earlier.Floor)
	heard := c.Strings
	c.Strings = slices.Clone(earlier.Strings)
	for _, s := range heard {
		c.Heard(s)
	}
	return c
}

// Heard puts in how a string was heard, in place of what was there.
func (c *Calibration) Heard(s Tuned) {
	c.Strings = slices.DeleteFunc(c.Strings, func(o Tuned) bool { return o.String == s.String })
	c.Strings = append(c.Strings, s)
}

// Off are the strings that are to be tuned first.
func (c Calibration) Off() (off []Tuned) {
	for _, s := range c.Strings {
		if math.Abs(s.Cents) > mostOffset {
			off = append(off, s)
		}
	}
	return off
}

// offset is how sharp a string is, in semitones; where none is named, the one in the
// middle of all.
func (c Calibration) offset(str int) float64 {
	var all []float64
	for _, s := range c.Strings {
		if math.Abs(s.Cents) > mostOffset {
			continue
		}
		if s.String == str {
			return s.Cents / 100
		}
		all = append(all, s.Cents/100)
	}
	if str != 0 || len(all) == 0 {
		return 0
	}
	slices.Sort(all)
	return all[len(all)/2]
}
