package drills

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// A Choice is what a player chose to practise, in words that [Catalogue.Find] reads.
// The zero Choice is everything.
type Choice struct {
	Only    []string `json:"only,omitempty"`    // what is practised; none is everything
	Without []string `json:"without,omitempty"` // what of it is not
	Keep    []string `json:"keep,omitempty"`    // a few items that come every day until they are sure
}

// Everything reports whether nothing is left out.
func (ch Choice) Everything() bool { return len(ch.Only)+len(ch.Without) == 0 }

// String says a choice in a sentence or two.
func (ch Choice) String() string {
	text := "Everything is practised"
	if len(ch.Only) > 0 {
		text = "Only this is practised: " + listed(ch.Only, "and")
	}
	if len(ch.Without) > 0 {
		text += ", without " + listed(ch.Without, "and")
	}
	if len(ch.Keep) > 0 {
		text += ". Every day until sure: " + listed(ch.Keep, "and")
	}
	return text + "."
}

// A Word is one by which a player can choose.
type Word struct {
	Word string // "triads-321", "string-6", "note"
	In   string // the word whose part it is, "" for none: "triads", "shape"
}

// A Chosen is a choice worked out for one instrument. Words that mean nothing there
// choose nothing.
type Chosen struct {
	Keys  []theory.Key // only in these; none is in all
	Frets [2]int       // only between these; zero is the whole neck

	only, without, keep map[string]bool // ids; a nil only is everything
	strings             []int           // only what lies on these; none is all
}

// Wants reports whether an item is practised.
func (ch Chosen) Wants(it Item) bool {
	if ch.without[it.ID] || ch.only != nil && !ch.only[it.ID] {
		return false
	}
	if len(ch.strings) > 0 && len(it.Strings) == 0 || ch.Frets != [2]int{} && len(it.Strings) == 0 {
		return false
	}
	return len(ch.strings) == 0 || !slices.ContainsFunc(it.Strings, func(str int) bool { return !slices.Contains(ch.strings, str) })
}

// Kept reports whether an item comes every day until it is sure.
func (ch Chosen) Kept(id string) bool { return ch.keep[id] }

// Choose works a choice out.
func (c *Catalogue) Choose(ch Choice) Chosen {
	var chosen Chosen
	for _, word := range ch.Only {
		w, err := c.read(word)
		switch {
		case err != nil:
		case w.str > 0:
			chosen.strings = append(chosen.strings, w.str)
			continue
		case w.key != theory.Key{}:
			chosen.Keys = append(chosen.Keys, w.key)
			continue
		case w.frets != [2]int{}:
			chosen.Frets = w.frets
			continue
		}
		if chosen.only == nil {
			chosen.only = map[string]bool{}
		}
		c.mark(w, chosen.only)
	}
	chosen.without, chosen.keep = map[string]bool{}, map[string]bool{}
	for _, word := range ch.Without {
		w, _ := c.read(word)
		c.mark(w, chosen.without)
	}
	for _, word := range ch.Keep {
		w, _ := c.read(word)
		c.mark(w, chosen.keep)
	}
	return chosen
}

func (c *Catalogue) mark(w meaning, ids map[string]bool) {
	if w.items == nil {
		return
	}
	for _, it := range c.items {
		if w.items(it) {
			ids[it.ID] = true
		}
	}
}

// Find lists the items that a word means: a family ("notes", "ear"); a shape or a
// group of them by words of its name ("tenths", "triads-321", "e-form-m7"); a topic or
// the words that it begins with ("naturals", "chords-of-A"); "string-6"; "key-Eb", what
// is asked in that key alone; "frets-0-12". A word that means nothing on this
// instrument is an error, one sentence, with the nearest that do.
func (c *Catalogue) Find(word string) ([]Item, error) {
	w, err := c.read(word)
	if err != nil {
		return nil, err
	}
	items := c.items
	switch {
	case w.key != theory.Key{}:
		s := c.setup
		s.Keys, s.OnlyKeys = []theory.Key{w.key}, true
		items = NewCatalogue(s).items
	case w.frets != [2]int{}:
		s := c.setup
		s.Frets = w.frets
		items = NewCatalogue(s).items
	}
	return slices.DeleteFunc(slices.Clone(items), func(it Item) bool { return !w.items(it) }), nil
}

// Bounds of a choice.
const (
	mostKept  = 12 // items that may come every day: two minutes' worth
	mostWords = 50 // of one list
)

// Check refuses, in one sentence, words that mean nothing on this instrument, and too
// many of them, or of items to keep for every day.
func (c *Catalogue) Check(choice Choice) error {
	for _, list := range [][]string{choice.Only, choice.Without, choice.Keep} {
		if len(list) > mostWords {
			return fmt.Errorf("%d words are too many: use %d at most", len(list), mostWords)
		}
		for _, word := range list {
			if _, err := c.Find(word); err != nil {
				return fmt.Errorf("%w; 'surefret choose' lists what there is", err)
			}
		}
	}
	for _, word := range slices.Concat(choice.Without, choice.Keep) {
		if c.keyed(word) {
			return fmt.Errorf("%q says where things are asked: use it with 'surefret choose only'", word)
		}
	}
	if chosen := c.Choose(choice); !slices.ContainsFunc(c.items, chosen.Wants) {
		return fmt.Errorf("these words together leave nothing to practise: words for what is asked add up, and strings, keys and frets say where; leave one out")
	}
	kept := map[string]bool{}
	for _, word := range choice.Keep {
		items, _ := c.Find(word)
		for _, it := range items {
			kept[it.ID] = true
		}
	}
	if len(kept) > mostKept {
		return fmt.Errorf("these words keep %d items for every day: use words for %d at most, like tenth-6-minor", len(kept), mostKept)
	}
	return nil
}

