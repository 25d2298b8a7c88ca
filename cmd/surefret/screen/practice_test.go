package screen

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/practice/practicetest"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
	"surefret/scheduler"
)

// A script is the log of a session whose items are set in advance.
type script struct {
	practicetest.Log
	items  []string
	frets  int              // of the neck, 0 for 14
	tuning fretboard.Tuning // standard where it has no strings
}

// answers lists what was logged: "G right 1.2s keys".
func (s *script) answers() string {
	var all []string
	for _, r := range s.Rows {
		right := map[bool]string{true: "right", false: "wrong"}[r.Right]
		if r.TakesBack != "" {
			all = append(all, "taken back")
			continue
		}
		all = append(all, fmt.Sprint(r.Given, " ", right, " ", r.Thinking, " ", r.Entry))
	}
	return strings.Join(all, "; ")
}

// clock is a time that only moves when told.
type clock struct{ now time.Time }

func (c *clock) after(d time.Duration) { c.now = c.now.Add(d) }

// bench is a practice screen on a test bench: its script, its clock, its sound.
type bench struct {
	*sittingView
	*script
	clock *clock
	heard [][]drills.Sounding
}

const (
	nameG = "note/E2+3/name" // G on string 6, in a neck of 14 frets only at fret 3
	findC = "note/A2+3/find" // C on string 5, fret 3
	nameE = "note/E2+0/name"
	findF = "note/E2+1/find"
)

var begun = time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC)

// neck14 has every note but those of frets 0 to 2 once a string.
var neck14 = fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 14}

// newBench opens practice in a window, its first question on the screen.
func newBench(width, height int, o Options, items ...string) *bench {
	return newBenchOn(&script{items: items}, width, height, o)
}

// newBenchOn is a bench whose log may hold something.
func newBenchOn(log *script, width, height int, o Options) *bench {
	b := &bench{script: log, clock: &clock{begun}}
	o.Now = func() time.Time { return b.clock.now }
	o.Sitting = newSitting(b.script, o.Names, o.Now)
	o.Neck = neck14
	o.Neck.Frets = cmp.Or(log.frets, neck14.Frets)
	if log.tuning.Strings() > 0 {
		o.Neck.Tuning = log.tuning
	}
	if o.MoveOn == 0 {
		o.MoveOn = 800 * time.Millisecond
	}
	o.Sound = func([]drills.Sounding) {}
	b.sittingView = newPractice(context.Background(), o, func(cue []drills.Sounding) {
		if len(cue) > 0 {
			b.heard = append(b.heard, cue)
		}
	})
	b.send(tea.WindowSizeMsg{Width: width, Height: height})
	return b
}

// newSitting begins a session on the script's items and neck.
func newSitting(s *script, names theory.Names, now func() time.Time) *practice.Sitting {
	set := settings.Default()
	set.Frets, set.Names = cmp.Or(s.frets, neck14.Frets), []string{theory.English: "english", theory.Solfege: "solfege", theory.German: "german"}[names.System]
	if s.tuning.Strings() > 0 {
		set.Tuning = s.tuning.String()
	}
	return practicetest.Begin(&s.Log, set, now, s.items...)
}

// send hands one event to the screen and keeps the command it returns.
func (b *bench) send(msg tea.Msg) tea.Cmd {
	_, cmd := b.Update(msg)
	return cmd
}

// keys presses keys by their names, or runes in one read where there is no name.
func (b *bench) keys(names ...string) (cmd tea.Cmd) {
	for _, name := range names {
		cmd = b.send(keyNamed(name))
	}
	return cmd
}

func keyNamed(name string) tea.KeyMsg {
	for _, t := range []tea.KeyType{tea.KeyEnter, tea.KeyEsc, tea.KeyTab, tea.KeyBackspace, tea.KeyUp, tea.KeyDown, tea.KeyLeft, tea.KeyRight, tea.KeyCtrlC} {
		if t.String() == name {
			return tea.KeyMsg{Type: t}
		}
	}
	if name == " " {
		return tea.KeyMsg{Type: tea.KeySpace, Runes: []rune(name)}
	}
	return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(name)}
}

func quits(cmd tea.Cmd) bool {
	if cmd == nil {
		return false
	}
	_, ok := cmd().(tea.QuitMsg)
	return ok
}

// plays takes keys by name; a number of two digits or more lets so many milliseconds pass, "grace" lets
// the grace time run out and "on" the time that a right answer shows.
func (b *bench) plays(keys string) {
	for name := range strings.FieldsSeq(keys) {
		ms, err := strconv.Atoi(name)
		switch {
		case err == nil && len(name) > 1:
			b.clock.after(time.Duration(ms) * time.Millisecond)
		case name == "grace":
			b.send(graceOver{b.timer})
		case name == "on":
			b.send(timeToMove{b.timer})
		case name == "space":
			b.keys(" ")
		default:
			b.keys(name)
		}
	}
}

