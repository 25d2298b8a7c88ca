package practice

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"surefret/cmd/surefret/report"
	"surefret/drills"
	"surefret/drills/fretboard"
)

// A Narrowing is a selection as a player types it. Its errors name the flag.
type Narrowing struct {
	Strings []int
	Drills  []string
	Keys    []string
	Gig     string
	Frets   string
	Notes   string
	Weak    bool
	Placing bool
}

// Selection reads it for this player's instrument and gigs.
func (n Narrowing) Selection(p *Player) (Selection, error) {
	s := Selection{Strings: n.Strings, Notes: n.Notes, Placing: n.Placing, Weak: n.Weak}
	setup := p.Setup()
	var err error
	if s.Frets, err = ReadFrets(n.Frets, setup.Neck.Last()); err != nil {
		return s, err
	}
	for _, name := range n.Keys {
		key, err := setup.Names.ReadKey(name)
		if err != nil {
			return s, fmt.Errorf("--keys: %w", err)
		}
		s.Keys = append(s.Keys, key)
	}
	if err := CheckStrings(n.Strings, setup.Neck); err != nil {
		return s, err
	}
	for _, name := range n.Drills {
		if !slices.Contains(drills.Families(), drills.Family(name)) {
			return s, fmt.Errorf("--drill %s: use %s", name, DrillNames())
		}
		s.Drills = append(s.Drills, drills.Family(name))
	}
	switch n.Notes {
	case "", report.Naturals, report.Sharps, report.Flats:
	default:
		return s, fmt.Errorf("--notes %q: use %s, %s or %s", n.Notes, report.Naturals, report.Sharps, report.Flats)
	}
	if n.Gig != "" {
		g, ok := p.FindGig(n.Gig)
		if !ok {
			return s, NoGig(n.Gig)
		}
		s.Gig = &g
	}
	return s, nil
}

// NoGig says that no gig has a name.
func NoGig(name string) error {
	return fmt.Errorf("no gig is called %q: 'surefret gig list' shows them all", name)
}

// CheckStrings refuses strings that the instrument has not.
func CheckStrings(strs []int, neck fretboard.Fretboard) error {
	for _, str := range strs {
		if str < 1 || str > neck.Tuning.Strings() {
			return fmt.Errorf("--strings %d: this instrument has strings 1 to %d", str, neck.Tuning.Strings())
		}
	}
	return nil
}

// ReadFrets reads "0-12" or "7"; an empty text is the whole neck, all zero.
func ReadFrets(text string, last int) ([2]int, error) {
	if text == "" {
		return [2]int{}, nil
	}
	from, to, isRange := strings.Cut(text, "-")
	if !isRange {
		to = from
	}
	lo, err1 := strconv.Atoi(from)
	hi, err2 := strconv.Atoi(to)
	if err1 != nil || err2 != nil || lo < 0 || lo > hi || hi > last || hi == 0 {
		return [2]int{}, fmt.Errorf("--frets %q: use a range within 0 to %d, like 0-12", text, last)
	}
	return [2]int{lo, hi}, nil
}

// DrillNames lists the families of drills with commas between.
func DrillNames() string {
	var names []string
	for _, f := range drills.Families() {
		names = append(names, string(f))
	}
	return strings.Join(names, ",")
}
