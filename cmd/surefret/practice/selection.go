package practice

import (
	"errors"
	"maps"
	"slices"

	"surefret/cmd/surefret/report"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/gig"
	"surefret/drills/theory"
	"surefret/scheduler"
)

// A Selection is what one sitting is narrowed to. The zero Selection is what the
// player chose to practise, of what needs no sound: see [Player.Choose]. What narrows
// strings, drills, keys, frets or notes, or names a gig, takes the place of that choice.
type Selection struct {
	Strings []int           // only what lies on these, 1 is the highest; none is all
	Drills  []drills.Family // none is all
	Keys    []theory.Key    // only these keys, and the notes and intervals of their scales; none is all
	Gig     *gig.Gig        // only what it needs, posed as its songs have it
	Frets   [2]int          // only what lies between these, and nothing that lies nowhere; zero is up to the highest that the player practises
	Notes   string          // only single notes of one kind: report.Naturals, Sharps or Flats; "" is all
	Heard   bool            // what must be heard, too
	Played  bool            // only what can be answered by playing
	Weak    bool            // only the weakest topics: see [Player.Weak]
	Placing bool            // a placing
}

// A NothingLeftError says that a selection leaves nothing to ask, and why.
type NothingLeftError struct {
	why error // one of the Err values beside it
}

func (e NothingLeftError) Error() string { return "nothing left to ask: " + e.why.Error() }
func (e NothingLeftError) Unwrap() error { return e.why }

// Why nothing is left.
var (
	ErrNoSound    = errors.New("the ear drills need sound, and there is none now")
	ErrAside      = errors.New("everything that fits is set aside")
	ErrNoShapes   = errors.New("no song of the gig names a shape that fits")
	ErrChoice     = errors.New("the choice of what is practised leaves out all there is on this instrument")
	ErrNoWeak     = errors.New("nothing that was asked is weak")
	ErrUnplayable = errors.New("nothing of it can be answered by playing")
	ErrNarrow     = errors.New("no item is on these strings and frets, in these keys and drills")
)

// selected is a selection worked out.
type selected struct {
	source *drills.Catalogue // which poses the items
	wide   *drills.Catalogue // which poses those of gigs that it does not have; nil where there are none
	wanted map[string]bool   // ids of those that may be asked
	daily  []string          // ids of those that come every day until they are sure
	named  bool              // the player named what he wants: it is not all that there is
}

// wants reports whether an item may be asked.
func (c selected) wants(item string) bool { return c.wanted[item] }

// Check reports why a selection leaves nothing to ask, a NothingLeftError, or nil.
func (p *Player) Check(s Selection) error {
	_, err := p.work(s)
	return err
}

// work works a selection out, with no effect on anything. What is selected can be
// used with a NothingLeftError, too: it is nothing.
func (p *Player) work(s Selection) (selected, error) {
	own, free := p.catalogue.Choose(p.choice), s.free()
	if free {
		s.Keys, s.Frets = own.Keys, own.Frets
	}
	c := selected{source: p.source(s), wanted: map[string]bool{}, named: !free || s.Weak || s.Placing || len(p.choice.Only) > 0}
	fits := func(it drills.Item) bool { return s.fits(it) && (!free || own.Wants(it)) }
	if s.Notes != "" {
		kind := p.notesOf(s.Notes, c.source)
		fits = func(it drills.Item) bool { return kind[it.ID] && s.fits(it) }
	}
	if s.Gig != nil {
		d, err := p.deadline(*s.Gig)
		if err != nil {
			return c, err
		}
		if c.source, err = s.Gig.Catalogue(c.source); err != nil {
			return c, err
		}
		needed, before := map[string]bool{}, fits
		for _, id := range d.Items {
			needed[id] = true
		}
		fits = func(it drills.Item) bool { return needed[it.ID] && before(it) }
	}
	if s.Weak {
		topics, before := map[string]bool{}, fits
		weakest := p.weak(fits)
		for _, t := range weakest[:min(weakTopics, len(weakest))] {
			topics[t.Name] = true
		}
		fits = func(it drills.Item) bool { return topics[it.Topic()] && before(it) }
	}
	aside := false
	for _, it := range c.source.Items() {
		switch {
		case !fits(it):
		case p.aside[it.ID]:
			aside = true
		case s.Gig != nil, !p.proven(it.ID):
			c.wanted[it.ID] = true
		}
	}
	if free && !s.Weak && !s.Placing {
		p.addNeeds(&c, s, own)
	}
	if s.Played {
		c.keepPlayable()
	}
	if len(c.wanted) == 0 {
		return c, NothingLeftError{p.nothingLeft(s, aside)}
	}
	return c, nil
}

