package drills

import "time"

// An Answer is one row of the answer log: a question as it was posed and the
// answer as it was given. The log is append-only; memory is rebuilt from it.
type Answer struct {
	ID       string    // unique, and it sorts by the time it was made
	Device   string    // id of the computer it was made on
	At       time.Time // when the answer was committed, UTC, to the millisecond
	Day      string    // the player's practice day, "2026-11-25"; it begins at 4 in the morning
	Item     string
	Question string // as posed, one sentence
	Given    string // as given
	Want     string // the right answer
	Right    bool
	Thinking time.Duration // to the millisecond; 0 when it was not timed
	Entry    Entry

	// TakesBack is the ID of an earlier answer that this row withdraws: a slip
	// of the keys, taken back right after it was committed. Such a row answers
	// nothing itself; Item repeats the item of the row it withdraws.
	TakesBack string
}

// An Entry is the way an answer was entered; each has its own typing time.
type Entry string

const (
	EntryKeys    Entry = "keys"    // typed on the practice screen
	EntryPointer Entry = "pointer" // arrows or mouse on the drawn neck
	EntryPlayed  Entry = "played"  // on the guitar, and heard
	EntryLine    Entry = "line"    // line mode; includes listening to a screen reader
)
