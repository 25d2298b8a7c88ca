// Package rehearse puts a song in time: its bars and the changes between its chords,
// each at its beat, where each root lies, and what comes of playing them.
//
// A [Run] is one pass through a song in the key that was called. Its places in time
// are counted in quarter notes from its first beat, so that a tempo turns them into
// times without adding up ([Run.Time]); what the chart has is counted: repeats,
// endings, split bars, pushes, rests, changes of time. A [Page] says which changes
// stall, at which tempo the run would hold, and what to run next.
//
// The package knows charts and strings. It knows no clock, no sound and no screen:
// who plays tells it when each answer came.
package rehearse

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"surefret/drills/chart"
	"surefret/drills/fretboard"
	"surefret/drills/gig"
	"surefret/drills/theory"
)

// A Run is a pass through the bars of a song.
type Run struct {
	Key     theory.Key
	Tempo   float64 // beats a minute, counted as the metre counts; see [Run.Retime]
	Meter   chart.Meter
	Bars    []Bar
	Changes []Change

	before []stretch // that were played at other tempi
}

// A Bar is one bar in the order in which bars sound.
type Bar struct {
	Section string
	Meter   chart.Meter
	Start   float64 // quarter notes from the first beat of the run
	Length  float64 // quarter notes
	Chords  []Struck
}

// A Struck chord is one that begins in a bar; one that is the same as before it stands
// there too.
type Struck struct {
	At     float64 // quarter notes from the first beat of the run
	Length float64 // quarter notes until the next one, a rest or the end
	Chord  theory.Chord
	None   bool // nothing sounds: N.C. or a rest
	Pushed bool // half a beat early
	Short  bool // struck once, and rings
}

// A Change is a chord that is another than the one before it: what the hand has to
// get to.
type Change struct {
	Bar    int     // index in Bars
	At     float64 // quarter notes from the first beat of the run
	Length float64 // quarter notes until the next change, a rest or the end
	From   theory.Chord
	First  bool // there is none before it
	Chord  theory.Chord
	Place  fretboard.Position // of its bass
	Pitch  int                // MIDI number of Place

	// Hand is what is played for it, see [Run.As]: places that sound together, the
	// lowest string first, or a walk or a phrase, in its order.
	Hand []fretboard.Position
	Walk bool

	Phrase Phrase // of the player's own part, the zero Phrase for none
	Main   Step   // what is judged by its time
	Lead   Steps  // what leads to Main
	Then   Steps  // what follows it
}

// A Step is what is played at one time.
type Step struct {
	At     float64 // quarter notes from the first beat of the run
	Places []fretboard.Position
	Keys   []int // MIDI numbers of Places, the lowest first
	Free   bool  // any other note does as well
}

// Steps are those of one change, in order of time.
type Steps []Step

// Slack is how far off, in quarter notes, a place may be that was a time between: half a
// nanosecond at the fastest tempo is less.
const Slack = 1e-6

// mostBars bounds a run: at 60 beats a minute, ten minutes of four beats.
const mostBars = 600

// common is the time of a song that says none.
var common = chart.Meter{Beats: 4, Unit: 4}

// Of returns the run of a song in the key that it is called in. It fails where the song
// cannot be read, where no bar has a chord, and where the neck has no place for a bass
// on its lowest strings.
func Of(song gig.Song, fb fretboard.Fretboard, tempo float64) (Run, error) {
	return of(song, fb, tempo, false)
}

func of(song gig.Song, fb fretboard.Fretboard, tempo float64, written bool) (Run, error) {
	_, key, err := song.Keys()
	if err != nil {
		return Run{}, err
	}
	stretches, err := song.Stretches()
	if err != nil {
		return Run{}, err
	}
	r := Run{Key: key, Tempo: tempo}
	for _, s := range stretches {
		if written {
			if !s.Recalled {
				r.add(s.Name, s.Bars)
			}
			continue
		}
		for range s.Times {
			r.add(s.Name, chart.Unfold(s.Bars, mostBars))
		}
	}
	r.measure()
	if err := r.change(fb); err != nil {
		return Run{}, err
	}
	if len(r.Changes) == 0 {
		return Run{}, fmt.Errorf("it has no bar with a chord")
	}
	return r, nil
}

// add sets bars behind those that are there.
func (r *Run) add(section string, bars []chart.Bar) {
	for _, b := range bars {
		if len(r.Bars) == mostBars {
			return
		}
		bar := Bar{Section: section, Meter: cmp.Or(b.Meter, common), Start: r.Length()}
		if len(r.Bars) == 0 {
			r.Meter = bar.Meter
		}
		bar.Length = quarters(bar.Meter)
		bar.fill(b.Beats)
		r.Bars = append(r.Bars, bar)
	}
}

// quarters is how many quarter notes a bar has.
func quarters(m chart.Meter) float64 { return 4 * float64(m.Beats) / float64(m.Unit) }

// Beat is what a tempo counts in a metre, in quarter notes: the note below the line;
// where eighths or sixteenths come in threes, three of them. Common practice, no
// source.
func Beat(m chart.Meter) float64 {
	if m.Unit >= 8 && m.Beats%3 == 0 {
		return 12 / float64(m.Unit)
	}
	return 4 / float64(m.Unit)
}

