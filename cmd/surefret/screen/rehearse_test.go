package screen

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/google/go-cmp/cmp"

	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/practice/practicetest"
	"surefret/drills/gig"
	"surefret/drills/rehearse"
)

// A desk is a rehearsal whose clock a test moves.
type desk struct {
	*rehearsalView
	song   gig.Song
	log    *practicetest.Log
	heard  time.Duration
	broke  time.Duration // how long the sound broke off
	louder int           // what the click beside chords was exchanged for
	began  []float64     // how long each run that was begun is, in quarter notes
}

// The whole of a rehearsal fits the smallest window.
func TestARehearsalFitsTheSmallestWindow(t *testing.T) {
	d := newDesk(t)
	d.o.Title = "The Long Way Round the Harbour Wall by Night"
	d.Update(tea.WindowSizeMsg{Width: FewestColumns, Height: FewestRows})
	for _, at := range []time.Duration{time.Second, 2500 * time.Millisecond, 7 * time.Second, 11 * time.Second} {
		d.until(at)
		fits(t, d.View(), [2]int{FewestColumns, FewestRows})
		if at < 9*time.Second {
			d.says(t, "120 beats a minute")
		}
		if at > 2*time.Second && at < 9*time.Second {
			d.says(t, " of 4")
		}
	}
}

// The fourth way to show it is the neck: what the hand plays now, and as rings what it
// plays next; nothing is asked meanwhile.
func TestARehearsalShowsTheNeck(t *testing.T) {
	d := newDesk(t)
	if err := d.o.Run.As("tenths", d.o.Neck); err != nil {
		t.Fatal(err)
	}
	d.take(d.o.Run, false, false)
	for range neckShown {
		d.press("v")
	}
	for _, size := range [][2]int{{FewestColumns, FewestRows}, {80, 24}, {120, 40}} {
		d.Update(tea.WindowSizeMsg{Width: size[0], Height: size[1]})
		d.until(2500 * time.Millisecond)
		fits(t, d.View(), size)
		d.says(t, "Ab  4 x x 5 x x", "then  Fm  1 x x 1 x x", "(Ab)", "(C)")
		if strings.Contains(d.View(), "which fret") {
			t.Error("a fret is asked although it is shown")
		}
	}
}

// A beat is marked in the frame that is painted as it sounds: one frame ahead of it, and no
// sooner. The fret of the change before is asked until then.
func TestABeatIsMarkedAFrameAhead(t *testing.T) {
	d := newDesk(t)
	for _, v := range []struct {
		ahead time.Duration
		want  string
	}{{frame + time.Millisecond, "verse, bar 1 of 4"}, {frame - time.Millisecond, "verse, bar 2 of 4"}} {
		d.heard = 4*time.Second - v.ahead
		d.Update(beatTick{})
		d.says(t, v.want)
	}
	d.says(t, "[1]", "|>Fm")
	d.press("4")
	if marks := d.r.Marks(); len(marks) != 1 || !marks[0].Right {
		t.Errorf("marked: %+v", marks)
	}
}

// newDesk begins to rehearse a song of four bars in Ab at 120: a bar is two seconds.
func newDesk(t *testing.T) *desk { return newDeskOf(t, "| 1 | 6- | 4 | 5 |") }

func newDeskOf(t *testing.T, chords string) *desk {
	t.Helper()
	song := gig.Song{Title: "Tin Umbrella", Learned: "G", Called: "Ab", Sections: []gig.Section{{Name: "verse", Chords: chords}}}
	now := time.Date(2026, 11, 30, 20, 0, 0, 0, time.UTC)
	d := &desk{song: song, log: &practicetest.Log{Repertoire: []gig.Song{song}}}
	pl, err := practice.Open(t.Context(), d.log, func() time.Time { return now })
	if err != nil {
		t.Fatal(err)
	}
	run, err := rehearse.Of(song, pl.Setup().Neck, 120)
	if err != nil {
		t.Fatal(err)
	}
	d.rehearsalView = newRehearsal(t.Context(), RehearseOptions{
		Title: "Tin Umbrella", Run: run, Neck: pl.Setup().Neck, After: "Cockles in D", Now: func() time.Time { return now },
		Begin: func(r rehearse.Run, part bool) *practice.Rehearsal { return pl.BeginRehearsal(song, r, part) },
		Stop:  func() {}, Louder: func() {}, Exchange: func(_ rehearse.Run, b Backing) { d.louder = b.Louder },
		Play: func(r rehearse.Run, _ Backing) (Clock, time.Duration) {
			d.heard, d.began = 0, append(d.began, r.Length())
			return d, r.Time(r.Bars[0].Length)
		},
	})
	d.Update(tea.WindowSizeMsg{Width: 80, Height: 24})
	return d
}

func (d *desk) At() time.Duration   { return d.heard }
func (d *desk) Lost() time.Duration { return d.broke }

