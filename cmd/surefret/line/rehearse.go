package line

import (
	"context"
	"fmt"
	"io"
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

// Say says the run to its end, or until ctx ends.
func (r Rehearsal) Say(ctx context.Context) error {
	r.say("%s in %s, %s, %g beats a minute. After a bar of count-in it begins with %s.",
		r.Title, r.Names.Key(r.Run.Key), bars(len(r.Run.Bars)), r.Run.Tempo, r.first())
	for i := 1; i < len(r.Run.Bars); i++ {
		b := r.Run.Bars[i]
		said := r.bar(i)
		if said == "" {
			continue
		}
		ahead := r.Count + r.Run.Time(r.Run.Bars[i-1].Start)
		if err := r.Wait(ctx, ahead-r.Heard()); err != nil {
			return stopped(ctx, err)
		}
		where := ""
		if b.Section != r.Run.Bars[i-1].Section && b.Section != "" {
			where = b.Section + ". "
		}
		r.say("%sBar %d: %s.", where, i+1, said)
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

// first says the bar that the song begins with.
func (r Rehearsal) first() string {
	if said := r.bar(0); said != "" {
		return said
	}
	return "a rest"
}

func (r Rehearsal) say(format string, args ...any) {
	fmt.Fprintln(r.Out, r.Words(fmt.Sprintf(format, args...)))
}

// bar says the changes of a bar, "" where it has none.
func (r Rehearsal) bar(i int) string {
	var said []string
	for _, c := range r.Run.Changes {
		switch {
		case c.Bar != i:
		case c.Phrase != (rehearse.Phrase{}):
			said = append(said, c.Phrase.String()+": "+steps(c))
		default:
			said = append(said, r.Names.Chord(c.Chord)+", "+hand(c))
		}
	}
	return strings.Join(said, "; then ")
}

// hand says what is played for a change.
func hand(c rehearse.Change) string {
	if c.Walk {
		return "walk " + sayPlaces(c.Hand, ", ")
	}
	return sayPlaces(c.Hand, " with ")
}

// steps says the notes of a phrase in their order.
func steps(c rehearse.Change) string {
	said := []string{sayPlaces(c.Main.Places, " with ")}
	for _, s := range c.Then {
		said = append(said, sayPlaces(s.Places, " with "))
	}
	return strings.Join(said, "; ")
}

func sayPlaces(all []fretboard.Position, by string) string {
	var said []string
	for _, p := range all {
		said = append(said, p.Say())
	}
	return strings.Join(said, by)
}

func bars(n int) string {
	if n == 1 {
		return "1 bar"
	}
	return fmt.Sprintf("%d bars", n)
}
