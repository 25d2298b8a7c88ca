package line

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"surefret/cmd/surefret/practice"
	"surefret/drills"
	"surefret/scheduler"
)

// tell says what is neither question nor result.
func (t *turns) tell(text string) { fmt.Fprintln(t.Err, t.inWords(text)) }

// explain says what words mean.
func (t *turns) explain(terms []drills.Term) {
	for _, term := range terms {
		if t.Words != nil && term.Name == "inlay" { // which is to be seen, and is left out
			continue
		}
		if t.Words != nil && term.Name == "5" { // the sign is not said
			term.Word, term.Means = "power chord", "root and fifth alone"
		}
		t.tell(fmt.Sprintf("%s: %s.", term.Word, term.Means))
	}
}

// print says a question, a result or a line of the summary.
func (t *turns) print(text string) { fmt.Fprintln(t.Out, t.inWords(text)) }

func (t *turns) inWords(text string) string {
	if t.Words == nil {
		return text
	}
	return t.Words(text)
}

// mostHeld is how many words of an answer are said again where it was wrong: of more
// nobody could hold both by ear.
const mostHeld = 3

// heard says a result in as few words as one who listens needs: why only where it was
// wrong, and the right answer where that is news.
func heard(asked drills.Expect, res practice.Result) string {
	v := res.Verdict
	if !v.Right {
		if said, ok := differing(v.Want, v.Given); ok && asked == drills.ExpectPlaces {
			return strings.TrimSpace(fmt.Sprintf("Wrong: %s. %s", said, v.Explanation()))
		}
		not := ", not " + v.Given
		if len(strings.Fields(v.Given)) > mostHeld {
			not = ""
		}
		return strings.TrimSpace(fmt.Sprintf("Wrong: it is %s%s. %s", v.Want, not, v.Explanation()))
	}
	said := "Right"
	if strings.HasPrefix(v.Note, "also called ") { // as he called it
		v.Note = ""
	}
	if v.Note != "" && v.Given != v.Want && strings.HasSuffix(v.Note, v.Want) {
		said += ": " + v.Note
	} else if v.Note != "" && v.Given != v.Want {
		said += fmt.Sprintf(": %s, %s", v.Want, v.Note)
	}
	if res.Outcome == scheduler.Slow && res.Thinking > 0 {
		said += fmt.Sprintf(", slow, %s", practice.Seconds(res.Thinking))
	}
	if res.NotTimed {
		said += ", not timed"
	}
	return said + "."
}

// sayFret says what a string does in a shape.
func sayFret(fret, none string) string {
	switch fret {
	case "x":
		return none
	case "0":
		return "open"
	}
	return fret
}

// differing says of two shapes, the right one and that given, only the strings on which
// they differ: "string 4: 9, not 8". Of several right ones the nearest is told. It reports
// false for what is no shape.
func differing(want, given string) (said string, ok bool) {
	has := strings.Fields(given)
	var fewest []string
	for _, w := range strings.Split(want, " or ") {
		right := strings.Fields(w)
		if len(right) != len(has) || len(has) < 4 || !frets(right) || !frets(has) {
			return "", false
		}
		var differs []string
		for i, f := range right {
			if f != has[i] {
				differs = append(differs, fmt.Sprintf("string %d: %s, not %s", len(right)-i, sayFret(f, "not played"), sayFret(has[i], "left out")))
			}
		}
		if fewest == nil || len(differs) < len(fewest) {
			fewest = differs
		}
	}
	return strings.Join(fewest, "; "), len(fewest) > 0
}

// frets reports whether words are the frets of a shape.
func frets(words []string) bool {
	return !slices.ContainsFunc(words, func(w string) bool {
		_, err := strconv.Atoi(w)
		return w != "x" && err != nil
	})
}

// feedback says a result in one line.
func feedback(res practice.Result) string {
	v := res.Verdict
	var b strings.Builder
	want := v.Want
	if v.Note != "" {
		want += " (" + v.Note + ")"
	}
	if v.Right {
		fmt.Fprintf(&b, "right: %s", want)
	} else {
		fmt.Fprintf(&b, "wrong: it is %s, not %s", want, v.Given)
	}
	if res.Thinking > 0 {
		fmt.Fprintf(&b, ", %s", practice.Seconds(res.Thinking))
		if res.Outcome == scheduler.Slow {
			b.WriteString(", slow")
		}
	}
	b.WriteString(".")
	if told := v.Explanation(); told != "" {
		b.WriteString(" " + told)
	}
	return b.String()
}
