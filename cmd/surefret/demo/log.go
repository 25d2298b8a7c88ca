package demo

import (
	"bytes"
	"compress/gzip"
	_ "embed"
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"time"

	"surefret/drills"
	"surefret/scheduler"
)

// A Player is a guitarist of the band with his or her practice.
type Player struct {
	Name string
	log  []byte // as WriteLog wrote it
}

// The logs were written by `go run ./cmd/schedulelab --demo-log cmd/surefret/demo`:
// simulated players answered what the planner asked.
var (
	//go:embed wren.csv.gz
	wren []byte
	//go:embed odile.csv.gz
	odile []byte
)

// Players are the band's two guitarists.
var Players = []Player{{"Wren", wren}, {"Odile", odile}}

// Days is how many days before today the practice of both began.
const Days = 182

// A Row is one answer of a log that is not yet tied to a date.
type Row struct {
	Day      int           // since the first practice, 0 to Days-1
	Since    time.Duration // from the beginning of that practice day
	Item     string
	Question string
	Right    bool
	Thinking time.Duration
}

// WriteLog writes rows, in their order, as compressed CSV.
func WriteLog(w io.Writer, rows []Row) error {
	z, err := gzip.NewWriterLevel(w, gzip.BestCompression)
	if err != nil {
		return err
	}
	c := csv.NewWriter(z)
	for _, r := range rows {
		right := "0"
		if r.Right {
			right = "1"
		}
		// Errors of the writer are kept, and told when it is flushed.
		_ = c.Write([]string{strconv.Itoa(r.Day), milliseconds(r.Since), r.Item, r.Question, right, milliseconds(r.Thinking)})
	}
	c.Flush()
	if err := c.Error(); err != nil {
		return fmt.Errorf("write the demo's log: %w", err)
	}
	return z.Close()
}

func milliseconds(d time.Duration) string { return strconv.FormatInt(d.Milliseconds(), 10) }

// Answers are the player's answers as of today, in loc; newID makes the id of an
// answer given at an instant.
func (p Player) Answers(today scheduler.Day, loc *time.Location, newID func(time.Time) string) ([]drills.Answer, error) {
	z, err := gzip.NewReader(bytes.NewReader(p.log))
	if err != nil {
		return nil, fmt.Errorf("read the practice of %s: %w", p.Name, err)
	}
	c := csv.NewReader(z)
	c.FieldsPerRecord, c.ReuseRecord = 6, true
	var answers []drills.Answer
	for {
		f, err := c.Read()
		if err == io.EOF {
			return answers, nil
		}
		if err != nil {
			return nil, fmt.Errorf("read the practice of %s: %w", p.Name, err)
		}
		n, err := numbers(f[0], f[1], f[5])
		if err != nil {
			return nil, fmt.Errorf("read the practice of %s: %w", p.Name, err)
		}
		day := today - Days + scheduler.Day(n[0])
		at := day.Start(loc).Add(time.Duration(n[1]) * time.Millisecond)
		answers = append(answers, drills.Answer{
			ID: newID(at), At: at.UTC(), Day: day.String(), Item: f[2], Question: f[3],
			Given: "simulated", Want: "simulated", Right: f[4] == "1",
			Thinking: time.Duration(n[2]) * time.Millisecond, Entry: drills.EntryKeys,
		})
	}
}

func numbers(texts ...string) ([]int64, error) {
	n := make([]int64, len(texts))
	for i, text := range texts {
		var err error
		if n[i], err = strconv.ParseInt(text, 10, 64); err != nil {
			return nil, err
		}
	}
	return n, nil
}
