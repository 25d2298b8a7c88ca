package drills

import (
	"slices"
	"strings"
	"testing"

	"surefret/drills/fretboard"
)

var usualNeck = fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}

// Each word means the items that its own rule here picks by their ids, and nothing else.
func TestAWordMeansItsItems(t *testing.T) {
	c := NewCatalogue(Setup{Neck: usualNeck, Sound: true})
	part := func(parts ...string) func(Item) bool {
		return func(it Item) bool {
			return !slices.ContainsFunc(parts, func(p string) bool { return !strings.Contains(it.ID, p) })
		}
	}
	for word, want := range map[string]func(Item) bool{
		"ear":                   part("ear/"),
		"notes":                 part("note/"),
		"tenths":                part("shape/tenth-"),
		"Tenth-6":               part("shape/tenth-6-"),
		"tenths-6":              part("shape/tenth-6-"),
		"triads-321":            part("shape/triad-321-"),
		"triads 321 minor":      part("shape/triad-321-minor"),
		"e-form":                part("shape/e-form-"),
		"E form m7":             part("shape/e-form-m7@"),
		"power chords":          part("shape/power-"),
		"third-in-the-bass":     part("shape/over-third-"),
		"held-tones":            part("shape/held-"),
		"d-form-top-major":      nil, // another name of one shape
		"chords-of-A-by-number": func(it Item) bool { return it.Topic() == "the chords of A by number" },
		"naturals-on-string-6": func(it Item) bool {
			return it.Topic() == "naturals on string 6"
		},
		"string-6": func(it Item) bool { return slices.Contains(it.Strings, 6) },
	} {
		found, err := c.Find(word)
		if want == nil {
			if err == nil || !strings.Contains(err.Error(), "nothing on this instrument is called") {
				t.Errorf("%s: %v", word, err)
			}
			continue
		}
		n := 0
		for _, it := range c.Items() {
			if want(it) {
				n++
			}
		}
		if err != nil || len(found) != n || n == 0 || slices.ContainsFunc(found, func(it Item) bool { return !want(it) }) {
			t.Errorf("%s means %d items, want %d: %v", word, len(found), n, err)
		}
	}
	for _, w := range c.Words() {
		if found, err := c.Find(w.Word); err != nil || len(found) == 0 {
			t.Errorf("%s is listed, and means nothing: %v", w.Word, err)
		}
	}
}

// What this guitar does not have is not suggested, and what is no word is told.
func TestAWordThatMeansNothingIsRefused(t *testing.T) {
	c := NewCatalogue(Setup{Neck: usualNeck})
	for word, want := range map[string]string{
		"tenths-7": "are tenths-6, tenths-5, tenths-4", "string-7": "string-1 to string-6", "frets-0-30": "up to 22", "key-H": "is not a key",
		"ear": "nothing on this instrument", // it needs sound
	} {
		if found, err := c.Find(word); err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "power-7") {
			t.Errorf("%s means %d items: %v, want %q", word, len(found), err, want)
		}
	}
	if _, err := fretboard.ShapesCalled(usualNeck, "power-7"); err == nil || !strings.Contains(err.Error(), "string 7") {
		t.Errorf("power-7: %v", err)
	}
	if _, err := fretboard.ShapesCalled(usualNeck, "tenth-seven"); err == nil || strings.Contains(err.Error(), "tenth-7") {
		t.Errorf("tenth-seven: %v", err)
	}
}

// Words for what add up, words for where narrow, and what is left out is.
func TestAChoiceWantsWhatItsWordsSay(t *testing.T) {
	c := NewCatalogue(Setup{Neck: usualNeck})
	for _, k := range []struct {
		choice Choice
		wants  func(Item) bool
	}{
		{Choice{}, func(Item) bool { return true }},
		{Choice{Only: []string{"tenths", "ear", "power-7"}}, func(it Item) bool { return it.Group == "tenths" }},
		{Choice{Only: []string{"string-6", "string-5"}}, func(it Item) bool {
			return len(it.Strings) > 0 && !slices.ContainsFunc(it.Strings, func(s int) bool { return s < 5 })
		}},
		{Choice{Only: []string{"note", "string-6"}, Without: []string{"naturals"}}, func(it Item) bool {
			return it.Topic() == "sharps and flats on string 6"
		}},
		{Choice{Without: []string{"shapes", "string-1"}}, func(it Item) bool {
			return it.Family != "shape" && !slices.Contains(it.Strings, 1)
		}},
	} {
		chosen := c.Choose(k.choice)
		for _, it := range c.Items() {
			if chosen.Wants(it) != k.wants(it) {
				t.Errorf("%v: %s is wanted: %v", k.choice, it.ID, chosen.Wants(it))
				break
			}
		}
	}
	where := c.Choose(Choice{Only: []string{"key-Eb", "frets-0-12"}, Keep: []string{"tenth-6-minor"}})
	if len(where.Keys) != 1 || where.Keys[0].Short() != "Eb" || where.Frets != [2]int{0, 12} {
		t.Errorf("keys %v, frets %v", where.Keys, where.Frets)
	}
	if !where.Kept("shape/tenth-6-minor@E2-G3/place") || where.Kept("shape/tenth-6-major@E2-G3/place") {
		t.Error("what is kept is not the minor tenth alone")
	}
}
