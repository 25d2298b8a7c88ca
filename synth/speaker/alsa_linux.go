//go:build !silent && cgo

package speaker

// The flag leaves ALSA's library out of what the program needs to start, since
// alsa_linux.c answers every call: see there.

// #cgo LDFLAGS: -Wl,--as-needed -ldl
// #cgo pkg-config: alsa
// void surefret_hush(void);
import "C"

// quiet keeps ALSA's complaints off standard error, which is the player's
// screen.
func quiet() { C.surefret_hush() }
