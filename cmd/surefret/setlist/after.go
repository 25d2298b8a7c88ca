package setlist

import (
	"slices"
	"strconv"
	"strings"

	"surefret/cmd/surefret/form"
	"surefret/cmd/surefret/sheet"
	"surefret/drills/gig"
)

// An After asks how a gig went.
type After struct {
	Gig         gig.Gig
	note, shaky string
}

// Form lists the questions.
func (a *After) Form() form.Form {
	which := form.Question{Ask: "Which songs were shaky?", Hint: "numbers, as 'surefret gig show --line' counts them, commas between; empty for none",
		Several: true, Value: &a.shaky}
	for i, s := range a.Gig.Songs {
		which.Options = append(which.Options, form.Option{Value: strconv.Itoa(i + 1), Label: s.Title})
	}
	return form.Form{
		Title: "After " + a.Gig.Name + ", " + sheet.Day(a.Gig.Day), Note: "You are asked this once. Shaky songs come up sooner.", Leave: "say nothing",
		Questions: []form.Question{
			{Ask: "How did it go?", Hint: "a note to yourself; empty for none", Value: &a.note, Check: a.check},
			which,
		},
	}
}

// check refuses a note that cannot be kept with the one that is there.
func (a *After) check(note string) error {
	return gig.CheckNote(joinNotes(a.Gig.Note, note))
}

// joinNotes puts one note below another.
func joinNotes(first, then string) string {
	return strings.TrimSpace(first + "\n" + strings.TrimSpace(then))
}

// Told is the gig with what was answered; away says that nobody was there.
func (a *After) Told(answered, away bool) gig.Gig {
	g := a.Gig
	g.Note = joinNotes(g.Note, a.note)
	g.Asked = !away
	if answered {
		g.Songs = slices.Clone(g.Songs)
		shaky := strings.Split(a.shaky, ",")
		for i := range g.Songs {
			g.Songs[i].Shaky = slices.Contains(shaky, strconv.Itoa(i+1))
		}
	}
	return g
}
