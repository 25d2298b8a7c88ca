package drills

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// Heard is what came of listening for an answer.
type Heard struct {
	Answer   string        // for Judge; "" where nothing was decided
	Said     string        // what was heard, or why nothing was decided, half a sentence
	Unsure   bool          // it was heard too badly: once more
	Quiet    bool          // nothing was played for half a minute
	Thinking time.Duration // from the question to the pluck; of several the first
}

// Playable reports whether questions of the item can be answered by playing; of an interval
// and a shape some of them.
func (it Item) Playable() bool {
	switch it.Family {
	case "note", "walkup", "walking":
		return true
	case "interval", "part":
		return !it.typed
	case "shape":
		return !it.typed && strings.HasSuffix(it.ID, "/place")
	case "ear":
		kind, _, _ := strings.Cut(strings.TrimPrefix(it.ID, "ear/"), "/")
		return kind == "tenth" || kind == "interval" || kind == "fret"
	}
	return false
}

// A Playing turns the notes that are heard into the answer to a question. Which string
// a pitch came from cannot be heard.
type Playing struct {
	How    string // how it is played, a sentence
	Line   bool   // notes in their order, which may ring on
	String int    // the one string that it is played on, 0 where there are several
	want   []int  // MIDI numbers that are right now; one is used up by each note where several are asked
	take   func(p *Playing, midi int) (answer string, err error)
	say    func(midi int) string
	at     time.Duration // of the note that is taken
}

// Playing returns how the question is answered by playing, and whether it can be.
func (q Question) Playing() (*Playing, bool) {
	if q.playing == nil {
		return nil, false
	}
	return q.playing(), true
}

// The count-in before a question that is sounded: clicks, a beat of 120 apart. Chosen, no
// source.
const (
	countIn     = 2
	countInBeat = 500 * time.Millisecond
)

// Sounded returns the question with what sounds while it is put to a player who answers by
// playing: a count-in, then what is to be heard, or else a note that the question
// names.
func (q Question) Sounded() Question {
	if q.playing == nil {
		return q
	}
	cue := q.Heard
	if len(cue) == 0 {
		cue = q.cue
	}
	if cue == nil && len(q.Target) > 0 {
		first := q.Target[0]
		cue = []Sounding{{MIDI: first.MIDI, For: min(first.For, countInBeat)}}
	}
	q.Heard = nil
	for i := range countIn {
		q.Heard = append(q.Heard, Sounding{At: time.Duration(i) * countInBeat, For: countInBeat})
	}
	for _, s := range cue {
		s.At += countIn * countInBeat
		q.Heard = append(q.Heard, s)
	}
	return q
}

// Want lists the notes of which each would be right now, as MIDI numbers.
func (p *Playing) Want() []int { return p.want }

// Take takes one note, and when it was plucked. The answer is "" as long as more are asked. An error, one
// sentence, says that the note is no answer at all; then nothing is decided, and what
// was taken before counts no more.
func (p *Playing) Take(midi int, at time.Duration) (answer string, err error) {
	p.at = at
	return p.take(p, midi)
}

// Said says what was heard, half a sentence.
func (p *Playing) Said(midi int) string { return p.say(midi) }

// heardNote names a pitch.
func (s Setup) heardNote(midi int) string { return s.Names.Note(s.spelled(midi, s.Flats)) }

// sayHeard names the notes of a line.
func (s Setup) sayHeard(heard []int) string {
	var names []string
	for _, midi := range heard {
		names = append(names, s.heardNote(midi))
	}
	return "heard " + strings.Join(names, " ")
}

// playOn is how a note on one string is played: any of its places there.
func (s Setup) playOn(str, pitchClass int) *Playing {
	p := &Playing{How: "Play it.", String: str}
	for f := 0; f <= s.Neck.Last(); f++ {
		if midi := s.Neck.MIDI(fretboard.Position{String: str, Fret: f}); midi%12 == pitchClass {
			p.want = append(p.want, midi)
		}
	}
	p.take = func(_ *Playing, midi int) (string, error) {
		at := s.onString(str, midi)
		if at.Fret < 0 || !s.Neck.Has(at) {
			way := "high"
			if at.Fret < 0 {
				way = "low"
			}
			return "", fmt.Errorf("heard %s, too %s for string %d: play it there", s.heardNote(midi), way, str)
		}
		return strconv.Itoa(at.Fret), nil
	}
	p.say = func(midi int) string {
		return fmt.Sprintf("heard %s, string %d has it at %d", s.heardNote(midi), str, s.onString(str, midi).Fret)
	}
	return p
}

// playOneOf is how a note on one string is played that is right at these places alone.
func (s Setup) playOneOf(right []fretboard.Position, how string) *Playing {
	p := s.playOn(right[0].String, 0)
	p.How, p.want = how, s.midis(right)
	return p
}

// widestNamed is the widest interval, in half steps, that [theory.ParseInterval] reads.
const widestNamed = 48

