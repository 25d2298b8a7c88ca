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
		return "No sound: " + errNoSound.Error() + "; practising in silence."
	case errors.Is(err, errStuck):
		return "No sound: the sound device does not answer; practising in silence."
	case strings.Contains(text, "busy"):
		return "No sound: another program holds the sound device; practising in silence."
	case strings.Contains(text, "lost"):
		return "No sound: the sound device was lost; practising in silence."
	}
	return "No sound device found; practising in silence."
}
