// Package settings holds what a player sets once: the instrument, the hand, how
// notes are named, what counts as fluent, how it sounds and how it is drawn.
//
// Three places speak of the same things: the form on the full screen, the same
// form as plain lines, and the store, which keeps each setting under a key as a
// JSON text. So each setting is described once, in [Fields], with its question,
// its reader and its one-sentence refusal. A setting that is missing in the
// store has its default; one that a newer surefret has left there is ignored.
package settings

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// Settings are all that a player can set. Make them with [Default]: the zero
// value is no instrument.
type Settings struct {
	Tuning     string  `json:"tuning"`      // a name or the open strings from low to high, see fretboard.ParseTuning
	Frets      int     `json:"frets"`       // on the whole neck, 12 to 36
	Capo       int     `json:"capo"`        // the fret it holds down, 0 for none, to 12
	LeftHanded bool    `json:"left_handed"` // the neck is drawn with its nut at the right
	Names      string  `json:"names"`       // "english", "solfege" or "german"
	Flats      bool    `json:"flats"`       // Bb rather than A# where no key decides
	SixFlats   bool    `json:"six_flats"`   // the key of six signs is Gb, not F#
	Aim        float64 `json:"aim"`         // thinking time that counts as fluent, seconds, 0.5 to 10
	Times      bool    `json:"times"`       // whether thinking times count; without them right is fluent
	Stretch    int     `json:"stretch"`     // frets that the hand spans, 3 to 7
	Highest    int     `json:"highest"`     // the highest fret asked, 4 to 36; what lies above is right all the same
	Minutes    float64 `json:"minutes"`     // length of a sitting, 1 to 60
	MoveOn     float64 `json:"move_on"`     // seconds that an answer right in time stays on the screen, 0.3 to 10; 0 waits for a key, as slow and wrong ones do
	KeyWait    float64 `json:"key_wait"`    // seconds that an answer which could go on waits at least for another key, 0.2 to 5
	ShownFirst string  `json:"shown_first"` // what is shown before it is asked the first time: ShowShapes, ShowAll, ShowNeeded or ShowNothing
	Sound      bool    `json:"sound"`       // whether notes are played
	Volume     float64 `json:"volume"`      // dB below full scale, -60 to 0
	ReferenceA float64 `json:"reference_a"` // A4 in Hz, 400 to 480
	Guitar     string  `json:"guitar"`      // how it sounds: WarmGuitar, NaturalGuitar or BrightGuitar
	Speak      bool    `json:"speak"`       // whether pages and questions are printed in words, to be listened to
	Drawing    string  `json:"drawing"`     // "auto", "lines", "ascii" or "contrast"
	Knows      string  `json:"knows"`       // which note names the player came with: NoNotes, OpenStrings or AllNotes
	Ring       bool    `json:"ring"`        // a string struck by a right answer rings on the screen
	Listen     bool    `json:"listen"`      // whether what can be played is answered so; the microphone is open in each sitting
	Input      string  `json:"input"`       // the input that is listened to, by its name or a part of it; "" is the system's choice
	Headphones bool    `json:"headphones"`  // whether the speaker is not heard by the input
	Sounded    bool    `json:"sounded"`     // whether what is to be played is sounded, too: a count-in, and the first note
	Delay      float64 `json:"delay"`       // ms from when something should sound until the input has it, 0 to 1000; 0 is not measured
}

// What is shown before it is asked the first time.
const (
	ShowShapes  = "shapes" // shapes, intervals and walk-ups
	ShowAll     = "everything"
	ShowNeeded  = "needed" // everything, while not nearly all is right
	ShowNothing = "nothing"
)

// Which note names a player knows. Who does not know them all is asked natural roots
// until he has met the others; who knows none begins with five natural notes.
const (
	NoNotes     = "no"
	OpenStrings = "open strings"
	AllNotes    = "yes"
)

