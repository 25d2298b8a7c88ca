package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/mattn/go-sqlite3"

	"surefret/drills"
	"surefret/drills/gig"
)

// SQLite's result codes: sqlite.org/rescode.html. The system's: POSIX errno.h.
func TestWhatTheDriverSaysBecomesASentence(t *testing.T) {
	lite := func(code sqlite3.ErrNo, errno syscall.Errno) error {
		return sqlite3.Error{Code: code, SystemErrno: errno}
	}
	for _, c := range []struct {
		err  error
		kind error
	}{
		{lite(sqlite3.ErrFull, 0), ErrFull},
		{lite(sqlite3.ErrBusy, 0), ErrLocked},
		{lite(sqlite3.ErrLocked, 0), ErrLocked},
		{lite(sqlite3.ErrProtocol, 0), ErrLocked},
		{lite(sqlite3.ErrReadonly, 0), ErrDenied},
		{lite(sqlite3.ErrPerm, 0), ErrDenied},
		{lite(sqlite3.ErrCantOpen, 0), ErrDenied},
		{lite(sqlite3.ErrAuth, 0), ErrDenied},
		{lite(sqlite3.ErrIoErr, 0), ErrFailing},
		{lite(sqlite3.ErrNo(sqlite3.ErrIoErrWrite), 0), ErrFailing},
		{lite(sqlite3.ErrNomem, 0), ErrFailing},
		{lite(sqlite3.ErrIoErr, syscall.ENOSPC), ErrFull},
		{lite(sqlite3.ErrIoErr, syscall.EDQUOT), ErrFull},
		{lite(sqlite3.ErrIoErr, syscall.EFBIG), ErrFull},
		{lite(sqlite3.ErrInterrupt, 0), context.Canceled},
		{lite(sqlite3.ErrCorrupt, 0), ErrDamaged},
		{lite(sqlite3.ErrNotADB, 0), ErrDamaged},
		{lite(sqlite3.ErrError, 0), ErrDamaged},
		{fmt.Errorf("%w: synchronous", errPragma), ErrDenied},
		{&fs.PathError{Op: "open", Err: syscall.ENOSPC}, ErrFull},
		{&fs.PathError{Op: "open", Err: syscall.EDQUOT}, ErrFull},
		{&fs.PathError{Op: "open", Err: syscall.EFBIG}, ErrFull},
		{&fs.PathError{Op: "read", Err: syscall.EISDIR}, ErrForeign},
		{fs.ErrExist, ErrExists},
		{fs.ErrNotExist, ErrMissing},
		{fs.ErrPermission, ErrDenied},
		{syscall.EROFS, ErrDenied},
		{syscall.ENOTDIR, ErrDenied},
		{errors.New("anything else"), ErrFailing},
		{context.DeadlineExceeded, context.DeadlineExceeded},
	} {
		err := explain("/home/ada/surefret.db", "save the answer", c.err)
		if !errors.Is(err, c.kind) {
			t.Errorf("%v became %v, want %v", c.err, err, c.kind)
		}
		var e *Error
		if errors.As(err, &e) && (!errors.Is(err, c.err) || !strings.Contains(e.what, "/home/ada/surefret.db")) {
			t.Errorf("%v became %q (%v)", c.err, err, e.Cause)
		}
	}
	if again := explain("b", "read it", explain("a", "write it", fs.ErrExist)); !strings.Contains(again.Error(), "could not write it, a is") {
		t.Errorf("a sentence was worded anew: %v", again)
	}
	if err := explain("a", "write it", nil); err != nil {
		t.Errorf("nothing became %v", err)
	}
}

func TestEachFieldOfAnAnswerIsHeldToItsBounds(t *testing.T) {
	good := drills.Answer{ID: "r1", Device: "d", At: time.UnixMilli(0).UTC(), Day: "2026-11-25", Item: "note/E2+3/name", Entry: drills.EntryKeys}
	if why := faultOf(good); why != "" {
		t.Fatal(why)
	}
	for want, harm := range map[string]func(*drills.Answer){
		"it has no id":            func(r *drills.Answer) { r.ID = "" },
		"it has no device":        func(r *drills.Answer) { r.Device = "" },
		"it has no item":          func(r *drills.Answer) { r.Item = "" },
		"it has no way of entry":  func(r *drills.Answer) { r.Entry = "" },
		`its day is "2026-11-31"`: func(r *drills.Answer) { r.Day = "2026-11-31" },
		"its time, 1969":          func(r *drills.Answer) { r.At = time.UnixMilli(-1).UTC() },
		"its time, 10000":         func(r *drills.Answer) { r.At = time.Date(10000, 1, 1, 0, 0, 0, 0, time.UTC) },
		"its thinking time, -1ms": func(r *drills.Answer) { r.Thinking = -time.Millisecond },
		"it takes back itself":    func(r *drills.Answer) { r.TakesBack = r.ID },
	} {
		r := good
		harm(&r)
		if why := faultOf(r); !strings.HasPrefix(why, want) {
			t.Errorf("%q, want %q", why, want)
		}
	}
}

