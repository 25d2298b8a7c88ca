package store

import (
	"bufio"
	"bytes"
	"cmp"
	"context"
	"database/sql"
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
	err = fill(ctx, tmp, func(into *intake) error {
		in := bufio.NewScanner(r)
		in.Buffer(make([]byte, 64<<10), maxLine)
		return (&importer{in: in, into: into}).read(ctx)
	})
	if err != nil {
		return Merged{}, explain(db.path, "import", err)
	}
	return db.takeOver(ctx, tmp, "the import")
}

// An importer takes the rows of an export in.
type importer struct {
	in     *bufio.Scanner
	into   *intake
	line   int // the number of the line that was read last
	format int // of the first line, 0 before it
	rows   int // that were taken
	ended  bool
}

func (m *importer) refuse(why string) error {
	return &Error{kind: ErrInput, path: "the import",
		what: fmt.Sprintf("line %d of the import was refused, %s", m.line, why), do: "nothing was imported; correct the line or export again"}
}

func (m *importer) read(ctx context.Context) error {
	for m.in.Scan() && m.in.Err() == nil {
		m.line++
		text := m.in.Bytes()
		if m.line == 1 {
			text = bytes.TrimPrefix(text, []byte("\ufeff"))
		}
		if text = bytes.TrimSpace(text); len(text) == 0 {
			continue
		}
		if why, err := m.take(ctx, text); err != nil {
			return err
		} else if why != "" {
			return m.refuse(why)
		}
	}
	m.line++ // what comes now
	if err := m.in.Err(); errors.Is(err, bufio.ErrTooLong) {
		return m.refuse(fmt.Sprintf("it is longer than %d bytes", maxLine))
	} else if err != nil {
		return &Error{kind: ErrFailing, path: "the import", Cause: err,
			what: fmt.Sprintf("the import could not be read beyond line %d", m.line-1), do: "nothing was imported"}
	}
	if !m.ended {
		return m.refuse(`the file ends before its last line, {"kind":"end",...}: it was cut off`)
	}
	return nil
}

// take takes one line in, and says what is wrong with it, or "".
func (m *importer) take(ctx context.Context, text []byte) (why string, err error) {
	if m.ended {
		return "it comes after the last line", nil
	}
	var line struct{ Kind string }
	if why := decode(text, &line, false); why != "" {
		return why, nil
	}
	switch kind := line.Kind; {
	case kind == "surefret":
		var l headLine
		if why = decode(text, &l, true); why == "" && m.format > 0 {
			why = "there is a first line already"
		} else if why == "" && (l.Format < 1 || l.Format > exportFormat) {
			why = fmt.Sprintf("its format is %d and this program reads 1 to %d", l.Format, exportFormat)
		}
		m.format = l.Format
	case m.format == 0:
		why = fmt.Sprintf(`the first line should be {"kind":"surefret","format":%d}`, exportFormat)
	case kind == "end":
		var l endLine
		if why = decode(text, &l, true); why == "" && l.Rows != m.rows {
			why = fmt.Sprintf("it counts %d rows, but there are %d: some are missing", l.Rows, m.rows)
		}
		m.ended = true
	case kind == answerKind[m.format]:
		var r drills.Answer
		if r, why = decodeAnswer(text); why == "" {
			m.rows++
			err = m.into.answer(ctx, r)
		}
	case isKind(kind):
		var c change
		if c, why = decodeChange(text); why == "" {
			m.rows++
			err = m.into.change(ctx, c)
		}
	default:
		why = fmt.Sprintf("its kind is %q, which no row has", clean(kind, 40))
	}
	return why, err
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

func decodeAnswer(text []byte) (r drills.Answer, why string) {
	var l answerLine
	if why := decode(text, &l, true); why != "" {
		return r, why
	}
	const longest = int64(100 * 365 * 24 * time.Hour / time.Millisecond)
	if l.Thinking < 0 || l.Thinking > longest {
		return r, "its thinking_ms is out of range"
	}
	r = drills.Answer{ID: l.ID, Device: l.Device, At: time.Time(l.At), Day: l.Day, Item: l.Item, Question: l.Question, Given: l.Answer,
		Want: l.Want, Right: l.Right, Thinking: time.Duration(l.Thinking) * time.Millisecond, Entry: drills.Entry(l.Entry), TakesBack: l.TakesBack}
	if why := cmp.Or(faultOf(r), tooLate(r.At)); why != "" {
		return r, why
	}
	if tidy(r) != r {
		return r, "a text in it has control characters or is too long"
	}
	return r, ""
}

func decodeChange(text []byte) (c change, why string) {
	var l changeLine
	if why := decode(text, &l, true); why != "" {
		return c, why
	}
	if len(l.Value) == 0 {
		return c, "it has no value"
	}
	value, err := compact(l.Value)
	if err != nil {
		return c, "its value is not JSON"
	}
	c = change{id: l.ID, device: l.Device, at: time.Time(l.At), kind: l.Kind, key: keyNow(l.Kind, l.Key), value: value}
	return c, cmp.Or(faultOfChange(c), tooLate(c.at))
}

// An intake fills a new log with rows from elsewhere, within one transaction.
type intake struct {
	tx      *sql.Tx
	answers *sql.Stmt
	changes *sql.Stmt
	places  map[string]int64
}

// fill makes a new log in file and has f fill it.
func fill(ctx context.Context, file string, f func(*intake) error) error {
	if err := create(ctx, file, formats); err != nil {
		return err
	}
	pool := connect(file, aside)
	defer pool.Close()
	// What is lost with the power is gathered again.
	if _, err := pool.ExecContext(ctx, `PRAGMA journal_mode = DELETE`); err != nil {
		return err
	}
	err := transact(ctx, pool, func(tx *sql.Tx) error {
		in, err := newIntake(ctx, tx)
		if err != nil {
			return err
		}
		return f(in)
	})
	return errors.Join(err, pool.Close())
}

func newIntake(ctx context.Context, tx *sql.Tx) (*intake, error) {
	in := &intake{tx: tx, places: map[string]int64{}}
	var err error
	if in.answers, err = tx.PrepareContext(ctx, insertAnswer); err != nil {
		return nil, err
	}
	in.changes, err = tx.PrepareContext(ctx, insertChange)
	return in, err
}

func (in *intake) place(ctx context.Context, device string) (int64, error) {
	if n, ok := in.places[device]; ok {
		return n, nil
	}
	n, err := placeOf(ctx, in.tx, device)
	in.places[device] = n
	return n, err
}

func (in *intake) answer(ctx context.Context, r drills.Answer) error {
	place, err := in.place(ctx, r.Device)
	if err != nil {
		return err
	}
	return in.add(ctx, in.answers, answerArgs(r, place))
}

func (in *intake) change(ctx context.Context, c change) error {
	c.key = keyNow(c.kind, c.key)
	place, err := in.place(ctx, c.device)
	if err != nil {
		return err
	}
	return in.add(ctx, in.changes, changeArgs(c, place))
}

// add inserts one row, unless it is there. The driver would start a goroutine a
// row to watch a context that can end: it is asked here.
func (in *intake) add(ctx context.Context, insert *sql.Stmt, args []any) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	_, err := insert.ExecContext(context.WithoutCancel(ctx), args...)
	return err
}
