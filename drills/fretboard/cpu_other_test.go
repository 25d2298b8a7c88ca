//go:build !unix

package fretboard

import "time"

// cpu cannot be told here; the clock serves.
func cpu() time.Duration { return time.Since(began) }

var began = time.Now()
