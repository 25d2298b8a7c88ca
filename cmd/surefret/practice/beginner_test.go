package practice_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/practice/practicetest"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
)

// beginner opens a log for a player who says that he knows no note names, or the open
// strings alone.
func beginner(log practice.Log, knows string, now func() time.Time) *practice.Player {
	s := settings.Default()
	s.Knows = knows
	s.Arrive()
	return practicetest.Open(log, s, now)
}

// Who knows no note names is asked one open string that he was shown, and then told what
// notes are; then come the lowest natural notes of that string, each shown before it is
// asked, and nothing else until all five were asked both ways.
func TestABeginnerBeginsWithFiveNaturalNotes(t *testing.T) {
	log := &practicetest.Log{}
	now := start
	p := beginner(log, settings.NoNotes, func() time.Time { return now })
	s, err := p.Begin(practice.Options{Show: true, Rand: practicetest.Rand(), Length: 10 * time.Minute})
	if err != nil {
		t.Fatal(err)
	}
	shown, asked := map[string]bool{}, []string{}
	for len(asked) < 14 {
		turn, ok, err := s.Next(t.Context(), now)
		if err != nil || !ok {
			t.Fatal(ok, err)
		}
		if turn.Lesson != nil {
			if shown[turn.Lesson.Item] = true; turn.Lesson.Item == "" && (len(asked) != 1 || asked[0] != "note/E2+0/name" || !strings.Contains(turn.Lesson.Pattern, "nut")) {
				t.Errorf("told what notes are after %q: %+v", asked, turn.Lesson)
			}
			continue
		}
		q := turn.Question
		if !shown[q.Item] && !shown[strings.Replace(q.Item, "/find", "/name", 1)] {
			t.Errorf("%s was asked and not shown", q.Item)
		}
		if !slices.Contains(asked, q.Item) {
			asked = append(asked, q.Item)
		}
		now = now.Add(3 * time.Second)
		if _, err := s.Answer(t.Context(), now, rightTo(q), time.Second, drills.EntryKeys); err != nil {
			t.Fatal(err)
		}
	}
	if !shown[""] {
		t.Error("not told what notes are")
	}
	for i, id := range asked[:10] {
		if !regexp.MustCompile(`^note/E2\+(0|1|3|5|7)/(name|find)$`).MatchString(id) {
			t.Errorf("the %d. thing asked is %s, not one of E F G A B on string 6", i+1, id)
		}
	}
	if again, err := p.Begin(practice.Options{Show: true, Rand: practicetest.Rand(), Length: time.Minute}); err != nil {
		t.Fatal(err)
	} else if turn, _, err := again.Next(t.Context(), now); err != nil || turn.Lesson != nil && turn.Lesson.Item == "" {
		t.Errorf("told again what notes are: %v", err)
	}
}

// rightTo finds the right answer to a question about one note or fret.
func rightTo(q drills.Question) string {
	v, err := q.Judge("0")
	if err != nil {
		v, _ = q.Judge("C")
	}
	word, _, _ := strings.Cut(strings.TrimPrefix(v.Want, "fret "), " ")
	return word
}

// Until he has met the sharps and flats where roots lie, what he is asked has natural
// roots in natural keys, and no fret above the twelfth.
func TestABeginnerIsAskedNaturalRoots(t *testing.T) {
	log := &practicetest.Log{}
	black := regexp.MustCompile(`(in|calls|on|^) ?[A-G][#b]|^[A-G][#b]|fret (1[3-9]|2\d)`)
	families := []drills.Family{"shape", "walkup"}
	look := func() (dark []string) {
		p := beginner(log, settings.OpenStrings, func() time.Time { return start })
		for _, turn := range asks(t, p, practice.Selection{Drills: families}, 150) {
			q := turn.Question
			if black.MatchString(q.Text) {
				dark = append(dark, q.Text)
			}
		}
		log.Rows = nil
		return dark
	}
	if dark := look(); len(dark) > 0 {
		t.Errorf("%d questions on roots that he does not have: %q", len(dark), dark[:min(5, len(dark))])
	}
	for _, open := range []string{"E2", "A2"} {
		for _, up := range map[string][]string{"E2": {"2", "4", "6", "9", "11"}, "A2": {"1", "4", "6", "9", "11"}}[open] {
			for _, way := range []string{"name", "find"} {
				id := "note/" + open + "+" + up + "/" + way
				log.Rows = append(log.Rows, rowOf(id, id, start.AddDate(0, 0, -3)))
			}
		}
	}
	if dark := look(); len(dark) == 0 {
		t.Error("who has met the sharps and flats is not asked for them")
	}
}

