package line

import (
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/practice/practicetest"
	"surefret/cmd/surefret/settings"
	"surefret/cmd/surefret/spoken"
	"surefret/drills"
)

// inFull are the numbers of spoken answers.
var inFull = strings.Fields("zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen twenty twenty-one twenty-two")

var figure = regexp.MustCompile(`\b\d+\b`)

// judgedSpoken gives an answer to a question as whoever listens types it, and reports
// whether it was right.
func judgedSpoken(t *testing.T, set settings.Settings, item, answer string) bool {
	t.Helper()
	var log practicetest.Log
	now := time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC)
	s := practicetest.Begin(&log, set, func() time.Time { return now }, item)
	var out strings.Builder
	clock := func() time.Time { now = now.Add(time.Second); return now }
	if err := (Runner{In: strings.NewReader(answer), Out: &out, Err: &out, Now: clock}).Run(t.Context(), s); err != nil {
		t.Fatal(err)
	}
	return len(log.Rows) == 1 && log.Rows[0].Right
}

// The right answer to every question is read as it is said in words, in the player's
// names, with its numbers in figures and in full.
func TestWhatIsSaidIsReadAsAnAnswer(t *testing.T) {
	systems := []string{"english", "german", "solfege"}
	for k, system := range systems {
		set := settings.Default()
		set.Names = system
		p := practicetest.Open(&practicetest.Log{}, set, time.Now)
		say, rng := spoken.Speller{Names: p.Setup().Names}.Text, rand.New(rand.NewPCG(1, 2))
		for i, it := range p.Catalogue().Items() {
			if i%len(systems) != k {
				continue
			}
			q, err := p.Catalogue().Ask(it.ID, rng)
			if err != nil {
				t.Fatal(err)
			}
			want, _, _ := strings.Cut(say(wantOf(q)), " or ")
			full := figure.ReplaceAllStringFunc(want, func(n string) string { i, _ := strconv.Atoi(n); return inFull[min(i, len(inFull)-1)] })
			for _, said := range []string{want, full} {
				v, err := q.Judge(said)
				if err != nil {
					v, err = q.Judge(spoken.Written(said))
				}
				if err != nil || !v.Right {
					t.Fatalf("%s, %s: %q is not right: %v", system, q.Text, said, err)
				}
			}
		}
	}
	for _, c := range []struct{ names, item, answer string }{
		{"english", "note/E2+9/find", "string six fret nine"}, {"english", "note/E2+9/find", "ninth fret"}, {"english", "note/E2+9/find", "ninth"}, {"english", "note/E2+2/name", "f sharp"},
		{"german", "note/E2+2/name", "fis"}, {"german", "note/A2+1/name", "b"}, {"german", "note/E2+7/name", "h"},
		{"solfege", "note/E2+2/name", "fa sharp"}, {"solfege", "note/A2+1/name", "si flat"}, {"solfege", "note/A2+1/name", "la sharp"},
	} {
		set := settings.Default()
		set.Names = c.names
		if !judgedSpoken(t, set, c.item, c.answer) {
			t.Errorf("%s, %s: %q is not read as right", c.names, c.item, c.answer)
		}
	}
}

// wantOf gets the right answer to a question out of its judge.
func wantOf(q drills.Question) string {
	for _, text := range []string{"C", "Fis", "Fa", "0", "1", "2", "A4", "m2", "C7", "Do7", "7b", "6b", "1/1"} {
		for _, times := range []int{1, max(q.Count, len(q.On), 1)} {
			if v, err := q.Judge(strings.TrimSpace(strings.Repeat(text+" ", times))); err == nil && v.Want != "" {
				return v.Want
			}
		}
	}
	return ""
}

// Whoever hears that a shape was wrong hears only the strings that differ.
func TestAWrongShapeNamesTheStringsThatDiffer(t *testing.T) {
	for _, c := range []struct{ want, given, said string }{
		{"x x 5 7 x x", "x x 5 5 x x", "Wrong: string 3: 7, not 5."},
		{"10 x 8 10 11 x or x x 8 10 11 x", "10 x 8 7 6 x", "Wrong: string 3: 10, not 7; string 2: 11, not 6."},
		{"x 3 2 0 1 0", "x 3 x 0 1 1", "Wrong: string 4: 2, not left out; string 1: open, not 1."},
		{"6/3 3/4", "6/3 3/5", "Wrong: it is 6/3 3/4, not 6/3 3/5."},
	} {
		if said := heard(drills.ExpectPlaces, practice.Result{Verdict: drills.Verdict{Want: c.want, Given: c.given}}); said != c.said {
			t.Errorf("%s in place of %s: %q, want %q", c.given, c.want, said, c.said)
		}
	}
}
