package drills

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// heardIntervals are asked by ear, within the octave and the tenths, the plainest first.
var heardIntervals = []string{"P8", "P5", "P4", "M3", "m3", "M10", "m10", "M2", "m2", "M6", "m6", "m7", "M7", "A4"}

// heardChords are the qualities told apart by ear, each against the others.
var heardChords = []string{"", "m", "7", "m7", "maj7", "sus4"}

// earTopics are what is practised together by ear.
var earTopics = map[string]string{
	"interval": "intervals by ear", "tenth": "intervals by ear", "chord": "chords by ear",
	"fret": "bass notes by ear", "walkup": "bass notes by ear",
}

// earItems ask about what is heard: a tenth, major or minor; an interval; the
// fret that gave a note, after its open string; the wrong note of a walk-up;
// whether what sounds is the chord it should be.
//
// Absolute pitch is never asked for: a reference always sounds first. Without
// sound these items are left out. Ids: "ear/tenth", "ear/interval/m3",
// "ear/fret/E2", "ear/chord/m7".
func (s Setup) earItems() []Item {
	if !s.Sound {
		return nil
	}
	var items []Item
	add := func(what, title string, stage int, strs []int, kin ...Kin) {
		kind, _, _ := strings.Cut(what, "/")
		guess := 0.0
		if kind == "tenth" || kind == "chord" || kind == "walkup" { // its first and last note are never wrong
			guess = 0.5
		}
		items = append(items, Item{
			ID: "ear/" + what, Title: title, Group: "ear " + kind, topic: earTopics[kind],
			Aim: s.Aim * 2, Stage: stage, Strings: strs, Kin: kin, Guess: guess,
		})
	}
	if s.OnlyKeys { // what has no key of its own is left out
		if s.walks(motions[0]) {
			add("walkup", "the wrong note of a walk-up by ear", stageTriads, nil)
		}
		return items
	}
	add("tenth", "a tenth by ear, major or minor", stageForms, nil)
	for i, name := range heardIntervals {
		iv, err := theory.ParseInterval(name)
		if err != nil {
			panic(err) // a table of this file
		}
		add("interval/"+name, "the "+named(iv)+" by ear", stageWalks+i/5, nil)
	}
	for rank, str := range lowFirst(s.Neck.Tuning) {
		if low, high := s.heardFrets(); low > high {
			break
		}
		add("fret/"+s.Neck.Tuning.Open[str-1].String(), fmt.Sprintf("a fret of string %d by ear", str), stageWalks+min(rank, 4), []int{str})
	}
	if s.walks(motions[0]) {
		add("walkup", "the wrong note of a walk-up by ear", stageTriads, nil)
	}
	for _, symbol := range heardChords {
		add("chord/"+quality(symbol), quality(symbol)+" chords by ear", stageColours, nil)
	}
	return items
}

// quality names a chord symbol's suffix; the major triad has none of its own.
func quality(symbol string) string {
	if symbol == "" {
		return "major"
	}
	return symbol
}

func (s Setup) askEar(ref string, rng *rand.Rand) (Question, error) {
	kind, what, _ := strings.Cut(ref, "/")
	switch kind {
	case "tenth":
		return s.hearTenth(rng), nil
	case "interval":
		iv, err := theory.ParseInterval(what)
		return s.hearInterval(iv, rng), err
	case "fret":
		return s.hearFret(s.stringOpen(what), rng)
	case "walkup":
		return s.hearWalkUp(rng)
	case "chord":
		return s.hearChord(what, rng)
	}
	return Question{}, fmt.Errorf("%q is nothing to hear", ref)
}

// hearTenth sounds a tenth as players hold it, on strings 6 and 3 or 5 and 2.
func (s Setup) hearTenth(rng *rand.Rand) Question {
	iv := []theory.Interval{{Steps: 9, Semitones: 16}, {Steps: 9, Semitones: 15}}[rng.IntN(2)]
	low := s.lowNote(rng, 12)
	is := func(given int) string {
		other := theory.Chromatic(16 - given)
		return fmt.Sprintf("%s is %s", aNamed(other), halfSteps(other.Semitones))
	}
	q := s.hearChoice("You hear a tenth: major or minor?", []string{"major", "minor"}, 16-iv.Semitones,
		pair(low, low+iv.Semitones), fmt.Sprintf("You heard %s, %s", aNamed(iv), halfSteps(iv.Semitones)), is)
	q = s.candidates(q, low, iv, func(string) (theory.Interval, bool) {
		return theory.Interval{Steps: 9, Semitones: 31 - iv.Semitones}, true
	})
	q.playing = func() *Playing {
		return s.playBack(low, iv.Semitones, func(up int) (string, error) {
			switch up % 12 { // or the third, an octave nearer
			case 4:
				return "major", nil
			case 3:
				return "minor", nil
			}
			return "", fmt.Errorf("heard %s: play a tenth, or the third within it", aNamed(theory.Chromatic(up)))
		})
	}
	return q.hearing("A major tenth is 16 half steps, a minor one 15: the same as a major or a minor third, and an octave", "You hear "+aNamed(iv))
}

