package line

import (
	"fmt"
	"strings"

	"surefret/cmd/surefret/practice"
	"surefret/scheduler"
)

// tell says what is neither question nor result.
func (t *turns) tell(text string) { fmt.Fprintln(t.Err, t.inWords(text)) }

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

// Heard says a result in as few words as one who listens needs: why only where it was
// wrong, and the right answer where that is news.
func Heard(res practice.Result) string {
	v := res.Verdict
	if !v.Right {
		not := ", not " + v.Given
		if len(strings.Fields(v.Given)) > mostHeld {
			not = ""
		}
		return strings.TrimSpace(fmt.Sprintf("Wrong: it is %s%s. %s", v.Want, not, v.Explanation()))
	}
	said := "Right"
	if v.Note != "" && v.Given != v.Want && strings.HasSuffix(v.Note, v.Want) {
		said += ": " + v.Note
	} else if v.Note != "" && v.Given != v.Want {
		said += fmt.Sprintf(": %s, %s", v.Want, v.Note)
	}
	if res.Outcome == scheduler.Slow && res.Thinking > 0 {
		said += fmt.Sprintf(", slow, %s", practice.Seconds(res.Thinking))
	}
	return said + "."
}

// Feedback says a result in one line.
func Feedback(res practice.Result) string {
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
