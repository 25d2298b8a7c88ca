package practice_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/practice/practicetest"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/drills/gig"
	"surefret/drills/theory"
)

func always(at time.Time) func() time.Time { return func() time.Time { return at } }

func open(log practice.Log) *practice.Player {
	return practicetest.Open(log, settings.Default(), always(start))
}

// asked counts the answers that the planner has learned from.
func asked(p *practice.Player) (n int) {
	for _, it := range p.Catalogue().Items() {
		st, _ := p.State(it.ID)
		n += int(st.Asked)
	}
	return n
}

// rowOf is an answer of another program.
func rowOf(id, item string, at time.Time) drills.Answer {
	return drills.Answer{ID: id, Device: "tablet", At: at, Day: at.Format(time.DateOnly), Item: item, Question: "?",
		Given: "A", Want: "A", Right: true, Thinking: time.Second, Entry: drills.EntryKeys}
}

// A row of this sitting is not read again, and one that another program adds,
// between any two steps and dated before or after, is learned once.
func TestEveryRowIsLearnedOnce(t *testing.T) {
	for _, dated := range []time.Duration{-time.Hour, time.Hour} {
		log := &practicetest.Log{}
		foreign := 0
		arrive := func() {
			foreign++
			log.Rows = append(log.Rows, rowOf(fmt.Sprint("far", foreign), "note/A2+5/name", start.Add(dated)))
		}
		log.OnReplay = arrive // after the log was looked at, while it is learned
		b := begin(t, log, slices.Repeat([]string{nameG}, 9)...)
		b.next()
		b.answer("G", time.Second)
		if log.Reads != foreign {
			t.Errorf("dated %v: %d rows were read, of %d by others", dated, log.Reads, foreign)
		}
		log.OnReplay = nil
		b.ask("G", time.Second)
		if log.Reads != foreign {
			t.Errorf("dated %v: a row of the sitting was read back", dated)
		}
		log.OnAppend = arrive // just before one of ours
		b.ask("G", time.Second)
		log.OnAppend = nil
		b.ask("G", time.Second)
		b.next()
		if got := asked(b.p); got != len(log.Rows) || foreign < 2 {
			t.Errorf("dated %v: %d answers are in the log, %d of others, and %d were learned", dated, len(log.Rows), foreign, got)
		}
		if err := b.p.Close(t.Context()); err != nil {
			t.Fatal(err)
		}
		p := open(log)
		if same, err := p.Replays(t.Context()); err != nil || !same || asked(p) != len(log.Rows) {
			t.Errorf("dated %v: the memory that was kept is not what the log teaches: %v", dated, err)
		}
	}
}

// What a sitting learned is there at the next start without a replay.
func TestTheMemoryIsKept(t *testing.T) {
	log := &practicetest.Log{}
	b := begin(t, log, nameG, nameA)
	b.ask("G", time.Second)
	b.ask("A", time.Second)
	if err := b.p.Close(t.Context()); err != nil {
		t.Fatal(err)
	}
	log.Rows[0].Item = "note/none" // a replay would not find it
	if st, _ := open(log).State(nameG); st.Asked != 1 {
		t.Errorf("%+v: the log was read anew", st)
	}
}

// A planner that forgot, and could not read the log, is not kept as what the log says.
func TestAMemoryThatWasNotReadIsNotKept(t *testing.T) {
	log := &practicetest.Log{}
	b := begin(t, log, nameG, nameA)
	b.ask("G", time.Second)
	b.ask("A", time.Second)
	log.Unread = errors.New("no reading")
	if _, err := b.TakeBack(t.Context(), b.now); !errors.Is(err, log.Unread) || b.CanTakeBack() || len(log.Rows) != 3 {
		t.Errorf("%v; it is in the log: %d rows", err, len(log.Rows))
	}
	log.Unread = nil
	if err := b.p.Close(t.Context()); err != nil {
		t.Fatal(err)
	}
	if n := asked(open(log)); n != 1 {
		t.Errorf("%d answers are known, want 1", n)
	}
}

