package drills

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// Tones that stay while the chords of a song change below them: how a chord of the key
// is held under them. In four keys two strings ring open; in any key two tones stay on
// their strings. They are items of the shape family, "shape/kept-E-4@.../place" and
// "shape/kept-4@.../place".

const keptNumbers = "1 4 5 6-"

// keptKeys are the families of open strings: the keys in which the upper strings ring on
// over every chord. Common practice, no source.
var keptKeys = []string{"E", "A", "D", "G"}

// keeps reports whether tones are kept on this instrument: they are worked out for
// standard tuning, a hand of four frets and the lowest twelve.
func (s Setup) keeps() bool {
	neck := s.Neck
	return neck.Tuning.String() == fretboard.Standard.String() && neck.Capo == 0 && (neck.Stretch == 0 || neck.Stretch >= 4) &&
		s.Frets[0] == 0 && s.Frets[1] >= 12 && len(s.keptKeys("")) > 0
}

// keptKeys lists the major keys in which tones are kept: the one of a family of open
// strings, or those of the needs, or all that are drawn.
func (s Setup) keptKeys(family string) (keys []theory.Key) {
	for _, k := range s.calledKeys() {
		if family == "" || k == (theory.Key{Tonic: k.Tonic}) && k.Short() == family {
			keys = append(keys, k)
		}
	}
	needed := slices.DeleteFunc(slices.Clone(keys), func(k theory.Key) bool {
		return !slices.ContainsFunc(s.needs, func(n Need) bool { return n.Key == k })
	})
	if len(needed) > 0 {
		return needed
	}
	return keys
}

func (s Setup) keptItems() (items []Item) {
	if !s.keeps() {
		return nil
	}
	strs := lowFirst(s.Neck.Tuning)
	for _, family := range append([]string{""}, keptKeys...) {
		if len(s.keptKeys(family)) == 0 {
			continue
		}
		for _, number := range strings.Fields(keptNumbers) {
			name, title, group := "kept-"+number, fmt.Sprintf("the %s of any key under tones that stay", number), "chords under tones that stay"
			if family != "" {
				k, _ := theory.ParseKey(family)
				name, title, group = fmt.Sprintf("kept-%s-%s", family, number), fmt.Sprintf("the %s of %s under open strings", number, s.Names.Key(k)), "chords under open strings"
			}
			items = append(items, Item{
				ID:    fmt.Sprintf("shape/%s@%s/place", name, s.on(strs)),
				Title: title, Group: group, topic: group, Aim: s.Aim * 2, Stage: stageColours, Strings: strs, typed: true,
			})
		}
	}
	return items
}

// askKept poses a chord under tones that stay; what is "E-4" or "4".
func (s Setup) askKept(what string, rng *rand.Rand) (Question, error) {
	family, number, open := strings.Cut(what, "-")
	if !open || number == "" {
		family, number, open = "", what, false
	}
	keys := s.keptKeys(family)
	if len(keys) == 0 || !s.keeps() {
		return Question{}, fmt.Errorf("no tones are kept on this instrument")
	}
	k := keys[rng.IntN(len(keys))]
	var chords theory.Progression
	var wanted theory.Chord
	for _, word := range strings.Fields(keptNumbers) {
		n, err := theory.ParseNumeral(word)
		if err != nil {
			return Question{}, err
		}
		if chords = append(chords, k.Chord(n)); word == number {
			wanted = k.Chord(n)
		}
	}
	for _, kept := range s.Neck.Keep(k, chords) {
		for _, c := range kept.Chords {
			if kept.Open == open && c.Chord == wanted {
				return s.underKept(k, kept, c), nil
			}
		}
	}
	return Question{}, fmt.Errorf("no tones are kept over %s in %s", keptNumbers, s.Names.Key(k))
}