// The clock runs to the first key of the answer that is committed: at once where
// nothing longer can follow, else after the grace time, or with Enter or Space.
func TestAnswersAreTypedAndTimed(t *testing.T) {
	for _, c := range []struct{ item, keys, want string }{
		{nameG, "1200 g", ""},
		{nameG, "1200 g 400 grace", "G right 1.2s keys"},
		{nameG, "1000 g 300 space", "G right 1s keys"},
		{nameG, "1000 a 300 g enter", "G right 1.3s keys"}, // another letter replaces the first and its time
		{nameG, "1000 a backspace grace 1000 g enter", "G right 2s keys"},
		{nameG, "99 a# enter 01 g enter", "G right 100ms keys"}, // typed ahead
		{nameG, "1000 g#", "G# wrong 1s keys"},                  // in one read
		{nameG, "1000 g s", "G# wrong 1s keys"},
		{nameG, "1000 G +", "G# wrong 1s keys"},
		{nameG, "1000 g ♯", "G# wrong 1s keys"},
		{nameG, "1000 b b", "Bb wrong 1s keys"},
		{nameG, "1000 b f", "Bb wrong 1s keys"},
		{nameG, "1000 B -", "Bb wrong 1s keys"},
		{findC, "1000 3", "3 right 1s keys"},
		{findC, "1000 1", ""}, // on the way to 13
		{findC, "1000 1 3", "13 wrong 1s keys"},
		{findF, "1000 1 enter", "1 right 1s keys"},
	} {
		b := newBench(80, 24, Options{}, c.item)
		if b.plays(c.keys); b.answers() != c.want {
			t.Errorf("%s: %q, want %q", c.keys, b.answers(), c.want)
		}
	}
}

func TestSolfegeAndGermanAreTypedAsTheyAreSaid(t *testing.T) {
	for system, keys := range map[theory.System]map[string]string{
		theory.Solfege: {"s o l space": "Sol right", "f a s": "Fa# wrong", "s i b": "Sib wrong"},
		theory.German: {"g enter": "G right", "f i s": "Fis wrong", "f #": "Fis wrong", "e s": "Es wrong", "a -": "As wrong",
			"d e s": "Des wrong", "b space": "B wrong", "h space": "H wrong"},
	} {
		for typed, want := range keys {
			b := newBench(80, 24, Options{Names: theory.Names{System: system}}, nameG)
			if b.plays("1000 " + typed); b.answers() != want+" 1s keys" {
				t.Errorf("%v %q: %q, want %q", system, typed, b.answers(), want)
			}
		}
	}
}

func TestAKeyThatIsNoAnswerSaysWhatIs(t *testing.T) {
	b := newBench(60, 18, Options{}, nameG)
	for _, step := range [][2]string{
		{"1000 x", `x does nothing here. Type a letter`}, {"enter", "Type a letter, then # or b"},
		{"c", "> C"}, {"z", `z does nothing here. Type a letter`},
	} {
		b.plays(step[0])
		view := b.View()
		if !strings.Contains(view, step[1]) || strings.Contains(view, "Type ") != strings.Contains(step[1], "Type ") {
			t.Errorf("after %s:\n%s", step[0], view)
		}
	}
}

