package demo

import (
	"encoding/json"
	"slices"
	"strconv"
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/gig"
	"surefret/drills/theory"
	"surefret/testdata/oracle"
)

// demoSongs lists every song of the demo.
func demoSongs() []gig.Song {
	var all []gig.Song
	for _, g := range Gigs(0) {
		all = append(all, g.Songs...)
	}
	return all
}

// The table is what tonal 6.4.3 says; gig-tonal.mjs makes it.
func TestDemoSongsInTwelveKeysAgainstTonal(t *testing.T) {
	var table map[string]map[string][]struct {
		Chord string
		Notes []string
	}
	if err := json.Unmarshal(oracle.Table(t, "gig-tonal.json"), &table); err != nil {
		t.Fatal(err)
	}
	songs := demoSongs()
	if len(songs) != len(table) {
		t.Errorf("%d songs, %d in the table", len(songs), len(table))
	}
	fb := fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}
	for _, s := range songs {
		keys := table[s.Title]
		if len(keys) != 12 {
			t.Errorf("%s: %d keys in the table, want 12", s.Title, len(keys))
		}
		for key, want := range keys {
			s.Called = key
			if err := s.Check(); err != nil {
				t.Errorf("%s in %s: %v", s.Title, key, err)
				continue
			}
			sh, err := s.Sheet(fb, theory.Names{})
			if err != nil {
				t.Fatal(err)
			}
			if len(sh.Chords) != len(want) {
				t.Errorf("%s in %s: %d chords, tonal has %d", s.Title, key, len(sh.Chords), len(want))
				continue
			}
			for i, c := range sh.Chords {
				if c.Chord != want[i].Chord || !slices.Equal(c.Notes, want[i].Notes) {
					t.Errorf("%s in %s: chord %d is %s of %v, tonal says %s of %v", s.Title, key, i+1, c.Chord, c.Notes, want[i].Chord, want[i].Notes)
				}
			}
			checkFrets(t, s.Title+" in "+key, sh)
		}
	}
}

// standardMIDI are the open strings of standard tuning, string 1 first: E4 B3 G3
// D3 A2 E2 as MIDI note numbers (MIDI 1.0 specification, 60 = C4).
var standardMIDI = [6]int{64, 59, 55, 50, 45, 40}

// pitchClass reads a note by counting semitones from C.
func pitchClass(note string) int {
	at := map[byte]int{'C': 0, 'D': 2, 'E': 4, 'F': 5, 'G': 7, 'A': 9, 'B': 11}[note[0]]
	return (at + strings.Count(note, "#") - strings.Count(note[1:], "b") + 24) % 12
}

// checkFrets holds every place of a sheet against the tuning: roots sound roots,
// walks their notes, shapes only tones of their chord.
func checkFrets(t *testing.T, where string, sh gig.Sheet) {
	t.Helper()
	sounds := func(p fretboard.Position) int { return (standardMIDI[p.String-1] + p.Fret) % 12 }
	tones := map[string][]int{}
	for _, c := range sh.Chords {
		for _, n := range c.Notes {
			tones[c.Chord] = append(tones[c.Chord], pitchClass(n))
		}
		if len(c.Roots) != 2 {
			t.Errorf("%s: %s has %d roots", where, c.Chord, len(c.Roots))
		}
		for _, p := range c.Roots {
			if sounds(p) != pitchClass(c.Notes[0]) {
				t.Errorf("%s: string %d fret %d is no %s", where, p.String, p.Fret, c.Notes[0])
			}
		}
	}
	for _, w := range sh.Walks {
		if len(w.Notes) != len(w.Path) {
			t.Errorf("%s: walk %s to %s has %d notes and %d places", where, w.From, w.To, len(w.Notes), len(w.Path))
			continue
		}
		for i, p := range w.Path {
			if sounds(p) != pitchClass(w.Notes[i]) {
				t.Errorf("%s: walk %s to %s: string %d fret %d is no %s", where, w.From, w.To, p.String, p.Fret, w.Notes[i])
			}
		}
	}
	for _, shape := range sh.Shapes {
		if shape.Frets == "" {
			t.Errorf("%s: %s for %s has no place: %s", where, shape.Shape, shape.Chord, shape.Why)
		}
		for i, f := range strings.Fields(shape.Frets) {
			fret, err := strconv.Atoi(f)
			if err != nil {
				continue // not played
			}
			if at := (fretboard.Position{String: 6 - i, Fret: fret}); !slices.Contains(tones[shape.Chord], sounds(at)) {
				t.Errorf("%s: %s for %s: string %d fret %d is no tone of it", where, shape.Shape, shape.Chord, at.String, fret)
			}
		}
	}
	for _, way := range sh.Ways {
		if len(way.Chords) != len(sh.Chords) {
			t.Errorf("%s: %s: %d chords for %d", where, way.Words, len(way.Chords), len(sh.Chords))
			continue
		}
		for i, c := range way.Chords {
			// What the hand plays, raised by the capo, is what sounds.
			root, _ := theory.ParseChord(c)
			if got, want := (root.Root.PitchClass()+way.Capo-way.Detuned+12)%12, pitchClass(sh.Chords[i].Notes[0]); got != want {
				t.Errorf("%s: %s: %s does not sound as %s", where, way.Words, c, sh.Chords[i].Chord)
			}
		}
	}
}

func TestTheGigTableCanBeMadeAgain(t *testing.T) {
	oracle.MakeAgain(t, "gig-tonal.json", "gig-tonal.mjs")
}
