package setlist

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/form"
	"surefret/drills/fretboard"
	"surefret/drills/gig"
)

// A songForm asks for one song of a gig.
type songForm struct {
	Book
	gig   gig.Gig
	known *gig.Song // the song of the repertoire that was named; nil for a new one

	title, learned, called, chords, shapes, parts, tempo string
}

func (f *songForm) key(text string) string { return gig.KeyTyped(text, f.Setup.Names) }

// calledIn is the called key as it is kept; the learned one for an empty text.
func (f *songForm) calledIn(text string) string {
	return gig.CalledTyped(cmp.Or(text, f.learned), f.key(f.learned), f.Setup.Names)
}

func (f *songForm) sections(text string) ([]gig.Section, error) {
	return gig.SectionsTyped(readSections(text), f.key(f.learned), f.Setup.Names)
}

// form lists the questions. Each is refused as the whole song would be.
func (f *songForm) form() form.Form {
	title := "like Tin Umbrella"
	if len(f.Mine) > 0 {
		title = `one of your songs, or a new one, in quotes where a song of yours begins so`
	}
	return f.withoutKnown(form.Form{
		Title: fmt.Sprintf("Song %d of %s", len(f.gig.Songs)+1, f.gig.Name),
		Note:  "First the song as you learned it, then the key it is called in.",
		Leave: "leave, this song is not kept",
		Questions: []form.Question{
			{Ask: "What is its title?", Hint: title, Value: &f.title, Check: f.named},
			{Ask: "Which key did you learn it in?", Hint: "like D or F#m", Value: &f.learned, Check: func(text string) error {
				return gig.CheckField(func(s *gig.Song) { s.Learned, s.Called = f.key(text), f.key(text) })
			}},
			{Ask: "Which key is it called in?", Hint: "like Bb; leave it empty for the same key", Value: &f.called, Check: func(text string) error {
				return gig.CheckField(func(s *gig.Song) { s.Learned, s.Called = f.key(f.learned), f.calledIn(text) })
			}},
			{Ask: "Which chords?", Hint: "like 1 5 6- 4, or verse: D A Bm G; chorus: 4 5 1", Value: &f.chords, Check: func(text string) error {
				sections, err := f.sections(text)
				if err != nil {
					return err
				}
				return gig.CheckField(func(s *gig.Song) {
					s.Learned, s.Called, s.Sections = f.key(f.learned), f.key(f.learned), sections
				})
			}},
			{Ask: "Which movable shapes do you use?", Hint: "names from 'surefret shape list' or words like tenths, commas between; or none", Value: &f.shapes,
				Several: true, Options: f.shapeOptions(), Words: f.shapesCalled},
			{Ask: "Which files hold your parts?", Hint: "tablature files, commas between; empty for none", Value: &f.parts, Check: func(text string) error {
				_, err := f.readParts(text)
				return err
			}},
			{Ask: "How fast, in beats a minute?", Hint: "20 to 400; empty if you don't know", Value: &f.tempo, Check: func(text string) error {
				tempo, err := readTempo(text)
				if err != nil {
					return err
				}
				return gig.CheckField(func(s *gig.Song) { s.Tempo = tempo })
			}},
		},
	})
}

// withoutKnown has the form ask of a song of the player's the called key alone.
func (f *songForm) withoutKnown(asks form.Form) form.Form {
	asks.Brief = true
	for i := range asks.Questions {
		if q := &asks.Questions[i]; q.Value != &f.title && q.Value != &f.called {
			q.Idle = func() bool { return f.known != nil }
		}
	}
	return asks
}

// named takes a title: of a song of the player's, as far as he typed it, or a new one. In
// quotes it is the whole title, or a new song could not be called as one of his begins.
func (f *songForm) named(text string) error {
	if f.known != nil {
		f.known, f.learned = nil, ""
	}
	text, whole := inQuotes(text)
	found := gig.SongsCalled(f.Mine, text)
	if whole {
		found = slices.DeleteFunc(found, func(s gig.Song) bool { return !strings.EqualFold(s.Title, text) })
	}
	if len(found) > 1 {
		return fmt.Errorf("%q means %d of your songs, %s and %s among them: type more of its title, or for a new song put it in quotes", text, len(found), found[0].Title, found[1].Title)
	}
	if len(found) == 1 {
		text = found[0].Title
	}
	if _, known := f.gig.Song(text); known {
		return fmt.Errorf("%q is in this gig already: give another title", text)
	}
	if len(found) == 1 {
		f.known, f.learned = &found[0], found[0].Learned
	}
	return gig.CheckField(func(s *gig.Song) { s.Title = text })
}

