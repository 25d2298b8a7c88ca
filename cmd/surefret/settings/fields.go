package settings

import (
	"cmp"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"

	"surefret/cmd/surefret/form"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// A Field is one setting as a question: both forms and the command line ask it,
// read it and refuse it in the same words.
type Field struct {
	Key     string        // under which the store keeps it
	Ask     string        // a short question, ending in "?"
	hint    string        // what may be answered, half a sentence
	Options []form.Option // the answers to pick from, none where it is typed
	neck    bool          // the instrument that it makes is drawn beside it
	typed   string        // the option that leads to an answer besides them, which is typed; "" for none

	get func(Settings) string
	set func(*Settings, string) error
}

// Get returns the setting as Set reads it.
func (f Field) Get(s Settings) string { return f.get(s) }

// Set reads text into the setting. It returns an error, one sentence with what
// was given and what is expected, and leaves s alone when text cannot be used.
func (f Field) Set(s *Settings, text string) error { return f.set(s, strings.TrimSpace(text)) }

// Fields lists every setting in the order of the forms.
var Fields = []Field{
	word(Field{Key: "names", Ask: "How do you name the notes?"}, func(s *Settings) *string { return &s.Names },
		option("english", "C D E F G A B"), option("solfege", "Do Re Mi Fa Sol La Si"), option("german", "C D E F G A H, Fis, Es, B")),
	{
		Key: "tuning", Ask: "How is it tuned?", neck: true, typed: "another, string by string",
		hint:    "a name, or the open strings from low to high, like C2 G2 D3 A3; a name may come before them, as in harp: C2 G2 D3 A3",
		Options: tunings(theory.Names{}),
		get: func(s Settings) string {
			t, err := fretboard.ParseTuning(s.Tuning)
			if err != nil {
				return s.Tuning
			}
			return t.Written(s.names())
		},
		set: func(s *Settings, text string) error {
			t, err := fretboard.ReadTuning(text, s.names())
			if err != nil {
				return err
			}
			s.Tuning = t.Written(theory.Names{})
			return nil
		},
	},
	number(Field{Key: "frets", neck: true, Ask: "How many frets has the neck?"}, whole, fretboard.FewestFrets, fretboard.MostFrets, "",
		func(s *Settings) *int { return &s.Frets }),
	choice(Field{Key: "left_handed", neck: true, Ask: "Which way do you hold it?"}, func(s *Settings) *bool { return &s.LeftHanded },
		option("right", "right-handed, nut at the left"), option("left", "left-handed, nut at the right")),
	choice(Field{Key: "flats", Ask: "Sharps or flats, when there is no key?"}, func(s *Settings) *bool { return &s.Flats },
		option("sharps", "sharps"), option("flats", "flats")),
	number(Field{Key: "aim", Ask: "How fast is right in time?"}, tenths, 0.5, 10, " seconds to think",
		func(s *Settings) *float64 { return &s.Aim }),
	choice(Field{Key: "times", Ask: "Do thinking times count?"}, func(s *Settings) *bool { return &s.Times },
		option("off", "no, right is enough"), option("on", "yes")),
	choice(Field{Key: "sound", Ask: "Play the notes?"}, func(s *Settings) *bool { return &s.Sound },
		option("off", "no"), option("on", "yes")),
	number(Field{Key: "volume", Ask: "How loud?"}, tenths, -60, 0, " dB, 0 is the loudest; start low",
		func(s *Settings) *float64 { return &s.Volume }),
	number(Field{Key: "minutes", Ask: "How many minutes a day?"}, tenths, 1, 60, "",
		func(s *Settings) *float64 { return &s.Minutes }),
	word(Field{Key: "shown_first", Ask: "What is shown before it is asked the first time?"}, func(s *Settings) *string { return &s.ShownFirst },
		option(ShowShapes, "shapes, intervals and walk-ups"), option(ShowAll, "everything new"), option(ShowNeeded, "new things, until most is right"), option(ShowNothing, "nothing")),
	moveOn(),
	number(Field{Key: "key_wait", Ask: "How long to wait at least for a second key, as in Bb?"}, tenths, 0.2, 5, " seconds; longer by itself for a slow hand",
		func(s *Settings) *float64 { return &s.KeyWait }),
	number(Field{Key: "capo", Ask: "Capo at which fret?"}, whole, 0, 12, ", 0 for none",
		func(s *Settings) *int { return &s.Capo }),
	number(Field{Key: "stretch", Ask: "How many frets does your hand span?"}, whole, 3, 7, "",
		func(s *Settings) *int { return &s.Stretch }),
	number(Field{Key: "highest", Ask: "Up to which fret do you practise?"}, whole, 4, fretboard.MostFrets, "; higher ones are right all the same",
		func(s *Settings) *int { return &s.Highest }),
	choice(Field{Key: "six_flats", Ask: "F# or Gb, for the key with six sharps or flats?"}, func(s *Settings) *bool { return &s.SixFlats },
		option("F#", "six sharps"), option("Gb", "six flats")),
	number(Field{Key: "reference_a", Ask: "Which A do you tune to?"}, tenths, 400, 480, " Hz",
		func(s *Settings) *float64 { return &s.ReferenceA }),
	word(Field{Key: "guitar", Ask: "How does the guitar sound?"}, func(s *Settings) *string { return &s.Guitar },
		option(WarmGuitar, "warm, with the tone turned down"), option(NaturalGuitar, "as it is"), option(BrightGuitar, "bright, plucked near the bridge")),
	choice(Field{Key: "speak", Ask: "Is it printed to be read, or to be listened to?"}, func(s *Settings) *bool { return &s.Speak },
		option("off", "to be read, with signs"), option("on", "to be listened to, in words: F sharp, B flat minor")),
	word(Field{Key: "drawing", Ask: "How is the neck drawn?"}, func(s *Settings) *string { return &s.Drawing },
		option("auto", "whatever the terminal can show"), option("lines", "with line characters"), option("ascii", "with plain ASCII"), option("contrast", "in high contrast, with thick marks")),
	word(Field{Key: "knows", Ask: "Which notes can you name?"}, func(s *Settings) *string { return &s.Knows },
		option(NoNotes, "none, I begin"), option(OpenStrings, "open strings"), option(AllNotes, "all")),
	choice(Field{Key: "ring", Ask: "Does a string ring on the screen when it was right?"}, func(s *Settings) *bool { return &s.Ring },
		option("off", "no"), option("on", "yes, for a moment")),
	choice(Field{Key: "listen", Ask: "Do you answer by playing?"}, func(s *Settings) *bool { return &s.Listen },
		option("off", "no, by typing"), option("on", "yes, what can be played; the microphone is open")),
	input(),
	number(Field{Key: "delay", Ask: "How late does the input hear the loudspeaker ('surefret tune --delay' measures it)?"}, whole, 0, 1000, " ms, 0 where it was not measured",
		func(s *Settings) *float64 { return &s.Delay }),
	choice(Field{Key: "headphones", Ask: "Do you wear headphones while it listens?"}, func(s *Settings) *bool { return &s.Headphones },
		option("off", "no: what sounds is not listened to"), option("on", "yes: it listens while it sounds")),
	choice(Field{Key: "sounded", Ask: "Are questions that you answer by playing sounded, too?"}, func(s *Settings) *bool { return &s.Sounded },
		option("off", "no, shown"), option("on", "yes, after two clicks; then time counts")),
}

// find returns the field with a key, the zero Field where there is none.
func find(key string) Field {
	for _, f := range Fields {
		if f.Key == key {
			return f
		}
	}
	return Field{}
}

func option(value, label string) form.Option { return form.Option{Value: value, Label: label} }

func tunings(names theory.Names) []form.Option {
	var all []form.Option
	for _, t := range fretboard.Tunings {
		all = append(all, option(t.Name, fmt.Sprintf("%s, %s", t.Name, t.In(names))))
	}
	return all
}

const (
	whole  = 0 // decimals of a count
	tenths = 1
)

// number makes a field of a number between two bounds.
func number[T int | float64](f Field, decimals int, low, high float64, unit string, at func(*Settings) *T) Field {
	short := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	f.hint = short(low) + " to " + short(high) + unit
	f.get = func(s Settings) string { return short(float64(*at(&s))) }
	f.set = func(s *Settings, text string) error {
		v, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
		scale := math.Pow(10, float64(decimals))
		if err != nil || !(v >= low && v <= high) || decimals == whole && v != math.Trunc(v) {
			return fmt.Errorf("%q is no answer to %q: use a number from %s", text, f.Ask, f.hint)
		}
		*at(s) = T(math.Round(v*scale) / scale)
		return nil
	}
	return f
}

// choice makes a field of a yes or no that has names of its own; no comes first.
func choice(f Field, at func(*Settings) *bool, no, yes form.Option) Field {
	f.Options = []form.Option{no, yes}
	f.get = func(s Settings) string {
		if *at(&s) {
			return yes.Value
		}
		return no.Value
	}
	f.set = func(s *Settings, text string) error {
		v, err := f.pick(text)
		if err == nil {
			*at(s) = v == yes.Value
		}
		return err
	}
	f.hint = no.Value + " or " + yes.Value
	return f
}

// word makes a field of one of several words.
func word(f Field, at func(*Settings) *string, options ...form.Option) Field {
	var values []string
	for _, o := range options {
		values = append(values, o.Value)
	}
	last := len(values) - 1
	f.Options = options
	f.hint = strings.Join(values[:last], ", ") + " or " + values[last]
	f.get = func(s Settings) string { return *at(&s) }
	f.set = func(s *Settings, text string) error {
		v, err := f.pick(text)
		if err == nil {
			*at(s) = v
		}
		return err
	}
	return f
}

// anyInput stands for no input of a name.
const anyInput = "any"

// longestInput is the longest name of an input that is kept.
const longestInput = 200

// input is the name of an input of the machine, or a part of it.
func input() Field {
	f := Field{
		Key: "input", Ask: "Which input is listened to?", typed: "another, by its name or a part of it",
		hint:    "any, or a name as 'surefret listen inputs' has it, or a part of one",
		Options: []form.Option{option(anyInput, "the one that the system offers")},
	}
	f.get = func(s Settings) string { return cmp.Or(s.Input, anyInput) }
	f.set = func(s *Settings, text string) error {
		if text == "" || len(text) > longestInput || strings.ContainsFunc(text, unicode.IsControl) {
			return fmt.Errorf("%q is no answer to %q: use %s", text, f.Ask, f.hint)
		}
		if s.Input = text; strings.EqualFold(text, anyInput) {
			s.Input = ""
		}
		return nil
	}
	return f
}

// moveOn is a number with a gap: 0 waits for a key.
func moveOn() Field {
	f := number(Field{Key: "move_on", Ask: "After a right answer in time, go on after how many seconds?"}, tenths, 0, 10, ", 0 to wait for a key",
		func(s *Settings) *float64 { return &s.MoveOn })
	set := f.set
	f.set = func(s *Settings, text string) error {
		was := s.MoveOn
		if err := set(s, text); err != nil {
			return err
		}
		if s.MoveOn > 0 && s.MoveOn < 0.3 {
			s.MoveOn = was
			return fmt.Errorf("%q is no answer to %q: nobody could read it; use 0.3 or more, or 0 to wait for a key", text, f.Ask)
		}
		return nil
	}
	return f
}

// pick reads one of the options, in either case.
func (f Field) pick(text string) (string, error) {
	for _, o := range f.Options {
		if strings.EqualFold(o.Value, text) {
			return o.Value, nil
		}
	}
	return "", fmt.Errorf("%q is no answer to %q: use %s", text, f.Ask, f.hint)
}
