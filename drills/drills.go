// Package drills turns one thing to be remembered into a fresh question each
// time, and judges the answer.
//
// An [Item] is what is remembered as one thing and practised as one thing: the
// note G on string 6, the minor tenth on strings 6 and 3. What varies without
// being remembered, the octave of a fret or the key of a shape, is drawn afresh
// for each [Question]. Two rules hold for every item id: it is stable readable
// text, and it never has two different right answers, so a string is named by
// its open pitch.
//
// A question carries its own judge. Its answers are plain text, whatever the
// way they were entered, so that the screen, the line mode and the log all
// speak of the same thing.
//
// Drills know music and strings, from [surefret/drills/theory] and
// [surefret/drills/fretboard]. They know no scheduler, no terminal and no sound
// card: kin are ids and weights, marks are places, sounds are MIDI numbers.
package drills

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"time"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// A Family is a kind of drill, by the name used on the command line.
type Family string

// An Item is one thing to be remembered.
type Item struct {
	ID      string // family, then what is remembered: "note/E2+3/name"
	Family  Family
	Title   string        // in words, for reports: "naming G on string 6"
	Group   string        // items of one group are better not asked twice in a row
	Aim     time.Duration // thinking time that counts as fluent
	Stage   int           // when it is met: 0 first
	Strings []int         // the strings it is about, none for items without a neck
	Kin     []Kin
	Guess   float64 // chance that a guess is right, where that is much: a half between two choices

	topic string
	bass  bool // of what is played on a bass in one order: its shapes and walks
	typed bool // though others of its family can be answered by playing, it cannot
}

// Order names what is met stage by stage together, none of it sooner for having been left
// out: the family, and on a bass shapes, walk-ups and walking lines as one.
func (it Item) Order() string {
	if it.bass {
		return "bass"
	}
	return string(it.Family)
}

// A Kin is another item whose practice helps this one.
type Kin struct {
	ID     string
	Weight float64 // 0 nothing in common, 1 the same thing
}

// An Expect says what kind of answer a question wants, so that the screen
// knows which keys to take.
type Expect int

const (
	ExpectNote      Expect = iota // one note name: "F#"
	ExpectFret                    // one fret on Question.String: "7"
	ExpectPlaces                  // a set of places, in any order: "6/3 3/4"
	ExpectPath                    // places in order: "6/3 5/0 5/2"
	ExpectNotes                   // note names in order: "G A B C"
	ExpectInterval                // "m3", "minor tenth"
	ExpectChord                   // "Bm7"
	ExpectKey                     // "F#m"
	ExpectNumber                  // a degree, "6-" or "vi"
	ExpectSignature               // a count of accidentals, "3b"
	ExpectChoice                  // the number of one of Question.Choices, from 1
)

// A Mark is a place drawn on the neck with the question or its feedback.
type Mark struct {
	At    fretboard.Position
	Label string // "?" where the question is, a note name where it is told
}

// A Sounding is one note to be heard.
type Sounding struct {
	MIDI int           // 0 is a click
	At   time.Duration // from the start of the cue
	For  time.Duration
}

// A Question is one posing of an item.
type Question struct {
	Item    string
	Family  Family
	Text    string // what to read aloud: it stands alone and ends in "?"
	Expect  Expect
	String  int                  // the string that an ExpectFret answer lies on
	Count   int                  // how many places or notes are wanted, 0 where one is
	On      []int                // the strings of an ExpectPlaces answer, one place on each, in the order in which bare frets are read; none for any
	Choices []string             // for ExpectChoice
	Marks   []Mark               // drawn with the question
	Rows    []Row                // drawn in place of the neck, which plays no part before the answer
	Walk    []fretboard.Position // of a walk, drawn as tablature: its roots with the question, the rest with the answer
	Heard   []Sounding           // played with the question; it cannot be asked without sound
	Target  []Sounding           // played after the answer

	title  string // of the item, with notes as this question spells them
	judge  func(answer string) (Verdict, error)
	lesson func() Lesson

	playing func() *Playing // nil where it cannot be answered by playing
	cue     []Sounding      // what sounds with the count-in; nil is the first note of Target, which the question names
}

// A Term is a figure or a word of a question that not every player knows, with what it
// means: it is explained the first time.
type Term struct {
	Name  string // stable, one for all words that are explained alike: "minor number"
	Word  string // as it stands in the question: "2-"
	Basic bool   // only who begins needs it explained unasked
	Means string // half a sentence: "the minor chord on the second note of the scale"
}

// A Verdict is the judgement of one answer.
type Verdict struct {
	Right bool
	Given string // the answer as understood: "Gb"
	Want  string // the right answer: "F#"
	Note  string // a word on the spelling or the exact name, when there is one
	is    string // what a wrong answer is in truth: "fret 5 is A"; "" where it is right
	Why   string // the rule that gives the right answer next time, one sentence
	Marks []Mark // drawn with the feedback

	// Others are what an answer by ear was taken for, or could have been, drawn beside
	// what was heard.
	Others []Mark

	Strokes []Stroke // of a phrase that was played
}

