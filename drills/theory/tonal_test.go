package theory

import (
	"encoding/json"
	"strings"
	"testing"

	"surefret/testdata/oracle"
)

// tonalTable is what tonal 6.4.3 says; theory-tonal.mjs makes it.
type tonalTable struct {
	Notes, Intervals []string // intervals number first: "3m"
	Semitones        []int
	Up, Down         map[string]string // by note: C4 and so on moved by each interval
	Signatures       map[string]struct {
		Alteration int
		Relative   string
	}
	Scales map[string]map[string]string // by mode and tonic
	Keys   []struct {
		Key, Mode string
		Triads    []struct {
			Name  string
			Notes []string
		}
	}
	Progression  []string
	Progressions map[string][]string // the chords of Progression by tonic
}

func readTonal(t *testing.T) *tonalTable {
	t.Helper()
	table := new(tonalTable)
	if err := json.Unmarshal(oracle.Table(t, "theory-tonal.json.gz"), table); err != nil {
		t.Fatal(err)
	}
	return table
}

func TestIntervalsAgreeWithTonal(t *testing.T) {
	table, moves := readTonal(t), 0
	ivs := make([]Interval, len(table.Intervals))
	for i, name := range table.Intervals {
		number := strings.TrimRight(name, "PMmAd")
		short := name[len(number):] + number
		ivs[i] = must(t, ParseInterval, short)
		if ivs[i].String() != short || ivs[i].Semitones != table.Semitones[i] {
			t.Errorf("%s prints as %v, of %d semitones; tonal says %d", short, ivs[i], ivs[i].Semitones, table.Semitones[i])
		}
	}
	for _, name := range table.Notes {
		from := must(t, ParsePitch, name+"4")
		up, down := strings.Fields(table.Up[name]), strings.Fields(table.Down[name])
		for i, iv := range ivs {
			moves++
			if got := from.Add(iv).String() + " " + from.Add(iv.Neg()).String(); got != up[i]+" "+down[i] {
				t.Errorf("%v up and down %v: got %s, tonal says %s %s", from, iv, got, up[i], down[i])
			}
		}
	}
	if moves < 2500 {
		t.Errorf("only %d moves in the table", moves)
	}
}

func TestKeysAgreeWithTonal(t *testing.T) {
	table := readTonal(t)
	for mode, byTonic := range table.Scales {
		for tonic, want := range byTonic {
			// Some of these scales have no signature, so that ParseKey refuses them.
			m, err := parseMode(mode)
			if got := words(Key{must(t, ParseNote, tonic), m}.Scale()); err != nil || got != want {
				t.Errorf("%s %s: got %s, %v, tonal says %s", tonic, mode, got, err, want)
			}
		}
	}
	for name, want := range table.Signatures {
		k := must(t, ParseKey, name)
		if k.Signature() != want.Alteration || k.Relative().Tonic.String() != want.Relative || k.Relative().Relative() != k {
			t.Errorf("%s: got %d and %v, tonal says %d and %s", name, k.Signature(), k.Relative(), want.Alteration, want.Relative)
		}
		signs := 0
		for _, n := range k.Accidentals() {
			signs += n.Alter
			if !k.Contains(n) {
				t.Errorf("%v in the signature of %s is not in its scale", n, name)
			}
		}
		if signs != want.Alteration {
			t.Errorf("%s has the signature %v", name, k.Accidentals())
		}
	}
	for _, want := range table.Keys {
		for i, c := range must(t, ParseKey, want.Key+" "+want.Mode).Triads() {
			if w := want.Triads[i]; c != must(t, ParseChord, w.Name) || words(c.Notes()) != strings.Join(w.Notes, " ") {
				t.Errorf("%s %s: got %v (%s), tonal says %v", want.Key, want.Mode, c, words(c.Notes()), w)
			}
		}
	}
	if len(table.Scales) != 15 || len(table.Signatures) != 30 || len(table.Keys) != 60 {
		t.Errorf("%d scales, %d signatures, %d keys in the table", len(table.Scales), len(table.Signatures), len(table.Keys))
	}
}

func TestNumeralsAgreeWithTonal(t *testing.T) {
	table := readTonal(t)
	for tonic, names := range table.Progressions {
		k := must(t, ParseKey, tonic)
		for i, roman := range table.Progression {
			n, want := must(t, ParseNumeral, roman), must(t, ParseChord, names[i])
			if k.Chord(n) != want || k.Numeral(want) != n {
				t.Errorf("%s in %s: got %v, tonal says %s, which is %s there", roman, tonic, k.Chord(n), names[i], k.Numeral(want).Roman())
			}
		}
	}
	if len(table.Progressions) != 15 {
		t.Errorf("%d keys in the table", len(table.Progressions))
	}
}

func TestTonalTableCanBeMadeAgain(t *testing.T) {
	oracle.MakeAgain(t, "theory-tonal.json.gz", "theory-tonal.mjs")
}