// A sound that breaks off goes on where it was: that is told, and no bar is taken.
func TestABreakInTheSoundIsTold(t *testing.T) {
	d := newDesk(t)
	d.until(7 * time.Second) // in bar 3
	d.heard, d.broke = 6900*time.Millisecond, 120*time.Millisecond
	d.until(7 * time.Second)
	d.says(t, "bar 3 of 4", "the sound broke off for 120 ms and went on where it was")
	if d.phase != running || len(d.began) != 1 {
		t.Error("the run was ended, or begun anew")
	}
}

// until lets the time go on, a look at the clock each hundredth of a second.
func (d *desk) until(heard time.Duration) {
	for d.heard < heard {
		d.heard += redraw
		d.Update(beatTick{})
	}
}

func (d *desk) press(keys ...string) {
	for _, k := range keys {
		msg := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(k)}
		switch k {
		case "enter":
			msg = tea.KeyMsg{Type: tea.KeyEnter}
		case "esc":
			msg = tea.KeyMsg{Type: tea.KeyEsc}
		}
		d.Update(msg)
	}
}

func (d *desk) says(t *testing.T, want ...string) {
	t.Helper()
	view := d.View()
	for _, w := range want {
		if !strings.Contains(view, w) {
			t.Errorf("the screen does not say %q:\n%s", w, view)
		}
	}
}

// The fret of each root, typed before the next chord comes, is logged with the time from
// its beat; what came too late or was wrong stalls, and is proposed slower.
func TestARunIsAnsweredAtItsBeats(t *testing.T) {
	d := newDesk(t)
	d.until(time.Second)
	d.says(t, "count-in", "[3]", "then  Ab  on string 6")
	d.press("4") // nothing is asked yet
	d.until(2500 * time.Millisecond)
	d.says(t, "verse, bar 1 of 4", "|>Ab", "which fret on string 6?", "then  Fm")
	d.press("4")
	d.says(t, "right, 0.5 s into it")
	d.until(4700 * time.Millisecond)
	d.press("1")
	d.until(4700*time.Millisecond + graceTime + 2*redraw) // no second digit comes
	d.says(t, "right, 0.7 s into it")
	d.until(7 * time.Second)
	d.press("9")
	d.says(t, "Db is at fret 4 of string 5", "|>Db")
	d.until(10100 * time.Millisecond)
	d.says(t, "2 of 4 changes right in time.", "Fm to Db, wrong 1 of 1, bar 3; Db to Eb, 1 of 1, bar 4", "Next: bars 2 and 3", "at 96 beats a minute", "Then: Cockles in D.")

	var got []string
	for _, row := range d.log.Rows {
		got = append(got, row.Item+" "+row.Given+" "+row.Thinking.String())
	}
	if s := strings.Join(got, ", "); s != "change/1-6@E2-A2 1 700ms, change/6-4@E2-A2 9 1s" || !d.log.Rows[0].Right || d.log.Rows[1].Right {
		t.Errorf("logged: %s", s)
	}

	if len(d.log.Past) != 1 {
		t.Fatalf("%d runs are kept", len(d.log.Past))
	}
	past := d.log.Past[0] // four bars of two seconds
	if past.Seconds < 8 || past.Seconds > 8.02 || past.Song != "tin umbrella" || past.Key != "Ab major" || past.Tempo != 120 || past.Part || past.Asked != 4 || past.Given != 3 || past.InTime != 2 {
		t.Errorf("kept: %+v", past)
	}

	d.press("enter")
	d.until(2500 * time.Millisecond)
	d.says(t, "96 beats a minute", "bar 1 of 2", "|>Fm")
	d.press("1")
	d.until(2500*time.Millisecond + 3*time.Second)
	d.press("4")
	d.until(2500*time.Millisecond + 5*time.Second)
	if d.phase != over || !d.page.Next.Whole || d.page.Next.Tempo != 120 {
		t.Errorf("after a clean round the song is not proposed: %+v", d.page)
	}
	d.press("n")
	if !d.onward {
		t.Error("the next song is not asked for")
	}
}

func TestARunIsPausedAndMoved(t *testing.T) {
	d := newDesk(t)
	d.until(7 * time.Second) // in bar 3
	d.press(" ")
	d.until(60 * time.Second)
	d.says(t, "paused at verse, bar 3 of 4")
	d.press(" ")
	d.until(2100 * time.Millisecond)
	d.says(t, "verse, bar 3 of 4")
	d.press("b")
	d.until(2100 * time.Millisecond)
	d.says(t, "verse, bar 1 of 4")
	d.press("+")
	d.says(t, "124 beats a minute")
	d.press("v")
	d.says(t, "the places: nothing is asked")
	d.until(2100 * time.Millisecond)
	d.says(t, "Ab  string 6, fret 4", "then  Fm  string 6, fret 1")
	d.press("4")
	d.until(20 * time.Second)
	d.says(t, "Nothing was asked this time.", "Next: the whole song at 124 beats a minute.")
	if len(d.log.Rows) > 0 {
		t.Errorf("what was shown was logged: %v", d.log.Rows)
	}
	// 7 s, 0.1 s in the third bar and in the first one each, then what is left at 124 beats.
	if n := len(d.log.Past); n != 1 || d.log.Past[0].Given != 0 || d.log.Past[0].Seconds < 12 || d.log.Past[0].Seconds > 16 {
		t.Errorf("kept: %+v", d.log.Past)
	}
	if len(d.began) != 4 || d.began[1] != 8 || d.began[2] != 16 {
		t.Errorf("begun: %v", d.began)
	}
}

