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

// FirstForm asks for what cannot be guessed before the first question: which notes the
// player can name, which instrument he plays, his names of notes on the screen where they
// may not be English, and in lines, where questions may be listened to, whether times
// count: four questions at most. Who can name them all may say that he proves it first.
// All else has its default, and [Form] asks for it.
func FirstForm(s *Settings, proves *bool, lines bool) form.Form {
	const proving, another = "prove", "another"
	s.Knows = OpenStrings // of who says nothing
	names, tuning := find("names"), find("tuning")
	knows := question(s, find("knows"))
	knows.Options = append(slices.Clone(knows.Options), option(proving, "all: I'll prove it"))
	knows.Check = func(text string) error {
		if *proves = text == proving; *proves {
			text = AllNotes
		}
		return find("knows").Set(s, text)
	}
	instrument := fretboard.Standard.Name
	plays := form.Question{Ask: "What do you play?", Hint: "1, 2 or 3", Value: &instrument, Options: []form.Option{
		option(fretboard.Standard.Name, "guitar"), option(fretboard.Bass.Name, "bass"), option(another, "another tuning")},
		Check: func(text string) error {
			if text == another {
				return nil
			}
			return tuning.Set(s, text)
		}}
	tuned := question(s, tuning)
	tuned.Idle = func() bool { return instrument != another }
	f := form.Form{Title: "Surefret", Leave: "stop", Begin: "start now", Questions: []form.Question{knows, plays, tuned}}
	switch {
	case lines:
		f.Title, f.Note = "Before the first question", "'surefret setup' asks for all the rest, whenever you like."
		f.Questions = append(f.Questions, question(s, find("times")))
	case s.Names != Default().Names:
		named := question(s, names)
		named.Idle = func() bool { return s.Knows == NoNotes } // what is usual where he lives
		f.Questions = append(f.Questions, named)
	}
	return f
}

// NamesIn returns the names of notes that are usual where a language is spoken, which is
// named as POSIX names a locale, "de_AT.UTF-8": H for B natural, Do Re Mi, or the English
// letters. From memory, and only where nearly all musicians there have them.
func NamesIn(locale string) string {
	language, _, _ := strings.Cut(strings.ToLower(locale), "_")
	switch language {
	case "de", "cs", "hu", "pl", "sk":
		return "german"
	case "ca", "es", "fr", "it", "pt", "ro":
		return "solfege"
	}
	return Default().Names
}

// Arrive sets what follows from what a newcomer said: who does not know all notes is
// shown what is new before it is asked, as long as not nearly all is right: then he learns
// more from trying.
func (s *Settings) Arrive() {
	if s.Knows != AllNotes {
		s.ShownFirst = ShowNeeded
	}
}