// inQuotes returns what stands between quotes, or the whole text where there are none.
func inQuotes(text string) (inside string, quoted bool) {
	text = strings.TrimSpace(text)
	if len(text) > 2 && strings.HasPrefix(text, `"`) && strings.HasSuffix(text, `"`) {
		return strings.TrimSpace(text[1 : len(text)-1]), true
	}
	return text, false
}

// song reads the answers.
func (f *songForm) song() (gig.Song, error) {
	if f.known != nil {
		s := *f.known
		if f.called != "" {
			s.Called = f.calledIn(f.called)
		}
		return s, nil
	}
	title, _ := inQuotes(f.title)
	s := gig.Song{Title: title, Learned: f.key(f.learned), Called: f.calledIn(f.called)}
	var err error
	if s.Sections, err = f.sections(f.chords); err != nil {
		return s, err
	}
	if f.shapes != "" {
		s.Shapes = strings.Split(f.shapes, ",")
	}
	if s.Parts, err = f.readParts(f.parts); err != nil {
		return s, err
	}
	s.Tempo, err = readTempo(f.tempo)
	return s, err
}

// readParts reads the files of parts and checks them against the instrument.
func (f *songForm) readParts(text string) (parts []gig.Part, err error) {
	for name := range strings.SplitSeq(text, ",") {
		if name = strings.TrimSpace(name); name == "" {
			continue
		}
		part, err := ReadPart(name)
		if err != nil {
			return nil, err
		}
		if err := part.Check(); err != nil {
			return nil, err
		}
		parts = append(parts, part)
	}
	return parts, f.checkParts(parts)
}

// ReadPart reads a part in tablature from a file.
func ReadPart(name string) (gig.Part, error) {
	text, err := cli.ReadTab(name)
	if err != nil {
		return gig.Part{}, err
	}
	return gig.NewPart(filepath.Base(name), text), nil
}

// readSections reads "verse: 1 4; chorus: 4 5 1", or chords alone.
func readSections(text string) []gig.Section {
	var sections []gig.Section
	for part := range strings.SplitSeq(text, ";") {
		if strings.TrimSpace(part) == "" {
			continue
		}
		name, chords, named := strings.Cut(part, ":")
		if !named || strings.ContainsRune(name, '|') || strings.HasPrefix(chords, "|") { // a repeat is no name
			name, chords = "", part
		}
		sections = append(sections, gig.Section{Name: strings.TrimSpace(name), Chords: strings.TrimSpace(chords)})
	}
	return sections
}

// readTempo reads a tempo; an empty text is none.
func readTempo(text string) (float64, error) {
	if text == "" {
		return 0, nil
	}
	n, err := strconv.ParseFloat(text, 64)
	if err != nil || n == 0 || strings.Trim(text, "0123456789.") != "" { // nor an exponent
		return 0, fmt.Errorf("%q is not a tempo: give 20 to 400 beats a minute, or leave it empty", text)
	}
	return n, nil
}

// shapesCalled lists the names of the shapes that a word means on this instrument.
func (b Book) shapesCalled(word string) (names []string, err error) {
	shapes, err := fretboard.ShapesCalled(b.Setup.Neck, word)
	if err != nil {
		return nil, cli.Usagef("%w; 'surefret shape list' names them all", err)
	}
	for _, r := range shapes {
		names = append(names, r.InSongs())
	}
	return names, nil
}

// shapeOptions lists the movable shapes that this instrument has, those that most
// players use first.
func (b Book) shapeOptions() []form.Option {
	var common, others []form.Option
	for _, r := range b.Setup.Neck.AllShapes() {
		if r.Fits(b.Setup.Neck) != nil {
			continue
		}
		o := form.Option{Value: r.InSongs(), Label: r.Name + ", " + r.Words}
		switch r.Family {
		case "tenths", "octaves", "E form", "A form", "power chords", "root and fifth", fretboard.OwnFamily:
			common = append(common, o)
		default:
			others = append(others, o)
		}
	}
	return append(common, others...)
}
