package settings

import (
	"slices"
	"strings"

	"surefret/cmd/surefret/form"
)

// Form asks for all settings and puts each answer into s. It starts from what s
// holds, and offers the inputs of the machine by name.
func Form(s *Settings, inputs ...string) form.Form {
	f := form.Form{
		Title: "Your guitar and how you play", Note: "Each can be changed later, with 'surefret setup'.",
		Leave: "quit without changes",
	}
	for _, field := range Fields {
		q := question(s, field)
		switch field.Key {
		case "drawing":
			q.Idle = func() bool { return s.Speak } // who listens sees no neck
		case "volume":
			q.Idle = func() bool { return !s.Sound }
		case "input":
			q.Options = slices.Clone(q.Options)
			for _, name := range inputs {
				q.Options = append(q.Options, option(name, name))
			}
			q.Idle = func() bool { return !s.Listen }
		case "headphones", "delay":
			q.Idle = func() bool { return !s.Listen }
		case "sounded":
			q.Idle = func() bool { return !s.Listen || !s.Sound }
		}
		f.Questions = append(f.Questions, q)
	}
	return f
}

// Told says what a form changed, as it was asked.
func Told(before, now Settings) string {
	said := ""
	for _, f := range Fields {
		answer := f.Get(now)
		if answer == f.Get(before) {
			continue
		}
		if i := slices.IndexFunc(f.Options, func(o form.Option) bool { return o.Value == answer }); i >= 0 && f.typed == "" {
			answer = f.Options[i].Label
		}
		said += " " + f.Ask + " " + strings.ToUpper(answer[:1]) + answer[1:] + "."
	}
	if said == "" {
		return "No setting is changed."
	}
	return "Saved." + said
}

// question asks for one setting.
func question(s *Settings, field Field) form.Question {
	value := field.Get(*s)
	q := form.Question{Ask: field.Ask, Hint: field.hint, Options: field.Options, Typed: field.typed, Value: &value,
		Check: func(text string) error { return field.Set(s, text) }}
	if field.Key == "tuning" {
		was := value
		tuning := s.Tuning
		q.Now = func() []form.Option { return tunings(s.names()) }
		q.Check = func(text string) error {
			if text == was { // in the names that the player had
				s.Tuning = tuning
				return nil
			}
			return field.Set(s, text)
		}
	}
	if field.neck {
		q.Neck = func(answer string) (form.Instrument, bool) {
			with := *s
			err := field.Set(&with, answer)
			setup, wrong := with.Setup()
			return form.Instrument{Neck: setup.Neck, LeftHanded: with.LeftHanded, Names: setup.Names}, err == nil && wrong == nil
		}
	}
	return q
}

// Proves is what a newcomer answers who first shows what he knows.
const Proves = "yes"

// FirstForm asks for what cannot be guessed before the first question: what he knows and
// which instrument he plays, on the screen in which names of notes, and in lines, where
// questions may be listened to, whether times count: four questions at most. Who does not
// know the names of the notes is asked neither his tuning nor whether he shows what he
// knows; shows has the answer to that, [Proves] or "no". All else has its default, and
// [Form] asks for it.
func FirstForm(s *Settings, shows *string, lines bool) form.Form {
	s.Knows, *shows = OpenStrings, "no" // of who says nothing
	names := find("names")
	knows := find("knows")
	tuning := find("tuning")
	times := find("times")
	plays := question(s, tuning)
	plays.Ask = "What do you play, in which tuning?"
	begins := func() bool { return s.Knows == NoNotes }
	plays.Idle = begins
	f := form.Form{
		Title: "Before the first question", Note: "'surefret setup' asks for all the rest, whenever you like.",
		Leave: "stop", Begin: "start now, as shown",
		Questions: []form.Question{
			question(s, knows),
			plays,
			{Ask: "Show first what you already know?", Hint: "no or yes", Value: shows, Options: []form.Option{
				option("no", "no, from the start"),
				option(Proves, "yes, in five minutes, so that it is not drilled")}, Idle: begins},
		},
	}
	if !lines {
		f.Questions = slices.Insert(f.Questions, 1, question(s, names)) // in which the tunings are shown
		f.Note = "Read aloud: surefret --line. The rest: surefret setup."
	} else {
		f.Questions = append(f.Questions, question(s, times))
	}
	return f
}

// Arrive sets what follows from what a newcomer said: who does not know all notes is
// shown what is new before it is asked, as long as not nearly all is right: then he learns
// more from trying.
func (s *Settings) Arrive() {
	if s.Knows != AllNotes {
		s.ShownFirst = ShowNeeded
	}
}
