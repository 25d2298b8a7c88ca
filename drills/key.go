package drills

import (
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"
	"unicode"

	"surefret/drills/theory"
)

// The chords of a key that bands use by number. The diminished ones are left to
// books. Numbers count from the major scale of the tonic.
var (
	majorNumbers = []string{"2-", "3-", "4", "5", "6-"}
	minorNumbers = []string{"b3", "4-", "5-", "5", "b6", "b7"}
)

// progressions are common ones of popular music. Common practice, no source.
var progressions = []string{"1 4 5", "1 5 6- 4", "1 6- 4 5", "2- 5 1", "1 4 1 5", "6- 4 1 5", "1 3- 4 5", "1 b7 4 1"}

// keyItems ask what a player must know of a key before he plays in it: its
// signature, its relative, the chords by the numbers that bands call, and a
// progression said in the key that the singer wants.
//
// Each is asked both ways round. Spelling is part of the answer here: the 4 of
// E flat is A flat, not G sharp. Ids: "key/Eb major/signature", "key/Eb
// major/relative", "key/Eb major/4", "key/progression/1 5 6- 4".
func (s Setup) keyItems() []Item {
	var items []Item
	for _, m := range []theory.Mode{theory.Major, theory.Minor} {
		keys := s.keysOf(m)
		for rank, k := range keys {
			add := func(what, title string, kin ...Kin) {
				items = append(items, Item{
					ID: keyID(k, what), Title: title, Group: k.String(), topic: keyTopic(k),
					Aim: s.Aim * 3 / 2, Stage: keyStage(m, rank, what), Kin: kin,
				})
			}
			name := s.Names.Key(k)
			add("signature", "the signature of "+name)
			if m == theory.Major {
				add("relative", "the relative minor of "+name)
			}
			if abs(k.Signature()) == 7 {
				continue // nobody calls an E#m or an Fb
			}
			for _, number := range numbersOf(m) {
				add(number, fmt.Sprintf("the %s in %s", number, name), neighbourKin(k, keys, number)...)
			}
		}
	}
	if len(s.keysOf(theory.Major)) == 0 {
		return items
	}
	for i, p := range progressions {
		items = append(items, Item{
			ID: "key/progression/" + p, Title: p + " said in any key", Group: "progressions", topic: "progressions by number",
			Aim: s.Aim * 2, Stage: []int{stageBasics, stageForms, stageForms, stageWalks, stageWalks, stageFourth, stageFourth, stageFourth}[i],
		})
	}
	return items
}

func keyID(k theory.Key, what string) string { return fmt.Sprintf("key/%s/%s", k, what) }

func numbersOf(m theory.Mode) []string {
	if m == theory.Major {
		return majorNumbers
	}
	return minorNumbers
}

// neighbourKin: the same number a fifth away, where most notes of the scale are
// the same. The weight is chosen, no source.
func neighbourKin(k theory.Key, among []theory.Key, number string) []Kin {
	var kin []Kin
	for _, other := range among {
		if abs(other.Signature()-k.Signature()) == 1 && abs(other.Signature()) < 7 {
			kin = append(kin, Kin{keyID(other, number), 0.2})
		}
	}
	return kin
}

func (s Setup) askKey(ref string, rng *rand.Rand) (Question, error) {
	name, what, _ := strings.Cut(ref, "/")
	if name == "progression" {
		keys := s.calledKeys()
		return s.sayProgression(what, keys[rng.IntN(len(keys))])
	}
	k, err := theory.ParseKey(name)
	if err != nil {
		return Question{}, err
	}
	back := rng.IntN(2) == 0
	switch {
	case what == "signature" && back:
		return s.keyOfSignature(k), nil
	case what == "signature":
		return s.signatureOf(k), nil
	case what == "relative":
		return s.relativeOf(k, back), nil
	}
	n, err := theory.ParseNumeral(what)
	if err != nil {
		return Question{}, err
	}
	if back {
		return s.numberOf(k, n), nil
	}
	return s.chordOn(k, n), nil
}

// signatureOf wants the number of sharps or flats of a key.
func (s Setup) signatureOf(k theory.Key) Question {
	q := Question{
		Text:   fmt.Sprintf("%s: how many sharps or flats?", s.Names.Key(k)),
		Expect: ExpectSignature,
		Rows:   []Row{s.scaleCells(k)},
	}
	q.lesson = func() Lesson { return s.signatureLesson(k) }
	q.judge = judgement(parseSignature, func(given int) Verdict {
		other := theory.KeysOf(k.Mode)[given+7]
		v := Verdict{Right: given == k.Signature(), Given: other.SignatureName(), Want: k.SignatureName(), Why: s.signatureRule(k)}
		if !v.Right {
			v.is = fmt.Sprintf("%s is %s", other.SignatureName(), s.Names.Key(other))
		}
		return v
	})
	return q
}