// A word is explained to a player once, and not again in the next sitting.
func TestAWordIsExplainedOnceToAPlayer(t *testing.T) {
	log := &practicetest.Log{}
	told := func(item string) (words []string) {
		b := begin(t, log, item)
		for _, term := range b.next().Terms {
			words = append(words, term.Name)
		}
		return words
	}
	if words := told("key/progression/1 5 6- 4"); !slices.Equal(words, []string{"minor number"}) {
		t.Fatalf("explained: %q", words)
	}
	if words := told("key/progression/2- 5 1"); len(words) != 0 {
		t.Errorf("explained again: %q", words)
	}
	if words := told("key/progression/1 b7 4 1"); !slices.Equal(words, []string{"flat number"}) {
		t.Errorf("explained: %q", words)
	}
	p := beginner(log, settings.OpenStrings, func() time.Time { return start })
	q := practicetest.Queue{"note/E2+0/name"}
	s, err := p.Begin(practice.Options{Chooser: &q, Rand: practicetest.Rand(), Length: time.Minute})
	if err != nil {
		t.Fatal(err)
	}
	if turn, _, err := s.Next(t.Context(), start); err != nil || len(turn.Terms) != 1 {
		t.Errorf("%q explains %v to a beginner, %v", turn.Question.Text, turn.Terms, err)
	}
	if words := told("note/A2+0/name"); len(words) != 0 {
		t.Errorf("explained to a player of years: %q", words)
	}
}

// What is shown, what a wrong answer is told, "slow" and the summary have words, too, that
// are explained when they are met.
func TestWordsOfWhatIsToldAreExplainedOnce(t *testing.T) {
	log := &practicetest.Log{}
	sit := func(show bool, items ...string) *practice.Sitting {
		q := practicetest.Queue(items)
		s, err := beginner(log, settings.OpenStrings, func() time.Time { return start }).Begin(practice.Options{Chooser: &q, Rand: practicetest.Rand(), Length: time.Hour, Show: show})
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	var told []string
	keep := func(terms []drills.Term) {
		for _, term := range terms {
			told = append(told, term.Name)
		}
	}
	turn, _, err := sit(true, "interval/E2-A2+1").Next(t.Context(), start)
	if err != nil || turn.Lesson == nil {
		t.Fatalf("%+v, %v", turn, err)
	}
	keep(turn.Terms)
	s := sit(false, "note/E2+5/name", "note/E2+7/name", "note/E2+3/name", "note/E2+8/name")
	for i, given := range []string{"Db", "Db", "G", "C"} {
		if turn, _, err = s.Next(t.Context(), start); err != nil {
			t.Fatal(err)
		}
		res, err := s.Answer(t.Context(), start, given, time.Duration(i)*5*time.Second, drills.EntryKeys)
		if err != nil {
			t.Fatal(err)
		}
		keep(res.Terms)
	}
	if want := []string{"tritone", "half step", "octave", "inlay", "slow"}; !slices.Equal(told, want) {
		t.Errorf("explained: %q, want %q", told, want)
	}
	for range 2 { // called twice, a summary says the same
		if lines := s.Summary(t.Context(), start).Lines(); !slices.Contains(lines, "naturals: the notes without sharp or flat.") {
			t.Errorf("the summary is %q", lines)
		}
	}
	s = sit(false, "note/E2+3/name")
	if turn, _, err = s.Next(t.Context(), start); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Answer(t.Context(), start, "A", 0, drills.EntryKeys); err != nil {
		t.Fatal(err)
	}
	if lines := strings.Join(s.Summary(t.Context(), start).Lines(), "\n"); !strings.Contains(lines, "naturals") || strings.Contains(lines, "naturals: ") {
		t.Errorf("the next summary is %s", lines)
	}
}

// After a week of sittings the summary names what he has learned.
func TestTheSummaryNamesWhatIsKnown(t *testing.T) {
	log := &practicetest.Log{}
	for day := range 7 {
		for _, up := range []string{"0", "1", "3", "5", "7", "8", "10"} {
			for _, way := range []string{"name", "find"} {
				id := "note/E2+" + up + "/" + way
				if day == 6 && up == "10" && way == "find" {
					continue
				}
				log.Rows = append(log.Rows, rowOf(strings.Repeat("d", day+1)+id, id, start.AddDate(0, 0, day-7)))
			}
		}
	}
	p := beginner(log, settings.NoNotes, func() time.Time { return start })
	if known := p.SureTopics(); !slices.Equal(known, []string{"naturals on string 6"}) {
		t.Fatalf("known: %q", known)
	}
	q := practicetest.Queue{"note/E2+3/name"}
	s, err := p.Begin(practice.Options{Chooser: &q, Rand: practicetest.Rand(), Length: time.Minute})
	if err != nil {
		t.Fatal(err)
	}
	turn, _, _ := s.Next(t.Context(), start)
	if _, err := s.Answer(t.Context(), start.Add(time.Second), rightTo(turn.Question), time.Second, drills.EntryKeys); err != nil {
		t.Fatal(err)
	}
	if lines := s.Summary(t.Context(), start.Add(time.Second)).Lines(); !slices.Contains(lines, "You know by now: naturals on string 6.") {
		t.Errorf("%q", lines)
	}
	log.Rows = slices.DeleteFunc(log.Rows, func(r drills.Answer) bool { return r.Day != log.Rows[0].Day })
	for n, r := range slices.Concat(log.Rows, log.Rows, log.Rows) { // one day shows what was just told
		r.ID = fmt.Sprint(n, r.ID)
		log.Rows = append(log.Rows, r)
	}
	if known := beginner(log, settings.NoNotes, func() time.Time { return start.AddDate(0, 0, -7) }).SureTopics(); len(known) > 0 {
		t.Errorf("known after one day: %q", known)
	}
	log.Rows = log.Rows[:6]
	if known := beginner(log, settings.NoNotes, func() time.Time { return start }).SureTopics(); len(known) > 0 {
		t.Errorf("known after three notes: %q", known)
	}
}
