package drills

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"time"

	"surefret/drills/fretboard"
)

// Heard is what came of listening for an answer.
type Heard struct {
	Answer   string        // for Judge; "" where nothing was decided
	Said     string        // what was heard, or why nothing was decided, half a sentence
	Unsure   bool          // it was heard too badly: once more
	Quiet    bool          // nothing was played for half a minute
	Thinking time.Duration // from the question to the pluck; of several the first
}

// Playable reports whether questions of the item can be answered by playing.
func (it Item) Playable() bool { return it.Family == "note" }

// A Playing turns the notes that are heard into the answer to a question. Which string
// a pitch came from cannot be heard.
type Playing struct {
	How  string // how it is played, a sentence
	want []int  // MIDI numbers that are right now; one is used up by each note where several are asked
	take func(p *Playing, midi int) (answer string, err error)
	say  func(midi int) string
	got  []int
}

// Playing returns how the question is answered by playing, and whether it can be.
func (q Question) Playing() (*Playing, bool) {
	if q.playing == nil {
		return nil, false
	}
	return q.playing(), true
}

// Want lists the notes of which each would be right now, as MIDI numbers.
func (p *Playing) Want() []int { return p.want }

// Take takes one note. The answer is "" as long as more are asked. An error, one
// sentence, says that the note is no answer at all; then nothing is decided.
func (p *Playing) Take(midi int) (answer string, err error) { return p.take(p, midi) }

// Said says what was heard, half a sentence.
func (p *Playing) Said(midi int) string { return p.say(midi) }

// heardNote names a pitch.
func (s Setup) heardNote(midi int) string { return s.Names.Note(s.spelled(midi, s.Flats)) }

// playOn is how a note on one string is played: any of its places there.
func (s Setup) playOn(str, pitchClass int) *Playing {
	fret := func(midi int) (fretboard.Position, bool) {
		p := fretboard.Position{String: str, Fret: midi - s.Neck.MIDI(fretboard.Position{String: str})}
		return p, p.Fret >= 0 && s.Neck.Has(p)
	}
	p := &Playing{How: "Play it."}
	for f := 0; f <= s.Neck.Last(); f++ {
		if midi := s.Neck.MIDI(fretboard.Position{String: str, Fret: f}); midi%12 == pitchClass {
			p.want = append(p.want, midi)
		}
	}
	p.take = func(_ *Playing, midi int) (string, error) {
		at, ok := fret(midi)
		if !ok {
			way := "high"
			if at.Fret < 0 {
				way = "low"
			}
			return "", fmt.Errorf("heard %s, too %s for string %d: play it there", s.heardNote(midi), way, str)
		}
		return strconv.Itoa(at.Fret), nil
	}
	p.say = func(midi int) string {
		at, _ := fret(midi)
		return fmt.Sprintf("heard %s, string %d has it at %d", s.heardNote(midi), str, at.Fret)
	}
	return p
}

// playElsewhere is how the note at a place is named: by playing it in another octave,
// since its own pitch could be had by playing the place that is shown.
func (s Setup) playElsewhere(at fretboard.Position) *Playing {
	own := s.Neck.MIDI(at)
	p := &Playing{How: "Play the same note in another octave."}
	for str := 1; str <= s.Neck.Tuning.Strings(); str++ {
		for f := 0; f <= s.Neck.Last(); f++ {
			midi := s.Neck.MIDI(fretboard.Position{String: str, Fret: f})
			if midi != own && midi%12 == own%12 && !slices.Contains(p.want, midi) {
				p.want = append(p.want, midi)
			}
		}
	}
	p.take = func(_ *Playing, midi int) (string, error) {
		if midi == own {
			return "", errors.New("that is the pitch of the place itself: play the note in another octave")
		}
		return s.heardNote(midi), nil
	}
	p.say = func(midi int) string { return "heard " + s.heardNote(midi) }
	return p
}

// playEach is how places are played one after another, in any order.
func (s Setup) playEach(right []fretboard.Position, from, to int) *Playing {
	p := &Playing{How: "Play each of them, one after another.", want: s.midis(right)}
	left := slices.Clone(right)
	var given []fretboard.Position
	p.take = func(p *Playing, midi int) (string, error) {
		i := slices.IndexFunc(left, func(at fretboard.Position) bool { return s.Neck.MIDI(at) == midi })
		switch {
		case i >= 0:
			given = append(given, left[i])
			left = slices.Delete(left, i, i+1)
			p.want = s.midis(left)
		case slices.Contains(s.midis(right), midi):
			return "", fmt.Errorf("heard %s once more: play the others", s.heardNote(midi))
		default:
			at, ok := s.placeOf(midi, from, to)
			if !ok {
				return "", fmt.Errorf("heard %s, which is not on this neck", s.heardNote(midi))
			}
			return fretboard.WritePlaces(append(given, at)), nil
		}
		if len(left) == 0 {
			return fretboard.WritePlaces(given), nil
		}
		return "", nil
	}
	p.say = func(midi int) string { return "heard " + s.heardNote(midi) }
	return p
}

// placeOf finds a place of a pitch, between two frets if there is one.
func (s Setup) placeOf(midi, from, to int) (at fretboard.Position, ok bool) {
	for str := 1; str <= s.Neck.Tuning.Strings(); str++ {
		p := fretboard.Position{String: str, Fret: midi - s.Neck.MIDI(fretboard.Position{String: str})}
		if p.Fret < 0 || !s.Neck.Has(p) {
			continue
		}
		if !ok || p.Fret >= from && p.Fret <= to {
			at, ok = p, true
		}
	}
	return at, ok
}
