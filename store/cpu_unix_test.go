//go:build unix

package store

import (
	"syscall"
	"time"
)

// cpuTime is what this process has taken of the processors so far.
func cpuTime() time.Duration {
	var used syscall.Rusage
	syscall.Getrusage(syscall.RUSAGE_SELF, &used)
	return time.Duration(used.Utime.Nano() + used.Stime.Nano())
}