// fill sets beats into a bar: a beat each where there are as many; where there are
// fewer, and they do not divide it evenly, the first one takes what is over.
func (b *Bar) fill(beats []chart.Beat) {
	n := len(beats)
	if n == 0 {
		return
	}
	each := b.Length / float64(n)
	over := 0.0
	if n < b.Meter.Beats && b.Meter.Beats%n != 0 {
		each = math.Floor(float64(b.Meter.Beats)/float64(n)) * 4 / float64(b.Meter.Unit)
		over = b.Length - each*float64(n)
	}
	at := b.Start
	for i, beat := range beats {
		s := Struck{At: at, Chord: beat.Chord, Pushed: beat.Push, Short: beat.Diamond}
		at += each
		if i == 0 {
			at += over
		}
		switch beat.Kind {
		case chart.Chord:
		case chart.Rest, chart.NoChord:
			s.None = true
		default:
			continue // the chord before goes on
		}
		if s.Pushed {
			s.At -= Beat(b.Meter) / 2
		}
		b.Chords = append(b.Chords, s)
	}
}

// measure finds how long each chord lasts.
func (r *Run) measure() {
	end := r.Length()
	for i := len(r.Bars) - 1; i >= 0; i-- {
		chords := r.Bars[i].Chords
		for j := len(chords) - 1; j >= 0; j-- {
			chords[j].At = max(chords[j].At, 0) // a push into the first beat has nothing before it
			chords[j].Length = end - chords[j].At
			end = chords[j].At
		}
	}
}

// change finds the changes, and where the bass of each lies.
func (r *Run) change(fb fretboard.Fretboard) error {
	rest := true
	for i, b := range r.Bars {
		for _, s := range b.Chords {
			last := len(r.Changes) - 1
			switch {
			case s.None:
				rest = true
				continue
			case last >= 0 && r.Changes[last].Chord == s.Chord && !rest:
				r.Changes[last].Length += s.Length
				continue
			}
			rest = false
			c := Change{Bar: i, At: s.At, Length: s.Length, Chord: s.Chord, First: last < 0}
			if last >= 0 {
				c.From = r.Changes[last].Chord
			}
			if len(fb.Roots(s.Chord.Bass())) == 0 {
				return fmt.Errorf("this neck has no place for %s on its lowest strings", s.Chord)
			}
			r.Changes = append(r.Changes, c)
		}
	}
	r.lowest(fb)
	return nil
}

// progression lists the chords of the changes.
func (r Run) progression() (p theory.Progression) {
	for _, c := range r.Changes {
		p = append(p, c.Chord)
	}
	return p
}

// Length is how long the run is, in quarter notes.
func (r Run) Length() float64 {
	if len(r.Bars) == 0 {
		return 0
	}
	last := r.Bars[len(r.Bars)-1]
	return last.Start + last.Length
}

// BarAt is the bar that sounds at a place, -1 before the first.
func (r Run) BarAt(quarters float64) int {
	bar := -1
	for i, b := range r.Bars {
		if b.Start > quarters+Slack {
			break
		}
		bar = i
	}
	return bar
}

// ChangeAt is the change that holds at a place, -1 before the first.
func (r Run) ChangeAt(quarters float64) int {
	now := -1
	for i, c := range r.Changes {
		if c.At > quarters+Slack {
			break
		}
		now = i
	}
	return now
}

// Clicks are the places of the click, and which of them begin a bar.
func (b Bar) Clicks() (at []float64) {
	step := Beat(b.Meter)
	for q := 0.0; q < b.Length-1e-9; q += step {
		at = append(at, b.Start+q)
	}
	return at
}

// Part returns the bars from one to another, both counted, as a run of their own that
// begins at 0. The chord that sounds when it begins is its first change.
func (r Run) Part(from, to int) Run {
	p := Run{Key: r.Key, Tempo: r.Tempo, Meter: r.Meter}
	if len(r.Bars) == 0 {
		return p
	}
	from, to = max(from, 0), min(to, len(r.Bars)-1)
	start, end := r.Bars[from].Start, r.Bars[to].Start+r.Bars[to].Length
	for _, b := range r.Bars[from : to+1] {
		b.Start -= start
		chords := b.Chords
		b.Chords = nil
		for _, s := range chords {
			s.At = max(s.At-start, 0)
			s.Length = min(s.Length, end-start-s.At)
			b.Chords = append(b.Chords, s)
		}
		p.Bars = append(p.Bars, b)
	}
	for i, c := range r.Changes {
		if c.At+c.Length <= start+1e-9 || c.At >= end-1e-9 {
			continue
		}
		if c.Bar > to {
			continue // pushed into the part, and of the bar behind it
		}
		late := max(start-c.At, 0)
		c.At, c.Length = c.At+late-start, c.Length-late
		c.Length = min(c.Length, end-start-c.At)
		c.Bar = max(c.Bar-from, 0)
		c.First = c.First || i == 0
		c.Main.At = max(c.Main.At-start, 0)
		c.Lead, c.Then = c.Lead.within(start, end), c.Then.within(start, end)
		p.Changes = append(p.Changes, c)
	}
	if len(p.Changes) > 0 {
		p.Changes[0].First = true
	}
	return p
}

// Section finds the first stretch of bars in a section, whose name or the beginning of
// it is given in either case: from one bar to another, both counted.
func (r Run) Section(name string) (from, to int, ok bool) {
	name = strings.ToLower(strings.TrimSpace(name))
	from = slices.IndexFunc(r.Bars, func(b Bar) bool { return name != "" && strings.HasPrefix(strings.ToLower(b.Section), name) })
	if from < 0 {
		return 0, 0, false
	}
	for to = from; to+1 < len(r.Bars) && r.Bars[to+1].Section == r.Bars[from].Section; to++ {
	}
	return from, to, true
}
