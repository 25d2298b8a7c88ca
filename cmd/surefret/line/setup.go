package line

import (
	"io"

	"surefret/cmd/surefret/form"
	"surefret/cmd/surefret/settings"
)

// Setup asks for the settings as plain questions, one a line, as [Reader.Ask]
// does: an empty answer keeps what is set, "stop" or the end of input keeps what
// was answered so far and leaves the rest.
func Setup(in io.Reader, out, errs io.Writer, s settings.Settings) (settings.Settings, error) {
	var f form.Form
	for _, field := range settings.Fields {
		value := field.Get(s)
		q := form.Question{Ask: field.Ask, Hint: field.Hint, Typed: true, Value: &value,
			Check: func(text string) error { return field.Set(&s, text) }}
		for _, o := range field.Options {
			q.Options = append(q.Options, form.Option(o))
		}
		f.Questions = append(f.Questions, q)
	}
	_, err := NewReader(in, out, errs).Ask(f)
	return s, err
}