// hearInterval sounds an interval from a low note and wants its name.
func (s Setup) hearInterval(iv theory.Interval, rng *rand.Rand) Question {
	low := s.lowNote(rng, 17)
	q := Question{
		Text:   "Two notes, the lower first: which interval?",
		Expect: ExpectInterval,
		Heard:  pair(low, low+iv.Semitones),
	}
	q.Target = q.Heard
	why := fmt.Sprintf("%s is %s on one string", sentence(aNamed(iv)), frets(iv.Semitones))
	q.lesson = func() Lesson { return Lesson{Pattern: why, Here: "You hear " + aNamed(iv)} }
	q.playing = func() *Playing {
		return s.playBack(low, iv.Semitones, func(up int) (string, error) { return theory.Chromatic(up).String(), nil })
	}
	q.judge = judgement(theory.ParseInterval, func(given theory.Interval) Verdict {
		v := Verdict{
			Right: given.Semitones == iv.Semitones,
			Given: withAn("a " + given.Name()), Want: aNamed(iv), Why: why,
		}
		if !v.Right {
			v.is = fmt.Sprintf("%s is %s", aNamed(theory.Chromatic(abs(given.Semitones))), frets(abs(given.Semitones)))
			if given.Semitones == 0 {
				v.is = "a unison is the same note twice"
			}
		}
		return v
	})
	return s.candidates(q, low, iv, func(answer string) (theory.Interval, bool) {
		given, err := theory.ParseInterval(answer)
		return given, err == nil && given.Semitones >= 0
	})
}

// lowNote draws a note from the range where roots live, up frets above the
// lowest open string at the most.
func (s Setup) lowNote(rng *rand.Rand, up int) int {
	return s.Neck.MIDI(fretboard.Position{String: s.Neck.Tuning.Strings()}) + rng.IntN(up)
}

// hearFret sounds an open string and then a note on it, and wants the fret.
func (s Setup) hearFret(str int, rng *rand.Rand) (Question, error) {
	if str == 0 {
		return Question{}, fmt.Errorf("this tuning has no such string")
	}
	open := fretboard.Position{String: str}
	low, last := s.heardFrets()
	at := fretboard.Position{String: str, Fret: low + rng.IntN(last-low+1)}
	q := Question{
		Text:   fmt.Sprintf("Open string %d, then a note at fret %d to %d: which fret?", str, low, last),
		Expect: ExpectFret,
		String: str,
		Marks:  []Mark{{open, ""}},
		Heard:  row([]int{s.Neck.MIDI(open), s.Neck.MIDI(at)}),
	}
	q.Target = q.Heard
	rule := func(fret int) string {
		return fmt.Sprintf("%s up is %s above the open string", frets(fret), aNamed(theory.Chromatic(fret)))
	}
	q.lesson = func() Lesson {
		return Lesson{Pattern: sentence(rule(at.Fret)), Here: fmt.Sprintf("You hear the open string %d, then fret %d", str, at.Fret), Marks: s.told(open, at)}
	}
	q.playing = func() *Playing { return s.playOneOf([]fretboard.Position{at}, "Play it back on its string.") }
	q.judge = judgement(s.fretOn(str), func(given fretboard.Position) Verdict {
		v := Verdict{
			Right: given == at,
			Given: "fret " + strconv.Itoa(given.Fret), Want: "fret " + strconv.Itoa(at.Fret),
			Why:   sentence(rule(at.Fret)),
			Marks: s.told(at),
		}
		switch {
		case v.Right:
		case given.Fret == 0:
			v.is = "the open string is what came first"
		default:
			v.is = rule(given.Fret)
		}
		return v
	})
	return q, nil
}