// How the guitar sounds, as a player turns its knob.
const (
	WarmGuitar    = "warm"
	NaturalGuitar = "natural"
	BrightGuitar  = "bright"
)

// Default returns the settings of a player who has set nothing: a guitar of 22
// frets in standard tuning, held right-handed, ten minutes at two seconds.
// Volume starts low, as a cue in headphones should.
func Default() Settings {
	return Settings{
		Tuning: fretboard.Standard.Name, Frets: 22, Highest: 12,
		Names: "english", SixFlats: false,
		Aim: 2, Times: true, Stretch: 4, Minutes: 10, MoveOn: 0.8, KeyWait: 0.4, ShownFirst: ShowShapes,
		Sound: true, Volume: -12, ReferenceA: 440, Guitar: NaturalGuitar,
		Drawing: "auto", Knows: AllNotes, Ring: true,
	}
}

// Check returns an error, one sentence, for the first setting that cannot be
// used.
func (s Settings) Check() error {
	for _, f := range Fields {
		if err := f.Set(&s, f.Get(s)); err != nil {
			return err
		}
	}
	return nil
}

// Setup returns the instrument and ways that questions depend on, or the error
// of [Settings.Check].
func (s Settings) Setup() (drills.Setup, error) {
	if err := s.Check(); err != nil {
		return drills.Setup{}, err
	}
	tuning, err := fretboard.ParseTuning(s.Tuning)
	if err != nil {
		return drills.Setup{}, err
	}
	return drills.Setup{
		Neck:     fretboard.Fretboard{Tuning: tuning, Frets: s.Frets, Capo: s.Capo, Stretch: s.Stretch},
		Names:    s.names(),
		Frets:    [2]int{0, s.Highest},
		Flats:    s.Flats,
		SixFlats: s.SixFlats,
		Aim:      Seconds(s.Aim),
		Sound:    s.Sound,
		Beginner: s.Knows == NoNotes,
	}, nil
}

// names are those that the player has for notes.
func (s Settings) names() theory.Names {
	return theory.Names{System: theory.System(max(slices.Index(systems, s.Names), 0))}
}

// systems are the values of Names in the order of theory's constants.
var systems = []string{theory.English: "english", theory.Solfege: "solfege", theory.German: "german"}

// Seconds turns a number of seconds into a duration, to the millisecond.
func Seconds(s float64) time.Duration {
	return (time.Duration(s * float64(time.Second))).Round(time.Millisecond)
}

// ToMap returns every setting as key and JSON text, for the store.
func (s Settings) ToMap() map[string]string {
	whole, err := json.Marshal(s)
	if err != nil {
		panic(err) // plain fields always marshal, NaN is refused by Check
	}
	var raw map[string]json.RawMessage
	if err := json.Unmarshal(whole, &raw); err != nil {
		panic(err)
	}
	m := make(map[string]string, len(raw))
	for key, text := range raw {
		m[key] = string(text)
	}
	return m
}

// FromMap reads what [Settings.ToMap] wrote: defaults where a key is missing,
// nothing for keys it does not know. On an error, one sentence, the settings
// returned are good all the same: the one at fault has its default.
func FromMap(m map[string]string) (Settings, error) {
	s := Default()
	var first error
	for _, f := range Fields {
		text, ok := m[f.Key]
		if !ok {
			continue
		}
		was := s
		err := s.read(f.Key, text)
		if err == nil {
			err = f.Set(&s, f.Get(s))
		}
		if err != nil {
			s = was
			if first == nil {
				first = fmt.Errorf("the setting %q is %.60s in the database, the default is used: %w", f.Key, text, err)
			}
		}
	}
	return s, first
}

// read takes one JSON text into the field of its key.
func (s *Settings) read(key, text string) error {
	var b bytes.Buffer
	if !json.Valid([]byte(text)) {
		return fmt.Errorf("it is not JSON")
	}
	fmt.Fprintf(&b, "{%q: %s}", key, text)
	return json.Unmarshal(b.Bytes(), s)
}
