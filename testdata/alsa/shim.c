/* A stand-in for a sound card, preloaded between the program and ALSA, for
 * machines that have none: it paces writes as a card would and fails in the way
 * that the environment asks for.
 *
 *   ALSA_FAULT   absent       ALSA's library cannot be loaded
 *                busy         the device is held by another program
 *                hung-open    opening never returns
 *                hung-write   after ALSA_AFTER frames a write never returns
 *                lost         after ALSA_AFTER frames the device is gone
 *                underrun     every seventh write reports an underrun
 *
 * Without a fault every call goes to the real library. Each time that the card runs dry
 * a line with the milliseconds of silence goes to the file named by ALSA_DRY.
 *   gcc -shared -fPIC -o shim.so shim.c -ldl
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#define RATE 48000

static unsigned long buffer = 1920; /* frames that the card holds: 40 ms unless asked for */

static int fault(const char *name) {
	const char *f = getenv("ALSA_FAULT");
	return f && !strcmp(f, name);
}

static void hang(void) {
	for (;;)
		pause();
}

static void *real(const char *name) {
	static void *(*open_real)(const char *, int);
	static void *library;
	if (!library) {
		open_real = (void *(*)(const char *, int))dlsym(RTLD_NEXT, "dlopen");
		library = open_real("libasound.so.2", RTLD_NOW | RTLD_GLOBAL);
	}
	return dlsym(library, name);
}

void *dlopen(const char *path, int flags) {
	void *(*open_real)(const char *, int) = (void *(*)(const char *, int))dlsym(RTLD_NEXT, "dlopen");
	if (fault("absent") && path && strstr(path, "libasound"))
		return NULL;
	return open_real(path, flags);
}

int snd_pcm_open(void **pcm, const char *name, int stream, int mode) {
	int (*f)(void **, const char *, int, int);
	if (fault("busy"))
		return -EBUSY;
	if (fault("hung-open"))
		hang();
	if (fault("absent"))
		return -ENOENT;
	f = (int (*)(void **, const char *, int, int))real("snd_pcm_open");
	return f(pcm, name, stream, mode);
}

int snd_pcm_hw_params_set_buffer_size_near(void *pcm, void *params, unsigned long *frames) {
	int (*f)(void *, void *, unsigned long *) = (int (*)(void *, void *, unsigned long *))real("snd_pcm_hw_params_set_buffer_size_near");
	int err = f(pcm, params, frames);
	buffer = *frames;
	return err;
}

static void dry(double seconds) {
	const char *name = getenv("ALSA_DRY");
	FILE *file = name ? fopen(name, "a") : NULL;
	if (file) {
		fprintf(file, "%.1f\n", 1000 * seconds);
		fclose(file);
	}
}

/* pace blocks while the card's buffer is full. */
static void pace(unsigned long frames) {
	static struct timespec start;
	static double written;
	struct timespec now;
	double played;
	clock_gettime(CLOCK_MONOTONIC, &now);
	played = (now.tv_sec - start.tv_sec + (now.tv_nsec - start.tv_nsec) * 1e-9) * RATE;
	if (start.tv_sec && played > written)
		dry((played - written) / RATE);
	if (!start.tv_sec || played > written) { /* first write, or it ran dry */
		start = now;
		written = played = 0;
	}
	written += frames;
	if (written - played > buffer) {
		double wait = (written - played - buffer) / RATE;
		struct timespec t = {(time_t)wait, (long)((wait - (time_t)wait) * 1e9)};
		nanosleep(&t, NULL);
	}
}

long snd_pcm_writei(void *pcm, const void *buffer, unsigned long frames) {
	static unsigned long total, writes;
	const char *after = getenv("ALSA_AFTER");
	int due = total >= (after ? strtoul(after, NULL, 10) : 0);
	long (*f)(void *, const void *, unsigned long);
	if (fault("hung-write") && due)
		hang();
	if (fault("lost") && due)
		return -ENODEV;
	if (fault("underrun") && ++writes % 7 == 0)
		return -EPIPE;
	f = (long (*)(void *, const void *, unsigned long))real("snd_pcm_writei");
	total += frames;
	pace(frames);
	return f(pcm, buffer, frames);
}
