package walking_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
	"surefret/drills/walking"
	"surefret/testdata/oracle"
)

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// beatsOf lays chords out, a bar each, up to the first beat of the first again.
func beatsOf(key, chords string, beats, unit int) (all []walking.Beat) {
	words := strings.Fields(chords)
	for i := range len(words) + 1 {
		for n, p := range walking.Pulses(beats, unit) {
			b := walking.Beat{Chord: must(theory.ParseChord(words[i%len(words)])), Key: must(theory.ParseKey(key)), Enters: n == 0, Strong: p.Strong}
			if all = append(all, b); i == len(words) {
				break
			}
		}
	}
	return all
}

// What method books teach of a bar from C to F, and what they cross out: from memory.
func TestLinesAreRightByRules(t *testing.T) {
	for _, c := range []struct {
		line        string
		beats, unit int
		note        int // from 1
		rule        walking.Rule
	}{
		{"C2 D2 E2 Gb2 F2", 4, 4, 0, walking.NoRule}, // from above, half a step
		{"C2 D2 E2 G2 F2", 4, 4, 0, walking.NoRule},  // a step
		{"C2 E2 G2 E2 F2", 4, 4, 0, walking.NoRule},  // from below, half a step
		{"C3 A2 G2 E2 F2", 4, 4, 0, walking.NoRule},
		{"C2 G2 C3 Gb2 F2", 4, 4, 0, walking.NoRule},
		{"C2 C3 G2 E2 F2", 4, 4, 0, walking.NoRule},     // a leap of an octave
		{"C3 Ab2 G2 E2 F2", 4, 4, 0, walking.NoRule},    // half a step into the next
		{"E2 D2 C2 E2 F2", 4, 4, 1, walking.Begins},     // it is the third
		{"C2 C2 E2 G2 F2", 4, 4, 0, walking.NoRule},     // a tone of the chord again
		{"C2 D2 D2 E2 F2", 4, 4, 3, walking.Moves},      // again, and no tone of it
		{"C2 E3 G2 Gb2 F2", 4, 4, 2, walking.Leaps},     // a tenth
		{"C2 D2 E2 C2 F2", 4, 4, 4, walking.Leads},      // a fourth off
		{"C2 D2 E2 D2 F2", 4, 4, 4, walking.Leads},      // a third off
		{"C2 D2 E2 Eb2 F2", 4, 4, 4, walking.Scale},     // a step, and not of the key
		{"C2 D2 F2 E2 F2", 4, 4, 3, walking.Tone},       // no tone of C on three
		{"C2 Ab2 E2 Gb2 F2", 4, 4, 2, walking.Scale},    // leads nowhere
		{"C2 D2 E2 Gb2 A2", 4, 4, 5, walking.Begins},    // not to F
		{"C2 D2 E2 Gb2 F1", 4, 4, 4, walking.Leads},     // an octave off
		{"C2 D2 E2 F2", 3, 4, 0, walking.NoRule},        // a waltz: only one is strong
		{"C2 E2 F2", 2, 4, 0, walking.NoRule},           // half a bar
		{"C2 B1 G1 E1 F1", 6, 8, 0, walking.NoRule},     // long, short, long, short
		{"C2 B1 A1 E1 F1", 6, 8, 3, walking.Tone},       // four is strong
		{"C2 E2 G2 E2 F2", 12, 8, 0, walking.NoRule},    // a note on each three
		{"C2 D2 E2 G2 F2", 2, 2, 0, walking.NoRule},     // halves, in quarters
		{"C2 D2 F2 E2 Gb2 F2", 5, 4, 0, walking.NoRule}, // of five only one is strong
	} {
		var line []int
		for p := range strings.FieldsSeq(c.line) {
			line = append(line, must(theory.ParsePitch(p)).MIDI())
		}
		beats := beatsOf("C", "C F", c.beats, c.unit)
		if note, rule := walking.Broken(beats[:len(line)], line, true); rule != c.rule || rule != walking.NoRule && note+1 != c.note {
			t.Errorf("%s in %d/%d breaks %d at note %d, want %d at %d", c.line, c.beats, c.unit, rule, note+1, c.rule, c.note)
		}
	}
	// By its notes alone a line is as near as it can be.
	if note, rule := walking.Broken(beatsOf("C", "C F", 4, 4)[:5], []int{0, 2, 2, 4, 5}, false); note != 2 || rule != walking.Moves {
		t.Errorf("C D D E F breaks %d at note %d", rule, note+1)
	}
}