// Explanation says in whole sentences what a wrong answer is and the rule that gives
// the right one; after a right answer the rule alone.
func (v Verdict) Explanation() string {
	var said []string
	for _, part := range []string{v.is, v.Why} {
		if part != "" {
			said = append(said, sentence(part)+".")
		}
	}
	return strings.Join(said, " ")
}

// Judge judges answer. It returns an error, one clear sentence, when the text
// is no answer to this kind of question at all; then nothing is decided and the
// player may answer again.
func (q Question) Judge(answer string) (Verdict, error) {
	return q.judge(strings.TrimSpace(answer))
}

// A Setup is the player's instrument and ways, as far as questions depend on
// them.
type Setup struct {
	Neck    fretboard.Fretboard
	Names   theory.Names  // the language of note names, in and out
	Flats   bool          // spell the black keys as flats where no key decides
	Aim     time.Duration // for single facts; 0 means 2 s
	Sound   bool          // whether questions that must be heard may be asked
	Keys    []theory.Key  // met first, in this order: those of the gigs
	Changes []Change      // that the player's songs have, see [Changes]
	Parts   []OwnPart     // the player's own
	Frets   [2]int        // the lowest and highest fret asked; zero means the whole neck

	OnlyKeys bool // nothing is asked in other keys than Keys, and no note or interval outside of their scales
	SixFlats bool // the key of six signs is G flat, not F sharp
	Beginner bool // the first five natural notes come before all others
	Naturals bool // roots and keys are natural notes, and single notes lie in the lowest octave, where no need says otherwise

	needs []Need // what questions are drawn from first, see [Catalogue.Within]
}

// A Catalogue is all that a player with one setup can be asked.
type Catalogue struct {
	setup Setup
	items []Item
	index map[string]int
}

// A family is what there is to remember of one kind with a setup, in the order in which
// it is met, and how an item of it is posed afresh; ref is its id without the family.
type family struct {
	name  Family
	items func(s Setup) []Item
	ask   func(s Setup, ref string, rng *rand.Rand) (Question, error)
}

// families are in the order in which they are met. Adding one is a file of its own and a
// line here.
var families = []family{
	{"note", Setup.noteItems, Setup.askNote},
	{"shape", Setup.shapeItems, Setup.askShape},
	{"interval", Setup.intervalItems, Setup.askInterval},
	{"walkup", Setup.walkupItems, Setup.askWalkup},
	{"walking", Setup.walkingItems, Setup.askWalking},
	{"change", Setup.changeItems, Setup.askChange},
	{"key", Setup.keyItems, Setup.askKey},
	{"ear", Setup.earItems, Setup.askEar},
	{"part", Setup.partItems, Setup.askPart},
}

// Families lists the drill families in the order they are met.
func Families() []Family {
	var names []Family
	for _, f := range families {
		names = append(names, f.name)
	}
	return names
}

// NewCatalogue lists what there is to practise with setup s.
func NewCatalogue(s Setup) *Catalogue {
	if s.Aim == 0 {
		s.Aim = 2 * time.Second
	}
	if s.Frets[1] == 0 {
		s.Frets[1] = s.Neck.Last()
	}
	s.Frets[1] = min(s.Frets[1], s.Neck.Last()) // a capo takes frets away
	var items []Item
	for _, f := range families {
		for _, it := range f.items(s) {
			it.Family = f.name
			items = append(items, it)
		}
	}
	return catalogueOf(s, items)
}

func catalogueOf(s Setup, items []Item) *Catalogue {
	c := &Catalogue{setup: s, items: items, index: make(map[string]int, len(items))}
	for i, it := range items {
		c.index[it.ID] = i
	}
	return c
}

// Silent returns what of it needs no sound, at a small part of the price of
// [NewCatalogue].
func (c *Catalogue) Silent() *Catalogue {
	s := c.setup
	s.Sound = false
	return catalogueOf(s, slices.DeleteFunc(slices.Clone(c.items), func(it Item) bool { return it.Family == "ear" }))
}

// Items returns every item, in the order they are met within each family. The
// caller must not change it.
func (c *Catalogue) Items() []Item { return c.items }

// Item returns the item with this id and reports whether there is one.
func (c *Catalogue) Item(id string) (Item, bool) {
	i, ok := c.index[id]
	if !ok {
		return Item{}, false
	}
	return c.items[i], true
}

// Ask poses the item afresh, drawing what varies from rng. It returns an error
// for an id that this setup does not have.
func (c *Catalogue) Ask(id string, rng *rand.Rand) (Question, error) {
	it, ok := c.Item(id)
	if !ok {
		return Question{}, fmt.Errorf("no item %q with this instrument", id)
	}
	name, ref, _ := strings.Cut(id, "/")
	for _, f := range families {
		if f.name == Family(name) {
			q, err := f.ask(c.setup, ref, rng)
			if err != nil {
				return Question{}, fmt.Errorf("ask %s: %w", id, err)
			}
			q.Item, q.Family, q.title = id, f.name, cmp.Or(q.title, it.Title)
			return q, nil
		}
	}
	return Question{}, fmt.Errorf("no drill family %q", name)
}
