//go:build !silent && cgo

// The functions of ALSA that oto calls, passed on to the library if the machine
// has it. Linked in the usual way a program does not start without libasound;
// with these in its place it starts, finds no device, and practises in silence.
//
// They are hidden, so that they take nobody's place outside this program, and
// are looked up by RTLD_DEFAULT, so that a preloaded library comes first.

#define _GNU_SOURCE
#include <alsa/asoundlib.h>
#include <dlfcn.h>
#include <pthread.h>

static pthread_once_t once = PTHREAD_ONCE_INIT;

static void load(void) { dlopen("libasound.so.2", RTLD_NOW | RTLD_GLOBAL); }

static void *find(const char *name) {
	pthread_once(&once, load);
	return dlsym(RTLD_DEFAULT, name);
}

#define PASS(type, name, params, args, otherwise)                       \
	__attribute__((visibility("hidden"))) type name params {        \
		type(*real) params = (type(*) params)find(#name);       \
		return real ? real args : (otherwise);                  \
	}

PASS(int, snd_pcm_open, (snd_pcm_t **pcm, const char *name, snd_pcm_stream_t stream, int mode), (pcm, name, stream, mode), -ENOENT)
PASS(snd_pcm_sframes_t, snd_pcm_writei, (snd_pcm_t *pcm, const void *buffer, snd_pcm_uframes_t size), (pcm, buffer, size), -ENODEV)
PASS(int, snd_pcm_recover, (snd_pcm_t *pcm, int err, int silent), (pcm, err, silent), err)
PASS(int, snd_pcm_hw_params_malloc, (snd_pcm_hw_params_t **ptr), (ptr), -ENOMEM)
PASS(int, snd_pcm_hw_params, (snd_pcm_t *pcm, snd_pcm_hw_params_t *params), (pcm, params), -ENODEV)
PASS(int, snd_pcm_hw_params_any, (snd_pcm_t *pcm, snd_pcm_hw_params_t *params), (pcm, params), -ENODEV)
PASS(int, snd_pcm_hw_params_set_access, (snd_pcm_t *pcm, snd_pcm_hw_params_t *params, snd_pcm_access_t access), (pcm, params, access), -ENODEV)
PASS(int, snd_pcm_hw_params_set_format, (snd_pcm_t *pcm, snd_pcm_hw_params_t *params, snd_pcm_format_t val), (pcm, params, val), -ENODEV)
PASS(int, snd_pcm_hw_params_set_channels, (snd_pcm_t *pcm, snd_pcm_hw_params_t *params, unsigned int val), (pcm, params, val), -ENODEV)
PASS(int, snd_pcm_hw_params_set_rate_resample, (snd_pcm_t *pcm, snd_pcm_hw_params_t *params, unsigned int val), (pcm, params, val), -ENODEV)
PASS(int, snd_pcm_hw_params_set_rate_near, (snd_pcm_t *pcm, snd_pcm_hw_params_t *params, unsigned int *val, int *dir), (pcm, params, val, dir), -ENODEV)
PASS(int, snd_pcm_hw_params_set_buffer_size_near, (snd_pcm_t *pcm, snd_pcm_hw_params_t *params, snd_pcm_uframes_t *val), (pcm, params, val), -ENODEV)
PASS(int, snd_pcm_hw_params_set_period_size_near, (snd_pcm_t *pcm, snd_pcm_hw_params_t *params, snd_pcm_uframes_t *val, int *dir), (pcm, params, val, dir), -ENODEV)
PASS(int, snd_device_name_hint, (int card, const char *iface, void ***hints), (card, iface, hints), -ENOENT)
PASS(int, snd_device_name_free_hint, (void **hints), (hints), 0)
PASS(char *, snd_device_name_get_hint, (const void *hint, const char *id), (hint, id), NULL)
PASS(const char *, snd_strerror, (int err), (err), strerror(err < 0 ? -err : err))
