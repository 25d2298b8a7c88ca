//go:build !silent && cgo

// Package quiet keeps what libraries of sound complain of, ALSA and what it loads, off
// standard error, which is the player's screen. It loads them, where the machine has
// them, and imports nothing.
package quiet

/*
#cgo LDFLAGS: -ldl
#define _GNU_SOURCE
#include <dlfcn.h>

static void alsa(const char *file, int line, const char *function, int err, const char *format, ...) {}
static void jack(const char *message) {}

static void tell(const char *library, const char *setter, void *handler) {
	dlopen(library, RTLD_NOW | RTLD_GLOBAL);
	int (*set)(void *) = (int (*)(void *))dlsym(RTLD_DEFAULT, setter);
	if (set) set(handler);
}

static void surefret_hush(void) {
	tell("libasound.so.2", "snd_lib_error_set_handler", (void *)alsa);
	// ALSA's plug-in for JACK looks for a server at each opening, and JACK says that there is none.
	tell("libjack.so.0", "jack_set_error_function", (void *)jack);
	tell("libjack.so.0", "jack_set_info_function", (void *)jack);
}
*/
import "C"

// Hush is called before a device is opened.
func Hush() { C.surefret_hush() }