// underKept wants the frets of a chord below tones that are kept: any that have its
// bass, none but its notes, and fit the hand.
func (s Setup) underKept(k theory.Key, kept fretboard.Keeping, c fretboard.KeptChord) Question {
	below := c.Places[:len(c.Places)-2]
	var strs []int
	for _, p := range below {
		strs = append(strs, p.String)
	}
	chord := s.Names.Chord(c.Chord)
	how := fmt.Sprintf("%s and %s stay", s.Names.Note(kept.Tones[0].Pitch.Note), s.Names.Note(kept.Tones[1].Pitch.Note))
	on := sayStrings([]int{kept.Tones[0].String, kept.Tones[1].String})
	stay := how + " on " + on
	if kept.Open {
		stay = "the open " + on + " ring"
	}
	q := Question{
		Text:   fmt.Sprintf("In %s, %s: which frets for %s below?", s.inKey(k), stay, chord),
		Expect: ExpectPlaces, Count: len(strs), On: strs,
		Target: strum(s.midis(c.Places)),
	}
	for _, t := range kept.Tones {
		q.Marks = append(q.Marks, Mark{t.Position, s.Names.Note(t.Pitch.Note)})
	}
	marks := func(places []fretboard.Position) (all []Mark) {
		for _, p := range places {
			all = append(all, s.named(spelledIn(c.Chord, k, s.Neck.MIDI(p)), p)...)
		}
		return append(all, q.Marks...)
	}
	var all []string
	for _, other := range kept.Chords {
		all = append(all, fmt.Sprintf("%s %s", s.Names.Chord(other.Chord), other.Frets(s.Neck)))
	}
	why := fmt.Sprintf("In %s, %s; the bass moves below", s.inKey(k), kept.Say(s.Names))
	q.lesson = func() Lesson {
		return Lesson{Pattern: why, Here: strings.Join(all, "; "), Marks: marks(below)}
	}
	q.judge = func(answer string) (Verdict, error) {
		given, err := s.below(kept, answer, strs)
		if err != nil {
			return Verdict{}, err
		}
		whole := func(below []fretboard.Position) string {
			return s.writeShape(append(slices.Clone(below), kept.Tones[0].Position, kept.Tones[1].Position))
		}
		v := Verdict{Given: whole(given), Want: whole(below), Why: why, Marks: marks(below)}
		if v.is = s.notUnder(kept, c.Chord, given); v.is == "" {
			v.Right, v.Marks = true, marks(given)
			if v.Given != v.Want {
				v.Want, v.Note = v.Given, "or "+v.Want
			}
		}
		return v, nil
	}
	return q
}

// below reads the places of an answer that lie under tones that are kept, the lowest
// string first. The tones themselves may be given with them.
func (s Setup) below(kept fretboard.Keeping, answer string, strs []int) ([]fretboard.Position, error) {
	given, err := s.parsePlaces(answer, strs)
	if err != nil {
		return nil, err
	}
	given = slices.DeleteFunc(given, func(p fretboard.Position) bool {
		return p == kept.Tones[0].Position || p == kept.Tones[1].Position
	})
	for _, p := range given {
		if p.String <= kept.Tones[0].String {
			return nil, fmt.Errorf("string %d keeps its tone: give frets on the strings below it", p.String)
		}
	}
	slices.SortFunc(given, func(a, b fretboard.Position) int { return b.String - a.String })
	return given, nil
}

// notUnder says what keeps places, the lowest string first, from being a chord under
// tones that are kept, "" where nothing does.
func (s Setup) notUnder(kept fretboard.Keeping, c theory.Chord, places []fretboard.Position) string {
	if len(places) == 0 {
		return "nothing sounds below the tones that stay"
	}
	for _, p := range places {
		if pc := s.Neck.MIDI(p) % 12; !slices.ContainsFunc(c.Notes(), func(n theory.Note) bool { return n.PitchClass() == pc }) {
			return fmt.Sprintf("%s is no note of %s", say(p), s.Names.Chord(c))
		}
	}
	if s.Neck.MIDI(places[0])%12 != c.Bass().PitchClass() {
		return fmt.Sprintf("the bass would be %s, not %s", s.Names.Note(spelledIn(c, theory.Key{}, s.Neck.MIDI(places[0]))), s.Names.Note(c.Bass()))
	}
	if why := kept.Holds(s.Neck, places); why != "" {
		return "no hand holds that: " + why
	}
	return ""
}

// spelledIn names a note as the chord does, or else as the key does.
func spelledIn(c theory.Chord, k theory.Key, midi int) theory.Note {
	for _, n := range append(append(c.Notes(), c.Bass()), k.Scale()...) {
		if n.PitchClass() == midi%12 {
			return n
		}
	}
	return theory.FromMIDI(midi, k.Signature() < 0).Note
}
