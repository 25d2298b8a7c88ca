package drills

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"surefret/drills/theory"
)

// Where each kind of item is met: the order that DEVELOPERS.md gives; there is no source
// for it.
func TestItemsAreMetInTheirStages(t *testing.T) {
	c := whole()
	for stage, ids := range map[int]string{
		stageLowNaturals: "note/E2+0/name note/E2+1/find note/E2+3/name note/E2+10/name note/A2+2/find note/A2+7/name",
		stageLowOthers:   "note/E2+2/name note/E2+4/find note/E2+6/name note/E2+9/name note/E2+11/name note/A2+1/find",
		stageBasics: "shape/octave-6-4@E2-D3/place shape/octave-5-3@A2-G3/read shape/tenth-6-minor@E2-G3/place shape/power-6@E2-A2/place " +
			"key/G_major/signature key/C_major/4 key/E_major/5 key/progression/1_4_5 walkup/1-4/up@E2-A2-D3 walkup/5-1/up@E2-A2-D3 " +
			"interval/E2-A2+2 interval/A2-D3-1",
		stageForms: "shape/e-form-m7@E2-A2-D3-G3-B3-E4/place shape/a-form-major@A2-D3-G3-B3-E4/read shape/power-6-octave@E2-A2-D3/place " +
			"shape/tenth-6-minor@E2-G3/read interval/G3-B3+1 interval/G3-B3-1 interval/E2-G3+1 interval/E2-D3+2 ear/tenth key/D_major/6- key/A_major/relative",
		stageWalks:      "walkup/2-5/up@E2-A2-D3 walkup/1-6/down@E2-A2-D3 key/Eb_major/4 key/F_major/signature key/A_minor/signature ear/interval/P5",
		stageFourth:     "note/D3+0/name note/D3+1/name shape/octave-4-2@D3-B3/place shape/power-4@D3-G3/place shape/d-form-minor@D3-G3-B3-E4/place",
		stageThird:      "note/G3+4/find",
		stageSecond:     "note/B3+3/name",
		stageFirst:      "note/E4+3/name key/G_minor/4-",
		stageTriads:     "shape/triad-321-major-root@G3-B3-E4/place interval/D3-G3+2 ear/walkup note/all/G@E2-A2-D3-G3-B3-E4 walkup/1-4/up-minor@E2-A2-D3",
		stageMoreTriads: "shape/triad-432-minor-first@D3-G3-B3/read",
		stageColours:    "shape/e-form-sus4@E2-A2-D3-G3-B3-E4/place shape/held-1-over-6@A2-D3-G3-B3/place key/Db_major/4 key/B_major/signature ear/chord/m7",
		stageLowTriads:  "shape/triad-654-major-root@E2-A2-D3/place shape/triad-543-minor-root@A2-D3-G3/place",
		stageSixths:     "interval/E2-A2+1 interval/G3-B3+4 shape/sixth-2-1-major@B3-E4/place",
		stageLast:       "shape/triad-321-augmented-root@G3-B3-E4/place shape/triad-321-diminished-root@G3-B3-E4/place key/Gb_major/4 key/C#_major/signature",
	} {
		for _, id := range strings.Fields(ids) {
			id = strings.ReplaceAll(id, "_", " ")
			if it, ok := c.Item(id); !ok || it.Stage != stage {
				t.Errorf("%s is met at stage %d (%t), want %d", id, it.Stage, ok, stage)
			}
		}
	}
}

// The basic items are some forty: whoever plays every day is to meet them in three weeks.
func TestTheBasicItemsAreSomeForty(t *testing.T) {
	count := map[Family]int{}
	for _, it := range whole().Items() {
		if it.Basic() {
			count[it.Family]++
		}
	}
	if want := (map[Family]int{"shape": 12, "interval": 8, "walkup": 4, "key": 16}); !maps.Equal(count, want) {
		t.Errorf("the basic items are %v, want %v", count, want)
	}
}

