package practice

import (
	"context"
	"fmt"

	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/scheduler"
)

// What is new is shown before it is asked: drawn, sounded, and said in one sentence;
// two others later it is asked, in another place. A showing is no answer: nothing is
// logged of it, and what was shown and not asked is shown again the next time.

// A showing is what was shown and is still to be asked.
type showing struct {
	lesson drills.Lesson
	why    scheduler.Choice
	since  int // how many answers there were by then
}

// between is how much comes between a showing and its question: as many answers, or
// showings.
const between = 2

// plainly is the fluency from which an item that was never met needs no showing, since
// its kin are known.
const plainly = 0.5

// showsFirst reports whether what was chosen is shown before it is asked.
func (s *Sitting) showsFirst(c scheduler.Choice) bool {
	if !s.o.Show || s.placing != nil || c.Fluency >= plainly {
		return false
	}
	if st, _ := s.p.State(c.Item); st.Asked > 0 {
		return false
	}
	if s.p.Settings.Knows == settings.OpenStrings && s.item(c.Item).OpenString() {
		return false // as he says
	}
	switch s.p.Settings.ShownFirst {
	case settings.ShowAll:
		return true
	case settings.ShowNeeded:
		return !s.p.planner.MayTry()
	case settings.ShowShapes:
		switch s.item(c.Item).Family {
		case "shape", "interval", "walkup", "walking":
			return true
		}
	}
	return false
}

// primer tells somebody who does not know the names of the notes what they are, once:
// after his first question, which is about the string that he was just shown, so that he
// has little to read before it. It reports false where that is needless.
func (s *Sitting) primer(ctx context.Context) (Turn, bool, error) {
	first := s.p.opened == 0 && len(s.tally) == 0
	if !s.o.Show || first || s.p.opened > 1 || s.p.Settings.Knows != settings.NoNotes {
		return Turn{}, false, nil
	}
	lesson := s.p.catalogue.Primer()
	told, err := s.p.met(ctx, []drills.Term{{Name: "primer"}})
	return Turn{Lesson: &lesson}, len(told) > 0, err
}

// show shows what was chosen. Until it is asked nothing else picks it. It reports false
// where the same was shown in this sitting, for its being asked the other way round.
func (s *Sitting) show(c scheduler.Choice) (Turn, bool, error) {
	lesson, err := s.sourceOf(c.Reason).Lesson(c.Item, s.o.Rand)
	if err != nil {
		return Turn{}, false, fmt.Errorf("show what is new: %w", err)
	}
	what := lesson.Pattern
	for _, m := range lesson.Marks {
		what += fmt.Sprint(" ", m.At.String)
	}
	if s.taught[what] {
		return Turn{}, false, nil
	}
	s.taught[what] = true
	s.showings = append(s.showings, showing{lesson, c, len(s.tally)})
	delete(s.chosen.wanted, c.Item)
	s.p.apply(s.chosen)
	return Turn{Why: c, Lesson: &lesson}, true, nil
}

// showingIsDue reports whether enough came in between since the first showing that
// waits for its question. Of a newcomer's first note it comes at once, so that he has
// something to answer.
func (s *Sitting) showingIsDue() bool {
	if len(s.showings) == 1 && s.p.read == 0 && len(s.tally) == 0 && s.item(s.showings[0].lesson.Item).Family == "note" {
		return true
	}
	return len(s.showings) >= between || len(s.showings) > 0 && len(s.tally)-s.showings[0].since >= between
}

// askShown asks what was shown first, elsewhere than it was shown.
func (s *Sitting) askShown() (Turn, bool, error) {
	first := s.showings[0]
	s.showings = s.showings[1:]
	s.chosen.wanted[first.lesson.Item] = true
	s.p.apply(s.chosen)
	source := s.sourceOf(first.why.Reason)
	q, err := source.AskElsewhere(first.lesson, s.answerable, s.o.Rand)
	if err != nil {
		return Turn{}, false, fmt.Errorf("ask what was shown: %w", err)
	}
	s.posed[q.Item], s.posedBy[q.Item] = q.Text, source
	return Turn{Question: q, Why: first.why}, true, nil
}
