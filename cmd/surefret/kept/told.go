package kept

import (
	"fmt"
	"path/filepath"
	"time"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/ink"
	"surefret/cmd/surefret/report"
	"surefret/store"
)

// Where tells where a practice is, and of its backups the newest.
func Where(path string, size int64, backups []string) (said []string) {
	lies := "Your practice is in"
	if size == 0 {
		lies = "There is no practice yet; it will be in"
	}
	said = append(said, fmt.Sprintf("%s %s.", lies, cli.Shown(path)))
	if len(backups) > 0 {
		said = append(said, fmt.Sprintf("Beside it: %s, the newest %s.", report.Many(len(backups), "backup"), cli.Shown(filepath.Base(backups[0]))))
	}
	return said
}

// Checked tells what came of checking a practice, to be read or to be listened to.
func Checked(r store.Report, paper ink.Look, spoken bool) (lines []string) {
	undone := ""
	if r.Undone > 0 {
		undone = fmt.Sprintf(", %d of them taken back,", r.Undone)
	}
	found, ranging := "%s: %s%s from %s", "from %s to %s"
	if spoken {
		found, ranging = "%s holds %s%s from %s.", "The first is of %s and the last of %s."
	}
	lines = append(lines, fmt.Sprintf(found, paper.Paint(ink.Strong, cli.Shown(r.Path)), report.Many(r.Answers, "answer"), undone, report.Many(r.Devices, "computer")))
	if r.Answers > 0 {
		lines = append(lines, fmt.Sprintf(ranging, r.First.Local().Format(time.DateOnly), r.Last.Local().Format(time.DateOnly)))
	}
	for _, n := range r.Notes {
		lines = append(lines, "note: "+n)
	}
	for _, f := range r.Faults {
		lines = append(lines, "fault: "+f)
	}
	if len(r.Faults) == 0 {
		lines = append(lines, "No faults found.")
	}
	return lines
}

// Merged tells what came of taking over another practice.
func Merged(m store.Merged) (lines []string) {
	tell := func(format string, args ...any) { lines = append(lines, fmt.Sprintf(format, args...)) }
	if m.Answers+m.Changes == 0 {
		tell("Nothing new: %s here already.", rowsWere(m.Known))
	} else {
		tell("New here: %s and %s of gigs and settings; %s here already.",
			report.Many(m.Answers, "answer"), report.Many(m.Changes, "change"), rowsWere(m.Known))
	}
	for _, l := range m.Lost {
		side := "the other one"
		if l.Here {
			side = "this one"
		}
		tell("Both changed %s: %s counts, made later; %s was made on %s, %s.",
			l.What, l.Kept, l.Lost, side, l.At.Local().Format("2006-01-02 15:04"))
	}
	if m.Clashes > 0 {
		tell("Rows that share an id with a different one: %d; both are kept.", m.Clashes)
	}
	if m.Late > 0 {
		tell("By a clock that was wrong %s dated after the year 2199, and left out.", rowsWere(m.Late))
	}
	switch {
	case m.Torn:
		tell("The other file is damaged: %s left out, and a part of it could not be read at all.", rowsWere(m.Damaged))
	case m.Damaged > 0:
		tell("The other file is damaged: %s left out.", rowsWere(m.Damaged))
	}
	return lines
}

// rowsWere begins what is told of so many rows.
func rowsWere(n int) string {
	if n == 1 {
		return "1 row was"
	}
	return report.Many(n, "row") + " were"
}