// playBack is how two notes that were heard are played back, from any note: how far they
// are apart is the answer, up being right. What does not rise, and what is wider than any
// interval has a name for, decides nothing.
func (s Setup) playBack(low, up int, answer func(up int) (string, error)) *Playing {
	p := &Playing{How: "Play both notes back, the lower first.", Line: true, want: []int{low, low - 12, low + 12}}
	var heard []int
	p.take = func(p *Playing, midi int) (string, error) {
		if heard = append(heard, midi); len(heard) == 1 {
			p.want = []int{midi + up}
			return "", nil
		}
		apart := heard[1] - heard[0]
		switch {
		case apart <= 0:
			return "", fmt.Errorf("%s, which does not rise: play both once more, the lower first", s.sayHeard(heard))
		case apart > widestNamed:
			return "", fmt.Errorf("%s, more than four octaves apart: play both once more", s.sayHeard(heard))
		}
		return answer(apart)
	}
	p.say = func(int) string { return s.sayHeard(heard) }
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
			return "", fmt.Errorf("heard %s once too often: play all of them once more", s.heardNote(midi))
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

// playLine is how notes are played in their order; in any octave, or as they are. The
// answer is told at the last note, or at the first that is wrong: write makes it of the
// notes as heard and, behind a wrong one, as they should be.
func (s Setup) playLine(midis []int, anyOctave bool, write func(heard []int) string) *Playing {
	p := &Playing{How: "Play it, note by note.", Line: true}
	var heard []int
	want := func(i int) int {
		if len(heard) == 0 {
			return midis[i]
		}
		return midis[i] + (heard[0]-midis[0])/12*12
	}
	expect := func() {
		p.want = []int{want(len(heard))}
		for up := -4 * 12; anyOctave && len(heard) == 0 && up <= 4*12; up += 12 {
			p.want = append(p.want, midis[0]+up)
		}
	}
	expect()
	p.take = func(p *Playing, midi int) (string, error) {
		i := len(heard)
		right := slices.Contains(p.want, midi)
		if !right && i+1 < len(midis) && midi == want(i+1) {
			heard = nil
			expect()
			return "", fmt.Errorf("did not hear note %d: play it once more from the first", i+1)
		}
		heard = append(heard, midi)
		if right && len(heard) < len(midis) {
			expect()
			return "", nil
		}
		if i == 0 { // nothing says in which octave the rest would have been
			return write(append(slices.Clone(heard), midis[1:]...)), nil
		}
		whole := slices.Clone(heard)
		for len(whole) < len(midis) {
			whole = append(whole, want(len(whole)))
		}
		return write(whole), nil
	}
	p.say = func(int) string { return s.sayHeard(heard) }
	return p
}

// playAny is how a line is played of which many are right: what is heard is judged when
// its last note is there, or at a first one that is not the root. Our own is what each
// note is expected to be at the last.
func (s Setup) playAny(own []int, write func(heard []int) string) *Playing {
	p := &Playing{How: "Play it, note by note.", Line: true}
	var heard []int
	expect := func() {
		n := len(heard)
		if n == 0 {
			p.want = []int{own[0], own[0] - 12, own[0] + 12}
			return
		}
		p.want = nil
		for by := -12; by <= 12; by++ {
			p.want = append(p.want, heard[n-1]+by)
		}
		p.want = append(p.want, own[n]+heard[0]-own[0])
	}
	expect()
	p.take = func(p *Playing, midi int) (string, error) {
		heard = append(heard, midi)
		switch {
		case len(heard) == 1 && (midi-own[0])%12 != 0:
			return write(append(slices.Clone(heard), own[1:]...)), nil
		case len(heard) == len(own):
			return write(heard), nil
		}
		expect()
		return "", nil
	}
	p.say = func(int) string { return s.sayHeard(heard) }
	return p
}

// onString is where a string has a pitch: under fret 0 or past the last where it has not.
func (s Setup) onString(str, midi int) fretboard.Position {
	return fretboard.Position{String: str, Fret: midi - s.Neck.MIDI(fretboard.Position{String: str})}
}

// placeOf finds a place of a pitch, between two frets if there is one.
func (s Setup) placeOf(midi, from, to int) (at fretboard.Position, ok bool) {
	for _, p := range s.Neck.Places(midi) {
		if !ok || p.Fret >= from && p.Fret <= to {
			at, ok = p, true
		}
	}
	return at, ok
}

// heardNotes names notes of a line as they are wanted, where they are.
func (s Setup) heardNotes(heard []int, want []theory.Note) []theory.Note {
	notes := make([]theory.Note, len(heard))
	for i, midi := range heard {
		if notes[i] = s.spelled(midi, s.Flats); notes[i].Enharmonic(want[i]) {
			notes[i] = want[i]
		}
	}
	return notes
}

// heardPath places the notes of a line where they are wanted, where they are.
func (s Setup) heardPath(heard []int, path []fretboard.Position) []fretboard.Position {
	places := slices.Clone(path)
	for i, midi := range heard {
		if s.Neck.MIDI(path[i]) == midi {
			continue
		}
		if at, ok := s.placeOf(midi, path[i].Fret-handful, path[i].Fret+handful); ok {
			places[i] = at
		}
	}
	return places
}
