package drills

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// standard is a guitar of 22 frets in standard tuning.
func standard() Setup {
	s := whole().setup
	s.Sound = false
	return s
}

// whole is its catalogue with sound.
var whole = sync.OnceValue(func() *Catalogue {
	return NewCatalogue(Setup{Neck: fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}, Sound: true, Changes: songChanges(), Parts: []OwnPart{tinIntro(tinTab)}})
})

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// seeded returns a random source that a test can ask for again.
func seeded(seed int) *rand.Rand { return rand.New(rand.NewPCG(uint64(seed), 7)) }

// mistake finds a wrong answer to q, in the player's names, and how it is judged.
func mistake(q Question, names theory.Names) (Verdict, bool) {
	c, f := names.Note(theory.Note{}), names.Note(theory.Note{Letter: theory.F, Alter: 1})
	times := func(words ...string) []string {
		for i, w := range words {
			words[i] = strings.TrimSpace(strings.Repeat(w+" ", max(q.Count, 1)))
		}
		return words
	}
	var answers []string
	switch q.Expect {
	case ExpectNote, ExpectKey, ExpectNotes:
		answers = times(c, f)
	case ExpectChord:
		answers = times(c+"dim7", f+"13")
	case ExpectFret:
		answers = []string{"1", "2", "6", "10"}
	case ExpectInterval:
		answers = []string{"m2", "P4"}
	case ExpectNumber:
		answers = []string{"2", "#4"}
	case ExpectSignature:
		answers = []string{"5b", "1#"}
	case ExpectChoice:
		answers = []string{"1", "2"}
	case ExpectPlaces, ExpectPath:
		for _, fret := range []int{1, 5} {
			places := ""
			for i := range q.Count {
				str := i%4 + 1
				if len(q.On) > 0 {
					str = q.On[i]
				}
				places += fmt.Sprintf("%d/%d ", str, fret)
			}
			answers = append(answers, places)
		}
	}
	for _, answer := range answers {
		if v, err := q.Judge(answer); err == nil && !v.Right {
			return v, true
		}
	}
	return Verdict{}, false
}

// foreign matches note names of another language in a text. Degrees (b3), the
// names of forms (E form), scientific pitches and the article are no names.
var foreign = map[theory.System]*regexp.Regexp{
	theory.Solfege: regexp.MustCompile(`\b([B-H]|A[#b])(#|b|is|es)*(m|maj|dim|aug|sus|add|\d)*\b|\bH\b`),
	theory.German:  regexp.MustCompile(`\b[A-GH](#|b)|\b(Do|Re|Mi|Fa|Sol|La|Si)\b`),
	theory.English: regexp.MustCompile(`\bH\b|\b[A-H](is|es)\b|\b(Do|Re|Mi|Fa|Sol|La|Si)[#b]?\b`),
}

var noNames = regexp.MustCompile(`\b[ACDEG][ -]form\b|\bA (a|m|p|d|o)|\bD form on`)

// Whatever the instrument and the language, every question stands alone and can be
// answered: a mistake is told the right answer, which is right when it is typed
// back, how to find it, and where it lies.
func TestEveryQuestionIsAskedToldAndAnswered(t *testing.T) {
	necks := []fretboard.Fretboard{{Frets: 22}, {Frets: 12}, {Frets: 22, Capo: 3}, {Frets: 24, Capo: 12}, {Frets: 36}}
	for i, tuning := range fretboard.Tunings {
		for system := range theory.German + 1 {
			neck := necks[(i+int(system))%len(necks)]
			neck.Tuning = tuning
			c := NewCatalogue(Setup{Neck: neck, Names: theory.Names{System: system}, Flats: i%2 == 0, Sound: true, Changes: songChanges()})
			rng := seeded(i)
			kinds := map[string]bool{} // one question of each at the least
			for n, it := range c.Items() {
				if i+int(system) > 0 && n%5 != 0 { // all of them with the first setup
					continue
				}
				q, err := c.Ask(it.ID, rng)
				if err != nil {
					t.Fatalf("%s, %d frets, capo %d: %v", tuning.Name, neck.Frets, neck.Capo, err)
				}
				kind := fmt.Sprint(q.Family, q.Expect, len(q.Marks))
				if i+int(system) > 0 && kinds[kind] && n%13 != 0 {
					continue
				}
				kinds[kind] = true
				checkQuestion(t, c.setup, it, q)
			}
		}
	}
}

