//go:build unix

package fretboard

import (
	"syscall"
	"time"
)

// cpu returns the time that this process has spent on the processor, which
// unlike the clock does not grow while others use it.
func cpu() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
