package synth

import (
	"math"
	"time"
)

// A Tone is the colour of the guitar: which pickup is heard, and how far its knob
// is turned.
type Tone int

// The tones that a player can choose.
const (
	Natural Tone = iota
	Warm
	Bright
)

// A voicing is what makes a tone: where the string is plucked and heard, as a
// fraction of its sounding length from the bridge, and the pickup with its cable,
// a low-pass that resonates at some hertz by a factor.
type voicing struct{ pick, pickup, resonance, peak float64 }

var tones = [...]voicing{
	Natural: {pick: 0.1, pickup: 0.1, resonance: 4700, peak: 2.4},
	Warm:    {pick: 0.2, pickup: 0.2, resonance: 1800, peak: 0.8},
	Bright:  {pick: 0.07, pickup: 0.06, resonance: 5500, peak: 2.8},
}

// A wire is what was fitted to one string.
type wire struct {
	hz     float64
	treble float64 // time in which partials near 4 kHz fall by 60 dB, in seconds
	stiff  float64 // B
	soft   float64 // where a full pluck has lost 6 dB of treble, in hertz
}

// The open strings of a five-string bass and a guitar, and the fret above.
var wires = []wire{
	{30.87, 1, 1e-5, 1600},
	{82.41, 0.94, 3.5e-5, 2000},
	{110, 1.4, 3e-5, 2000},
	{146.83, 1.8, 2.5e-5, 4200},
	{196, 2.4, 2e-5, 4800},
	{246.94, 2.6, 1.5e-5, 9000},
	{329.63, 3.5, 1e-5, 9000},
	{659.26, 2.7, 1.5e-5, 4900},
}

// wireAt is the string that sounds hz, between two of the fitted ones.
func wireAt(hz float64) wire {
	i := 1
	for i < len(wires)-1 && wires[i].hz < hz {
		i++
	}
	a, b := wires[i-1], wires[i]
	x := max(0, min(1, math.Log(hz/a.hz)/math.Log(b.hz/a.hz)))
	between := func(a, b float64) float64 { return a * math.Pow(b/a, x) }
	return wire{hz, between(a.treble, b.treble), between(a.stiff, b.stiff), between(a.soft, b.soft)}
}

// What the second polarisation, at a right angle to the body, differs by.
const (
	second       = 0.27 // its share of the pluck
	secondFall   = 0.42 // its decay, of that of the first
	secondTreble = 0.1  // that of its treble
	detuned      = 1.2  // cents
)

// voiced is the tone of a string that sounds hz: the shorter the fret makes it, the
// nearer its middle it is plucked and heard. The string is the highest of a guitar in
// standard tuning that has the note.
func (v voicing) voiced(hz float64) voicing {
	open := wires[1].hz
	for _, w := range wires[2 : len(wires)-1] {
		if w.hz < 1.03*hz {
			open = w.hz
		}
	}
	shorter := max(1, min(2, hz/open))
	v.pick, v.pickup = v.pick*shorter, v.pickup*shorter
	return v
}

// laws are those of the two polarisations.
func (p Pluck) laws() [2]law {
	w := wireAt(p.Hz)
	if p.Perfect {
		w.stiff = 0
	}
	first := law{p.Hz, p.decay(), min(w.treble, 0.6*p.decay()), w.stiff}
	other := first
	if !p.Perfect {
		other.hz *= math.Exp2(detuned / 1200)
		other.decay *= secondFall
		other.treble *= secondTreble
	}
	return [2]law{first, other}
}

// decayTime is the law of the strings: the time in seconds in which the first
// partial of a string sounding hz hertz falls by 60 dB.
//
// It runs between anchors measured on sampled steel-string and clean electric
// guitars (low E2 between 9.6 and 20.6 s, E4 about 7 s, E6 3.4 to 4.3 s) and
// sustain that falls steadily with the fret, as published measurements of
// electric guitars show (Fleischer; Pate). It falls as pitch rises.
func decayTime(hz float64) float64 { return 10.4 * math.Pow(hz/82.41, -0.34) }

// decay is that time for a pluck.
func (p Pluck) decay() float64 {
	if p.Muted {
		return 0.3
	}
	return decayTime(p.Hz)
}

// ring is the time in which the string falls by 100 dB.
func (p Pluck) ring() time.Duration {
	return time.Duration(p.decay() * 100 / 60 * float64(time.Second))
}
