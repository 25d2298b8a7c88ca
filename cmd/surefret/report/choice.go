package report

import (
	"fmt"
	"strings"

	"surefret/cmd/surefret/ink"
	"surefret/drills"
)

// A Choice is what is practised, and the words to choose by.
type Choice struct {
	Choice drills.Choice `json:"choice"`
	Words  []ChoiceWord  `json:"words"`
}

// A ChoiceWord is a word with how much of it is known.
type ChoiceWord struct {
	Word      string  `json:"word"`
	In        string  `json:"in,omitempty"` // the word whose part it is
	Fluency   float64 `json:"fluency"`      // of what was asked, the mean probability of right in time
	Asked     int     `json:"asked"`        // items
	Items     int     `json:"items"`
	Practised int     `json:"practised"` // items that the choice leaves
	depth     int
}

// ChoiceOf lists the words that c knows, with what is known of each.
func ChoiceOf(c *drills.Catalogue, choice drills.Choice, o Outlook) Choice {
	page := Choice{Choice: choice}
	chosen := c.Choose(choice)
	depth := map[string]int{"": -1}
	for _, w := range c.Words() {
		depth[w.Word] = depth[w.In] + 1
		row := ChoiceWord{Word: w.Word, In: w.In, depth: depth[w.Word]}
		items, _ := c.Find(w.Word)
		row.Items = len(items)
		for _, it := range items {
			if st, _ := o.Know.State(it.ID); st.Asked > 0 {
				row.Asked++
				row.Fluency += o.Know.Fluency(it.ID, o.Now)
			}
			if chosen.Wants(it) {
				row.Practised++
			}
		}
		row.Fluency /= float64(max(1, row.Asked))
		page.Words = append(page.Words, row)
	}
	return page
}

// Text prints it in so many columns, 40 at least.
func (c Choice) Text(columns int, look ink.Look) string {
	var b strings.Builder
	fold(&b, columns, "", c.Choice.String())
	b.WriteString("\n" + look.Paint(ink.Strong, "How much is known, and of how many items that were asked:") + "\n")
	wide := 0
	for _, row := range c.Words {
		wide = max(wide, 2*row.depth+2+len(row.Word))
	}
	for _, row := range c.Words {
		known, left := "    -", ""
		if row.Asked > 0 {
			known = fmt.Sprintf("%3d %%", percent(row.Fluency))
		}
		switch row.Practised {
		case row.Items:
		case 0:
			left = ", left out"
		default:
			left = fmt.Sprintf(", %d practised", row.Practised)
		}
		indent := strings.Repeat("  ", row.depth+1)
		fmt.Fprintf(&b, "%-*s %s  %d of %d%s\n", wide, indent+row.Word, known, row.Asked, row.Items, left)
	}
	b.WriteByte('\n')
	fold(&b, columns, "", "Words for where: key-Eb, frets-0-12. 'surefret choose --help' says more.")
	return b.String()
}
