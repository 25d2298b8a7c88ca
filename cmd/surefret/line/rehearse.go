package line

import (
	"context"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"surefret/drills/fretboard"
	"surefret/drills/rehearse"
	"surefret/drills/theory"
)

// A Rehearsal says the bars of a run, each one bar ahead of its time.
type Rehearsal struct {
	Out   io.Writer
	Title string
	Run   rehearse.Run
	Names theory.Names
	Heard func() time.Duration // how much was heard, the count-in included
	Count time.Duration        // of the count-in
	Wait  func(context.Context, time.Duration) error
	Words func(string) string // puts signs into words, or leaves them
}

// Open says what is rehearsed, and how its bars are said.
func (r Rehearsal) Open() {
	r.say("%s in %s, %s, %g beats a minute. After a bar of count-in it begins with %s. Each bar is said ahead, in short: chord, string, fret.",
		r.Title, r.Names.Key(r.Run.Key), bars(len(r.Run.Bars)), r.Run.Tempo, r.first())
}

// Say says the run to its end, or until ctx ends.
func (r Rehearsal) Say(ctx context.Context) error {
	for i := 1; i < len(r.Run.Bars); i++ {
		said := r.bar(i)
		if b := r.Run.Bars[i]; b.Section != r.Run.Bars[i-1].Section && b.Section != "" {
			said = strings.TrimSuffix(fmt.Sprintf("%s, bar %d. %s", b.Section, i+1, said), ". ")
		}
		if said == "" {
			continue
		}
		ahead := r.Count + r.Run.Time(r.Run.Bars[i-1].Start)
		if err := r.Wait(ctx, ahead-r.Heard()); err != nil {
			return stopped(ctx, err)
		}
		r.say("%s.", said)
	}
	if err := r.Wait(ctx, r.Count+r.Run.Time(r.Run.Length())-r.Heard()); err != nil {
		return stopped(ctx, err)
	}
	r.say("That was the song.")
	return nil
}

// stopped is no fault where the player stopped it.
func stopped(ctx context.Context, err error) error {
	if ctx.Err() != nil {
		return nil
	}
	return err
}

// first says in full what the song begins with.
func (r Rehearsal) first() string {
	c := r.Run.Changes[0]
	switch {
	case c.Bar > 0:
		return "a rest"
	case c.Phrase != (rehearse.Phrase{}):
		return fmt.Sprintf("%s, at %s", c.Phrase, c.Place.Say())
	case c.Walk:
		return r.Names.Chord(c.Chord) + ", " + c.Place.Say() + r.walk(0)
	}
	var places []string
	for _, p := range c.Hand {
		places = append(places, p.Say())
	}
	return r.Names.Chord(c.Chord) + ", " + strings.Join(places, " with ")
}

func (r Rehearsal) say(format string, args ...any) {
	fmt.Fprintln(r.Out, r.Words(fmt.Sprintf(format, args...)))
}

// bar says the changes of a bar as shortly as they can be, for there is little time: "" where
// it has none.
func (r Rehearsal) bar(i int) string {
	var said []string
	for k, c := range r.Run.Changes {
		if c.Bar == i {
			said = append(said, r.change(c)+r.walk(k))
		}
	}
	return strings.Join(said, "; ")
}

// change says a chord with its place: what is held there the hand knows. Of a phrase it says
// all notes.
func (r Rehearsal) change(c rehearse.Change) string {
	if c.Phrase == (rehearse.Phrase{}) {
		return fmt.Sprintf("%s, %d, %s", r.Names.Chord(c.Chord), c.Place.String, fret(c.Place))
	}
	said := c.Phrase.String()
	for _, s := range append(rehearse.Steps{c.Main}, c.Then...) {
		said += ", " + sayPlaces(s.Places)
	}
	return said
}

// walk says what leads from a change to the next one.
func (r Rehearsal) walk(k int) string {
	if k+1 == len(r.Run.Changes) {
		return ""
	}
	said := ""
	for i, s := range r.Run.Changes[k+1].Lead {
		if i == 0 {
			said = ", walk"
		}
		said += " " + sayPlaces(s.Places) + ","
	}
	return strings.TrimSuffix(said, ",")
}

// sayPlaces says strings and frets as pairs: "5 3 with 2 open".
func sayPlaces(all []fretboard.Position) string {
	var said []string
	for _, p := range all {
		said = append(said, fmt.Sprintf("%d %s", p.String, fret(p)))
	}
	return strings.Join(said, " with ")
}

func fret(p fretboard.Position) string {
	if p.Fret == 0 {
		return "open"
	}
	return strconv.Itoa(p.Fret)
}

func bars(n int) string {
	if n == 1 {
		return "1 bar"
	}
	return fmt.Sprintf("%d bars", n)
}
