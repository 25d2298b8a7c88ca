package settings

import "surefret/cmd/surefret/form"

// Form asks for the settings and puts each answer into s: all of them, or those
// of the first run. It starts from what s holds.
func Form(s *Settings, all bool) form.Form {
	f := form.Form{
		Title: "Your guitar and how you play", Note: "Each can be changed later, with 'surefret setup'.",
		Leave: "quit without changes",
	}
	for _, field := range Fields {
		if !field.First && !all {
			continue
		}
		value := field.Get(*s)
		q := form.Question{Ask: field.Ask, Hint: field.Hint, Options: field.Options, Typed: field.Typed, Value: &value,
			Check: func(text string) error { return field.Set(s, text) }}
		if field.Key == "volume" {
			q.Idle = func() bool { return !s.Sound }
		}
		f.Questions = append(f.Questions, q)
	}
	return f
}