// Settings that cannot be saved change nothing.
func TestSettingsThatAreNotSavedChangeNothing(t *testing.T) {
	log := &practicetest.Log{Fail: errors.New("disk full")}
	p := open(log)
	before, chosen := p.Settings, p.Settings
	chosen.Minutes, chosen.Frets = 33, 12
	if err := p.Save(t.Context(), chosen); !errors.Is(err, log.Fail) || p.Settings != before || p.Setup().Neck.Last() != before.Frets {
		t.Errorf("%v, %+v, %d frets", err, p.Settings, p.Setup().Neck.Last())
	}
}

// However long a lock lasts, practice goes on, the player is told once, and what was
// answered is in the log in its order or, at the end, in a file that is named.
func TestWhatALockKeepsOutIsSavedLater(t *testing.T) {
	for busy := range 9 {
		log := &practicetest.Log{Busy: busy}
		b := begin(t, log, slices.Repeat([]string{nameG}, 4)...)
		told := 0
		for range 4 {
			b.ask("G", time.Second)
			if strings.Contains(b.p.Notice(), "another program") {
				told++
			}
		}
		if want := min(busy, 1); told != want {
			t.Errorf("busy %d times: told %d times", busy, told)
		}
		err := b.p.Close(t.Context())
		var unsaved practice.UnsavedError
		left := errors.As(err, &unsaved)
		if all := slices.Concat(log.Rows, log.Unsaved); len(all) != 4 || !slices.IsSortedFunc(all, func(a, b drills.Answer) int { return strings.Compare(a.ID, b.ID) }) {
			t.Errorf("busy %d times: kept %v", busy, all)
		}
		if left != (busy > 6) || left && (unsaved.Answers != 4 || !strings.Contains(err.Error(), unsaved.File)) {
			t.Errorf("busy %d times: %v", busy, err)
		}
		if asked(b.p) != 4 {
			t.Errorf("busy %d times: %d learned", busy, asked(b.p))
		}
	}
}

// A row that fails for another reason than a lock is not held: it was refused.
func TestWhatFailsIsNotHeld(t *testing.T) {
	b := begin(t, &practicetest.Log{Fail: errors.New("disk full")}, nameG)
	b.next()
	if _, err := b.Answer(t.Context(), b.now, "G", 0, drills.EntryKeys); !errors.Is(err, b.log.Fail) {
		t.Errorf("%v", err)
	}
	b.log.Fail = nil
	if err := b.p.Close(t.Context()); err != nil || len(b.log.Rows)+len(b.log.Unsaved) != 0 {
		t.Errorf("%v, rows %v, %v", err, b.log.Rows, b.log.Unsaved)
	}
}

func TestAPlayerWithoutALogKnowsNothing(t *testing.T) {
	p, err := practice.Open(t.Context(), nil, always(start))
	if err != nil {
		t.Fatal(err)
	}
	if !p.Fresh || asked(p) != 0 || len(p.Map(nil, [2]int{}).Places) == 0 {
		t.Errorf("fresh %v, %d answers", p.Fresh, asked(p))
	}
	if _, err := p.Progress(t.Context(), ""); err != nil {
		t.Error(err)
	}
	if err := p.Close(t.Context()); err != nil {
		t.Error(err)
	}
	if err := p.Save(t.Context(), settings.Default()); err == nil {
		t.Error("settings are said to be kept where nothing is")
	}
}