func checkQuestion(t *testing.T, s Setup, it Item, q Question) {
	t.Helper()
	v, ok := mistake(q, s.Names)
	switch {
	case !strings.HasSuffix(q.Text, "?") || strings.ContainsAny(q.Text, "\n") || strings.Contains(q.Text, "  "):
		t.Errorf("%s asks %q: want one sentence that ends in a question mark", it.ID, q.Text)
	case q.Item != it.ID || q.Family != it.Family || len(q.Target) == 0 && it.Family != "key":
		t.Errorf("%s asks as %s of %s, and sounds %v", it.ID, q.Item, q.Family, q.Target)
	case !ok || v.Why == "" || v.Given == "":
		t.Errorf("%s: no mistake is told why: %+v", q.Text, v)
	}
	told := []string{v.Want}
	if _, err := q.Judge(v.Want); err != nil {
		told = strings.Split(v.Want, " or ")
	}
	for _, want := range told {
		if again, err := q.Judge(want); err != nil || !again.Right {
			t.Errorf("%s, %+v: %s: told %q, which is judged %+v, %v", s.Neck.Tuning.Name, s.Names, q.Text, want, again, err)
		}
		if again, err := q.Judge(strings.ToLower(want)); err != nil || !again.Right && q.Expect != ExpectNumber {
			t.Errorf("%s: told %q, which is judged %+v in small letters, %v", q.Text, want, again, err)
		}
	}
	for _, text := range []string{it.Title, q.Text, v.Given, v.Want, v.Note, v.Why, strings.Join(q.Choices, " ")} {
		if bad := foreign[s.Names.System].FindString(noNames.ReplaceAllString(text, "")); bad != "" {
			t.Errorf("%+v: %q in %q of %s", s.Names, bad, text, it.ID)
		}
	}
	for _, m := range append(slices.Clone(q.Marks), v.Marks...) {
		if !s.Neck.Has(m.At) {
			t.Errorf("%s draws %s, off the neck", it.ID, m.At.Say())
		}
	}
	for _, m := range v.Marks { // a name on the neck is that of what sounds there
		if strings.Trim(m.Label, "b#0123456789") == "" && m.Label != "" {
			checkDegrees(t, s, q, v)
			break
		}
		if n, err := s.Names.Parse(m.Label); err != nil || n.PitchClass() != s.Neck.MIDI(m.At)%12 {
			t.Errorf("%s shows %q at %v, %v", q.Text, m.Label, m.At, err)
		}
	}
}

// checkDegrees checks labels by ear: the two notes that were heard, at their pitch, counted
// from the lower one, and beside them nothing that was heard but what it was taken for.
func checkDegrees(t *testing.T, s Setup, q Question, v Verdict) {
	t.Helper()
	var heard []int // each once: they sound one after the other, then together
	for _, h := range q.Heard {
		if !slices.Contains(heard, h.MIDI) {
			heard = append(heard, h.MIDI)
		}
	}
	if len(v.Marks) != 2 || v.Marks[0].Label != "1" || len(heard) != 2 {
		t.Errorf("%s shows %v of what is heard, %v", q.Text, v.Marks, q.Heard)
		return
	}
	for i, m := range append(slices.Clone(v.Marks), v.Others...) {
		at := s.Neck.MIDI(m.At)
		if mod(at-heard[0]-degreeSteps(m.Label), 12) != 0 {
			t.Errorf("%s shows %q at %s, %d half steps above the lower note", q.Text, m.Label, m.At.Say(), at-heard[0])
		}
		if i < 2 && at != heard[i] || i >= 2 && slices.Contains(heard, at) {
			t.Errorf("%s shows %q at %s, of what is heard, %v", q.Text, m.Label, m.At.Say(), heard)
		}
	}
}

