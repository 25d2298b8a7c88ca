package screen

import (
	"context"
	"errors"
	"io"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"surefret/drills"
	"surefret/drills/fretboard"
)

// A guitarist is an ear that hears what a test says, a second after it is asked, and notes
// what it was asked for. When all was heard it waits, or fails.
type guitarist struct {
	heard []drills.Heard
	fails error // then; nil is never
	asked []string
	level float64
}

func (p *guitarist) wait(ctx context.Context, what string) error {
	p.asked = append(p.asked, what)
	select {
	case <-time.After(time.Second):
		return nil
	case <-ctx.Done():
		p.asked[len(p.asked)-1] += " in vain"
		return ctx.Err()
	}
}

func (p *guitarist) Hear(ctx context.Context, q drills.Question) (drills.Heard, error) {
	if err := p.wait(ctx, q.Item); err != nil {
		return drills.Heard{}, err
	}
	if len(p.heard) == 0 {
		if p.fails == nil {
			<-ctx.Done()
			return drills.Heard{}, ctx.Err()
		}
		return drills.Heard{}, p.fails
	}
	next := p.heard[0]
	p.heard = p.heard[1:]
	return next, nil
}

func (p *guitarist) Rest(ctx context.Context, look bool) error {
	return p.wait(ctx, map[bool]string{false: "rest", true: "look"}[look])
}

func (p *guitarist) Pluck(ctx context.Context, most time.Duration) (bool, error) {
	return true, p.wait(ctx, "pluck")
}

func (p *guitarist) Level() float64 { return p.level }

// plays runs a sitting on its timers, until it is over or done says so.
func (p *guitarist) plays(log *script, done func(*bench) bool) *bench {
	b := newBenchOn(log, 80, 24, Options{Ear: p, Hears: "microphone open"})
	start := time.Now()
	msgs := make(chan tea.Msg, 1000)
	var do func(tea.Cmd)
	do = func(cmd tea.Cmd) {
		if cmd == nil {
			return
		}
		go func() {
			switch msg := cmd().(type) {
			case tea.BatchMsg:
				for _, c := range msg {
					do(c)
				}
			case nil:
			default:
				msgs <- msg
			}
		}()
	}
	do(b.Init())
	do(b.listen())
	for b.phase != closing && !done(b) {
		msg := <-msgs
		b.clock.now = begun.Add(time.Since(start))
		do(b.send(msg))
	}
	b.ear.end()
	time.Sleep(time.Minute) // until every timer has run out
	return b
}

func heardAs(answer string) drills.Heard {
	return drills.Heard{Answer: answer, Said: "heard " + answer, Thinking: time.Second}
}

// From the first question to the summary no key is pressed: the next question comes after
// the sound, or what was wrong was looked at; a note heard badly is asked for once more,
// and silence pauses until a note. Only what was heard surely is in the log.
func TestASittingIsPlayedHandsFree(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		unsure := drills.Heard{Unsure: true, Said: "did not hear that, once more"}
		p := &guitarist{heard: []drills.Heard{heardAs("G"), unsure, unsure, heardAs("5"), {Quiet: true}, heardAs("E")}, fails: io.EOF}
		offered := false
		b := p.plays(&script{items: []string{nameG, findC, nameE, findF}}, func(b *bench) bool {
			offered = offered || strings.Contains(b.View(), "Type the answer, or play on.")
			return false
		})
		if want := "G right 1s played; 5 wrong 0s played; E right 0s played"; b.answers() != want {
			t.Errorf("logged %q, want %q", b.answers(), want)
		}
		want := []string{nameG, "rest", findC, findC, findC, "look", nameE, "pluck", nameE, "rest", findF}
		if got := strings.Join(p.asked, " "); got != strings.Join(want, " ") {
			t.Errorf("listened for\n%s, want\n%s", got, strings.Join(want, " "))
		}
		if !offered {
			t.Error("after two notes that were not heard typing is not offered")
		}
	})
}

// While the player is away nothing is taken for an answer.
func TestAPauseByKeyListensToNothing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := &guitarist{heard: []drills.Heard{heardAs("G")}}
		b := p.plays(&script{items: []string{nameG}}, func(b *bench) bool {
			if b.phase == asking && len(p.asked) == 1 {
				b.keys(".")
			}
			return b.clock.now.Sub(begun) > 3*time.Second
		})
		if b.answers() != "" || strings.Join(p.asked, " ") != nameG+" in vain" {
			t.Errorf("answered %q, listened for %q", b.answers(), p.asked)
		}
	})
}

