// Package sound is what the player hears: the cues of a sitting, which keep nobody
// waiting, and what is played to its end.
package sound

import (
	"context"
	"fmt"
	"strings"
	"time"

	"surefret/cmd/surefret/score"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/synth"
	"surefret/synth/speaker"
)

// A Sound plays what drills ask to be heard. It never keeps the player waiting.
// The zero Sound is silence that was asked for.
type Sound struct {
	speaker   *speaker.Speaker
	reference float64 // Hz of A4
	tone      synth.Tone
	untold    string // why there is no sound, as long as the player was not told
	cautions  func() string
}

// Tone is how the player's guitar sounds.
func Tone(o settings.Settings) synth.Tone {
	switch o.Guitar {
	case settings.WarmGuitar:
		return synth.Warm
	case settings.BrightGuitar:
		return synth.Bright
	}
	return synth.Natural
}

// probing bounds the wait for the device's word on whether it is there. A
// device that has said nothing by then is taken for one that plays.
const probing = 100 * time.Millisecond

// Open returns the sound that the player's settings ask for. The device, nil for the
// machine's own, is tried at once, since questions that must be heard are not asked
// without it. What cautions returns is said once, before anything is heard.
func Open(device speaker.Device, o settings.Settings, cautions func() string) *Sound {
	snd := &Sound{speaker: &speaker.Speaker{Device: device}, reference: o.ReferenceA, tone: Tone(o), cautions: cautions}
	snd.speaker.SetVolume(o.Volume)
	hush, err := synth.Render(synth.Rest(10*time.Millisecond), synth.Options{})
	if err != nil {
		return snd
	}
	snd.speaker.Play(hush)
	select {
	case snd.untold = <-snd.speaker.Notices():
	case <-time.After(probing):
	}
	return snd
}

// Heard reports whether a cue would be heard now.
func (s *Sound) Heard() bool {
	return s.speaker != nil && s.speaker.Status().State != speaker.Silent
}

// Sounding reports whether the speaker sounds now.
func (s *Sound) Sounding() bool {
	return s.speaker != nil && s.speaker.Status().State == speaker.Playing
}

// Play sounds a cue in place of what sounds already, and returns at once.
func (s *Sound) Play(cue []drills.Sounding) {
	if !s.Heard() {
		return
	}
	// A cue that cannot be rendered is left out: the question stands without it.
	if c, err := synth.Render(score.Cue(cue, s.reference), synth.Options{Tone: s.tone}); err == nil {
		s.speaker.Play(c)
	}
}

// Notice returns one sentence, once, when there is no sound; what to mind with
// sound, to a player who was never told; and "" otherwise.
func (s *Sound) Notice() string {
	if s.speaker == nil {
		return ""
	}
	if s.untold == "" {
		select {
		case s.untold = <-s.speaker.Notices():
		default:
		}
	}
	text := s.untold
	s.untold = ""
	if text == "" && s.cautions != nil && s.Heard() {
		text = s.cautions()
		s.cautions = nil
	}
	return text
}

// Close lets the last note ring out, three seconds at the most.
func (s *Sound) Close(ctx context.Context) {
	if s.speaker == nil {
		return
	}
	ctx, cancel := context.WithTimeout(ctx, 3*time.Second)
	defer cancel()
	s.speaker.Close(ctx) // a note cut off at the end is no failure
}

// Hear plays a cue to its end, or until ctx ends: then the player has heard enough.
// The volume is in dB.
func Hear(ctx context.Context, device speaker.Device, volume float64, cue synth.Cue) error {
	sp := &speaker.Speaker{Device: device}
	sp.SetVolume(volume)
	if err := sp.Play(cue); err != nil {
		return err
	}
	if cue.Loop {
		select {
		case reason := <-sp.Notices():
			return unheard(reason)
		case <-ctx.Done():
		}
		sp.Stop()
	}
	bound, cancel := context.WithTimeout(ctx, cue.Duration()+10*time.Second) // a device may begin late, and fall silent in between
	defer cancel()
	err := sp.Close(bound)
	select {
	case reason := <-sp.Notices():
		return unheard(reason)
	default:
	}
	if ctx.Err() != nil {
		return nil
	}
	return err
}

// unheard says why nothing can be heard, and what can be done instead.
func unheard(reason string) error {
	why, _, _ := strings.Cut(reason, ";")
	return fmt.Errorf("%s; --wav FILE writes it to a file instead", strings.TrimSuffix(why, "."))
}
