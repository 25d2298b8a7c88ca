package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/form"
	"surefret/cmd/surefret/line"
	"surefret/cmd/surefret/report"
	"surefret/cmd/surefret/screen"
	"surefret/cmd/surefret/sheet"
	"surefret/drills/fretboard"
	"surefret/drills/gig"
)

// An asker puts a form to the player, on the screen or in lines. It reports
// whether the form was answered to its end. The error is [io.EOF] when nobody is
// there: the input ended, or the terminal closed.
type asker func(context.Context, form.Form) (answered bool, err error)

// asker returns the way to ask: forms where there is a terminal that can redraw,
// else plain lines.
func (p *program) asker(pl *player, lines bool, elsewhere string) asker {
	if lines || !p.fullScreen() {
		p.in = line.NewInput(p.in) // what is read ahead is still there for the session
		r := line.NewReader(p.in, p.out, p.err)
		return func(ctx context.Context, f form.Form) (bool, error) {
			answered, err := r.Ask(ctx, f)
			if err == nil && !answered && r.Ended() {
				err = io.EOF
			}
			return answered, err
		}
	}
	look := screen.LookFor(p.getenv, pl.Settings.Drawing)
	return func(ctx context.Context, f form.Form) (bool, error) {
		return screen.Ask(ctx, f, elsewhere, look, p.in, p.screen())
	}
}

// The answers to a question of yes or no.
const (
	yes = "yes"
	no  = "no"
)

func yesOrNo() []form.Option {
	return []form.Option{{Value: yes, Label: "yes"}, {Value: no, Label: "no"}}
}

// askGig asks for a gig and its songs. Each is kept as soon as it is complete,
// so that a player who leaves keeps what he answered.
func (p *program) askGig(ctx context.Context, pl *player, lines bool) error {
	ask := p.asker(pl, lines, "'surefret gig add --line' asks in plain lines.")
	g := gig.Gig{ID: pl.db.NewID(pl.Now())}
	more := yes
	answered, err := ask(ctx, gigForm(pl, &g, &more))
	if errors.Is(err, io.EOF) || err == nil && !answered {
		return nil
	} else if err != nil {
		return err
	}
	if g.Day, err = pl.day(g.Day); err != nil {
		return err
	}
	if err := pl.putGig(ctx, g); err != nil {
		return err
	}
	if more == yes {
		if g, err = pl.askSongs(ctx, g, ask); err != nil {
			return err
		}
	}
	fmt.Fprintf(p.out, "Kept: %s, %s, %s.\n", g.Name, sheet.Day(g.Day), report.Many(len(g.Songs), "song"))
	p.tellDay(pl, g, "") // its date was just said
	return nil
}

// askSongs asks for songs until the player has no more or the gig is full, and
// returns the gig as it is kept.
func (pl *player) askSongs(ctx context.Context, g gig.Gig, ask asker) (gig.Gig, error) {
	for len(g.Songs) < gig.MostSongs {
		f := newSongForm(pl, g)
		if answered, err := ask(ctx, f.form()); errors.Is(err, io.EOF) || err == nil && !answered {
			break
		} else if err != nil {
			return g, err
		}
		s, err := f.song()
		if err != nil {
			return g, err
		}
		g.Songs = append(g.Songs, s)
		if err := pl.putGig(ctx, g); err != nil {
			return g, err
		}
		if len(g.Songs) == gig.MostSongs {
			break
		}
		more := no
		if answered, err := ask(ctx, moreForm(s.Title, &more)); errors.Is(err, io.EOF) || err == nil && (!answered || more != yes) {
			break
		} else if err != nil {
			return g, err
		}
	}
	return g, nil
}

// gigForm asks for a gig, and whether its songs come next.
func gigForm(pl *player, g *gig.Gig, more *string) form.Form {
	return form.Form{
		Title: "A new gig", Note: "Its songs come next. All of it can be changed later.", Leave: "leave, nothing is kept",
		Questions: []form.Question{
			{Ask: "What is it called?", Hint: "a name, like Harbour Fair", Value: &g.Name,
				Check: func(text string) error { return gig.Gig{Name: text, Day: "2000-01-01"}.Check() }},
			{Ask: "Which day is it on?", Hint: "a date like 2026-12-05, or a day like Saturday", Value: &g.Day,
				Check: func(text string) error {
					day, err := pl.day(text)
					if err == nil && pl.knows(gig.Gig{ID: g.ID, Name: g.Name, Day: day}) {
						err = sayKnown(g.Name, day)
					}
					return err
				}},
			{Ask: "Add its songs now?", Hint: "yes or no", Options: yesOrNo(), Value: more},
		},
	}
}

