package speaker

import (
	"errors"
	"strings"
)

// Why a device declines.
var (
	errStuck   = errors.New("the device does not answer")
	errNoSound = errors.New("this build of the program has no sound")
)

// plain turns an error of the device into one sentence for a player.
func plain(err error) string {
	text := err.Error()
	switch {
	case errors.Is(err, errNoSound):
		return "No sound: " + errNoSound.Error() + "; practice goes on in silence."
	case errors.Is(err, errStuck):
		return "No sound: the sound device does not answer; practice goes on in silence."
	case strings.Contains(text, "busy"):
		return "No sound: another program holds the sound device; practice goes on in silence."
	case strings.Contains(text, "lost"):
		return "No sound: the sound device was lost; practice goes on in silence."
	}
	return "No sound: this machine offers no sound device; practice goes on in silence."
}