// What the hand or the mind does alike helps: the note under its other question
// and on the string two octaves up, a pattern on strings tuned as far apart, a
// number in the neighbouring key.
func TestKinAreWhatIsDoneAlike(t *testing.T) {
	c := whole()
	for id, want := range map[string]string{
		"note/E2+3/name":                "note/E2+3/find, note/E4+3/name",
		"note/A2+3/find":                "note/A2+3/name",
		"interval/E2-A2+2":              "interval/A2-D3+2, interval/B3-E4+2, interval/D3-G3+2",
		"interval/G3-B3+1":              "",
		"interval/E2-D3+2":              "interval/A2-G3+2",
		"interval/E2-E4+0":              "",
		"key/Eb major/4":                "key/Ab major/4, key/Bb major/4",
		"key/Gb major/5":                "key/Db major/5",
		"key/A minor/b6":                "key/D minor/b6, key/E minor/b6",
		"key/C major/signature":         "",
		"walkup/5-1/up@E2-A2-D3":        "walkup/1-5/down@E2-A2-D3",
		"walkup/4-1/down@E2-A2-D3":      "walkup/1-4/up-chromatic@E2-A2-D3, walkup/1-4/up@E2-A2-D3, walkup/4-1/up-skip1@E2-A2-D3",
		"walkup/b7-1/up-minor@E2-A2-D3": "",
		"shape/octave-6-4@E2-D3/place":  "shape/octave-6-3@E2-G3/place, shape/octave-6-4@E2-D3/read",
		"shape/octave-6-4@E2-D3/read":   "shape/octave-6-3@E2-G3/read, shape/octave-6-4@E2-D3/place",
	} {
		it, ok := c.Item(id)
		if !ok {
			t.Errorf("there is no %s", id)
			continue
		}
		var kin []string
		for _, k := range it.Kin {
			kin = append(kin, k.ID)
		}
		slices.Sort(kin)
		if got := strings.Join(kin, ", "); got != want {
			t.Errorf("%s has the kin %s, want %s", id, got, want)
		}
	}
}

// As bands call them, those of the gigs first (common practice, no source). Six sharps
// and six flats sound alike: the one that is set comes before the other.
func TestKeysAreMetAsBandsCallThem(t *testing.T) {
	gigs := []theory.Key{{Tonic: theory.Note{Letter: theory.A, Alter: -1}}, {Tonic: theory.Note{Letter: theory.E}, Mode: theory.Minor}}
	for want, s := range map[string]Setup{
		"G D A E C F Bb Eb Ab B Db F# Gb C# Cb": {},
		"G D A E C F Bb Eb Ab B Db Gb F# C# Cb": {SixFlats: true},
		"Ab G D A E C F Bb Eb B Db F# Gb C# Cb": {Keys: gigs},
		"Ab":                                    {Keys: gigs, OnlyKeys: true},
	} {
		var got []string
		for _, k := range s.keysOf(theory.Major) {
			got = append(got, k.Short())
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%+v: got %v, want %s", s, got, want)
		}
	}
	if got := fmt.Sprint(Setup{}.keysOf(theory.Minor)[:5]); got != "[A minor E minor D minor B minor F# minor]" {
		t.Errorf("the first minor keys are %s", got)
	}
}

// Six sharps and six flats sound alike: shapes and walks are called in the one that
// is set, and in every other key once.
func TestShapesAreCalledInEverySoundOnce(t *testing.T) {
	for want, s := range map[string]Setup{"F#": {}, "Gb": {SixFlats: true}} {
		heard := map[int]string{}
		for _, k := range s.calledKeys() {
			heard[k.Tonic.PitchClass()] = k.Short()
		}
		if len(heard) != 12 || len(s.calledKeys()) != 12 || heard[6] != want {
			t.Errorf("called in %v, want %s among them", heard, want)
		}
	}
}

// A beginner's first notes are five natural ones, both ways: no sharp between them comes
// before the naturals of the next string.
func TestABeginnersFirstNotesAreNatural(t *testing.T) {
	s := standard()
	s.Beginner = true
	var first []string
	for _, it := range NewCatalogue(s).Items() {
		if it.Stage == stageFirstNotes {
			first = append(first, strings.TrimPrefix(it.ID, "note/E2+"))
		}
	}
	slices.Sort(first)
	if want := strings.Fields("0/find 0/name 1/find 1/name 3/find 3/name 5/find 5/name 7/find 7/name"); !slices.Equal(first, want) {
		t.Errorf("first come %q, want %q", first, want)
	}
}