// A selection leaves what it names, says why it leaves nothing, and working it out
// changes nothing.
func TestSelections(t *testing.T) {
	only := func(f func(drills.Item) bool) func(drills.Item) bool { return f }
	bb := must(theory.ParseKey("Bb"))
	fair := gig.Gig{ID: "1", Name: "Harbour Fair", Day: "2026-12-05", Songs: []gig.Song{{
		Title: "Ropewalk", Learned: "G", Called: "Ab", Sections: []gig.Section{{Name: "all", Chords: "1 4 5"}},
	}}}
	b := begin(t, &practicetest.Log{Dates: []gig.Gig{fair}}, nameG)
	b.next()
	if _, err := b.SetAside(t.Context()); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		sel  practice.Selection
		why  error // why nothing is left, nil where something is
		ok   func(drills.Item) bool
	}{
		{"strings", practice.Selection{Strings: []int{6, 5}}, nil, only(func(it drills.Item) bool {
			return len(it.Strings) > 0 && !slices.ContainsFunc(it.Strings, func(s int) bool { return s != 6 && s != 5 })
		})},
		{"a drill", practice.Selection{Drills: []drills.Family{"walkup"}}, nil, only(func(it drills.Item) bool { return it.Family == "walkup" })},
		{"a key", practice.Selection{Keys: []theory.Key{bb}, Drills: []drills.Family{"key"}}, nil, only(func(it drills.Item) bool {
			return strings.Contains(it.ID, "Bb") || strings.Contains(it.ID, "progression") // in any key, so in this one
		})},
		{"frets", practice.Selection{Frets: [2]int{5, 7}, Drills: []drills.Family{"note"}}, nil, only(func(it drills.Item) bool { return it.Family == "note" })},
		{"frets without a neck", practice.Selection{Frets: [2]int{5, 7}, Drills: []drills.Family{"key"}}, practice.ErrNarrow, nil},
		{"naturals", practice.Selection{Notes: "naturals"}, nil, only(func(it drills.Item) bool {
			return it.Family == "note" && !strings.ContainsAny(strings.Fields(it.Title)[1], "#b")
		})},
		{"ears without sound", practice.Selection{Drills: []drills.Family{"ear"}}, practice.ErrNoSound, nil},
		{"ears", practice.Selection{Drills: []drills.Family{"ear"}, Heard: true}, nil, only(func(it drills.Item) bool { return it.Family == "ear" })},
		{"a gig", practice.Selection{Gig: &fair, Drills: []drills.Family{"key"}}, nil, only(func(it drills.Item) bool { return strings.Contains(it.ID, "Ab") })},
		{"a gig without shapes", practice.Selection{Gig: &fair, Drills: []drills.Family{"shape"}}, practice.ErrNoShapes, nil},
		{"what is set aside", practice.Selection{Frets: [2]int{3, 3}, Strings: []int{6}, Drills: []drills.Family{"note"}, Notes: "naturals"}, nil,
			only(func(it drills.Item) bool { return it.ID == "note/E2+3/find" })},
	} {
		at := start
		s, err := b.p.Begin(practice.Options{Selection: c.sel, Rand: practicetest.Rand(), Length: 24 * time.Hour})
		if !errors.Is(err, c.why) || (err != nil) != errors.As(err, new(practice.NothingLeftError)) {
			t.Errorf("%s: %v, want %v", c.name, err, c.why)
		}
		if err != nil {
			continue
		}
		n := 0
		for ; n < 30; n++ {
			turn, ok, err := s.Next(t.Context(), at)
			if err != nil || !ok {
				break
			}
			it, _ := b.p.Catalogue().Item(turn.Question.Item)
			if !c.ok(it) || it.ID == nameG {
				t.Errorf("%s: asked %s", c.name, turn.Question.Item)
			}
			at = at.Add(time.Minute)
		}
		if n == 0 {
			t.Errorf("%s: nothing was asked", c.name)
		}
	}
	// A selection that is refused does not touch what the one before asks.
	if _, err := b.p.Begin(practice.Options{Selection: practice.Selection{Drills: []drills.Family{"ear"}}}); err == nil {
		t.Error("begun without sound")
	}
	s, err := b.p.Begin(practice.Options{Selection: practice.Selection{Drills: []drills.Family{"walkup"}}, Rand: practicetest.Rand(), Length: time.Hour})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := b.p.Begin(practice.Options{Selection: practice.Selection{Drills: []drills.Family{"ear"}}}); err == nil {
		t.Error("begun without sound")
	}
	if turn, ok, err := s.Next(t.Context(), start); err != nil || !ok || turn.Question.Family != "walkup" {
		t.Errorf("%+v, %v, %v", turn.Question, ok, err)
	}
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// Once nothing is heard, what must be is left out; where nothing else is left the
// sitting is over.
func TestASoundThatFallsSilentEndsTheEarDrills(t *testing.T) {
	heard := true
	b := beginWith(t, &practicetest.Log{}, practice.Options{Selection: practice.Selection{Heard: true, Drills: []drills.Family{"ear"}}, Heard: func() bool { return heard }})
	b.next()
	heard = false
	if _, ok, err := b.Next(t.Context(), b.now); ok || err != nil {
		t.Errorf("asked in silence: %v", err)
	}
}

