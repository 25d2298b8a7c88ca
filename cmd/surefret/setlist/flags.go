package setlist

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"surefret/cmd/surefret/cli"
	"surefret/drills/gig"
)

// Flags describe one song. Those of them that were given change it.
type Flags struct {
	Learned, Called string

	set           *pflag.FlagSet
	chords        string
	sections      []string
	shapes, parts []string
	tempo         float64
}

// describing are the flags by their names.
var describing = []string{"learned", "chords", "section", "shapes", "part", "tempo"}

// Add adds the flags that describe a song.
func (f *Flags) Add(flags *pflag.FlagSet) {
	f.set = flags
	flags.StringVar(&f.Learned, "learned", "", "the key your parts are learned in")
	flags.StringVar(&f.chords, "chords", "", "the progression, in numbers, numerals or names of the learned key")
	flags.StringArrayVar(&f.sections, "section", nil, "a section with its own chords, \"verse: 1 4 5\"; again for each")
	flags.StringSliceVar(&f.shapes, "shapes", nil, "movable shapes you use, by their names in 'surefret shape list' or by words: tenths,e-form")
	flags.StringArrayVar(&f.parts, "part", nil, "a tablature file to keep with the song (repeat for more)")
	flags.Float64Var(&f.tempo, "tempo", 0, "beats a minute, 20 to 400")
}

// AddHidden adds the flags where they are no longer taken, so that the answer can say
// where they are.
func (f *Flags) AddHidden(flags *pflag.FlagSet) {
	f.Add(flags)
	for _, name := range describing {
		_ = flags.MarkHidden(name) // which it has
	}
}

// Said writes the flags that were given as they are typed, each behind a space.
func (f Flags) Said() string {
	var b strings.Builder
	say := func(name, value string) {
		if f.given(name) {
			if strings.ContainsAny(value, " '|$&;<>()") || value == "" {
				value = strconv.Quote(value)
			}
			b.WriteString(" --" + name + " " + value)
		}
	}
	say("learned", f.Learned)
	say("chords", f.chords)
	for _, text := range f.sections {
		say("section", text)
	}
	say("shapes", strings.Join(f.shapes, ","))
	for _, file := range f.parts {
		say("part", file)
	}
	say("tempo", strconv.FormatFloat(f.tempo, 'g', -1, 64))
	return b.String()
}

// AddCalled adds the flag for the key that the song is called in.
func (f *Flags) AddCalled(flags *pflag.FlagSet) {
	flags.StringVar(&f.Called, "called", "", "the key the singer calls (default: the learned key)")
}

func (f Flags) given(name string) bool { return f.set != nil && f.set.Changed(name) }

// Given reports whether flags that describe a song were given.
func (f Flags) Given() bool { return slices.ContainsFunc(describing, f.given) }

// Chords reports whether its chords were.
func (f Flags) Chords() bool { return f.given("chords") || f.given("section") }

// Change returns s with the flags that were given taken over.
func (f Flags) Change(b Book, s gig.Song) (gig.Song, error) {
	given, names := f.given, b.Setup.Names
	if given("learned") {
		s.Learned = gig.KeyTyped(f.Learned, names)
	}
	if s.Learned == "" {
		return s, cli.Usagef("which key did you learn %q in? Say it with --learned, like --learned D", s.Title)
	}
	if given("called") {
		s.Called = gig.CalledTyped(f.Called, s.Learned, names)
	}
	s.Called = cmp.Or(s.Called, s.Learned)
	var err error
	if f.Chords() {
		if s.Sections, err = f.readChords(); err != nil {
			return s, err
		}
		if s.Sections, err = gig.SectionsTyped(s.Sections, s.Learned, names); err != nil {
			return s, cli.Usagef("song %q: %w", s.Title, err)
		}
	}
	if given("shapes") {
		s.Shapes = nil
		for _, word := range f.shapes {
			names, err := b.shapesCalled(word)
			if err != nil {
				return s, err
			}
			s.Shapes = append(s.Shapes, names...)
		}
	}
	if given("part") {
		s.Parts = nil
		for _, name := range f.parts {
			part, err := ReadPart(name)
			if err != nil {
				return s, err
			}
			s.Parts = append(s.Parts, part)
		}
	}
	if given("tempo") {
		s.Tempo = f.tempo
	}
	return s, nil
}

// readChords reads --section, or else --chords.
func (f Flags) readChords() ([]gig.Section, error) {
	if !f.given("section") {
		return readSections(f.chords), nil
	}
	var sections []gig.Section
	for _, text := range f.sections {
		name, chords, ok := strings.Cut(text, ":")
		if !ok {
			return nil, cli.Usagef("--section %q: use a name, a colon and its chords, like \"verse: 1 4 5\"", text)
		}
		sections = append(sections, gig.Section{Name: strings.TrimSpace(name), Chords: strings.TrimSpace(chords)})
	}
	return sections, nil
}
