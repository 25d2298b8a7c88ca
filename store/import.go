package store

import (
	"bufio"
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"surefret/drills"
)

// maxLine is the longest line of an import, in bytes. Longer ones are refused
// before they are read, so a file of any size takes little memory.
const maxLine = 4 << 20

// Import takes over an export: all of it or, after an error, nothing. A line
// that is not as [DB.Export] writes it is [ErrInput], with its number and the
// reason. What is here already is passed over, so a file may be imported twice.
//
// The lines are first gathered in a log of their own, which is then merged:
// practice that goes on meanwhile waits for the merge alone.
func (db *DB) Import(ctx context.Context, r io.Reader) (Merged, error) {
	dir, err := newRoom(filepath.Dir(db.file))
	if err != nil {
		return Merged{}, explain(db.path, "import", err)
	}
	defer os.RemoveAll(dir)
	tmp := filepath.Join(dir, "import.db")
	err = fill(ctx, tmp, func(in *intake) error {
		return readLines(r, func(l line) error {
			if l.answer != nil {
				return in.answer(ctx, *l.answer)
			}
			return in.change(ctx, *l.change)
		})
	})
	if err != nil {
		return Merged{}, explain(db.path, "import", err)
	}
	return db.takeOver(ctx, tmp, "the import")
}

// A line is a row in an import: one of the two.
type line struct {
	answer *drills.Answer
	change *change
}

// readLines reads an export and hands its rows to add.
func readLines(r io.Reader, add func(line) error) error {
	in := bufio.NewReaderSize(r, 64<<10)
	n, rows, format, end := 0, 0, 0, false
	refuse := func(why string) error {
		return &Error{Kind: ErrInput, Path: "the import",
			What: fmt.Sprintf("line %d of the import was refused, %s", n, why), Do: "nothing was imported; correct the line or export again"}
	}
	for {
		text, err := readLine(in)
		if err == io.EOF {
			break
		}
		n++
		if err == bufio.ErrTooLong {
			return refuse(fmt.Sprintf("it is longer than %d bytes", maxLine))
		} else if err != nil {
			return &Error{Kind: ErrFailing, Path: "the import", Cause: err,
				What: fmt.Sprintf("the import could not be read beyond line %d", n-1), Do: "nothing was imported"}
		}
		if n == 1 {
			text = bytes.TrimPrefix(text, []byte("\ufeff"))
		}
		text = bytes.TrimSpace(text)
		if len(text) == 0 {
			continue
		}
		if end {
			return refuse("it comes after the last line")
		}
		var kind struct{ Kind string }
		if why := decode(text, &kind, false); why != "" {
			return refuse(why)
		}
		if kind.Kind != "surefret" && format == 0 {
			return refuse(fmt.Sprintf(`the first line should be {"kind":"surefret","format":%d}`, exportFormat))
		}
		var row line
		why := ""
		switch kind.Kind {
		case "surefret":
			var l headLine
			if why = decode(text, &l, true); why == "" && format > 0 {
				why = "there is a first line already"
			} else if why == "" && (l.Format < 1 || l.Format > exportFormat) {
				why = fmt.Sprintf("its format is %d and this program reads 1 to %d", l.Format, exportFormat)
			}
			format = l.Format
		case "end":
			var l endLine
			if why = decode(text, &l, true); why == "" && l.Rows != rows {
				why = fmt.Sprintf("it counts %d rows, but there are %d: some are missing", l.Rows, rows)
			}
			end = true
		case answerKind[format]:
			row.answer, why = decodeAnswer(text)
		default:
			if kinds[kind.Kind] != nil {
				row.change, why = decodeChange(text)
				break
			}
			why = fmt.Sprintf("its kind is %q, none that this program knows", clean(kind.Kind, 40))
		}
		if why != "" {
			return refuse(why)
		}
		if row == (line{}) {
			continue
		}
		rows++
		if err := add(row); err != nil {
			return err
		}
	}
	if !end {
		n++
		return refuse(`the file ends before its last line, {"kind":"end",...}: it was cut off`)
	}
	return nil
}

// readLine returns the next line without its end, of at most maxLine bytes.
func readLine(in *bufio.Reader) ([]byte, error) {
	var text []byte
	for {
		part, err := in.ReadSlice('\n')
		if len(text)+len(part) > maxLine {
			return nil, bufio.ErrTooLong
		}
		text = append(text, part...)
		switch {
		case err == bufio.ErrBufferFull:
		case err == io.EOF && len(text) > 0:
			return text, nil
		default:
			return text, err
		}
	}
}

// decode reads one line and says what is wrong with it, or "". strict refuses
// fields that are not known.
func decode(text []byte, into any, strict bool) string {
	dec := json.NewDecoder(bytes.NewReader(text))
	if strict {
		dec.DisallowUnknownFields()
	}
	err := dec.Decode(into)
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &kind) && kind.Field != "":
		return fmt.Sprintf("its field %q does not take a %s", clean(kind.Field, 40), clean(kind.Value, 40))
	case errors.As(err, &kind):
		return "it is not an object in braces"
	case err != nil && strict && json.Valid(text):
		return "it does not read, " + clean(err.Error(), maxName)
	case err != nil || !json.Valid(text):
		return "it is not JSON"
	}
	return ""
}

func decodeAnswer(text []byte) (*drills.Answer, string) {
	var l answerLine
	if why := decode(text, &l, true); why != "" {
		return nil, why
	}
	const longest = int64(100 * 365 * 24 * time.Hour / time.Millisecond)
	if l.Thinking < 0 || l.Thinking > longest {
		return nil, "its thinking_ms is out of range"
	}
	r := drills.Answer{ID: l.ID, Device: l.Device, At: time.Time(l.At), Day: l.Day, Item: l.Item, Question: l.Question, Given: l.Answer,
		Want: l.Want, Right: l.Right, Thinking: time.Duration(l.Thinking) * time.Millisecond, Entry: drills.Entry(l.Entry), TakesBack: l.TakesBack}
	if why := cmp.Or(faultOf(r), tooLate(r.At)); why != "" {
		return nil, why
	}
	if tidy(r) != r {
		return nil, "a text in it has control characters or is too long"
	}
	return &r, ""
}

func decodeChange(text []byte) (*change, string) {
	var l changeLine
	if why := decode(text, &l, true); why != "" {
		return nil, why
	}
	c := change{id: l.ID, device: l.Device, at: time.Time(l.At), kind: l.Kind, key: keyNow(l.Kind, l.Key)}
	if len(l.Value) == 0 {
		return nil, "it has no value"
	}
	if string(l.Value) != "null" {
		var tidied bytes.Buffer
		if err := json.Compact(&tidied, l.Value); err != nil {
			return nil, "its value is not JSON"
		}
		c.value = tidied.Bytes()
	}
	if why := cmp.Or(faultOfChange(c), tooLate(c.at)); why != "" {
		return nil, why
	}
	return &c, ""
}