// keyOfSignature wants the key of a signature.
func (s Setup) keyOfSignature(k theory.Key) Question {
	q := Question{
		Text:   fmt.Sprintf("%s: which %s key?", sentence(k.SignatureName()), k.Mode),
		Expect: ExpectKey,
		Rows:   []Row{s.scaleCells(k).keynoteOpen()},
	}
	q.lesson = func() Lesson { return s.signatureLesson(k) }
	q.judge = s.judgeKey(k, s.signatureRule(k), func(given theory.Key) string {
		return fmt.Sprintf("%s has %s", s.Names.Key(given), given.SignatureName())
	})
	return q
}

// relativeOf wants the relative of a key, minor from major or back.
func (s Setup) relativeOf(k theory.Key, back bool) Question {
	from, to, word := k, k.Relative(), "minor"
	if back {
		from, to, word = to, from, "major"
	}
	why := fmt.Sprintf("The relative minor is on the 6 of the major key, three half steps below its keynote: %s and %s both have %s", s.Names.Key(k), s.Names.Key(k.Relative()), k.SignatureName())
	q := Question{
		Text:   fmt.Sprintf("Which key is the relative %s of %s?", word, s.Names.Key(from)),
		Expect: ExpectKey,
		Rows:   []Row{s.relativeRow(k, back)},
	}
	q.lesson = func() Lesson { return s.degreeLesson(k, theory.Degree{Number: 6}, why) }
	q.judge = s.judgeKey(to, why, func(given theory.Key) string {
		return fmt.Sprintf("%s is the relative of %s", s.Names.Key(given), s.Names.Key(given.Relative()))
	})
	return q
}

// judgeKey takes a key by its exact name. The mode may be left out where the
// question says it.
func (s Setup) judgeKey(want theory.Key, why string, is func(theory.Key) string) func(string) (Verdict, error) {
	return func(answer string) (Verdict, error) {
		given := theory.Key{Mode: want.Mode}
		tonic, err := s.Names.Parse(answer)
		if err == nil {
			given.Tonic = tonic
		} else if given, err = s.Names.ParseKey(answer); err != nil {
			return Verdict{}, err
		}
		v := Verdict{Right: given == want, Given: s.Names.Key(given), Want: s.Names.Key(want), Why: why}
		switch {
		case v.Right:
		case given.Mode == want.Mode && given.Tonic.Enharmonic(want.Tonic):
			v.Note = "it sounds the same, and the signature spells it this way"
		case abs(given.Signature()) > 7:
			v.is = s.written(given)
		default:
			v.is = is(given)
		}
		return v, nil
	}
}

// chordOn wants the chord of a number in a key, spelled as the key spells it.
func (s Setup) chordOn(k theory.Key, n theory.Numeral) Question {
	want := k.Chord(n)
	q := Question{
		Text:   fmt.Sprintf("The %s in %s: which chord?", n.Number(), s.inKey(k)),
		Expect: ExpectChord,
		Rows:   s.chordRow(k, n).opened(),
	}
	q.lesson = func() Lesson { return s.chordLesson(k, n) }
	q.judge = judgement(s.Names.ParseChord, func(given theory.Chord) Verdict {
		v := Verdict{Right: isChord(given, want), Given: s.Names.Chord(given), Want: s.Names.Chord(want), Why: s.degreeRule(k, n)}
		switch {
		case given == want:
		case v.Right:
			v.Note = "the key writes it " + s.Names.Chord(want)
		case given.Enharmonic(want):
			v.Note = "it sounds the same, and the key spells it this way"
		case given.Root != want.Root && given.Root.Enharmonic(want.Root):
			v.is = fmt.Sprintf("the %s of %s is %s, not %s", n.Number(), s.inKey(k), v.Want, v.Given)
		default:
			v.is = s.isChord(k, given)
		}
		return v
	})
	return q
}

// isChord reports whether a chord that was given is the one wanted, spelled as its key
// spells it: but that nobody needs to say C flat, or E sharp.
func isChord(given, want theory.Chord) bool {
	return given == want || unsaid(want.Root) && given.Enharmonic(want)
}

// numberOf wants the number of a chord in a key. Roman numerals will do, and so will
// the other ways in which bands count, with a note.
func (s Setup) numberOf(k theory.Key, n theory.Numeral) Question {
	q := Question{
		Text:   fmt.Sprintf("In %s, which number is %s?", s.inKey(k), s.Names.Chord(k.Chord(n))),
		Expect: ExpectNumber,
		Rows:   []Row{s.chordRow(k, n)},
	}
	q.lesson = func() Lesson { return s.chordLesson(k, n) }
	q.judge = func(answer string) (Verdict, error) {
		given, err := theory.ParseNumeral(answer)
		if err != nil {
			return Verdict{}, err
		}
		v := Verdict{Given: given.Number(), Want: n.Number() + " or " + n.Roman(), Why: s.degreeRule(k, n)}
		if v.Right, v.Note = s.numberNames(k, n, given, strings.ContainsAny(answer, "1234567")); !v.Right {
			v.is = fmt.Sprintf("the %s of %s is %s", given.Number(), s.inKey(k), s.Names.Chord(k.Chord(given)))
		}
		return v, nil
	}
	return q
}

