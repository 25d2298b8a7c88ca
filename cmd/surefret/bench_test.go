package main

import (
	"bufio"
	"context"
	"fmt"
	"math/rand/v2"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"surefret/cmd/surefret/console"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/scheduler"
	"surefret/store"
)

// aYear fills a new practice with a year of ten minutes a day, a hundred answers
// each.
func aYear(b *testing.B) string {
	b.Helper()
	path := filepath.Join(b.TempDir(), "year.db")
	db, err := store.Open(b.Context(), path)
	if err != nil {
		b.Fatal(err)
	}
	defer db.Close()
	setup, err := settings.Default().Setup()
	if err != nil {
		b.Fatal(err)
	}
	items := drills.NewCatalogue(setup).Items()
	today := scheduler.DayOf(time.Now(), time.Local)
	err = db.AppendAll(b.Context(), func(yield func(drills.Answer) bool) {
		for day := today - 365; day < today; day++ {
			for n := range 100 {
				at := day.Start(time.Local).Add(8*time.Hour + time.Duration(6*n)*time.Second)
				r := drills.Answer{
					ID: db.NewID(at), At: at, Day: day.String(), Item: items[(int(day)*37+n*11)%len(items)].ID,
					Question: "asked in a benchmark?", Given: "G", Want: "G", Right: n%10 != 0,
					Thinking: time.Duration(800+n*17) * time.Millisecond, Entry: drills.EntryKeys,
				}
				if !yield(r) {
					return
				}
			}
		}
	})
	if err != nil {
		b.Fatal(err)
	}
	return path
}

// BenchmarkFirstQuestion runs the real binary on a year of practice until its
// first question is there. The aim is 150 ms; see [firstQuestion].
func BenchmarkFirstQuestion(b *testing.B) { firstQuestion(b, aYear(b)) }

// BenchmarkFirstQuestionOfAMillionAnswers does so on the practice of a life. The
// aim is 300 ms.
func BenchmarkFirstQuestionOfAMillionAnswers(b *testing.B) { firstQuestion(b, lived(b).database) }

// firstQuestion reports ms-first, from the start of the process to its first
// question, and cpu-ms, what the process took of the processors till it had
// closed; ms-hello is what starting a process that only prints its help takes in
// the same run. The first start, ms-replayed, reads the whole log where no
// memory of it is kept, and makes the backup of the day.
func firstQuestion(b *testing.B, path string) {
	binary := filepath.Join(b.TempDir(), "surefret")
	if out, err := exec.Command("go", "build", "-o", binary, ".").CombinedOutput(); err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	ask := func() (first, cpu time.Duration) {
		cmd := exec.Command(binary, "--db", path, "practice", "--line", "--mute")
		in, _ := cmd.StdinPipe()
		out, _ := cmd.StdoutPipe()
		began := time.Now()
		if err := cmd.Start(); err != nil {
			b.Fatal(err)
		}
		line, err := bufio.NewReader(out).ReadString('\n')
		first = time.Since(began)
		if err != nil || !strings.HasSuffix(line, "?\n") {
			b.Fatalf("no question: %q, %v", line, err)
		}
		in.Close()
		cmd.Wait()
		return first, cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
	}
	replayed, _ := ask()
	var first, cpu time.Duration
	for b.Loop() {
		f, c := ask()
		first, cpu = first+f, cpu+c
	}
	var help time.Duration
	for range 10 {
		began := time.Now()
		if err := exec.Command(binary, "--help").Run(); err != nil {
			b.Fatal(err)
		}
		help += time.Since(began) / 10
	}
	b.ReportMetric(first.Seconds()*1000/float64(b.N), "ms-first")
	b.ReportMetric(cpu.Seconds()*1000/float64(b.N), "cpu-ms")
	b.ReportMetric(replayed.Seconds()*1000, "ms-replayed")
	b.ReportMetric(help.Seconds()*1000, "ms-hello")
}

// BenchmarkNextQuestion measures from an answer, with its row on the disk, to
// the next question. The aim is 10 ms.
func BenchmarkNextQuestion(b *testing.B) {
	ctx := context.Background()
	p := &program{Console: console.Console{Getenv: func(string) string { return "" }}, database: aYear(b)}
	pl, err := p.openPlayer(ctx)
	if err != nil {
		b.Fatal(err)
	}
	defer pl.Close(ctx)
	s, err := pl.Begin(practice.Options{Selection: practice.Selection{Heard: true}, Rand: rand.New(rand.NewPCG(1, 1)), Length: 24 * time.Hour})
	if err != nil {
		b.Fatal(err)
	}
	turn, ok, err := s.Next(ctx, time.Now())
	if !ok || err != nil {
		b.Fatal(ok, err)
	}
	for b.Loop() {
		if _, err := s.Answer(ctx, time.Now(), readable(turn.Question), time.Second, drills.EntryKeys); err != nil {
			b.Fatalf("%s: %v", turn.Question.Text, err)
		}
		if turn, ok, err = s.Next(ctx, time.Now()); !ok || err != nil {
			b.Fatal(ok, err)
		}
	}
}

// readable is an answer of the kind that a question wants, right or not.
func readable(q drills.Question) string {
	n := max(q.Count, 1)
	var places []string
	for i := range n {
		places = append(places, fmt.Sprintf("%d/1", 6-i%6))
	}
	for _, answer := range []string{"1", "4b", "4", "m3", strings.Join(places, " "), strings.TrimSpace(strings.Repeat("1 ", n)), strings.TrimSpace(strings.Repeat("C ", n))} {
		if _, err := q.Judge(answer); err == nil {
			return answer
		}
	}
	return ""
}
