package practice

import (
	"cmp"
	"context"
	"strconv"
	"strings"
	"time"

	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/gig"
	"surefret/drills/rehearse"
	"surefret/drills/theory"
	"surefret/scheduler"
)

// A Rehearsal is a run through a song whose changes the player answers at their beats.
// It is used from one goroutine; the times it is told go from the first beat of the run.
type Rehearsal struct {
	Run rehearse.Run

	song   string // its id
	part   bool   // it is some bars of the song
	p      *Player
	shown  map[int]bool    // changes whose places were shown while they sounded
	upto   time.Duration   // of the run, until which it was heard
	behind time.Duration   // how late it lies as a whole
	marks  []rehearse.Mark // in the order of the changes
	next   int             // the change that is not marked yet
}

// BeginRehearsal begins a run through a song, or through some bars of it.
func (p *Player) BeginRehearsal(s gig.Song, run rehearse.Run, part bool) *Rehearsal {
	return &Rehearsal{Run: run, song: songID(s), part: part, p: p}
}

// songID is how the runs of a song are found.
func songID(s gig.Song) string { return cmp.Or(s.ID, strings.ToLower(s.Title)) }

// Open returns the change that holds at a time and waits for its answer, and whether
// there is one.
func (r *Rehearsal) Open(at time.Duration) (rehearse.Change, bool) {
	i := r.Run.ChangeAt(r.Run.At(at))
	if i < r.next {
		return rehearse.Change{}, false
	}
	return r.Run.Changes[i], true
}

// Pass tells that a time was reached: changes that are over without an answer are marked
// so. Nothing is logged of them: their player may only have listened.
func (r *Rehearsal) Pass(at time.Duration) {
	for q := r.Run.At(at); r.next < len(r.Run.Changes); r.next++ {
		if c := r.Run.Changes[r.next]; c.At+c.Length > q {
			return
		}
		r.marks = append(r.marks, rehearse.Mark{Change: r.next})
	}
}

// GoTo goes to the first change from a time on, and asks for none before it: the player
// went back or ahead, or is shown the places. What was marked from there on is answered
// anew.
func (r *Rehearsal) GoTo(at time.Duration) {
	r.next = 0
	for r.next < len(r.Run.Changes) && r.Run.Changes[r.next].At < r.Run.At(at)-rehearse.Slack {
		r.next++
	}
	for i, m := range r.marks {
		if m.Change >= r.next {
			r.marks = r.marks[:i]
			return
		}
	}
}

// Answer judges a fret for the change that was open when its first key came. What is
// logged is the time from the change to that key, less what typing takes. The row is
// durable when Answer returns without an error; a change that the player's songs do not
// have, and the chord that a run begins with, are marked and not logged.
func (r *Rehearsal) Answer(ctx context.Context, now time.Time, fret int, key time.Duration) (rehearse.Mark, error) {
	r.Pass(key)
	c, ok := r.Open(key)
	if !ok {
		return rehearse.Mark{}, ErrNothingAsked
	}
	late := key - r.Run.Time(c.At)
	given := fretboard.Position{String: c.Place.String, Fret: fret}
	m := rehearse.Mark{Change: r.next, Given: true, Late: late, Right: r.p.setup.Neck.MIDI(given)%12 == c.Pitch%12}
	if q, ok := r.question(r.next); ok {
		row := r.p.row(now, q)
		text := strconv.Itoa(fret)
		if q.Expect == drills.ExpectPlaces {
			text = fretboard.WritePlaces([]fretboard.Position{given})
		}
		verdict, err := q.Judge(text)
		if err != nil {
			return m, UnreadableError{err}
		}
		row.Given, row.Want, row.Right, row.Entry = text, verdict.Want, verdict.Right, drills.EntryKeys
		if row.Thinking = r.p.typing.Thinking(q, drills.EntryKeys, max(late, time.Millisecond)).Truncate(time.Millisecond); !r.p.Settings.Times {
			row.Thinking = 0
		}
		if _, _, err := r.p.keep(ctx, row); err != nil {
			return m, err
		}
	}
	r.marks = append(r.marks, m)
	r.next++
	return m, nil
}

// question poses a change as its song has it.
func (r *Rehearsal) question(i int) (drills.Question, bool) {
	c := r.Run.Changes[i]
	if c.Phrase != (rehearse.Phrase{}) {
		return r.p.catalogue.AskPhrase(c.Phrase.Own, c.Phrase.Bar, r.Run.Key)
	}
	if c.First {
		return drills.Question{}, false
	}
	change := drills.ChangeIn(r.Run.Key, c.From, c.Chord)
	return r.p.catalogue.AskChange(change, r.Run.Key, r.Run.Changes[i-1].Place, c.Place, c.Chord.Bass())
}