// What is pressed in a count-in leaves the run where it was.
func TestACountInKeepsItsPlace(t *testing.T) {
	d := newDesk(t)
	d.until(7 * time.Second) // in bar 3
	for _, k := range []string{"-", "-", "+", "k", "c", " ", " "} {
		d.press(k)
		d.until(500 * time.Millisecond)
	}
	if d.from != 2 {
		t.Errorf("it goes on from bar %d, and was in bar 3", d.from+1)
	}
}

// A louder click beside chords goes on where the run is.
func TestALouderClickTakesNoBar(t *testing.T) {
	d := newDesk(t)
	d.press("k")
	d.until(7 * time.Second)
	d.press("c")
	d.says(t, "bar 3 of 4", "the click is louder in a moment")
	if len(d.began) != 2 || d.louder != 1 {
		t.Errorf("begun %d times, and doubled %d times", len(d.began), d.louder)
	}
}

// A song may begin with a rest: nothing is played yet, and nothing asked.
func TestARunBeginsWithARest(t *testing.T) {
	d := newDeskOf(t, "| N.C. | 1 |")
	for _, shows := range []detail{chordsShown, placesShown, neckShown} {
		d.press("b")
		d.shows = shows
		d.until(time.Second)
		d.says(t, "count-in", "then  Ab")
		d.until(3 * time.Second)
		d.says(t, "bar 1 of 2")
	}
}

// What was played and judged before a pause, and before another tempo was set, stays so;
// what is played from places that are shown is not logged, and the rest is.
func TestWhatWasPlayedBeforeAPauseStays(t *testing.T) {
	d := newDesk(t)
	p := &player{}
	d.o.Listen = p
	d.take(d.o.Run, false, false)
	play := func(ms, key int) {
		p.strokes = append(p.strokes, rehearse.Stroke{At: time.Duration(ms) * time.Millisecond, Key: key, Sure: true})
	}
	play(0, 44)
	play(2000, 41)
	d.until(7 * time.Second) // in the third bar
	d.press(" ", " ")
	d.press("+")
	d.says(t, "124 beats a minute")
	play(4000, 49) // the two bars before it were played at 120
	d.until(4100 * time.Millisecond)
	d.press("v") // the places of the last change are shown
	play(5935, 51)
	d.until(6100 * time.Millisecond)
	d.says(t, "4 of 4 changes right in time.")
	var logged []string
	for _, row := range d.log.Rows {
		logged = append(logged, row.Given)
	}
	if s := strings.Join(logged, " "); s != "F Db" {
		t.Errorf("logged: %s, want F Db: the place of the last one was shown", s)
	}
	if past := d.log.Past; len(past) != 1 || !past[0].Part || past[0].Tempo != 124 {
		t.Errorf("kept: %+v", past)
	}
}

// a player plays what a test says.
type player struct{ strokes []rehearse.Stroke }

func (p *player) GoTo(_ rehearse.Run, _, from time.Duration) {
	p.strokes = slices.DeleteFunc(p.strokes, func(s rehearse.Stroke) bool { return s.At >= from })
}
func (p *player) Follow(context.Context, time.Duration) error { return nil }
func (p *player) Strokes() []rehearse.Stroke                  { return p.strokes }
func (p *player) Level() float64                              { return -30 }

// What is played is judged half a beat before the next change, and logged at the end: a
// change on its beat as known at once, one off its beat as over its aim by that much.
func TestARunIsPlayed(t *testing.T) {
	d := newDesk(t)
	p := &player{}
	d.o.Listen = p
	d.take(d.o.Run, false, false)
	play := func(ms, key int) {
		p.strokes = append(p.strokes, rehearse.Stroke{At: time.Duration(ms) * time.Millisecond, Key: key, Sure: true})
	}
	play(10, 44) // Ab2
	d.until(2500 * time.Millisecond)
	d.says(t, "listening  ━━━━━─────")
	d.press("4")
	play(2015, 41) // F2
	d.until(4 * time.Second)
	d.says(t, "Ab: right in time")
	play(4160, 49) // Db3, 150 ms after the others
	play(6010, 50) // D3 for Eb
	d.until(10100 * time.Millisecond)
	d.says(t, "2 of 4 changes right in time.", "Fm to Db, late 1 of 1, bar 3; Db to Eb, wrong 1 of 1, bar 4", "came 15 ms after the click")
	var got []string
	for _, row := range d.log.Rows {
		got = append(got, fmt.Sprintf("%s %s for %s %v %s %v", row.Item, row.Given, row.Want, row.Right, row.Entry, row.Thinking))
	}
	want := []string{
		"change/1-6@E2-A2 F for F true played 1ms",
		"change/6-4@E2-A2 Db for Db true played 4.645s",
		"change/4-5@E2-A2 D for Eb false played 1ms",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	d.press("r")
	if len(p.strokes) != 0 {
		t.Errorf("what was played of the run before is judged again: %v", p.strokes)
	}
}