// numberNames reports whether a given number names the chord n of k, with a word on
// how where it does so in another way than ours. In figures many say the degree
// alone.
func (s Setup) numberNames(k theory.Key, n, given theory.Numeral, figures bool) (right bool, note string) {
	alike := given.Quality == n.Quality || figures && given.Quality == theory.MajorTriad
	// Players who count from the minor scale call b3, b6 and b7 plain 3, 6 and 7.
	degree := given.Degree == n.Degree || k.Mode == theory.Minor && given.FromMinor().Degree == n.Degree
	switch {
	case degree && alike:
		return true, ""
	case degree && n.Quality.Minor() && given.Quality == theory.MajorTriad: // all numerals in capitals
		return true, "the numeral of a minor chord is written small: " + n.Roman()
	case k.Mode == theory.Minor && alike && k.Relative().Note(given.Degree) == k.Chord(n).Root:
		return true, fmt.Sprintf("that counts from %s; from %s it is the %s", s.Names.Note(k.Relative().Tonic), s.Names.Note(k.Tonic), n.Number())
	}
	return false, ""
}

// degreeRule tells how a number's root is found in a key.
func (s Setup) degreeRule(k theory.Key, n theory.Numeral) string {
	name := strings.Replace(aNamed(n.Interval()), "perfect ", "", 1)
	rule := fmt.Sprintf("The %s is %s above the 1: %s above %s", n.Degree, name, s.Names.Note(k.Chord(n).Root), s.Names.Note(k.Tonic))
	if k.Mode == theory.Minor && n.Degree.Alter == -1 {
		rule += fmt.Sprintf("; it is the %d of the minor scale, and bands call it %s since they count from the major scale", n.Degree.Number, n.Degree)
	}
	return rule
}

// sayProgression wants the chords of a progression in a key, in order.
func (s Setup) sayProgression(numbers string, k theory.Key) (Question, error) {
	var want theory.Progression
	var names []string
	for _, number := range strings.Fields(numbers) {
		n, err := theory.ParseNumeral(number)
		if err != nil {
			return Question{}, err
		}
		want, names = append(want, k.Chord(n)), append(names, s.Names.Chord(k.Chord(n)))
	}
	told := strings.Join(names, " ")
	q := Question{
		Text:   fmt.Sprintf("%s in %s: which chords?", numbers, s.inKey(k)),
		Expect: ExpectChord,
		Rows:   []Row{s.progressionRow(numbers, k, want)},
		Count:  len(want),
	}
	q.lesson = func() Lesson { return s.progressionLesson(numbers, k, want) }
	q.judge = func(answer string) (Verdict, error) {
		var given theory.Progression
		for _, word := range theory.Fields(answer, func(r rune) bool { return unicode.IsSpace(r) || r == ',' || r == '|' }) {
			c, err := s.Names.ParseChord(word) // by name: the numbers are the question
			if err != nil {
				return Verdict{}, err
			}
			given = append(given, c)
		}
		if len(given) != len(want) {
			return Verdict{}, fmt.Errorf("%q has %d chords: use %d, in their order", answer, len(given), len(want))
		}
		v := Verdict{Right: true, Given: answer, Want: told, Why: fmt.Sprintf("The scale of %s is %s", s.Names.Key(k), s.sayNotes(k.Scale()))}
		for i, c := range given {
			if v.Right && !isChord(c, want[i]) {
				v.Right, v.is = false, fmt.Sprintf("the %s is %s, not %s", k.Numeral(want[i]).Number(), s.Names.Chord(want[i]), s.Names.Chord(c))
			}
		}
		return v, nil
	}
	return q, nil
}

// parseSignature reads "3 flats", "3b", "1#", "0": sharps count up, flats down.
func parseSignature(answer string) (int, error) {
	text := strings.ToLower(strings.ReplaceAll(answer, " ", ""))
	digits := strings.TrimRight(text, "sharpflutneb#♭♯")
	sign := strings.TrimPrefix(text, digits)
	n, err := strconv.Atoi(digits)
	switch {
	case text == "none" || strings.HasPrefix(text, "nosharp") || strings.HasPrefix(text, "noflat"):
		return 0, nil
	case err != nil || n < 0 || n > 7 || n > 0 && sign == "":
	case n == 0:
		return 0, nil
	case strings.HasPrefix(sign, "s") || sign == "#" || sign == "♯":
		return n, nil
	case strings.HasPrefix(sign, "f") || sign == "b" || sign == "♭":
		return -n, nil
	}
	return 0, fmt.Errorf("%q is not a signature: use 0 to 7 sharps or flats, like 3b or 2#", answer)
}
