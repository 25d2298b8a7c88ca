package drills

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"surefret/drills/fretboard"
)

// A phrase of a part that is played: judged note by note, with what was wrong and what came
// late.

// A Stroke is one note of a phrase as it was played.
type Stroke struct {
	At    fretboard.Position // where it should be
	Wrong string             // the note that came instead, "" where it is right
	Late  bool
}

// mostStruck is how many notes a phrase may have to be played: a bar of sixteenths.
const mostStruck = 16

// A struck is one note of a phrase that is plucked.
type struck struct {
	at      fretboard.Position
	beat    float64 // from the first one
	slurred []int   // pitches that follow without a stroke of their own
}

// strokes lists the notes of a phrase that are plucked, and reports whether it can be heard
// note by note: one string at a time.
func (s Setup) strokes(events []fretboard.Event) (all []struck, ok bool) {
	beat := 0.0
	for _, e := range events {
		var plucked []fretboard.Fretted
		for _, n := range e.Notes {
			switch {
			case n.Dead || !s.Neck.Has(n.Position):
			case n.Slurred && len(all) > 0:
				last := &all[len(all)-1]
				last.slurred = append(last.slurred, s.Neck.MIDI(n.Position))
			default:
				plucked = append(plucked, n)
			}
		}
		if len(plucked) > 1 {
			return nil, false
		}
		for _, n := range plucked {
			all = append(all, struck{at: n.Position, beat: beat})
		}
		beat += e.Beats
	}
	return all, len(all) > 1 && len(all) <= mostStruck
}

// late is the mark behind a place of a phrase that was played late, as answers have it.
const late = "late"

// playPhrase is how a phrase is played, each of the ways being right: the first note says
// which one it is. It goes on after a wrong note, which may be played over, rightly.
func (s Setup) playPhrase(ways [][]struck) *Playing {
	p := &Playing{How: "Play the whole bar, note by note.", Line: true}
	way := ways[0]
	for _, w := range ways {
		p.want = append(p.want, s.Neck.MIDI(w[0].at))
	}
	var heard []int
	var times, until []time.Duration // of each note: when it was played, and played over
	midi := func(i int) int { return s.Neck.MIDI(way[i].at) }
	p.take = func(p *Playing, got int) (string, error) {
		i := len(heard)
		if i == 0 {
			if w := slices.IndexFunc(ways, func(w []struck) bool { return s.Neck.MIDI(w[0].at) == got }); w >= 0 {
				way = ways[w]
			}
		}
		switch {
		case got == midi(i):
		case i > 0 && slices.Contains(way[i-1].slurred, got):
			return "", nil
		case i > 0 && heard[i-1] != midi(i-1) && got == midi(i-1):
			until[i-1] = p.at
			return "", nil
		case i+1 < len(way) && got == midi(i+1):
			return "", fmt.Errorf("did not hear note %d: play it once more from the first", i+1)
		}
		heard, times, until = append(heard, got), append(times, p.at), append(until, p.at)
		if len(heard) < len(way) {
			p.want = []int{midi(len(heard))}
			return "", nil
		}
		return s.writePhrase(way, heard, behind(way, times, until))
	}
	p.say = func(int) string { return s.sayHeard(heard) }
	return p
}

// writePhrase writes what was played as an answer: places in order, each on the string
// where it should be, or else where it can be, and behind it whether it came late.
func (s Setup) writePhrase(way []struck, heard []int, behind []bool) (string, error) {
	var words []string
	for i, midi := range heard {
		at := s.onString(way[i].at.String, midi)
		if at.Fret < 0 || !s.Neck.Has(at) {
			var ok bool
			if at, ok = s.placeOf(midi, way[i].at.Fret-handful, way[i].at.Fret+handful); !ok {
				return "", fmt.Errorf("heard %s, which is not on this neck", s.heardNote(midi))
			}
		}
		words = append(words, fretboard.WritePlaces([]fretboard.Position{at}))
		if behind[i] {
			words = append(words, late)
		}
	}
	return strings.Join(words, " "), nil
}

// When a note is late: by so much of its time after the note before it, and a little more,
// for a hand and an onset are not exact. Chosen, no source.
const (
	lateShare = 0.25
	lateMore  = 50 * time.Millisecond
	fewGaps   = 3 // gaps that a tempo is told from, at least
)

// behind reports which notes came late after the one before, or after it was played over, at
// the tempo of the phrase itself: that of the median gap.
func behind(way []struck, times, until []time.Duration) []bool {
	lates := make([]bool, len(times))
	var beats []float64 // seconds that one takes, by each gap
	gap := func(i int) (took, wanted float64) {
		return (times[i] - until[i-1]).Seconds(), way[i].beat - way[i-1].beat
	}
	for i := 1; i < len(times); i++ {
		if took, wanted := gap(i); wanted > 0 {
			beats = append(beats, took/wanted)
		}
	}
	if len(beats) < fewGaps {
		return lates
	}
	slices.Sort(beats)
	beat := beats[(len(beats)-1)/2]
	for i := 1; i < len(times); i++ {
		took, wanted := gap(i)
		lates[i] = took > wanted*beat*(1+lateShare)+lateMore.Seconds()
	}
	return lates
}

// judgePhrase judges a phrase that was played against the way that it is nearest to.
func (s Setup) judgePhrase(answer string, ways [][]struck, v Verdict) (Verdict, error) {
	lates := map[int]bool{}
	var places []string
	for _, word := range strings.Fields(answer) {
		if word == late && len(places) > 0 {
			lates[len(places)-1] = true
			continue
		}
		places = append(places, word)
	}
	given, err := s.parsePlaces(strings.Join(places, " "), nil)
	if err != nil {
		return Verdict{}, err
	}
	least := mostStruck + 1
	for _, way := range ways {
		if len(way) != len(given) {
			continue
		}
		var strokes []Stroke
		var wrong []string
		for i, at := range given {
			k := Stroke{At: way[i].at, Late: lates[i]}
			if midi := s.Neck.MIDI(at); midi != s.Neck.MIDI(k.At) {
				k.Wrong = s.heardNote(midi)
				wrong = append(wrong, fmt.Sprintf("note %d is %s, not %s", i+1, s.heardNote(s.Neck.MIDI(k.At)), k.Wrong))
			}
			strokes = append(strokes, k)
		}
		if len(wrong) < least {
			least = len(wrong)
			v.Right, v.is, v.Strokes = least == 0, strings.Join(wrong, ", "), strokes
		}
	}
	if v.Strokes == nil {
		return Verdict{}, fmt.Errorf("%q has %d places: expected the one where it begins, like 6/3, or all of the bar", answer, len(given))
	}
	var want []fretboard.Position
	for i, k := range v.Strokes {
		want = append(want, k.At)
		if lates[i] && v.Note == "" {
			v.Note = fmt.Sprintf("late: note %d", i+1)
		} else if lates[i] {
			v.Note += fmt.Sprintf(", %d", i+1)
		}
	}
	v.Given, v.Want = fretboard.WritePlaces(given), fretboard.WritePlaces(want)
	return v, nil
}
