package settings

import (
	"slices"
	"strings"

	"surefret/cmd/surefret/form"
	"surefret/drills/fretboard"
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
		if i := slices.IndexFunc(f.Options, func(o form.Option) bool { return o.Value == answer }); i >= 0 && f.Typed == "" {
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
	q := form.Question{Ask: field.Ask, Hint: field.Hint, Options: field.Options, Typed: field.Typed, Value: &value,
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
	if field.Neck {
		q.Neck = func(answer string) (fretboard.Fretboard, bool, bool) {
			with := *s
			err := field.Set(&with, answer)
			setup, wrong := with.Setup()
			return setup.Neck, with.LeftHanded, err == nil && wrong == nil
		}
	}
	return q
}

// An Arrival is what a player says of himself before his first question, besides
// settings.
type Arrival struct {
	Long  string // how long he has played: UnderAYear or AYear
	Prove string // whether he proves what he knows first: "yes" or "no"
}

// What can be said.
const (
	UnderAYear = "less"
	AYear      = "a year"
)

// Newcomer is what is taken of a player who says nothing: he knows the open strings.
func Newcomer(s *Settings) Arrival {
	s.Knows = OpenStrings
	return Arrival{Long: UnderAYear, Prove: "no"}
}

// FirstForm asks for what cannot be guessed before the first question: the player's names
// for the notes, whom and which instrument, and in lines, where questions may be listened to, whether times count.
// Who does not know the notes is asked nothing else. All else has its
// default, and [Form] asks for it.
func FirstForm(s *Settings, a *Arrival, lines bool) form.Form {
	names, _ := find("names")
	knows, _ := find("knows")
	tuning, _ := find("tuning")
	times, _ := find("times")
	plays := question(s, tuning)
	plays.Ask = "What do you play, in which tuning?"
	begins := func() bool { return s.Knows == NoNotes }
	plays.Idle = begins
	f := form.Form{
		Title: "Before the first question", Note: "'surefret setup' asks for all the rest, whenever you like.",
		Leave: "stop", Begin: "start now, as shown",
		Questions: []form.Question{
			question(s, names), // in which the tunings are shown
			question(s, knows),
			plays,
			{Ask: "How long have you played?", Hint: "less or a year", Value: &a.Long, Options: []form.Option{
				option(UnderAYear, "less than a year"), option(AYear, "a year or more")}, Idle: begins},
			{Ask: "Show first what you know, in five minutes, so that it is not drilled?", Hint: "no or yes", Value: &a.Prove,
				Options: []form.Option{option("no", "no, begin at the beginning"), option("yes", "yes")},
				Idle:    func() bool { return begins() || a.Long != AYear }},
		},
	}
	if lines {
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
