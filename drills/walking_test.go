package drills

import (
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// A bass is met in a bassist's order: octaves, root and fifth, scales, arpeggios, walks
// between roots, walking lines. Common practice, no source. A guitar has no walking lines.
func TestABassIsMetInABassistsOrder(t *testing.T) {
	for _, tuning := range []fretboard.Tuning{fretboard.Bass, fretboard.FiveBass} {
		first := map[string]int{}
		for _, it := range NewCatalogue(Setup{Neck: fretboard.Fretboard{Tuning: tuning, Frets: 22}}).Items() {
			kind := string(it.Family)
			if it.Family == "shape" {
				kind = it.Group
			}
			if was, met := first[kind]; !met || it.Stage < was {
				first[kind] = it.Stage
			}
		}
		order := []string{"note", "octaves", "root and fifth", "scales", "arpeggios", "walkup", "walking"}
		for i, kind := range order[1:] {
			if _, met := first[kind]; !met || first[kind] < first[order[i]] || i > 1 && first[kind] == first[order[i]] && kind != "walkup" {
				t.Errorf("%s: %s at stage %d, %s at %d", tuning.Name, order[i], first[order[i]], kind, first[kind])
			}
		}
	}
	for _, it := range whole().Items() {
		if it.Family == "walking" {
			t.Errorf("a guitar has %s", it.ID)
		}
	}
}

// Any line by the rules is right, and a wrong one is told the rule: as a teacher would,
// from memory.
func TestAWalkingLineIsJudgedByItsRules(t *testing.T) {
	s := NewCatalogue(Setup{Neck: fretboard.Fretboard{Tuning: fretboard.Bass, Frets: 22}}).setup
	w := walkedChange{must(theory.ParseKey("C")), must(theory.ParseChord("C")), must(theory.ParseChord("F"))}
	bar := walkingBar{Change: firstWalked[0], time: 4}
	above := walkingBar{time: 4, into: -1}
	for _, c := range []struct {
		bar          walkingBar
		byNotes      bool
		answer, told string // "" for a right one
	}{
		{bar, true, "C D E F# F", ""},
		{bar, true, "C A G E F", ""},
		{bar, true, "C E G Gb F", ""},
		{bar, true, "E D C E F", "Note 1 is C, not E"},
		{bar, true, "C C G E F", ""},
		{bar, true, "C D D E F", "Note 3 is D again, which is no tone of C"},
		{bar, true, "C D F E F", "Note 3, F, is on a strong beat and no tone of C"},
		{bar, true, "C D E C F", "Note 4, C, is no step from F"},
		{bar, true, "C Ab E G F", "Note 2, Ab, is neither of C nor of the key, and no half step from note 3"},
		{bar, true, "C D E G C", "Note 5 is F, not C"},
		{above, true, "C D E Gb F", ""},
		{above, true, "C D E G F", "Note 4, G, is no half step above F"},
		{bar, false, "3/3 3/2 3/0 4/3 4/1", "Note 3, A, is on a strong beat and no tone of C"},
		{bar, false, "3/3 1/5 2/5 2/2 2/3", ""},
		{bar, false, "3/3 2/0 2/2 2/4 4/1", "Note 5 is an octave off where note 4 leads"},
		{bar, false, "3/3 1/5 4/3 4/0 4/1", "From note 2 to note 3 it is more than an octave"},
	} {
		line := must(s.walkingLine(c.bar, w, nil))
		v, err := s.walkingQuestion(c.bar, w, line, c.byNotes).Judge(c.answer)
		told, _, _ := strings.Cut(v.Explanation(), ". ")
		if v.Right {
			told = ""
		}
		if err != nil || told != c.told {
			t.Errorf("%s: %q, want %q (%v)", c.answer, told, c.told, err)
		}
		if rule := "The root first, on strong beats tones of C, which are C E G; into F lead "; !strings.HasPrefix(v.Why, rule) {
			t.Errorf("%s: the rule is %q", c.answer, v.Why)
		}
	}
}

// From the 5 to the 1 every bassist plays the seventh, however the chord is written.
func TestTheFiveHasItsSeventh(t *testing.T) {
	s := NewCatalogue(Setup{Neck: fretboard.Fretboard{Tuning: fretboard.Bass, Frets: 22}}).setup
	for _, chord := range []string{"Eb", "Eb7"} {
		w := walkedChange{must(theory.ParseKey("Ab")), must(theory.ParseChord(chord)), must(theory.ParseChord("Ab"))}
		bar := walkingBar{Change: Change{"5", "1", theory.Major}, time: 4}
		v := must(s.walkingQuestion(bar, w, must(s.walkingLine(bar, w, nil)), false).Judge("2/1 3/1 3/4 3/1 4/4"))
		if !v.Right || !strings.Contains(v.Why, "Db") {
			t.Errorf("Eb Bb Db Bb Ab under %s: %+v", chord, v)
		}
	}
}

// The songs' own changes are walked, in their keys and over their chords.
func TestWalkingLinesComeFromTheSongs(t *testing.T) {
	need := Need{Key: must(theory.ParseKey("Eb"))}
	for chord := range strings.FieldsSeq("Ebmaj7 Db7 Eb/G Cm") {
		need.Chords = append(need.Chords, must(theory.ParseChord(chord)))
	}
	s := Setup{Neck: fretboard.Fretboard{Tuning: fretboard.FiveBass, Frets: 22}, Changes: Changes(need)}
	c := NewCatalogue(s).Within(need)
	id := "walking/1-b7/4@B0-E1-A1-D2-G2"
	for seed := range 20 {
		if q := must(c.Ask(id, seeded(seed))); !strings.HasPrefix(q.Text, "In Eb, walk a bar from Ebmaj7") || !strings.Contains(q.Text, "to Db7") {
			t.Fatalf("%s", q.Text)
		}
	}
	found := false
	for _, it := range c.ItemsFor(need) {
		found = found || it.ID == id
	}
	if !found {
		t.Errorf("the song does not need %s", id)
	}
}
