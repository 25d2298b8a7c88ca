// Package microphone has samples for who listens: from a recording, at its own pace.
//
// It knows no pitch and no guitar. Neighbour: synth/listen hears notes in the samples.
package microphone
