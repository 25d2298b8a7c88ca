package practice

import (
	"cmp"
	"slices"
	"time"

	"surefret/drills"
	"surefret/scheduler"
)

// turn picks a question, or a lesson.
func (s *Sitting) turn(now time.Time, left time.Duration) (Turn, bool, error) {
	if s.showingIsDue() && !s.owed {
		return s.askShown()
	}
	choice, ok := s.choose(now, left)
	switch {
	case !ok && len(s.showings) > 0:
		return s.askShown()
	case !ok:
		return Turn{}, false, nil
	case s.showsFirst(choice):
		if turn, ok, err := s.show(choice); ok || err != nil {
			return turn, ok, err
		}
	}
	q, err := s.pose(choice)
	return Turn{Question: q, Why: choice}, true, err
}

func (s *Sitting) choose(now time.Time, left time.Duration) (scheduler.Choice, bool) {
	switch {
	case s.o.Chooser != nil:
		return s.o.Chooser.Next(now, left)
	case s.placing != nil:
		return s.placing.Next(now, left)
	}
	if item, ok := s.everyDay(now); ok {
		return scheduler.Choice{Item: item, Reason: scheduler.Reason{Kind: scheduler.EveryDay}, Fluency: s.p.planner.Fluency(item, now)}, true
	}
	return s.p.planner.Next(now, left)
}

// choseAnew takes a selection over in the middle of the sitting.
func (s *Sitting) choseAnew(chosen selected) {
	s.chosen = chosen
	s.showings = slices.DeleteFunc(s.showings, func(w showing) bool { return !chosen.wants(w.lesson.Item) })
	for _, w := range s.showings {
		delete(chosen.wanted, w.lesson.Item)
	}
	s.p.apply(chosen)
	clear(s.songs)
	if s.placing != nil {
		s.placing.chosen = chosen
	}
}

// pose asks an item afresh. An item that comes again is posed another way than the
// last time where it has another way, and no question is asked twice in a row. Where answers
// are played it is posed so that it can be.
func (s *Sitting) pose(choice scheduler.Choice) (drills.Question, error) {
	source, id := s.sourceOf(choice.Reason), choice.Item
	if _, has := source.Item(id); !has && s.chosen.wide != nil {
		source = s.chosen.wide
	}
	var q drills.Question
	for range 20 {
		var err error
		if q, err = source.Ask(id, s.o.Rand); err != nil {
			return q, err
		}
		if q.Text != s.asked.Text && q.Text != s.posed[id] && s.answerable(q) {
			break
		}
	}
	s.posed[id], s.posedBy[id] = q.Text, source
	return q, nil
}

// answerable reports whether a question can be answered as this sitting wants it.
func (s *Sitting) answerable(q drills.Question) bool {
	_, playable := q.Playing()
	return playable || !s.o.Selection.Played
}

// sourceOf is the catalogue that poses what was chosen for a reason: that of the
// gig which it names, or the sitting's. A sitting for one gig poses everything as
// that one has it, whatever other gig needs the same.
func (s *Sitting) sourceOf(why scheduler.Reason) *drills.Catalogue {
	if why.Deadline == "" || s.o.Selection.Gig != nil {
		return s.chosen.source
	}
	from := cmp.Or(s.chosen.wide, s.chosen.source)
	why.Kind = 0
	source, ok := s.songs[why]
	if !ok {
		if source = s.p.sourceFor(why, from); source == nil {
			source = from
		}
		s.songs[why] = source
	}
	return source
}

// put opens a question.
func (s *Sitting) put(t Turn, now time.Time) Turn {
	s.shut(now)
	s.start(now)
	s.asked, s.why, s.open = t.Question, t.Why, t.Lesson == nil && t.Question.Item != ""
	return t
}
