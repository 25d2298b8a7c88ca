package drills

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// reach is how many frets apart two places are asked: what a hand spans.
const reach = 4

// A pattern is two strings, the lower first, and how many frets the place on the
// higher string lies above the one on the lower.
type pattern struct {
	low, high int
	offset    int
}

// intervalItems ask for the interval between two places, and for the place
// that makes an interval.
//
// What is remembered is a pattern: two strings and how many frets lie between
// the two places. The fret is drawn afresh each time, and so is whether the name
// or the place is wanted, and from which end. An id names the strings by their
// pitch and the offset of the higher one: "interval/E2-G3+1" is the major tenth.
func (s Setup) intervalItems() []Item {
	var items []Item
	for low := s.Neck.Tuning.Strings(); low > 1; low-- {
		for high := low - 1; high >= 1; high-- {
			for offset := -reach; offset <= reach; offset++ {
				p := pattern{low, high, offset}
				if len(s.fretsOf(p)) == 0 {
					continue
				}
				items = append(items, Item{
					ID:      s.patternID(p),
					Title:   fmt.Sprintf("%s, string %d to string %d", named(s.intervalOf(p)), low, high),
					Group:   fmt.Sprintf("strings %d and %d", low, high),
					topic:   s.intervalTopic(p),
					Aim:     s.Aim * 3 / 2,
					Stage:   s.intervalStage(p),
					Strings: []int{low, high},
					Kin:     s.patternKin(p),
					typed:   s.intervalOf(p).Semitones == 0,
				})
			}
		}
	}
	return items
}

func (s Setup) patternID(p pattern) string {
	open := s.Neck.Tuning.Open
	return fmt.Sprintf("interval/%s-%s%+d", open[p.low-1], open[p.high-1], p.offset)
}

// patternKin lists the same offset on pairs of strings that are tuned as far
// apart: what the hand does there is the same. The weight is chosen, no source.
func (s Setup) patternKin(p pattern) []Kin {
	var kin []Kin
	for low := s.Neck.Tuning.Strings(); low > 1; low-- {
		for high := low - 1; high >= 1; high-- {
			q := pattern{low, high, p.offset}
			if q != p && s.gap(q) == s.gap(p) && len(s.fretsOf(q)) > 0 {
				kin = append(kin, Kin{s.patternID(q), 0.6})
			}
		}
	}
	return kin
}

// gap is how far apart the open strings of a pattern are, in semitones.
func (s Setup) gap(p pattern) int {
	return s.Neck.Tuning.Open[p.high-1].MIDI() - s.Neck.Tuning.Open[p.low-1].MIDI()
}

// intervalOf names what a pattern makes where no key spells it.
func (s Setup) intervalOf(p pattern) theory.Interval { return theory.Chromatic(s.gap(p) + p.offset) }

// fretsOf lists the frets of the lower string on which a pattern can be asked.
func (s Setup) fretsOf(p pattern) []int {
	var frets []int
	for f := s.Frets[0]; f <= s.Frets[1]; f++ {
		low, high := fretboard.Position{String: p.low, Fret: f}, fretboard.Position{String: p.high, Fret: f + p.offset}
		if high.Fret >= s.Frets[0] && high.Fret <= s.Frets[1] && s.sharing(s.Neck.MIDI(low), s.Neck.MIDI(high)) {
			frets = append(frets, f)
		}
	}
	return frets
}

func (s Setup) askInterval(ref string, rng *rand.Rand) (Question, error) {
	p, err := s.parsePattern(ref)
	if err != nil {
		return Question{}, err
	}
	frets := s.fretsOf(p)
	if len(frets) == 0 {
		return Question{}, fmt.Errorf("no place for it between frets %d and %d", s.Frets[0], s.Frets[1])
	}
	fret := frets[rng.IntN(len(frets))]
	low := fretboard.Position{String: p.low, Fret: fret}
	high := fretboard.Position{String: p.high, Fret: fret + p.offset}
	switch rng.IntN(4) {
	case 0, 1:
		return s.intervalName(low, high), nil
	case 2:
		return s.intervalPlace(low, high, "above"), nil
	default:
		return s.intervalPlace(high, low, "below"), nil
	}
}

