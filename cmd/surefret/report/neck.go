// Package report tells a player what the log shows: the map of the neck, and
// progress over time, as text, SVG, HTML and JSON.
//
// Every figure is a plain fold of the answer log and of what the scheduler
// predicts from it; what is kept, a [Tally], is a cache that reading the log
// again rebuilds. Text fits forty columns and says everything that a picture
// says.
package report

import (
	"fmt"
	"math"
	"slices"
	"time"

	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/scheduler"
)

// Knowledge is what the scheduler knows of a player.
type Knowledge interface {
	Fluency(item string, at time.Time) float64
	State(item string) (scheduler.State, bool)
}

// How sure a place is.
const (
	Sure   = "sure"   // predicted fluent at least as often as sureFrom, and asked on two days
	Unsure = "unsure" // asked, and below
	Unmet  = "never asked"
)

// sureFrom is the predicted share of fluent answers from which a place counts
// as sure.
const sureFrom = 80 // percent

// percent rounds a share for the eye. What is judged by a share is judged by the figure
// that is shown.
func percent(share float64) int { return int(math.Round(100 * share)) }

func enough(share float64) bool { return percent(share) >= sureFrom }

// An Outlook predicts at one instant of a player's day.
//
// A map that predicted the very next minute would call everything sure that was
// told a moment ago. So it predicts the next time that an item could be asked
// afresh: today, or from the next practice day on where it was asked today.
type Outlook struct {
	Know     Knowledge
	Now      time.Time
	Location *time.Location // where a practice day begins at four
}

// Fluency is the predicted probability, 0 to 1, that the item is answered right
// and within its aim when it is next asked afresh, and whether it was ever asked.
func (o Outlook) Fluency(item string) (p float64, asked bool) {
	at := o.Now
	st, ok := o.Know.State(item)
	if today := scheduler.DayOf(o.Now, o.Location); st.Asked > 0 && st.Day >= today {
		at = (st.Day + 1).Start(o.Location)
	}
	return o.Know.Fluency(item, at), ok && st.Asked > 0
}

// Sure reports whether an item is sure: predicted fluent at least as often as sureFrom,
// and asked on two days at least, since one day shows what was just told.
func (o Outlook) Sure(item string) bool {
	p, _ := o.Fluency(item)
	return enough(p) && o.twoDays(item)
}

// twoDays reports whether one of the items was asked on two days at least.
func (o Outlook) twoDays(items ...string) bool {
	return slices.ContainsFunc(items, func(id string) bool {
		st, _ := o.Know.State(id)
		return st.Days >= 2
	})
}

// mean is the mean fluency of items and how many of them were asked. What was
// not asked counts as it is predicted from its kin.
func (o Outlook) mean(items []string) (mean float64, asked int) {
	for _, id := range items {
		p, met := o.Fluency(id)
		mean += p / float64(len(items))
		if met {
			asked++
		}
	}
	return mean, asked
}

// A Map is the neck with how sure each place is.
type Map struct {
	Day        string   `json:"day"`
	Frets      [2]int   `json:"frets"` // the lowest and highest fret shown
	LeftHanded bool     `json:"left_handed"`
	Places     []Place  `json:"places"` // string 1 first, as in tablature and on the practice screen
	Drills     []Drill  `json:"drills"`
	Weakest    []Region `json:"weakest"` // the weakest first

	board fretboard.Fretboard
}

// A Place is one position on the neck and how sure it is.
type Place struct {
	fretboard.Position
	Note    string  `json:"note"`
	Fluency float64 `json:"fluency"` // 0 to 1, see Outlook; 0 where never asked
	Level   string  `json:"level"`   // Sure, Unsure or Unmet

	natural bool
	items   []string // that ask for it
}

// NeckMap draws up the map between two frets and on the strings given; no
// strings means all.
func NeckMap(c *drills.Catalogue, o Outlook, s drills.Setup, strs []int, frets [2]int) Map {
	m := Map{Day: scheduler.DayOf(o.Now, o.Location).String(), Frets: frets, board: s.Neck}
	for str := 1; str <= s.Neck.Tuning.Strings(); str++ {
		if len(strs) > 0 && !slices.Contains(strs, str) {
			continue
		}
		for fret := frets[0]; fret <= frets[1]; fret++ {
			at := fretboard.Position{String: str, Fret: fret}
			note := s.Neck.Pitch(at, s.Flats).Note
			p := Place{Position: at, Note: s.Names.Note(note), Level: Unmet, natural: note.Alter == 0, items: c.NotesAt(at)}
			if mean, asked := o.mean(p.items); asked > 0 {
				p.Fluency, p.Level = mean, Unsure
				if enough(mean) && o.twoDays(p.items...) {
					p.Level = Sure
				}
			}
			m.Places = append(m.Places, p)
		}
	}
	m.Drills = drillsOf(c, o)
	m.Weakest = weakest(m.Places, s.Flats)
	return m
}

// Figure is what stands for a place on a map, 0 to 9: how many answers of ten would be
// right in time. 8 and 9 are sure; what was asked on one day alone has 7 at most.
func (p Place) Figure() int { return figure(p.Level, p.Fluency) }

func figure(level string, fluency float64) int {
	if level != Sure {
		return min(7, percent(fluency)/10)
	}
	return min(9, percent(fluency)/10)
}

// A Drill is a family of items, or a part of one, and how sure it is.
type Drill struct {
	Name    string  `json:"name"`
	Items   int     `json:"items"`
	Asked   int     `json:"asked"`
	Fluency float64 `json:"fluency"` // mean over the items asked, 0 where none is
	Parts   []Drill `json:"parts,omitempty"`
}

// level is how sure the items asked are.
func (d Drill) level() string {
	switch {
	case d.Asked == 0:
		return Unmet
	case enough(d.Fluency):
		return Sure
	}
	return Unsure
}

// drillsOf sums up the drill families, and within them what players ask about:
// tenths by the string of their root, and each pair of strings.
func drillsOf(c *drills.Catalogue, o Outlook) []Drill {
	var all []Drill
	part := func(list *[]Drill, name string) *Drill {
		i := slices.IndexFunc(*list, func(d Drill) bool { return d.Name == name })
		if i < 0 {
			i = len(*list)
			*list = append(*list, Drill{Name: name})
		}
		return &(*list)[i]
	}
	for _, it := range c.Items() {
		p, asked := o.Fluency(it.ID)
		d := part(&all, string(it.Family))
		d.count(p, asked)
		if it.Family == "shape" || it.Family == "interval" {
			part(&d.Parts, partName(it)).count(p, asked)
		}
	}
	for i := range all {
		all[i].divide()
		for j := range all[i].Parts {
			all[i].Parts[j].divide()
		}
	}
	return all
}

// partName is the part of its family that an item is counted under.
func partName(it drills.Item) string {
	if it.Group == "tenths" && len(it.Strings) > 0 {
		return fmt.Sprintf("tenths, root on %d", it.Strings[0])
	}
	return it.Group
}

func (d *Drill) count(p float64, asked bool) {
	d.Items++
	if asked {
		d.Asked++
		d.Fluency += p
	}
}

func (d *Drill) divide() { d.Fluency /= float64(max(d.Asked, 1)) }
