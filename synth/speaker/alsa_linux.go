//go:build !silent && cgo

package speaker

/*
#include <alsa/asoundlib.h>

static void hush(const char *file, int line, const char *function, int err, const char *fmt, ...) {}

static void quiet(void) { snd_lib_error_set_handler(hush); }
*/
// #cgo pkg-config: alsa
import "C"

// quiet keeps ALSA's complaints off standard error, which is the player's
// screen.
func quiet() { C.quiet() }
