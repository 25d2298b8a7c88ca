package fretboard

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"surefret/testdata/oracle"
)

// Frets as bassists are taught them, from handbooks' common practice, no source; what they
// sound is counted in semitones above the root: a major scale is 2 2 1 2 2 2 1, a natural
// minor one 2 1 2 2 1 2 2.
func TestABassHasShapesOfItsOwn(t *testing.T) {
	bass, five := Fretboard{Tuning: Bass, Frets: 20}, Fretboard{Tuning: FiveBass, Frets: 24}
	for _, c := range []struct {
		name, root, frets string
		sounds            []int
	}{
		{"octave-4-2", "G", "3 x 5 x", []int{0, 12}},
		{"root-fifth-octave-4", "G", "3 5 5 x", []int{0, 7, 12}},
		{"root-fifth-octave-3", "C", "x 3 5 5", []int{0, 7, 12}},
		{"scale-major-4", "G", "3,5 2,3,5 2,4,5 x", []int{0, 2, 4, 5, 7, 9, 11, 12}},
		{"scale-minor-4", "G", "3,5,6 3,5,6 3,5 x", []int{0, 2, 3, 5, 7, 8, 10, 12}},
		{"arpeggio-major-3", "C", "x 3 2,5 5", []int{0, 4, 7, 12}},
		{"arpeggio-m7-4", "A", "5,8 7 5 x", []int{0, 3, 7, 10}},
		{"pentatonic-1-minor", "A", "5,8 5,7 5,7 5,7", []int{0, 3, 5, 7, 10, 12, 15, 17}},
	} {
		r, err := bass.Shape(c.name)
		if err != nil || r.Fits(bass) != nil {
			t.Errorf("%s: %v, %v", c.name, err, r.Fits(bass))
			continue
		}
		at := slices.IndexFunc(r.On(bass, note(t, c.root)), func(p Placement) bool { return p.Playable() && p.String() == c.frets })
		if at < 0 {
			t.Errorf("%s over %s lies at %v, want %s", c.name, c.root, r.On(bass, note(t, c.root)), c.frets)
			continue
		}
		var sounds []int
		for _, n := range r.On(bass, note(t, c.root))[at].Notes {
			sounds = append(sounds, n.Above.Semitones)
		}
		if !slices.Equal(sounds, c.sounds) {
			t.Errorf("%s sounds %v above its root, want %v", c.name, sounds, c.sounds)
		}
	}
	for _, fb := range []Fretboard{bass, five} {
		seen := map[string]bool{}
		var families []string
		for _, r := range ShapesOn(fb) {
			if r.Kind == KindChord || seen[r.Name] {
				t.Errorf("%s: %s", fb.Tuning.Name, r.Name)
			}
			seen[r.Name] = true
			if !slices.Contains(families, r.Family) {
				families = append(families, r.Family)
			}
		}
		if want := strings.Split("octaves, root and fifth, scales, arpeggios, pentatonic boxes, tenths", ", "); !slices.Equal(families, want) {
			t.Errorf("%s: %q, want %q", fb.Tuning.Name, families, want)
		}
	}
	if err := shape(t, "a-form-major").Fits(five); err == nil || !strings.Contains(err.Error(), "shape of a guitar") {
		t.Errorf("an A form on a bass: %v", err)
	}
	if r, err := five.Shape("root-fifth-octave-5"); err != nil || r.Fits(five) != nil {
		t.Errorf("root and fifth on the low B: %v", err)
	}
}

// Where roots are looked for: Bb lies at 5/1 on seven strings and at 3/1 on five of a bass.
func TestRootsLieOnUpToThreeLowStrings(t *testing.T) {
	for _, c := range []struct {
		tuning Tuning
		want   string
	}{{Standard, "6/6 5/1"}, {DropD, "6/8 5/1"}, {SevenStrings, "7/11 6/6 5/1"}, {Bass, "4/6 3/1"}, {FiveBass, "5/11 4/6 3/1"}} {
		if got := WritePlaces((Fretboard{Tuning: c.tuning, Frets: 22}).Roots(note(t, "Bb"))); got != c.want {
			t.Errorf("%s: %s, want %s", c.tuning.Name, got, c.want)
		}
	}
}

// The scales and arpeggios of a bass have the notes that tonal 6.4.3 gives to the scale
// and the triad of each key.
func TestScalesOfABassAgreeWithTonal(t *testing.T) {
	var table struct {
		Keys []struct {
			Key, Mode string
			Triads    []struct{ Notes []string }
		}
		Scales map[string]map[string]string
	}
	must(t, json.Unmarshal(oracle.Table(t, "theory-tonal.json.gz"), &table))
	bass := Fretboard{Tuning: Bass, Frets: 20}
	compared := 0
	for _, k := range table.Keys {
		mode := map[string]string{"major": "major", "minor": "minor", "natural minor": "minor"}[k.Mode]
		if mode == "" {
			continue
		}
		scale, triad := strings.Fields(table.Scales[k.Mode][k.Key]), k.Triads[0].Notes
		shapes := map[string][]string{"scale-" + mode: append(slices.Clone(scale), scale[0])}
		if mode == "major" {
			shapes["arpeggio-major"] = append(slices.Clone(triad), triad[0])
		} else {
			shapes["arpeggio-m7"] = append(slices.Clone(triad), scale[6])
		}
		for name, want := range shapes {
			for _, str := range []string{"-4", "-3"} {
				r, err := bass.Shape(name + str)
				must(t, err)
				for _, p := range r.On(bass, note(t, k.Key)) {
					var got []string
					for _, n := range p.Notes {
						got = append(got, n.Pitch.Note.String())
					}
					if len(got) == len(want) && !slices.Equal(got, want) { // not all of it is on the neck else
						t.Errorf("%s%s over %s is %v, tonal has %v", name, str, k.Key, got, want)
					}
					compared++
				}
			}
		}
	}
	if compared < 100 {
		t.Errorf("%d shapes compared", compared)
	}
}