// degreeSteps is how many half steps a degree lies above the 1, octaves aside: "b3", "10".
func degreeSteps(degree string) int {
	number := strings.TrimLeft(degree, "b#")
	steps := majorSteps[strconv.Itoa((atoi(number)-1)%7+1)]
	sign := degree[:len(degree)-len(number)]
	return steps + strings.Count(sign, "#") - strings.Count(sign, "b")
}

func TestItemsAreDistinctAndTheirKinExist(t *testing.T) {
	for _, tuning := range fretboard.Tunings {
		c := NewCatalogue(Setup{Neck: fretboard.Fretboard{Tuning: tuning, Frets: 21}, Sound: true})
		if len(c.index) != len(c.items) {
			t.Errorf("%s: %d items have %d ids", tuning.Name, len(c.items), len(c.index))
		}
		for _, it := range c.Items() {
			for _, k := range it.Kin {
				if _, ok := c.Item(k.ID); !ok || k.Weight <= 0 || k.Weight > 1 || k.ID == it.ID {
					t.Errorf("%s: %s has kin %+v", tuning.Name, it.ID, k)
				}
			}
		}
	}
}

func TestWithoutSoundNothingMustBeHeard(t *testing.T) {
	c := NewCatalogue(standard())
	for _, it := range c.Items() {
		if q, err := c.Ask(it.ID, seeded(9)); err != nil || len(q.Heard) > 0 {
			t.Errorf("%s must be heard (%v)", it.ID, err)
		}
	}
}

// Where the fret varies, an item does not ask the same fret each time.
func TestTheFretVaries(t *testing.T) {
	for _, id := range []string{"note/E2+3/name", "interval/E2-G3+1", "shape/tenth-6-minor@E2-G3/place"} {
		if texts := asked(t, whole(), id); len(texts) < 2 {
			t.Errorf("%s always asks %v", id, texts)
		}
	}
}

// asked is what an item asks in sixty posings, and how it is asked.
func asked(t *testing.T, c *Catalogue, id string) map[string]Question {
	t.Helper()
	texts := map[string]Question{}
	for seed := range 60 {
		q, err := c.Ask(id, seeded(seed))
		if err != nil {
			t.Fatal(err)
		}
		texts[q.Text] = q
	}
	return texts
}

func TestUnknownItemsAreRefused(t *testing.T) {
	for _, id := range []string{"", "note", "note/E2+99/name", "shape/nonsense@E2/place", "ear/", "ear/fret/C2", "walkup/1-4/sideways@E2"} {
		if _, err := whole().Ask(id, seeded(1)); err == nil {
			t.Errorf("%q was asked", id)
		}
	}
}

// verdicts checks how q judges each answer: right or not.
func verdicts(t *testing.T, q Question, answers map[string]bool) {
	t.Helper()
	for answer, right := range answers {
		if v, err := q.Judge(answer); err != nil || v.Right != right {
			t.Errorf("%s answered %q: %+v, %v", q.Text, answer, v, err)
		}
	}
}

// The trap of German: B is the B flat of others, H their B.
func TestGermanHasItsHAndB(t *testing.T) {
	s := standard()
	s.Names = theory.Names{System: theory.German}
	c := NewCatalogue(s)
	for id, answers := range map[string]map[string]bool{
		"note/E2+7/name": {"H": true, "h": true, "Ces": true, "B": false, "b": false, "Ais": false},
		"note/E2+6/name": {"B": true, "Ais": true, "H": false, "Hes": true, "B flat": true},
		"note/E2+2/name": {"Fis": true, "Ges": true, "F": false, "F#": true, "F sharp": true},
		"note/A2+6/name": {"Es": true, "Dis": true, "E": false},
	} {
		verdicts(t, must(c.Ask(id, seeded(1))), answers)
	}
	verdicts(t, c.setup.chordOn(must(theory.ParseKey("F")), must(theory.ParseNumeral("4"))), map[string]bool{"B": true, "Bb": true, "H": false})
	for key, want := range map[string]string{"key/B major/signature": "H major", "key/Bb major/signature": "B major", "key/B minor/signature": "H minor"} {
		if it, ok := c.Item(key); !ok || it.Title != "the signature of "+want {
			t.Errorf("%s is called %q", key, it.Title)
		}
	}
}