// A songForm asks for one song.
type songForm struct {
	pl  *player
	gig gig.Gig

	title, learned, called, chords, shapes, parts, tempo string
}

func (f *songForm) key(text string) string { return f.pl.songKey(text) }

// calledIn is the called key as it is kept; the learned one for an empty text.
func (f *songForm) calledIn(text string) string {
	return f.pl.calledKey(cmp.Or(text, f.learned), f.key(f.learned))
}

func (f *songForm) sections(text string) ([]gig.Section, error) {
	return f.pl.songChords(f.key(f.learned), readSections(text))
}

func newSongForm(pl *player, g gig.Gig) *songForm { return &songForm{pl: pl, gig: g} }

// form lists the questions. Each is refused as the whole song would be.
func (f *songForm) form() form.Form {
	return form.Form{
		Title: fmt.Sprintf("Song %d of %s", len(f.gig.Songs)+1, f.gig.Name),
		Note:  "As you learned it; the key that is called comes with it.",
		Leave: "leave, this song is not kept",
		Questions: []form.Question{
			{Ask: "What is its title?", Hint: "like Tin Umbrella", Value: &f.title, Check: func(text string) error {
				if _, known := f.gig.Song(text); known {
					return fmt.Errorf("%q is in this gig already: give another title", text)
				}
				return gig.CheckField(func(s *gig.Song) { s.Title = text })
			}},
			{Ask: "Which key did you learn it in?", Hint: "like D or F#m", Value: &f.learned, Check: func(text string) error {
				return gig.CheckField(func(s *gig.Song) { s.Learned, s.Called = f.key(text), f.key(text) })
			}},
			{Ask: "Which key is it called in?", Hint: "like Bb; empty for the same key", Value: &f.called, Check: func(text string) error {
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
				Several: true, Options: f.pl.shapeOptions(), Words: f.pl.shapesCalled},
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
	}
}

// moreForm asks, once a song is kept, whether another comes.
func moreForm(title string, more *string) form.Form {
	return form.Form{
		Title: title + " is kept", Note: "It can be changed later.", Leave: "no more songs",
		Questions: []form.Question{{Ask: "Another song?", Hint: "yes or no", Options: yesOrNo(), Value: more}},
	}
}

// song reads the answers.
func (f *songForm) song() (gig.Song, error) {
	s := gig.Song{Title: f.title, Learned: f.key(f.learned), Called: f.calledIn(f.called)}
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
func (f *songForm) readParts(text string) ([]gig.Part, error) {
	s := gig.Song{}
	for name := range strings.SplitSeq(text, ",") {
		if name = strings.TrimSpace(name); name == "" {
			continue
		}
		part, err := readPart(name)
		if err != nil {
			return nil, err
		}
		if err := part.Check(); err != nil {
			return nil, err
		}
		s.Parts = append(s.Parts, part)
	}
	return s.Parts, f.pl.checkParts(s)
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
func readTempo(text string) (int, error) {
	if text == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n == 0 {
		return 0, fmt.Errorf("%q is not a tempo: give 20 to 400 beats a minute, or leave it empty", text)
	}
	return n, nil
}

// shapesCalled lists the names of the shapes that a word means on this instrument.
func (pl *player) shapesCalled(word string) (names []string, err error) {
	shapes, err := fretboard.ShapesCalled(pl.Setup().Neck, word)
	if err != nil {
		return nil, cli.BadInput{Err: fmt.Errorf("%w; 'surefret shape list' names them all", err)}
	}
	for _, r := range shapes {
		names = append(names, r.Name)
	}
	return names, nil
}

// shapeOptions lists the movable shapes that this instrument has, those that most
// players use first.
func (pl *player) shapeOptions() []form.Option {
	var common, others []form.Option
	for _, r := range fretboard.Shapes {
		if r.Fits(pl.Setup().Neck) != nil {
			continue
		}
		o := form.Option{Value: r.Name, Label: r.Name + ", " + r.Words}
		switch r.Family {
		case "tenths", "octaves", "E form", "A form", "power chords":
			common = append(common, o)
		default:
			others = append(others, o)
		}
	}
	return append(common, others...)
}
