//go:build !silent && cgo

package microphone

/*
#cgo LDFLAGS: -ldl
#include <dlfcn.h>

static void hush(const char *file, int line, const char *function, int err, const char *format, ...) {}

// miniaudio loads ALSA's library itself. It is told to keep its complaints to itself
// before that.
static void surefret_hush_inputs(void) {
	void *library = dlopen("libasound.so.2", RTLD_NOW | RTLD_GLOBAL);
	int (*set)(void *) = library ? (int (*)(void *))dlsym(library, "snd_lib_error_set_handler") : 0;
	if (set) set((void *)hush);
}
*/
import "C"

// quiet keeps ALSA's complaints off standard error, which is the player's screen.
func quiet() { C.surefret_hush_inputs() }