// Known parts a choice into what this instrument has, and the words that it has not.
func (c *Catalogue) Known(ch Choice) (known Choice, unknown []string) {
	sift := func(words []string) (fit []string) {
		for _, word := range words {
			if _, err := c.Find(word); err == nil {
				fit = append(fit, word)
			} else if !slices.Contains(unknown, word) {
				unknown = append(unknown, word)
			}
		}
		return fit
	}
	return Choice{Only: sift(ch.Only), Without: sift(ch.Without), Keep: sift(ch.Keep)}, unknown
}

// keyed reports whether a word narrows keys or frets: it goes with Only alone, since
// it is about how items are asked and not about which.
func (c *Catalogue) keyed(word string) bool {
	w, err := c.read(word)
	return err == nil && (w.key != theory.Key{} || w.frets != [2]int{})
}

// A meaning is what a word says.
type meaning struct {
	items func(Item) bool
	str   int
	key   theory.Key
	frets [2]int
}

func (c *Catalogue) read(word string) (meaning, error) {
	word = slug(word)
	if text, ok := strings.CutPrefix(word, "string-"); ok {
		str, err := strconv.Atoi(text)
		if err != nil || str < 1 || str > c.setup.Neck.Tuning.Strings() {
			return meaning{}, fmt.Errorf("%q is no string: use string-1 to string-%d", word, c.setup.Neck.Tuning.Strings())
		}
		return meaning{str: str, items: func(it Item) bool { return slices.Contains(it.Strings, str) }}, nil
	}
	if text, ok := strings.CutPrefix(word, "key-"); ok {
		key, err := c.setup.Names.ParseKey(strings.ReplaceAll(text, "-", " "))
		if err != nil {
			if key, err = theory.ParseKey(strings.ReplaceAll(text, "-", " ")); err != nil {
				return meaning{}, err
			}
		}
		return meaning{key: key, items: func(Item) bool { return true }}, nil
	}
	if text, ok := strings.CutPrefix(word, "frets-"); ok {
		var lo, hi int
		if n, err := fmt.Sscanf(text, "%d-%d", &lo, &hi); err != nil || n != 2 || lo < 0 || lo >= hi || hi > c.setup.Neck.Last() {
			return meaning{}, fmt.Errorf("%q is no range of frets: use frets-0-12, up to %d", word, c.setup.Neck.Last())
		}
		return meaning{frets: [2]int{lo, hi}, items: func(it Item) bool { return len(it.Strings) > 0 }}, nil
	}
	m := meaning{items: func(it Item) bool { return it.called(word) }}
	if slices.ContainsFunc(c.items, m.items) {
		return m, nil
	}
	var words []string
	for _, w := range c.Words() {
		words = append(words, w.Word)
	}
	return m, fmt.Errorf("nothing on this instrument is called %q: the nearest are %s", word, strings.Join(fretboard.Nearest(word, words, 3), ", "))
}

// called reports whether a word means the item among others.
func (it Item) called(word string) bool {
	if word == string(it.Family) || word == string(it.Family)+"s" {
		return true
	}
	if it.Family == "shape" {
		name, _, _ := strings.Cut(strings.TrimPrefix(it.ID, "shape/"), "@")
		if own, _, ok := strings.Cut(name, "="); ok && own == word {
			return true
		}
		if r, err := fretboard.Shape(name); err == nil && r.Called(word) {
			return true
		}
	}
	topic, word := strings.TrimPrefix(slug(it.Topic()), "the-"), strings.TrimPrefix(word, "the-")
	return strings.EqualFold(topic, word) || len(topic) > len(word) && strings.EqualFold(topic[:len(word)+1], word+"-")
}

// slug is a text as one word: "Tenths, root on string 6" is "tenths-root-on-string-6".
// A key keeps its capital.
func slug(text string) string {
	if name, ok := strings.CutPrefix(strings.TrimSpace(text), "key-"); ok {
		return "key-" + name
	}
	return strings.Join(strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r == ' ' || r == ',' || r == ':' || r == '-' }), "-")
}

// Words lists the words worth showing: families, the groups of shapes and those of
// them that lie on one set of strings, and the strings. [Catalogue.Find] reads more.
func (c *Catalogue) Words() []Word {
	var words []Word
	add := func(word, in string) {
		if !slices.ContainsFunc(words, func(w Word) bool { return w.Word == word }) {
			words = append(words, Word{word, in})
		}
	}
	for _, it := range c.items {
		add(string(it.Family), "")
		for _, kind := range []string{"naturals", "sharps"} {
			if it.Family == "note" && it.called(kind) {
				add(kind, "note")
			}
		}
		if it.Family != "shape" {
			continue
		}
		group := slug(it.Group)
		add(group, "shape")
		name, _, _ := strings.Cut(strings.TrimPrefix(it.ID, "shape/"), "@")
		if parts := strings.Split(name, "-"); group == "triads" || group == "tenths" || group == "power-chords" {
			add(group+"-"+parts[1], group)
		}
	}
	for _, str := range lowFirst(c.setup.Neck.Tuning) {
		add(fmt.Sprintf("string-%d", str), "")
	}
	// A part stands under what it is a part of.
	var sorted []Word
	var under func(in string)
	under = func(in string) {
		for _, w := range words {
			if w.In == in {
				sorted = append(sorted, w)
				under(w.Word)
			}
		}
	}
	under("")
	return sorted
}
