//go:build !unix

package oracle

import "time"

// CPU is not told here: what a benchmark reports of it is nothing.
func CPU() time.Duration { return 0 }
