package store

import (
	"bufio"
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"surefret/drills"
)

// The lines of an export, in the order in which they are written: JSON Lines
// (jsonlines.org), UTF-8, one object a line, told apart by "kind".
//
//	{"kind":"surefret","format":2}
//	{"kind":"answer","id":...,"device":...,"at":"2026-11-25T07:00:00.000Z","day":"2026-11-25",
//	 "item":...,"question":...,"answer":...,"want":...,"right":true,"thinking_ms":1200,
//	 "entry":"keys","takes_back":...}
//	{"kind":"gig","id":...,"device":...,"at":...,"key":...,"value":{...}}
//	{"kind":"setting","id":...,"device":...,"at":...,"key":...,"value":...}
//	{"kind":"end","rows":3}
//
// takes_back is left out where nothing is taken back. A gig or a setting is a
// change of it; a null value removes it, and the latest change counts. The other
// kinds of change are written alike. Answers and changes are in order of time and
// id. The last line counts those between, so that a file that was cut off is not
// taken for a whole one. FORMAT.md says what the values hold.
//
// In format 1 an answer's kind was "review"; it is read as well.
type (
	headLine struct {
		Kind   string `json:"kind"`
		Format int    `json:"format"`
	}
	answerLine struct {
		Kind      string  `json:"kind"`
		ID        string  `json:"id"`
		Device    string  `json:"device"`
		At        instant `json:"at"`
		Day       string  `json:"day"`
		Item      string  `json:"item"`
		Question  string  `json:"question"`
		Answer    string  `json:"answer"`
		Want      string  `json:"want"`
		Right     bool    `json:"right"`
		Thinking  int64   `json:"thinking_ms"`
		Entry     string  `json:"entry"`
		TakesBack string  `json:"takes_back,omitempty"`
	}
	changeLine struct {
		Kind   string          `json:"kind"`
		ID     string          `json:"id"`
		Device string          `json:"device"`
		At     instant         `json:"at"`
		Key    string          `json:"key"`
		Value  json.RawMessage `json:"value"`
	}
	endLine struct {
		Kind string `json:"kind"`
		Rows int    `json:"rows"`
	}
)

// exportFormat is the number in the first line of an export, and answerKind the
// kind of an answer's line in each format.
const exportFormat = 2

var answerKind = [exportFormat + 1]string{1: "review", 2: "answer"}

// otherLines are the kinds of line that are no kinds of change.
var otherLines = append([]string{"surefret", "end"}, answerKind[1:]...)

// An instant is a time to the millisecond, in UTC, as RFC 3339 writes it.
type instant time.Time

const instantLayout = "2006-01-02T15:04:05.000Z"

func (t instant) MarshalText() ([]byte, error) {
	return time.Time(t).UTC().AppendFormat(nil, instantLayout), nil
}

func (t *instant) UnmarshalText(text []byte) error {
	at, err := time.Parse(instantLayout, string(text))
	*t = instant(at)
	return err
}

// An exporter writes the lines of one export.
type exporter struct {
	out  *bufio.Writer
	enc  *json.Encoder
	rows int
}

// export writes the lines that f adds between the first and the last one.
func export(w io.Writer, f func(*exporter) error) error {
	x := &exporter{out: bufio.NewWriterSize(w, 1<<16)}
	x.enc = json.NewEncoder(x.out)
	x.enc.SetEscapeHTML(false)
	err := x.enc.Encode(headLine{"surefret", exportFormat})
	if err == nil {
		err = f(x)
	}
	if err == nil {
		err = x.enc.Encode(endLine{"end", x.rows})
	}
	if err == nil {
		err = x.out.Flush()
	}
	return explain("the export", "write it", err)
}

func (x *exporter) add(line any) error {
	x.rows++
	return x.enc.Encode(line)
}

// Export writes the whole log as JSON Lines, which [DB.Import] reads.
func (db *DB) Export(ctx context.Context, w io.Writer) error {
	return export(w, func(x *exporter) error {
		for r, err := range db.inOrder(ctx, 0, "") {
			if err != nil {
				return err
			}
			if err := x.add(lineOf(r)); err != nil {
				return err
			}
		}
		for c, err := range db.changes(ctx, `ORDER BY at, id, sum`) {
			if err != nil {
				return err
			}
			value := c.value
			if value == nil {
				value = []byte("null")
			}
			if err := x.add(changeLine{c.kind, c.id, c.device, instant(c.at), c.key, value}); err != nil {
				return err
			}
		}
		return nil
	})
}

// SaveBeside writes rows that cannot be saved to a new file beside the log, for its
// owner alone, which [DB.Import] reads, and returns its name. They need an ID and a
// Device. A file that could not be finished is not left.
func (db *DB) SaveBeside(now time.Time, rows []drills.Answer) (file string, err error) {
	stem := strings.TrimSuffix(db.path, filepath.Ext(db.path))
	var f *os.File
	for {
		file = freeName(stem+".jsonl", "-unsaved-", now)
		if f, err = os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600); err == nil {
			break
		} else if !errors.Is(err, fs.ErrExist) { // another process was faster
			return "", explain(file, "write what could not be saved", err)
		}
	}
	err = export(f, func(x *exporter) error {
		for _, r := range rows {
			if err := x.add(lineOf(tidy(r))); err != nil {
				return err
			}
		}
		return nil
	})
	if err := errors.Join(err, f.Sync(), f.Close()); err != nil {
		os.Remove(file)
		return "", explain(file, "write what could not be saved", err)
	}
	return file, nil
}

func lineOf(r drills.Answer) answerLine {
	return answerLine{answerKind[exportFormat], r.ID, r.Device, instant(r.At), r.Day, r.Item, r.Question, r.Given, r.Want,
		r.Right, r.Thinking.Milliseconds(), string(r.Entry), r.TakesBack}
}

// ExportCSV writes the answers that count as a table for a spreadsheet (RFC
// 4180), with a line of headings. A text that a spreadsheet would take for a
// formula gets an apostrophe in front.
func (db *DB) ExportCSV(ctx context.Context, w io.Writer) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true // as RFC 4180 has it
	if err := out.Write([]string{"at", "day", "item", "question", "answer", "want", "right", "thinking_seconds", "entry", "device", "id"}); err != nil {
		return explain("the export", "write it", err)
	}
	for r, err := range db.effective(ctx, 0) {
		if err != nil {
			return err
		}
		at := r.At.UTC().Format(instantLayout)
		line := []string{at, r.Day, r.Item, r.Question, r.Given, r.Want, strconv.FormatBool(r.Right),
			strconv.FormatFloat(r.Thinking.Seconds(), 'f', 3, 64), string(r.Entry), r.Device, r.ID}
		for i, cell := range line {
			if cell != "" && strings.ContainsRune("=+-@", rune(cell[0])) {
				line[i] = "'" + cell
			}
		}
		if err := out.Write(line); err != nil {
			return explain("the export", "write it", err)
		}
	}
	out.Flush()
	return explain("the export", "write it", out.Error())
}