// intervalName shows two places and wants the interval between them.
func (s Setup) intervalName(low, high fretboard.Position) Question {
	want := theory.Chromatic(s.Neck.MIDI(high) - s.Neck.MIDI(low))
	q := Question{
		Text:   fmt.Sprintf("From %s to %s: which interval?", say(low), say(high)),
		Expect: ExpectInterval,
		Marks:  []Mark{{low, ""}, {high, "?"}},
		Target: pair(s.Neck.MIDI(low), s.Neck.MIDI(high)),
	}
	q.lesson = func() Lesson { return s.intervalLesson(low, high) }
	q.judge = judgement(theory.ParseInterval, func(given theory.Interval) Verdict {
		// Without a key an augmented fourth is a diminished fifth, and the
		// compound may go by its simple name; the exact one is told.
		// Which of the two notes is the higher is not asked.
		size, full := abs(given.Semitones), abs(want.Semitones)
		same := size == full || given == given.Simple() && size == abs(want.Simple().Semitones)
		v := Verdict{Right: same, Given: withAn("a " + given.Name()), Want: aNamed(want), Why: s.patternRule(low, high), Marks: s.spelledPair(low, high)}
		if !same {
			v.is, v.Why = s.whereInterval(given, low, high), s.orOctave(v.Why, size-full)
		}
		if same && size != full {
			if v.Want, v.Note = v.Given, "an octave higher"; full-size == 24 {
				v.Note = "two octaves higher"
			}
		}
		return v
	})
	return q
}

// intervalPlace shows one place and wants the other end of an interval.
func (s Setup) intervalPlace(from, to fretboard.Position, way string) Question {
	low, high := from, to
	if way == "below" {
		low, high = to, from
	}
	iv := theory.Chromatic(s.Neck.MIDI(high) - s.Neck.MIDI(low))
	if iv.Semitones < 0 { // on some tunings the higher string holds the lower note
		iv, way = iv.Neg(), map[string]string{"above": "below", "below": "above"}[way]
	}
	text := fmt.Sprintf("%s %s %s: which fret on string %d?", sentence(aNamed(iv)), way, say(from), to.String)
	if iv.Semitones == 0 {
		text = fmt.Sprintf("The same note as %s: which fret on string %d?", say(from), to.String)
	}
	q := Question{
		Text:   text,
		Expect: ExpectFret,
		String: to.String,
		Marks:  []Mark{{from, ""}},
		Target: pair(s.Neck.MIDI(low), s.Neck.MIDI(high)),
	}
	rule := s.patternRule(low, high)
	if to == low {
		rule = s.patternDown(low, high)
	}
	q.lesson = func() Lesson {
		l := s.intervalLesson(low, high)
		if to == low { // as it is asked: from the upper string down
			l.Pattern, l.Here = rule, fmt.Sprintf("%s (%s) to %s (%s)", sentence(say(high)), l.Marks[1].Label, say(low), l.Marks[0].Label)
		}
		return l
	}
	q.cue = single(s.Neck.MIDI(from))
	if iv.Semitones != 0 { // the same note twice is heard, and not on which strings
		q.playing = func() *Playing { return s.rollInterval(low, high, from) }
	}
	q.judge = judgement(s.fretOn(to.String), func(given fretboard.Position) Verdict {
		v := Verdict{
			Right: given == to,
			Given: "fret " + strconv.Itoa(given.Fret),
			Want:  "fret " + strconv.Itoa(to.Fret),
			Why:   rule,
			Marks: s.spelledPair(low, high),
		}
		if !v.Right {
			v.is, v.Why = s.isInterval(from, given, to), s.orOctave(v.Why, given.Fret-to.Fret)
		}
		return v
	})
	return q
}