func TestEachFieldOfAChangeIsHeldToItsBounds(t *testing.T) {
	song := func(f func(*gig.Song)) []byte {
		s := gig.Song{Title: "Low Tide Shuffle", Sections: []gig.Section{{Name: "verse", Chords: "1 4 5"}}, Shapes: []string{"E"}, Parts: []gig.Part{{Name: "p"}}}
		f(&s)
		return fmt.Appendf(nil, `{"id":"fair","name":"Harbour Fair","day":"2026-12-05","songs":[{"title":%q,"sections":[{"name":%q,"chords":%q}],"shapes":[%q],"parts":[{"name":%q}]}]}`,
			s.Title, s.Sections[0].Name, s.Sections[0].Chords, s.Shapes[0], s.Parts[0].Name)
	}
	good := change{id: "c1", device: "d", at: time.UnixMilli(0).UTC(), kind: kindGig, key: "fair", value: song(func(*gig.Song) {})}
	if why := faultOfChange(good); why != "" {
		t.Fatal(why)
	}
	long := strings.Repeat("x", maxText+1)
	for _, c := range []struct {
		want string
		harm func(*change)
	}{
		{"an id, a device or a key is missing", func(c *change) { c.id = "" }},
		{"an id, a device or a key is missing", func(c *change) { c.device = "" }},
		{"an id, a device or a key is missing", func(c *change) { c.key = "" }},
		{`"So-Lo" is no kind`, func(c *change) { c.kind = "So-Lo" }},
		{"its value is not an object", func(c *change) { c.kind, c.value = "song", []byte(`7`) }},
		{"a name is longer", func(c *change) { c.id = long }},
		{"a name is longer", func(c *change) { c.key = long }},
		{"a name is longer", func(c *change) { c.device = long }},
		{"a name has control", func(c *change) { c.key = "a\x1b" }},
		{"a name has control", func(c *change) { c.id = "a\x1b" }},
		{"a name has control", func(c *change) { c.device = "a\x1b" }},
		{"its time, 1969", func(c *change) { c.at = time.UnixMilli(-1).UTC() }},
		{"its time, 10000", func(c *change) { c.at = time.Date(10000, 1, 1, 0, 0, 0, 0, time.UTC) }},
		{"it is longer than", func(c *change) { c.value = make([]byte, maxValue+1) }},
		{"a text in it has control characters", func(c *change) { c.value = []byte(`"\u001b"`) }},
		{"its value is not JSON", func(c *change) { c.kind, c.value = kindSetting, []byte(`{`) }},
		{"its value is not JSON", func(c *change) { c.kind, c.value = kindSetting, []byte(`null`) }},
		{"it does not read as a gig", func(c *change) { c.value = []byte(`[]`) }},
		{"its id is not its key", func(c *change) { c.key = "other" }},
		{`the day of the gig is "soon"`, func(c *change) { c.value = []byte(`{"id":"fair","day":"soon"}`) }},
		{"a text in it", func(c *change) { c.value = song(func(s *gig.Song) { s.Title = long }) }},
		{"a text in it", func(c *change) { c.value = song(func(s *gig.Song) { s.Sections[0].Name = long }) }},
		{"a text in it", func(c *change) { c.value = song(func(s *gig.Song) { s.Sections[0].Chords = long }) }},
		{"a text in it", func(c *change) { c.value = song(func(s *gig.Song) { s.Shapes[0] = long }) }},
		{"a text in it", func(c *change) { c.value = song(func(s *gig.Song) { s.Parts[0].Name = long }) }},
	} {
		bad := good
		c.harm(&bad)
		if why := faultOfChange(bad); !strings.HasPrefix(why, c.want) {
			t.Errorf("%.60q, want %q", why, c.want)
		}
	}
	good.value = nil
	if why := faultOfChange(good); why != "" {
		t.Errorf("a removal: %s", why)
	}
}

func TestATextIsCutBetweenCharacters(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"Harbour", "Harbo"}, {"Fair", "Fair"}, {"ééé", "éé"}, {"a\x1b[2J", "a\ufffd["}, {"\xff\xfea", "\ufffda"}, {"a\u202eb", "a\ufffdb"},
	} {
		if got := clean(c.in, 5); got != c.want {
			t.Errorf("%q became %q, want %q", c.in, got, c.want)
		}
	}
}

// A checksum that fits is not enough: a row that no program of ours writes is
// damage, whoever wrote it.
func TestARowThatWasNotTidiedIsDamage(t *testing.T) {
	db, err := Open(t.Context(), t.TempDir()+"/surefret.db")
	Must(t, err)
	defer db.Close()
	r := drills.Answer{ID: "r1", Device: db.device, At: time.UnixMilli(0).UTC(), Day: "2026-11-25", Item: "note/E2+3/name", Entry: drills.EntryKeys}
	r.Given = "\x1b[2J"
	if _, err := db.insert.Exec(answerArgs(r, db.place)...); err != nil {
		t.Fatal(err)
	}
	if _, _, err := db.Tail(t.Context(), 0); !errors.Is(err, ErrDamaged) {
		t.Errorf("it was read: %v", err)
	}
}
