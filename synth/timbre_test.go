package synth

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"runtime"
	"slices"
	"strings"
	"testing"

	"surefret/testdata/oracle"
)

const timbreTable = "timbre-fluidsynth.jsonl"

// The recorded guitars are measured again where they are: in CI, and with all
// oracles. SUREFRET_UPDATE writes the table.
func TestTheRecordedGuitarsAreMeasuredSo(t *testing.T) {
	update := os.Getenv("SUREFRET_UPDATE") != ""
	if !update && !ci() && !oracle.All() {
		t.Skip("playing 111 notes takes half a minute: CI and SUREFRET_ORACLES=all do it")
	}
	var b bytes.Buffer
	for _, row := range oracle.RecordedTimbres(t) {
		line, err := json.Marshal(row)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&b, "%s\n", line)
	}
	if update {
		if err := os.WriteFile("../testdata/oracle/"+timbreTable, b.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(b.Bytes(), oracle.Table(t, timbreTable)) {
		t.Errorf("fluidsynth's guitars measure otherwise than %s says", timbreTable)
	}
}

// recorded is a row of three guitars a note.
func recorded(t testing.TB) (rows [][3]oracle.Timbre) {
	t.Helper()
	for line := range bytes.Lines(oracle.Table(t, timbreTable)) {
		var row [3]oracle.Timbre
		if err := json.Unmarshal(line, &row); err != nil {
			t.Fatal(err)
		}
		rows = append(rows, row)
	}
	return rows
}

// A figure is one that has a bar: ours, and the span of the three guitars, widened.
type figure struct {
	column         int
	name           string
	got, low, high float64
}

func (f figure) met() bool { return f.got >= f.low && f.got <= f.high }

// figures holds a note against the three guitars: centroids within 20 % of their
// span, bands within 3 dB, and times to fall by 60 dB within a factor of 1.6. Where
// no guitar has a figure there is no bar.
func figures(got oracle.Timbre, guitars [3]oracle.Timbre) (all []figure) {
	column := 0
	add := func(name string, factor, wider float64, of func(oracle.Timbre) float64) {
		low, high := math.Inf(1), math.Inf(-1)
		for _, g := range guitars {
			if v := of(g); v != 0 {
				low, high = min(low, v), max(high, v)
			}
		}
		if low <= high {
			all = append(all, figure{column, name, of(got), low/factor - wider, high*factor + wider})
		}
		column++
	}
	for i, window := range []string{"0-50", "100-200"} {
		add("centroid "+window, 1.2, 0, func(m oracle.Timbre) float64 { return m.Centroid[i] })
	}
	for i, window := range []string{"0-50", "100-200"} {
		for b := range 5 {
			add(fmt.Sprintf("band %d %s", b+1, window), 1, 3, func(m oracle.Timbre) float64 { return m.Bands[i][b] })
		}
	}
	for b := range 5 {
		add(fmt.Sprintf("fall %d", b+1), 1.6, 0, func(m oracle.Timbre) float64 { return m.Fall[b] })
	}
	return all
}

// tuned are the notes that the strings were fitted on; the others judge.
var tuned = []int{40, 45, 50, 55, 59, 64, 69, 76}

// The page beside the package says of every note and band whether it lies among the
// three recorded guitars.
func TestTheGuitarLiesAmongTheRecordedOnesAsThePageSays(t *testing.T) {
	var table strings.Builder
	var met, of [2]int // of those that were fitted, and of those that judge
	for i, row := range recorded(t) {
		key := oracle.LowestTimbre + i
		var s String
		if err := s.strike(Pluck{Hz: pitch(key, 440)}, oracle.GuitarRate); err != nil {
			t.Fatal(err)
		}
		x := make([]float32, oracle.GuitarRate/2)
		s.Stream(x)
		judges := 1
		name := fmt.Sprintf("%s%d", []string{"C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"}[key%12], key/12-1)
		if slices.Contains(tuned, key) {
			judges, name = 0, name+" *"
		}
		signs := []byte(strings.Repeat(" ", 17))
		var missed []string
		for _, f := range figures(oracle.MeasureTimbre(x), row) {
			of[judges]++
			if signs[f.column] = '+'; f.met() {
				met[judges]++
				continue
			}
			signs[f.column] = '-'
			missed = append(missed, fmt.Sprintf("%s is %.4g, bar %.4g to %.4g", f.name, f.got, f.low, f.high))
		}
		fmt.Fprintf(&table, "%-6s %s  %s  %s  %s", name, signs[:2], signs[2:7], signs[7:12], signs[12:])
		if len(missed) > 0 {
			fmt.Fprintf(&table, "  %s", strings.Join(missed, "; "))
		}
		table.WriteString("\n")
	}
	said := fmt.Sprintf("%d of %d bars of the notes that judge are met, %d of %d of those that were fitted.\n\n```\n%s```\n",
		met[1], of[1], met[0], of[0], table.String())
	t.Log(said)
	const path, mark = "GUITAR.md", "<!-- from here on by the test -->\n"
	page, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	head, was, ok := strings.Cut(string(page), mark)
	if os.Getenv("SUREFRET_UPDATE") != "" {
		if err := os.WriteFile(path, []byte(head+mark+said), 0o600); err != nil {
			t.Fatal(err)
		}
	} else if runtime.GOARCH == "amd64" && (!ok || was != said) { // others round otherwise
		t.Errorf("%s says otherwise: SUREFRET_UPDATE=1 go test ./synth -run AsThePageSays, and read the difference", path)
	}
}