// A microphone that is lost is told, and practice goes on by typing.
func TestALostInputLeavesTheKeys(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := &guitarist{fails: errors.New("the input was lost")}
		b := p.plays(&script{items: []string{nameG}}, func(b *bench) bool { return b.o.Ear == nil })
		for _, phase := range []phase{showing, asking} {
			b.phase = phase
			if view := b.View(); !strings.Contains(view, "The input was lost. Type the answers.") || strings.Contains(view, "microphone open") {
				t.Errorf("it shows\n%s", view)
			}
		}
		if b.keys("g", "enter"); b.answers() != "G right 0s keys" {
			t.Errorf("typed: %q", b.answers())
		}
	})
}

// In windows of any size the question, what is heard and the neck stand where they stood
// before the answer.
func TestNothingMovesWithAPlayedAnswer(t *testing.T) {
	for _, answer := range []string{"3", "6"} {
		b := newBench(FewestColumns, FewestRows, Options{Ear: &guitarist{level: -30}, Hears: "microphone open"}, findC)
		rows := func() (all [][3]int) {
			for wide := FewestColumns; wide < 140; wide++ {
				high := FewestRows + wide*7%33
				b.send(tea.WindowSizeMsg{Width: wide, Height: high})
				fits(t, b.View(), [2]int{wide, high})
				var at [3]int
				for i, words := range []string{"C on string 5: which", "microphone open", "║"} {
					at[i] = slices.IndexFunc(strings.Split(b.View(), "\n"), func(l string) bool { return strings.Contains(l, words) })
				}
				all = append(all, at)
			}
			return all
		}
		before := rows()
		b.send(listened{b.ear.call, heardAs(answer), nil})
		for i, after := range rows() {
			if before[i][2] < 0 {
				after[2] = before[i][2] // it came with the answer
			}
			if after != before[i] || after[0] < 0 || after[1] < 0 {
				t.Errorf("%d columns, answered %s: rows %v, and then %v", FewestColumns+i, answer, before[i], after)
			}
		}
	}
}

// Of a phrase that was played the tablature is told, with a sign below what was wrong and
// below what was late.
func TestAPhraseIsMarkedOnItsTab(t *testing.T) {
	b := newBenchOn(&script{items: []string{nameG}}, 80, 24, Options{Ear: &guitarist{}, Hears: "microphone open"})
	b.send(listened{b.ear.call, heardAs("A"), nil})
	b.result.Verdict.Strokes = []drills.Stroke{{At: fretboard.Position{String: 6, Fret: 10}}, {At: fretboard.Position{String: 5, Fret: 12}, Wrong: "A"}, {At: fretboard.Position{String: 4, Fret: 9}, Late: true}}
	want := []string{"4  ---------9--", " 5  -----12-----", " 6  -10---------", "         x   >   x: another note   >: late"}
	var rows []string
	for l := range strings.Lines(b.View()) {
		rows = append(rows, strings.TrimRight(strings.TrimLeft(l, " "), " \n"))
	}
	at := slices.Index(rows, strings.TrimSpace(want[0]))
	for i, l := range want {
		if at < 0 || len(rows) < at+len(want) || rows[at+i] != strings.TrimSpace(l) {
			t.Fatalf("it shows\n%s", b.View())
		}
	}
}

func TestGoldenScreensOfListening(t *testing.T) {
	for _, w := range windows {
		p := &guitarist{level: -30}
		w.o.Ear, w.o.Hears = p, "microphone open"
		b := newBench(w.width, w.height, w.o, findC, nameG, "walkup/1-4/up@E2-A2-D3", "note/all/G@E2-A2-D3-G3-B3-E4")
		hear := func(h drills.Heard) { b.send(listened{b.ear.call, h, nil}) }
		w.golden(t, "listen-asked", b.View())
		hear(drills.Heard{Unsure: true, Said: "did not hear that, once more"})
		w.golden(t, "listen-unsure", b.View())
		hear(drills.Heard{Quiet: true})
		w.golden(t, "listen-paused", b.View())
		b.send(listened{b.ear.call, drills.Heard{}, nil})
		hear(drills.Heard{Answer: "6", Said: "heard D#, string 5 has it at 6", Thinking: time.Second})
		w.golden(t, "listen-wrong", b.View())
		b.keys("x")
		b.clock.after(time.Second)
		b.keys("x")
		b.untimed = false
		hear(drills.Heard{Answer: "G", Said: "heard G", Thinking: time.Second})
		w.golden(t, "listen-right", b.View())
		b.clock.after(time.Second)
		for b.keys("x"); b.phase != asking; b.keys("x") {
			b.clock.after(time.Second)
		}
		w.golden(t, "listen-walk", b.View())
		b.send(listened{b.ear.call, drills.Heard{}, errors.New("the input was lost")})
		w.golden(t, "listen-lost", b.View())
	}
}