// heardFrets are the lowest and the highest fret asked by ear.
func (s Setup) heardFrets() (low, high int) { return max(1, s.Frets[0]), min(12, s.Frets[1]) }

// hearChord draws a root, says which chord it should be, and sounds that one or
// another on the same root: is it the chord?
func (s Setup) hearChord(what string, rng *rand.Rand) (Question, error) {
	symbol := strings.TrimPrefix(what, "major")
	asked := theory.Note{Letter: theory.Letter(rng.IntN(7))}
	played := symbol
	if rng.IntN(2) == 0 {
		for played == symbol {
			played = heardChords[rng.IntN(len(heardChords))]
		}
	}
	want, err := theory.ParseChord(asked.String() + symbol)
	if err != nil {
		return Question{}, err
	}
	sounds, err := theory.ParseChord(asked.String() + played)
	if err != nil {
		return Question{}, err
	}
	root := s.lowNote(rng, 1)
	root += (asked.PitchClass() - root%12 + 12) % 12
	var midis []int
	for _, iv := range sounds.Intervals() {
		midis = append(midis, root+iv.Semitones)
	}
	choice := map[bool]int{true: 0, false: 1}[played == symbol]
	q := s.hearChoice(
		fmt.Sprintf("Is this %s?", s.Names.Chord(want)),
		[]string{"yes", "no"}, choice, strum(midis), fmt.Sprintf("You heard %s: %s", s.Names.Chord(sounds), s.sayNotes(sounds.Notes())),
		func(given int) string {
			if played == symbol {
				return "" // it is told as what was heard
			}
			return s.spells(want)
		})
	heard := s.toneRow(sounds)
	heard.Title += ", which you heard"
	q.Rows = []Row{heard}
	if played != symbol {
		q.Rows = append(q.Rows, s.toneRow(want))
	}
	return q.hearing(s.spells(want), "You hear "+s.Names.Chord(sounds)), nil
}

// hearWalkUp sounds a walk-up in which one note on the way is a semitone off,
// and wants that note.
func (s Setup) hearWalkUp(rng *rand.Rand) (Question, error) {
	keys := s.calledKeys()
	for _, i := range rng.Perm(len(keys)) {
		line, err := s.line(motions[0], keys[i])
		if err != nil {
			continue // this key has no room on this neck
		}
		var names []string
		for _, n := range line.Notes() {
			names = append(names, s.Names.Note(n))
		}
		midis := s.midis(line.Path)
		wrong := 1 + rng.IntN(len(midis)-2)
		midis[wrong] += 1 - 2*rng.IntN(2)
		why := names[wrong] + " was a half step too low"
		if midis[wrong] > s.Neck.MIDI(line.Path[wrong]) {
			why = names[wrong] + " was a half step too high"
		}
		q := s.hearChoice(
			fmt.Sprintf("%s with one wrong note: which one?", strings.Join(names, " ")),
			names, wrong, row(midis), why, func(given int) string { return names[given] + " was as written" })
		q.Walk = line.Path
		return q.hearing(s.walkRule(keys[i], line), why), nil
	}
	return Question{}, fmt.Errorf("this neck has no room for a walk-up")
}

// hearChoice wants one of a few answers to what is heard.
// what is says what a wrong choice is.
func (s Setup) hearChoice(text string, choices []string, right int, heard []Sounding, why string, is func(given int) string) Question {
	q := Question{Text: text, Expect: ExpectChoice, Choices: choices, Heard: heard, Target: heard}
	q.judge = func(answer string) (Verdict, error) {
		given, err := parseChoice(answer, choices)
		if n, e := s.Names.Parse(answer); err != nil && e == nil { // a note by another spelling of its name
			if i := slices.Index(choices, s.Names.Note(n)); i >= 0 {
				given, err = i, nil
			}
		}
		if err != nil {
			return Verdict{}, err
		}
		v := Verdict{Right: given == right, Given: choices[given], Want: choices[right], Why: why}
		if !v.Right {
			v.is = is(given)
		}
		return v, nil
	}
	return q
}

// hearing adds a lesson to a question by ear.
func (q Question) hearing(pattern, here string) Question {
	q.lesson = func() Lesson { return Lesson{Pattern: pattern, Here: here} }
	return q
}

// halfSteps says a number of half steps: "15 half steps".
func halfSteps(n int) string { return counted(n, "half step") }
