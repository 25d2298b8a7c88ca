//go:build unix

package oracle

import (
	"syscall"
	"time"
)

// CPU is what this process has taken of the processors so far: it does not grow, as the
// clock does, while others use them.
func CPU() time.Duration {
	var used syscall.Rusage
	syscall.Getrusage(syscall.RUSAGE_SELF, &used)
	return time.Duration(used.Utime.Nano() + used.Stime.Nano())
}
