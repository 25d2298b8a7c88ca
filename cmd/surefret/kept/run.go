package kept

import (
	"fmt"

	"surefret/cmd/surefret/cli"
	"surefret/drills/gig"
	"surefret/drills/rehearse"
	"surefret/synth"
)

// UsualTempo is taken for a song that says none, in beats a minute.
const UsualTempo = 90

// A Running says how a song is run through. The zero Running is all of it as it was
// learned, in its own tempo.
type Running struct {
	Called  string  // the key
	Tempo   float64 // beats a minute; 0 is the song's own
	Section string  // only this one
}

// Run sets a song in time, in the key that is called.
func (pl *Practice) Run(s gig.Song, o Running) (rehearse.Run, error) {
	tempo := o.Tempo
	switch {
	case tempo == 0 && s.Tempo > 0:
		tempo = s.Tempo
	case tempo == 0:
		tempo = UsualTempo
	case !(tempo >= synth.SlowestTempo && tempo <= synth.FastestTempo):
		return rehearse.Run{}, cli.Usagef("--tempo %g: give %d to %d beats a minute", tempo, synth.SlowestTempo, synth.FastestTempo)
	}
	if s.Called == "" {
		s.Called = s.Learned
	}
	if o.Called != "" {
		s.Called = gig.CalledTyped(o.Called, s.Learned, pl.Setup().Names)
		if err := s.Check(); err != nil {
			return rehearse.Run{}, cli.BadInput{Err: fmt.Errorf("--called %s: %w", o.Called, err)}
		}
	}
	r, err := rehearse.Of(s, pl.Setup().Neck, tempo)
	if err != nil {
		return r, fmt.Errorf("%s cannot be played through: %w", s.Title, err)
	}
	if o.Section == "" {
		return r, nil
	}
	from, to, ok := r.Section(o.Section)
	if !ok {
		return r, cli.Usagef("%s has no section called %q: 'surefret song show %q' shows them", s.Title, o.Section, s.Title)
	}
	return r.Part(from, to), nil
}

// Hold sets what the hand plays of a song: its own parts, one of them by its name, or what
// a word says of each chord.
func (pl *Practice) Hold(s gig.Song, r *rehearse.Run, as string) error {
	neck := pl.Setup().Neck
	if i := s.PartCalled(as); i >= 0 {
		s.Parts = s.Parts[i : i+1]
	} else if as != rehearse.Part {
		return r.As(as, neck)
	}
	parts := gig.OwnParts(neck, s)
	switch {
	case len(s.Parts) == 0:
		return fmt.Errorf("it has no part of yours: 'surefret part add FILE --song %q' adds one", s.Title)
	case len(parts) == 0:
		return fmt.Errorf("its part is for another instrument or tuning than yours")
	}
	return r.AsParts(neck, parts)
}