// patternRule says how the hand finds an interval on strings so far apart, wherever it
// lies.
func (s Setup) patternRule(low, high fretboard.Position) string {
	semitones := s.Neck.MIDI(high) - s.Neck.MIDI(low)
	name := "the same note"
	if semitones != 0 {
		name = sayInterval(semitones)
	}
	return sentence(name) + ": " + s.hops(low.String, low.String-high.String, semitones, false)
}

// patternDown says the same of an interval that is looked for from its upper string.
func (s Setup) patternDown(low, high fretboard.Position) string {
	semitones := s.Neck.MIDI(low) - s.Neck.MIDI(high)
	return sentence(sayInterval(semitones)) + ": " + s.hops(high.String, low.String-high.String, -semitones, true)
}

// sayInterval names an interval with its article, up or down: "a minor third up", "an
// octave down".
func sayInterval(semitones int) string {
	iv, way := theory.Chromatic(semitones), "up"
	switch {
	case semitones == 0:
		return "the same note"
	case semitones < 0:
		iv, way = iv.Neg(), "down"
	}
	return aNamed(iv) + " " + way
}

// aNamed names an interval with its article, as players do: "a minor third", "an octave",
// "a tritone".
func aNamed(iv theory.Interval) string {
	octaves, rest := wideName(iv)
	switch {
	case iv.Semitones == 0:
		return "a unison"
	case octaves == "":
		return withAn("a " + rest)
	case rest == "":
		return withAn(octaves)
	}
	return withAn(octaves + " and a " + rest)
}

// named names an interval without its article: "minor third", "octave and tritone".
func named(iv theory.Interval) string {
	octaves, rest := wideName(iv)
	octaves = strings.TrimPrefix(octaves, "a ")
	switch {
	case octaves == "":
		return rest
	case rest == "":
		return octaves
	}
	return octaves + " and " + rest
}

// wideName names an interval as players do: by one word up to the thirteenth, wider ones
// by their octaves and the rest, since nobody says fourteenth.
func wideName(iv theory.Interval) (octaves, rest string) {
	n := iv.Semitones
	switch {
	case n == 6:
		return "", "tritone"
	case n > 0 && n%12 == 0 || n == 18 || n > 21:
		octaves = [...]string{"a octave", "two octaves", "three octaves", "four octaves"}[min(n/12, 4)-1]
		if n%12 > 0 {
			_, rest = wideName(theory.Chromatic(n % 12))
		}
		return octaves, rest
	}
	return "", iv.Name()
}

// told labels places with their notes, where nothing but some keys is asked as the
// first of them spells these that has them all.
func (s Setup) told(places ...fretboard.Position) []Mark {
	for _, k := range s.Keys {
		alone := Setup{Keys: []theory.Key{k}, OnlyKeys: s.OnlyKeys}
		if !slices.ContainsFunc(places, func(p fretboard.Position) bool { return !alone.allowed(s.Neck.MIDI(p)) }) {
			s.Keys = alone.Keys
			break
		}
	}
	var marks []Mark
	for _, p := range places {
		marks = append(marks, Mark{p, s.Names.Note(s.noteAt(p, s.Flats))})
	}
	return marks
}

func (s Setup) parsePattern(ref string) (pattern, error) {
	cut := strings.LastIndexAny(ref, "+-")
	if cut < 0 {
		return pattern{}, fmt.Errorf("%q has no offset", ref)
	}
	offset, err := strconv.Atoi(ref[cut:])
	low, high, _ := strings.Cut(ref[:cut], "-")
	p := pattern{s.stringOpen(low), s.stringOpen(high), offset}
	if err != nil || p.low == 0 || p.high == 0 {
		return pattern{}, fmt.Errorf("%q names no two strings of this tuning", ref)
	}
	return p, nil
}

// sentence begins a sentence with a capital.
func sentence(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[size:]
}

// withAn mends the article before a vowel: "an octave", "an augmented fourth".
func withAn(text string) string {
	text = " " + text
	for _, vowel := range []string{"o", "a", "e"} {
		text = strings.ReplaceAll(text, " a "+vowel, " an "+vowel)
	}
	return text[1:]
}