// keepPlayable leaves out what cannot be answered by playing.
func (c *selected) keepPlayable() {
	playable := map[string]bool{}
	for _, source := range []*drills.Catalogue{c.source, c.wide} {
		if source == nil {
			continue
		}
		for _, it := range source.Items() {
			playable[it.ID] = playable[it.ID] || it.Playable()
		}
	}
	maps.DeleteFunc(c.wanted, func(id string, _ bool) bool { return !playable[id] })
	c.daily = slices.DeleteFunc(c.daily, func(id string) bool { return !playable[id] })
}

// nothingLeft says why a selection leaves nothing to ask; aside where some of it was
// set aside.
func (p *Player) nothingLeft(s Selection, aside bool) error {
	switch {
	case s.Played:
		return ErrUnplayable
	case !s.Heard && slices.Contains(s.Drills, "ear"):
		return ErrNoSound
	case aside:
		return ErrAside
	case s.Weak:
		return ErrNoWeak
	case s.free() && !p.choice.Everything():
		return ErrChoice
	case s.Gig != nil && slices.Contains(s.Drills, "shape"):
		return ErrNoShapes
	}
	return ErrNarrow
}

// free reports whether the choice of the player holds: nothing else narrows.
func (s Selection) free() bool {
	return len(s.Strings)+len(s.Drills)+len(s.Keys) == 0 && s.Gig == nil && s.Frets == [2]int{} && s.Notes == ""
}

// choiceNotice is how many days before its day a gig gets what it needs whatever the
// player chose; the planner hurries about as long.
const choiceNotice = 21

// addNeeds adds what gigs need that are near, though the player chose something else,
// and lists what he keeps for every day.
func (p *Player) addNeeds(c *selected, s Selection, own drills.Chosen) {
	if !p.choice.Everything() {
		c.wide = p.source(Selection{Heard: s.Heard})
		for _, d := range p.due {
			if d.Day.After(p.Now().AddDate(0, 0, choiceNotice)) {
				continue
			}
			for _, id := range d.Items {
				if _, here := c.wide.Item(id); here && !p.aside[id] && !p.proven(id) {
					c.wanted[id] = true
				}
			}
		}
	}
	for _, it := range c.source.Items() {
		if own.Kept(it.ID) && !p.aside[it.ID] {
			c.wanted[it.ID] = true
			c.daily = append(c.daily, it.ID)
		}
	}
}

// source is the catalogue of what the sound, the keys and the frets allow.
func (p *Player) source(s Selection) *drills.Catalogue {
	setup := p.setup
	if len(s.Keys) == 0 {
		setup.Naturals = p.onlyNaturals()
	}
	if len(s.Keys) == 0 && s.Frets == [2]int{} && !setup.Naturals {
		if s.Heard {
			return p.catalogue
		}
		return p.catalogue.Silent()
	}
	setup.Sound, setup.Keys, setup.OnlyKeys = s.Heard, s.Keys, len(s.Keys) > 0
	if s.Frets != [2]int{} {
		setup.Frets = s.Frets
	}
	return drills.NewCatalogue(setup)
}

// onlyNaturals reports whether roots are natural notes as yet: the player does not know
// all note names, and has not met the sharps and flats where roots lie.
func (p *Player) onlyNaturals() bool {
	return p.Settings.Knows != settings.AllNotes && !p.catalogue.RootsMet(func(id string) bool {
		st, _ := p.planner.State(id)
		return st.Asked > 0 || p.proven(id) || p.aside[id]
	})
}

// fits reports whether an item is among the strings and drills selected. What lies
// on no string is not, where strings or frets are.
func (s Selection) fits(it drills.Item) bool {
	if len(s.Drills) > 0 && !slices.Contains(s.Drills, it.Family) {
		return false
	}
	if len(s.Strings) == 0 {
		return s.Frets == [2]int{} || len(it.Strings) > 0
	}
	for _, str := range it.Strings {
		if !slices.Contains(s.Strings, str) {
			return false
		}
	}
	return len(it.Strings) > 0
}

// notesOf lists the items on single notes without an accidental, or with one.
func (p *Player) notesOf(kind string, c *drills.Catalogue) map[string]bool {
	items := map[string]bool{}
	for str := range p.setup.Neck.Tuning.Strings() {
		for fret := range 12 {
			at := fretboard.Position{String: str + 1, Fret: fret}
			if natural := p.setup.Neck.Pitch(at, p.setup.Flats).Alter == 0; natural == (kind == report.Naturals) {
				for _, id := range c.NotesAt(at) {
					items[id] = true
				}
			}
		}
	}
	return items
}

// apply keeps the planner to what was selected. What is learned still counts for
// every item.
func (p *Player) apply(c selected) {
	p.planner.Narrow(func(it scheduler.Item) bool { return c.wants(it.ID) }, c.named)
}