func TestArrowsAndMousePointAtAFret(t *testing.T) {
	b := newBench(80, 24, Options{}, findC, findC)
	b.clock.after(time.Second)
	b.keys("right") // the pointer appears at fret 5
	b.clock.after(time.Second)
	b.keys("left", "left", "up", "enter")
	b.clock.after(time.Second)
	b.keys("x")
	_ = b.View()
	b.clock.after(time.Second)
	for x := range b.width {
		if at, ok := b.neck.At(x-b.neckX, b.neck.Row(5)); ok && at.Fret == 4 {
			b.send(tea.MouseMsg{X: x, Y: b.neckY + b.neck.Row(4), Action: tea.MouseActionPress, Button: tea.MouseButtonLeft}) // string 4 was not asked
			b.send(tea.MouseMsg{X: x, Y: b.neckY + b.neck.Row(5), Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
			break
		}
	}
	if got := b.answers(); got != "3 right 1s pointer; 4 wrong 1s pointer" {
		t.Error(got)
	}
}

func TestRightInTimeMovesOnAndSlowAndWrongWait(t *testing.T) {
	b := newBench(80, 24, Options{}, nameG, nameG, nameG, nameG)
	b.clock.after(time.Second)
	b.keys("g", "enter")
	b.send(timeToMove{b.timer - 1}) // of something earlier
	if b.phase != telling {
		t.Fatal("an old timer moved on")
	}
	b.send(timeToMove{b.timer})
	if b.phase != asking || b.count != 2 {
		t.Fatal("a right answer did not move on")
	}
	b.clock.after(3 * time.Second)
	if cmd := b.keys("g", "enter"); cmd != nil || b.result.Outcome != scheduler.Slow {
		t.Error("a slow answer set a timer")
	}
	b.plays("300 x 1000")
	if cmd := b.keys("a", "enter"); cmd != nil {
		t.Error("a wrong answer set a timer")
	}
	b.clock.after(reading - 1)
	b.keys("x")
	if b.phase != telling {
		t.Error("a key at once wiped the feedback out")
	}
	b.clock.after(1)
	b.keys("x")
	if b.phase != asking || b.count != 4 {
		t.Error("a key did not move on")
	}
}

func TestKeysOfAnAnswerThatEndedByItselfAreNotTheNextOnes(t *testing.T) {
	for _, grace := range []time.Duration{0, time.Second} { // a slow hand has longer
		b := newBench(80, 24, Options{Grace: grace}, nameG, nameG, nameG, nameG)
		lateKeys := b.lateKeys()
		if want := max(grace, graceTime) + reading; lateKeys != want {
			t.Fatalf("late keys for %v, want %v", lateKeys, want)
		}
		b.clock.after(time.Second)
		b.keys("a#") // wrong, and complete
		for _, key := range []string{"enter", "x", "g"} {
			b.clock.after(lateKeys/3 - 1)
			b.keys(key)
			if b.phase != telling {
				t.Fatalf("%s wiped the feedback out", key)
			}
		}
		b.clock.after(lateKeys)
		b.keys("enter")
		if b.phase != telling {
			t.Error("the Enter that this answer did not need wiped the feedback out")
		}
		b.keys("enter") // and one more is meant
		if b.phase != asking {
			t.Error("a second Enter did not move on")
		}
		b.clock.after(time.Second)
		b.keys("a#")
		b.clock.after(2 * lateKeys)
		b.keys("enter")
		if b.phase != asking {
			t.Error("Enter after a while did not move on")
		}
	}
}

func TestALateKeyIsNoAnswerToTheNextQuestion(t *testing.T) {
	b := newBench(80, 24, Options{MoveOn: 300 * time.Millisecond}, findF, findC, nameG)
	b.clock.after(time.Second)
	b.keys("1")
	b.clock.after(graceTime)
	b.send(graceOver{b.timer}) // fret 1 it is
	b.clock.after(300 * time.Millisecond)
	b.send(timeToMove{b.timer})
	b.clock.after(b.lateKeys() - 301*time.Millisecond)
	b.keys("3")
	b.send(tea.MouseMsg{X: b.neckX + 5, Y: b.neckY + 2, Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
	if b.phase != asking || !b.entry.empty() || b.notice != "" {
		t.Errorf("a late key was taken: %q %q", b.entry.text, b.notice)
	}
	b.clock.after(time.Millisecond)
	b.keys("3")
	if got := b.answers(); got != "1 right 1s keys; 3 right 350ms keys" {
		t.Error(got)
	}
	// After a key that moves on, the next answer may come at once.
	b.clock.after(b.lateKeys())
	b.keys("x")
	b.clock.after(practice.Anticipation)
	b.keys("g", "enter")
	if got := b.answers(); !strings.HasSuffix(got, "; g right 100ms keys") && !strings.HasSuffix(got, "; G right 100ms keys") {
		t.Error(got)
	}
}

func TestAnAnswerCanBeTakenBackOnce(t *testing.T) {
	b := newBench(80, 24, Options{}, nameG, nameE)
	b.clock.after(time.Second)
	b.keys("a#", "u")
	if b.phase != asking || !strings.Contains(b.View(), "Taken back") {
		t.Error(b.View())
	}
	b.clock.after(time.Second)
	b.keys("g", "enter")
	if got := b.answers(); got != "A# wrong 1s keys; taken back; G right 0s keys" {
		t.Error(got)
	}
}

func TestPauseAndHelpStopTheClock(t *testing.T) {
	for _, key := range []string{".", "?"} {
		b := newBench(80, 24, Options{}, nameG, nameE)
		b.clock.after(time.Second)
		b.keys(key)
		if strings.Contains(b.View(), "String 6") {
			t.Error("the question can be read in a pause")
		}
		b.clock.after(5 * time.Minute)
		b.keys("x")
		if left := b.o.Sitting.Left(b.clock.now); left != 10*time.Minute-time.Second {
			t.Errorf("%s: %v left", key, left)
		}
		b.clock.after(time.Second)
		b.keys("g", "enter")
		if got := b.answers(); got != "G right 0s keys" {
			t.Errorf("%s: %s", key, got)
		}
	}
}

func TestWhatComesInBetweenMakesAnAnswerUntimed(t *testing.T) {
	for _, msg := range []tea.Msg{tea.BlurMsg{}, tea.ResumeMsg{}, tea.WindowSizeMsg{Width: 100, Height: 30}} {
		b := newBench(80, 24, Options{}, nameG)
		b.left = b.clock.now
		b.send(msg)
		b.clock.after(time.Second)
		b.keys("g", "enter")
		if got := b.answers(); got != "G right 0s keys" {
			t.Errorf("%T: %s", msg, got)
		}
	}
}

// A program that was stopped does not tick.
func TestTimeInWhichTheProgramWasStoppedIsNoThinking(t *testing.T) {
	b := newBench(80, 24, Options{}, nameG, nameG)
	for range 2 {
		b.clock.after(practice.Ticking)
		b.send(clockTick{})
	}
	b.plays("6000 g enter 1000 x 1000 g enter")
	if got := b.answers(); got != "G right 0s keys; G right 1s keys" {
		t.Error(got)
	}
}

func TestQuestionsSetAsideAreNotLogged(t *testing.T) {
	b := newBench(80, 24, Options{}, nameG, nameE)
	b.keys(setAsideKey)
	if len(b.Rows) != 0 || !slices.Equal(b.Aside(), []string{nameG}) || b.count != 1 {
		t.Errorf("rows %v, aside %v, count %d", b.Rows, b.Aside(), b.count)
	}
	if !strings.Contains(b.View(), "String 6, open") {
		t.Error(b.View())
	}
	b.keys("backspace")
	if !strings.Contains(b.View(), "String 6, fret 3") || !strings.Contains(b.View(), "Back again.") {
		t.Errorf("not brought back:\n%s", b.View())
	}
}

func TestTheEndIsTheSummaryAndEnterLeaves(t *testing.T) {
	b := newBench(80, 24, Options{}, nameG)
	b.clock.after(time.Second)
	b.keys("g", "enter")
	b.clock.after(time.Second)
	b.keys("x")
	if !strings.Contains(b.View(), "1 question, 1 right, 1 of them in time.") {
		t.Error(b.View())
	}
	if quits(b.keys("enter")) {
		t.Error("an Enter typed ahead left the summary unread")
	}
	b.clock.after(time.Second)
	if !quits(b.keys("enter")) {
		t.Error("Enter does not leave")
	}
}

// The summary draws how the answers went, how long they took and where, in any look,
// and its key goes on with what is weak.
// What was not timed was not in time: a pause before an answer, or times that do not
// count.
func TestTheSummaryCallsNothingInTimeThatWasNotTimed(t *testing.T) {
	b := newBench(80, 24, Options{}, nameG, nameG)
	b.plays("1000 g enter 1000 x 1000 . 500 x 1000 g enter 1000 x")
	if view := b.View(); !strings.Contains(view, "● 1 in time   ○ 0 slow   × 0 missed   · 1 right, not timed") || !strings.Contains(view, "●·") || !strings.Contains(view, "2 right, 1 of them in time") {
		t.Errorf("after a pause:\n%s", view)
	}
	b.summary.Untimed, b.summary.Trail = true, b.summary.Trail[1:]
	if view := b.View(); !strings.Contains(view, " × 0 missed   · 1 right, not timed\n") || strings.Contains(view, "in time") {
		t.Errorf("without times:\n%s", view)
	}
}

func TestTheSummaryDrawsTheSittingAndGoesOn(t *testing.T) {
	for _, look := range []ink.Look{{}, {ASCII: true}} {
		begun := 0
		o := Options{Look: look}
		b := newBench(80, 24, o, nameG, nameG, nameG, findC)
		b.o.More = func() (*practice.Sitting, error) {
			if begun++; begun > 1 {
				return nil, errors.New("nothing is weak")
			}
			return newSitting(&script{items: []string{nameE}}, theory.Names{}, b.o.Now), nil
		}
		b.plays("1000 g enter 1000 x 3000 g enter 1000 x 1000 a enter 1000 x 500 3 1000 x")
		view := b.View()
		want := []string{"● 2 in time   ○ 1 slow   × 1 missed", "●○×●", "twice the aim", "(C)"}
		if look.ASCII {
			want = []string{"* 2 in time   o 1 slow   x 1 missed", "*ox*", "twice the aim", "(C)"}
		}
		for _, w := range want {
			if !strings.Contains(view, w) {
				t.Errorf("no %q in:\n%s", w, view)
			}
		}
		fits(t, view, [2]int{80, 24})
		if b.keys(moreKey); b.phase != asking || b.count != 1 || !strings.Contains(b.View(), "String 6, open") {
			t.Errorf("not gone on:\n%s", b.View())
		}
		b.plays("1000 esc")
		if b.keys(moreKey); b.phase != closing || strings.Contains(b.View(), moreKey+" two minutes") {
			t.Errorf("nothing is weak, and the key stands there:\n%s", b.View())
		}
	}
}

func TestASummaryTooLongForTheWindowSaysWhereTheRestIs(t *testing.T) {
	var items []string
	for i := range 12 {
		items = append(items, fmt.Sprintf("note/E2+%d/name", i))
	}
	b := newBench(60, 18, Options{}, items...)
	for b.phase == asking {
		b.clock.after(time.Second)
		b.keys("g", "enter")
		b.clock.after(time.Second)
		b.keys("x")
	}
	fits(t, b.View(), [2]int{60, 18})
	b.summary.Outlook = slices.Repeat([]string{"Weakest: the sixth string from fret 8 to fret 11."}, 12)
	fits(t, b.View(), [2]int{60, 18})
	if !strings.Contains(b.View(), "More in 'surefret progress'.\n Enter leave") {
		t.Error(b.View())
	}
}

func TestEscAndCtrlCStop(t *testing.T) {
	b := newBench(80, 24, Options{}, nameG, nameE)
	b.clock.after(time.Second)
	b.keys("g", "enter", "esc")
	if b.phase != closing {
		t.Error("Esc does not show the summary")
	}
	if !quits(b.keys("ctrl+c")) || !b.interrupted {
		t.Error("ctrl+c does not leave, or looks like Enter: the copying exercise would begin")
	}
}

func TestATooSmallWindowSaysSoAndAsksNothing(t *testing.T) {
	b := newBench(59, 18, Options{}, nameG)
	if got, want := b.View(), "Practice needs a window of 60 columns and 18 rows; this one\nhas 59 and 18."; got != want {
		t.Errorf("%q", got)
	}
	b.clock.after(time.Second)
	b.keys("g", "enter")
	b.send(tea.WindowSizeMsg{Width: 60, Height: 18})
	b.keys("g", "enter")
	if got := b.answers(); got != "G right 0s keys" {
		t.Error(got)
	}
}

// Most frames change a word or the time left: the neck is drawn anew only when it is
// another picture.
func TestTheNeckIsDrawnAnewOnlyWhenItChanges(t *testing.T) {
	b := newBench(80, 24, Options{}, findC)
	b.View()
	was := &b.drawn.Lines[0]
	b.plays("1000 1")
	if b.View(); &b.drawn.Lines[0] != was {
		t.Error("drawn again for a digit that is not on it")
	}
	b.keys("backspace", "right")
	if b.View(); &b.drawn.Lines[0] == was {
		t.Error("not drawn again for the pointer")
	}
}

// After a right answer the string rings for two frames, from its place to the bridge, where
// the setting says so; a frame that comes later than that, or of another answer, draws nothing.
func TestAStruckStringRingsForTwoFrames(t *testing.T) {
	for _, c := range []struct {
		ring   bool
		answer string
		frames string
	}{{true, "g", "≈~--"}, {true, "a", "----"}, {false, "g", "----"}} {
		b := newBench(80, 24, Options{Ring: c.ring}, nameG, nameE)
		b.clock.after(time.Second)
		before := ringOn{b.onset}
		b.keys(c.answer, "enter")
		frames := ""
		for range 4 {
			b.send(before)
			string6 := strings.Split(b.View(), "\n")[b.neckY+b.neck.Row(6)]
			from, _, _ := strings.Cut(string6, "(")
			switch {
			case strings.ContainsAny(from, "≈~"):
				t.Errorf("it rings behind the finger: %s", string6)
			case strings.Contains(string6, "≈"):
				frames += "≈"
			case strings.Contains(string6, "~"):
				frames += "~"
			default:
				frames += "-"
			}
			b.send(ringOn{b.onset})
		}
		if b.phase != telling || frames != c.frames {
			t.Errorf("ring %v, %s: phase %d, frames %q, want %q", c.ring, c.answer, b.phase, frames, c.frames)
		}
	}
}
