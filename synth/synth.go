// Package synth makes sound from numbers: plucked strings in exact tune, clicks
// and drones, as streams of samples.
//
// A Score is a set of timed events; Render plays it into one Cue, a buffer of
// samples at a fixed loudness. The String does the work: a delay line closed by
// a short filter, whose pole is placed so that pitch and decay are both exact.
// That matters more than the ear can name: an octave that must not beat for four
// seconds at the top of the neck needs a tenth of a cent.
//
// The package knows pitches in hertz and times, nothing of music, guitars or
// devices. Neighbours: synth/speaker plays a Cue, synth/wav writes it to a file,
// synth/midi writes the same kind of timed events for other instruments.
package synth
