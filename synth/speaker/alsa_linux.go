//go:build !silent && cgo

package speaker

// The flag leaves ALSA's library out of what the program needs to start, since
// alsa_linux.c answers every call: see there.

// #cgo LDFLAGS: -Wl,--as-needed -ldl
// #cgo pkg-config: alsa
import "C"