// Whatever the chords, the time and the neck, a line breaks no rule, lies between the
// frets asked, is spelled as it sounds, and goes into its last chord as asked.
func TestEveryLineObeysTheRules(t *testing.T) {
	keys := append(theory.KeysOf(theory.Major), theory.KeysOf(theory.Minor)...)
	times := [][2]int{{4, 4}, {3, 4}, {2, 4}, {6, 8}, {12, 8}, {2, 2}, {5, 4}}
	rapid.Check(t, func(t *rapid.T) {
		tuning := rapid.SampledFrom([]fretboard.Tuning{fretboard.Bass, fretboard.FiveBass, fretboard.Bass.Down(2), fretboard.Standard}).Draw(t, "tuning")
		fb := fretboard.Fretboard{Tuning: tuning, Frets: 20}
		key := rapid.SampledFrom(keys).Draw(t, "key")
		time := rapid.SampledFrom(times).Draw(t, "time")
		var beats []walking.Beat
		for range rapid.IntRange(2, 6).Draw(t, "chords") {
			chord := rapid.SampledFrom(key.Triads()).Draw(t, "chord")
			switch rapid.IntRange(0, 5).Draw(t, "how") {
			case 0:
				chord = must(theory.ParseChord(chord.Root.String() + "7"))
			case 1:
				chord = chord.WithBass(chord.Notes()[1])
			}
			pulses := walking.Pulses(time[0], time[1])
			for n, p := range pulses[:rapid.IntRange(1, len(pulses)).Draw(t, "beats")] {
				beats = append(beats, walking.Beat{Chord: chord, Key: key, Enters: n == 0, Strong: p.Strong})
			}
		}
		beats[len(beats)-1].Enters = true
		w := walking.Wish{Frets: [2]int{0, 9}, Rand: rand.New(rand.NewPCG(1, uint64(rapid.IntRange(0, 9).Draw(t, "luck"))))}
		if !beats[len(beats)-2].Enters {
			w.Into = rapid.SampledFrom([]int{0, -1, 1}).Draw(t, "into")
		}
		line, err := walking.Line(fb, beats, w)
		if err != nil && w.Into != 0 { // what is to lead in may be the root that it follows
			w.Into = 0
			line, err = walking.Line(fb, beats, w)
		}
		if err != nil {
			t.Fatal(err)
		}
		var midi []int
		for i, p := range line.Path {
			midi = append(midi, fb.MIDI(p))
			if p.Fret < 0 || p.Fret > 9 || line.Pitches[i].MIDI() != midi[i] {
				t.Fatalf("note %d, %s, at %s", i+1, line.Pitches[i], p.Say())
			}
		}
		if note, rule := walking.Broken(beats, midi, true); rule != walking.NoRule {
			t.Fatalf("%v breaks %d at note %d", line.Notes(), rule, note+1)
		}
		if last := len(midi) - 1; w.Into != 0 && midi[last]-midi[last-1] != w.Into {
			t.Fatalf("%v goes into its last chord by %d, want %d", line.Notes(), midi[last]-midi[last-1], w.Into)
		}
	})
}

// A bar lies under one hand, a finger a fret, in every key that bands call.
func TestABarLiesUnderOneHand(t *testing.T) {
	for _, tuning := range []fretboard.Tuning{fretboard.Bass, fretboard.FiveBass} {
		for tonic := range strings.FieldsSeq("C Db D Eb E F F# G Ab A Bb B") {
			key := must(theory.ParseKey(tonic))
			chords := key.Triads()
			for _, m := range [][2]int{{1, 4}, {4, 1}, {1, 5}, {5, 1}, {1, 6}, {6, 2}, {2, 5}} {
				beats := beatsOf(tonic, chords[m[0]-1].String()+" "+chords[m[1]-1].String(), 4, 4)[:5]
				line := must(walking.Line(fretboard.Fretboard{Tuning: tuning, Frets: 20}, beats, walking.Wish{}))
				var stopped []int
				for _, p := range line.Path {
					if p.Fret > 0 {
						stopped = append(stopped, p.Fret)
					}
				}
				if slices.Max(stopped)-slices.Min(stopped) > 3 {
					t.Errorf("%s, %s: %v at %s", tuning.Name, tonic, line.Notes(), fretboard.WritePlaces(line.Path))
				}
			}
		}
	}
}

// The chords and scales that lines are made of are those that tonal 6.4.3 has.
func TestTonesAndScalesAgreeWithTonal(t *testing.T) {
	var table struct {
		Keys []struct {
			Key, Mode string
			Triads    []struct {
				Name  string
				Notes []string
			}
		}
		Scales map[string]map[string]string
	}
	if err := json.Unmarshal(oracle.Table(t, "theory-tonal.json.gz"), &table); err != nil {
		t.Fatal(err)
	}
	compared := 0
	for _, k := range table.Keys {
		key, err := theory.ParseKey(k.Key + " " + k.Mode)
		if err != nil || k.Mode != "major" && k.Mode != "minor" && k.Mode != "natural minor" {
			continue
		}
		for _, triad := range k.Triads {
			beat := walking.Beat{Chord: must(theory.ParseChord(triad.Name)), Key: key}
			allowed := map[int]bool{}
			for _, n := range append(strings.Fields(table.Scales[k.Mode][k.Key]), triad.Notes...) {
				allowed[must(theory.ParseNote(n)).PitchClass()] = true
			}
			for midi := 40; midi < 52; midi++ {
				if beat.Fits(midi) != allowed[midi%12] {
					t.Errorf("%s in %s %s: %d fits: %t", triad.Name, k.Key, k.Mode, midi, beat.Fits(midi))
				}
				compared++
			}
		}
	}
	if compared < 15*7*12 {
		t.Errorf("%d notes compared", compared)
	}
}

// Tablature that LilyPond sets has each note of a line at the fret where ours has it.
func TestPlacesAgreeWithLilypond(t *testing.T) {
	type note struct {
		Set                string
		MIDI, String, Fret int
	}
	known := map[note]bool{}
	for line := range strings.Lines(string(oracle.Table(t, "fretboard-lilypond.jsonl"))) {
		var n note
		if err := json.Unmarshal([]byte(line), &n); err != nil {
			t.Fatal(err)
		}
		known[n] = true
	}
	for _, tuning := range []fretboard.Tuning{fretboard.Bass, fretboard.FiveBass} {
		for i, k := range theory.KeysOf(theory.Major) {
			beats := beatsOf(k.Tonic.String(), fmt.Sprint(k.Triads()[0], k.Triads()[3], k.Triads()[i%7], k.Triads()[4]), 4, 4)
			line := must(walking.Line(fretboard.Fretboard{Tuning: tuning, Frets: 20}, beats, walking.Wish{}))
			for n, at := range line.Path {
				if !known[note{tuning.Name, line.Pitches[n].MIDI(), at.String, at.Fret}] {
					t.Errorf("%s: LilyPond does not put %s at %s", tuning.Name, line.Pitches[n], at.Say())
				}
			}
		}
	}
}