// Hear judges what was heard of a run until a time. What comes of it is logged at the
// end.
func (r *Rehearsal) Hear(strokes []rehearse.Stroke, upto time.Duration) {
	r.upto = upto
	r.marks, r.behind = r.Run.Hear(strokes, upto)
	r.next = len(r.marks)
}

// Show tells that the places are shown at a time: what is played from them is no proof that
// they are known, and is not logged. The change that comes next is shown, too.
func (r *Rehearsal) Show(at time.Duration) {
	if r.shown == nil {
		r.shown = map[int]bool{}
	}
	now := r.Run.ChangeAt(r.Run.At(at))
	r.shown[now], r.shown[now+1] = true, true
}

// Marks are those of the changes that are over.
func (r *Rehearsal) Marks() []rehearse.Mark { return r.marks }

// logPlayed logs the changes that were played. A change on its beat took no time to think;
// one that was right and off its beat is over its aim by as much.
func (r *Rehearsal) logPlayed(ctx context.Context, now time.Time) error {
	for _, m := range r.marks {
		if !m.Played || !m.Given || r.shown[m.Change] {
			continue
		}
		c := r.Run.Changes[m.Change]
		q, ok := r.question(m.Change)
		if !ok {
			continue
		}
		row := r.p.row(now.Add(r.Run.Time(c.At)-r.upto), q)
		row.Right, row.Entry, row.Thinking = m.Right, drills.EntryPlayed, time.Millisecond
		want := c.Chord.Bass()
		if c.Phrase != (rehearse.Phrase{}) {
			want = theory.FromMIDI(c.Pitch, r.Run.Key.Signature() < 0).Note
		}
		row.Given, row.Want = r.p.setup.Names.Note(theory.FromMIDI(m.Key, r.Run.Key.Signature() < 0).Note), r.p.setup.Names.Note(want)
		if item, there := r.p.catalogue.Item(q.Item); there && m.Off {
			row.Thinking = item.Aim + r.p.typing.reach(row.Entry) + m.Late.Abs().Truncate(time.Millisecond)
		}
		if !r.p.Settings.Times {
			row.Thinking = 0
		}
		if _, _, err := r.p.keep(ctx, row); err != nil {
			return err
		}
	}
	return nil
}

// shortestRun is the shortest run that is kept: less is a look.
const shortestRun = 5 * time.Second

// End keeps what came of a run that sounded for a time: its minutes count as practice,
// and the tempo that it would hold is told with the song. It is called once.
func (r *Rehearsal) End(ctx context.Context, now time.Time, sounded time.Duration) error {
	if sounded < shortestRun && len(r.marks) == 0 {
		return nil
	}
	if err := r.logPlayed(ctx, now); err != nil {
		return err
	}
	page := r.Page()
	past := rehearse.Past{
		At: now, Day: scheduler.DayOf(now, time.Local).String(), Seconds: sounded.Seconds(), Song: r.song, Key: r.Run.Key.String(), Tempo: r.Run.Tempo,
		Part: r.part || page.Phrases || len(r.shown) > 0 || len(r.marks) < len(r.Run.Changes), Asked: page.Asked, InTime: page.InTime, Holds: page.Holds,
	}
	for _, m := range r.marks {
		if m.Given {
			past.Given++
		}
	}
	if err := r.p.log.KeepRun(ctx, past); err != nil {
		return err
	}
	r.p.runs = append(r.p.runs, past)
	return nil
}

// Holds is the tempo at which nine in ten changes of a song are right in time in the key
// that it is called in; 0 where it holds at none, or too little of it was rehearsed to say.
func (p *Player) Holds(s gig.Song) float64 {
	_, key, err := s.Keys()
	if err != nil {
		return 0
	}
	tempo, _ := rehearse.HoldsAt(p.runs, songID(s), key.String())
	return tempo
}

// Rehearsed lists the keys that a song was rehearsed in, the latest first.
func (p *Player) Rehearsed(s gig.Song) []rehearse.Rehearsed {
	return rehearse.InKeys(p.runs, songID(s))
}

// Page is what the run showed so far.
func (r *Rehearsal) Page() rehearse.Page {
	page := r.Run.Page(r.marks)
	page.Behind = r.behind
	return page
}