func TestWhatWasProvenIsLeftAloneForAWhile(t *testing.T) {
	log := &practicetest.Log{}
	string6 := practice.Selection{Strings: []int{6}, Drills: []drills.Family{"note"}, Placing: true}
	b := beginWith(t, log, practice.Options{Selection: string6, Length: time.Hour})
	last, slip := "", true
	for n := 0; ; n++ {
		turn, ok, err := b.Next(t.Context(), b.now)
		if err != nil {
			t.Fatal(err)
		}
		if !ok {
			if n > 40 {
				t.Errorf("it took %d questions", n)
			}
			break
		}
		if turn.Question.Item == last {
			t.Errorf("%s asked twice in a row", last)
		}
		last = turn.Question.Item
		if slip { // a slip that is taken back decides nothing
			b.answer(wrongFor(turn.Question), time.Second)
			if _, err := b.TakeBack(t.Context(), b.now); err != nil {
				t.Fatal(err)
			}
			slip = false
		}
		b.answer(rightFor(turn.Question), time.Second)
	}
	if out := b.Summary(t.Context(), b.now).Outlook; len(out) != 1 || !strings.HasPrefix(out[0], "You know these; they will not be asked for a while: naturals on string 6; sharps and flats on string 6") {
		t.Errorf("said %q", out)
	}
	// unasked counts what is asked, so many days later, that the placing did not ask.
	unasked := func(days int) (n int) {
		at := start.AddDate(0, 0, days)
		p := practicetest.Open(log, settings.Default(), always(at))
		s, err := p.Begin(practice.Options{Selection: practice.Selection{Strings: []int{6}, Drills: []drills.Family{"note"}}, Rand: practicetest.Rand(), Length: time.Hour})
		if err != nil {
			t.Fatal(err)
		}
		for range 60 {
			turn, ok, err := s.Next(t.Context(), at)
			if !ok || err != nil {
				break
			}
			if st, _ := p.State(turn.Question.Item); st.Asked == 0 {
				n++
			}
			if _, err := s.Answer(t.Context(), at, rightFor(turn.Question), time.Second, drills.EntryKeys); err != nil {
				t.Fatal(err)
			}
		}
		return n
	}
	if n := unasked(30); n > 0 {
		t.Errorf("after a month %d were asked", n)
	}
	if n := unasked(70); n == 0 {
		t.Error("after ten weeks none was asked")
	}
}

func TestABeginnerIsSoonThroughAPlacing(t *testing.T) {
	b := beginWith(t, &practicetest.Log{}, practice.Options{Selection: practice.Selection{Drills: []drills.Family{"note"}, Placing: true}, Length: time.Hour})
	asked := 0
	for ; asked < 100; asked++ {
		turn, ok, err := b.Next(t.Context(), b.now)
		if err != nil {
			t.Fatal(err)
		}
		if !ok {
			break
		}
		b.answer(wrongFor(turn.Question), time.Second)
	}
	if out := b.Summary(t.Context(), b.now).Outlook; asked > 20 || len(out) != 1 || !strings.HasPrefix(out[0], "Nothing is proven") {
		t.Errorf("after %d questions: %q", asked, out)
	}
}

// wrongFor is an answer that a question about notes can read and does not want.
func wrongFor(q drills.Question) string {
	for _, text := range []string{"C", "F#", "1", "2", "1/1"} {
		if v, err := q.Judge(text); err == nil && !v.Right {
			return text
		}
	}
	return ""
}

// rightFor asks the judge.
func rightFor(q drills.Question) string {
	v, _ := q.Judge(wrongFor(q))
	first, _, _ := strings.Cut(v.Want, " or ")
	return strings.TrimPrefix(first, "fret ")
}
