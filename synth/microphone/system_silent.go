//go:build silent || !cgo

package microphone

import "errors"

var errSilent = errors.New("this build of the program has no inputs")

// Machine is a sound system that always declines: this build has no inputs.
func Machine() System { return none{} }

type none struct{}

func (none) Inputs() ([]Input, error)                     { return nil, errSilent }
func (none) Open(string, func([]float32)) (Device, error) { return nil, errSilent }
