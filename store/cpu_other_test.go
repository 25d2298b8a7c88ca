//go:build !unix

package store

import "time"

// cpuTime is not told here: what a benchmark reports of it is nothing.
func cpuTime() time.Duration { return 0 }
