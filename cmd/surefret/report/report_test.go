package report

import (
	"flag"
	"fmt"
	"iter"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/x/ansi"
	"github.com/google/go-cmp/cmp"

	"surefret/cmd/surefret/ink"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/scheduler"
)

var update = flag.Bool("update", false, "write the golden files anew")

var (
	first = time.Date(2026, 9, 1, 19, 0, 0, 0, time.UTC)
	now   = time.Date(2026, 11, 25, 21, 0, 0, 0, time.UTC)
)

func setup() drills.Setup {
	return drills.Setup{Neck: fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}}
}

// practised is a log of every other evening up to now: the low strings well,
// string 4 with trouble, string 3 a little, one key.
func practised(c *drills.Catalogue) []drills.Answer {
	rng := rand.New(rand.NewPCG(3, 3))
	var ids []string
	skill := map[string]float64{}
	for _, it := range c.Items() {
		able := 0.0
		switch {
		case it.Family == "note" && it.Group == "string 6", it.Family == "note" && it.Group == "string 5":
			able = 0.95
		case it.Family == "note" && it.Group == "string 4":
			able = 0.6
		case strings.HasPrefix(it.ID, "note/G3+5/"), strings.HasPrefix(it.ID, "key/D major/"), it.Group == "tenths", it.Group == "strings 6 and 4":
			able = 0.8
		}
		if able > 0 {
			ids, skill[it.ID] = append(ids, it.ID), able
		}
	}
	var rows []drills.Answer
	for day := 0; day <= 85; day += 2 - day/84 {
		at := first.AddDate(0, 0, day)
		for range 40 {
			id := ids[rng.IntN(len(ids))]
			thinking := time.Duration(700+rng.IntN(1000)-4*day) * time.Millisecond
			if rng.Float64() > skill[id] {
				thinking *= 3
			}
			at = at.Add(thinking + 2*time.Second)
			rows = append(rows, drills.Answer{ID: fmt.Sprint(len(rows)), At: at, Day: at.Format(time.DateOnly), Item: id,
				Right: rng.Float64() < (1+skill[id])/2, Thinking: thinking, Entry: drills.EntryKeys})
		}
	}
	return rows
}

func each(rows []drills.Answer) iter.Seq2[drills.Answer, error] {
	return func(yield func(drills.Answer, error) bool) {
		for _, r := range rows {
			if !yield(r, nil) {
				return
			}
		}
	}
}

func planner(t testing.TB, c *drills.Catalogue) *scheduler.Planner {
	t.Helper()
	var items []scheduler.Item
	for _, it := range c.Items() {
		s := scheduler.Item{ID: it.ID, Family: string(it.Family), Group: it.Group, Aim: it.Aim, Stage: it.Stage}
		for _, k := range it.Kin {
			s.Kin = append(s.Kin, scheduler.Kin(k))
		}
		items = append(items, s)
	}
	p, err := scheduler.NewPlanner(items, scheduler.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// learned is a player who has practised, seen in the evening of now.
func learned(t testing.TB) (*drills.Catalogue, []drills.Answer, Outlook) {
	t.Helper()
	c := drills.NewCatalogue(setup())
	rows, p := practised(c), planner(t, c)
	for _, r := range rows {
		p.Learn(scheduler.Answer{Item: r.Item, At: r.At, Right: r.Right, Thinking: r.Thinking})
	}
	return c, rows, Outlook{Know: p, Now: now, Location: time.UTC}
}

func wholeNeck(t testing.TB) Map {
	c, _, o := learned(t)
	return NeckMap(c, o, setup(), nil, [2]int{0, 22})
}

// golden compares a text with the one that was looked at and found good.
func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s (-want +got, go test -update writes it anew):\n%s", name, diff)
	}
}

// fits holds a text to its columns.
func fits(t *testing.T, columns int, text string) {
	t.Helper()
	for line := range strings.Lines(text) {
		// A command to copy is not broken; it fits where the screen is drawn, too.
		if n := ansi.StringWidth(line); n > columns && !(columns < 56 && strings.Contains(line, "surefret --")) {
			t.Errorf("%d columns in %d: %q", n, columns, line)
		}
	}
}

// What the map says is worked out here from the log alone: the items of a place
// by how their ids are spelled, the memory of each by the scheduler's pure
// update, and the day that is predicted by the calendar.
func TestTheMapIsWhatTheLogSays(t *testing.T) {
	c, rows, o := learned(t)
	m := NeckMap(c, o, setup(), nil, [2]int{0, 22})
	fresh := planner(t, c)
	lastDay := map[string]string{}
	for _, r := range rows {
		fresh.Learn(scheduler.Answer{Item: r.Item, At: r.At, Right: r.Right, Thinking: r.Thinking})
		lastDay[r.Item] = r.Day
	}
	if len(m.Places) != 6*23 {
		t.Fatalf("%d places", len(m.Places))
	}
	open := []string{"", "E4", "B3", "G3", "D3", "A2", "E2"}
	levels := map[string]int{}
	for _, p := range m.Places {
		sum, asked := 0.0, 0
		for _, way := range []string{"name", "find"} {
			id := fmt.Sprintf("note/%s+%d/%s", open[p.String], p.Fret%12, way)
			at := time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)
			if lastDay[id] == "2026-11-25" {
				at = at.AddDate(0, 0, 1)
			}
			sum += fresh.Fluency(id, at) / 2
			if lastDay[id] != "" {
				asked++
			}
		}
		want := Unsure
		switch {
		case asked == 0:
			want, sum = Unmet, 0
		case math.Round(100*sum) >= 80:
			want = Sure
		}
		levels[want]++
		if diff := p.Fluency - sum; diff > 1e-9 || diff < -1e-9 || p.Level != want {
			t.Errorf("string %d fret %d: %.4f %s, the log says %.4f %s", p.String, p.Fret, p.Fluency, p.Level, sum, want)
		}
	}
	if len(levels) != 3 {
		t.Errorf("the log should show all levels, and shows %v", levels)
	}
	if m.Places[0].String != 1 || m.Places[len(m.Places)-1].String != 6 || m.Places[0].Note != "E" || m.Day != "2026-11-25" {
		t.Errorf("the map begins with %+v on %s", m.Places[0], m.Day)
	}
}

// What was told a moment ago would be right a minute later; that is no knowledge.
func TestAMissIsNotSureTheMomentAfter(t *testing.T) {
	c := drills.NewCatalogue(setup())
	p := planner(t, c)
	const id = "note/E2+3/name"
	for i := range 3 {
		p.Learn(scheduler.Answer{Item: id, At: now.Add(time.Duration(i) * time.Minute), Thinking: 4 * time.Second})
	}
	at := Outlook{p, now.Add(3 * time.Minute), time.UTC}
	tomorrow, asked := at.Fluency(id)
	if want := p.Fluency(id, now.AddDate(0, 0, 1)); tomorrow != want || !asked {
		t.Errorf("in the evening: %.3f, want tomorrow's %.3f", tomorrow, want)
	}
	// Half past three at night is still the evening's practice day; past four it
	// is the day that was predicted.
	for _, later := range []time.Time{time.Date(2026, 11, 26, 3, 30, 0, 0, time.UTC), time.Date(2026, 11, 26, 4, 30, 0, 0, time.UTC)} {
		if got, _ := (Outlook{p, later, time.UTC}).Fluency(id); got != tomorrow {
			t.Errorf("at %s: %.3f, want %.3f", later, got, tomorrow)
		}
	}
}

func TestRegionsAreWeakApartAndInWords(t *testing.T) {
	m := wholeNeck(t)
	if len(m.Weakest) != 3 {
		t.Fatalf("%d regions", len(m.Weakest))
	}
	for i, r := range m.Weakest {
		// Worked out again from the places.
		sum, n := 0.0, 0
		for _, p := range m.Places {
			natural := !strings.ContainsAny(p.Note, "#b")
			if p.String == r.String && p.Fret >= r.Frets[0] && p.Fret <= r.Frets[1] && natural == (r.Notes == Naturals) && p.Level != Unmet {
				sum += p.Fluency
				n++
			}
		}
		if n < 2 || sum/float64(n)-r.Fluency > 1e-9 || r.Fluency-sum/float64(n) > 1e-9 || r.Frets[1]-r.Frets[0] > 3 {
			t.Errorf("%s: %.3f of %d places, worked out %.3f", r.Words, r.Fluency, n, sum/float64(n))
		}
		if want := fmt.Sprintf("string %d, frets %d to %d, %s", r.String, r.Frets[0], r.Frets[1], r.Notes); r.Words != want {
			t.Errorf("%q, want %q", r.Words, want)
		}
		if i > 0 && r.Fluency < m.Weakest[i-1].Fluency {
			t.Errorf("%s is weaker than the one before", r.Words)
		}
		for _, other := range m.Weakest[:i] {
			if slices.ContainsFunc(r.items, func(id string) bool { return slices.Contains(other.items, id) }) {
				t.Errorf("%s asks what %s asks", r.Words, other.Words)
			}
		}
	}
	flat := setup()
	flat.Flats = true
	c, _, o := learned(t)
	for _, r := range NeckMap(c, o, flat, nil, [2]int{0, 22}).Weakest {
		if r.Notes == Sharps {
			t.Errorf("%s, for a player who says flats", r.Words)
		}
	}
}

func TestTheMapFitsAnyWidthAndTellsLevelsApart(t *testing.T) {
	m := wholeNeck(t)
	for columns := 40; columns <= 120; columns++ {
		fits(t, columns, m.Text(columns, ink.Look{}))
	}
	golden(t, "neck-40.txt", m.Text(40, ink.Look{ASCII: true}))
	golden(t, "neck-100.txt", m.Text(100, ink.Look{}))
	painted := m.Text(80, ink.Look{Colours: ink.ManyColours})
	if ansi.Strip(painted) != m.Text(80, ink.Look{}) {
		t.Error("ink changes more than the colour")
	}
	if all := m.Text(80, ink.Look{}); strings.Contains(all, "*") || !strings.Contains(all, " 8 ") || !strings.Contains(all, " 6 ") {
		t.Errorf("not by figures alone:\n%s", all)
	}
	nothing := NeckMap(drills.NewCatalogue(setup()), Outlook{known{}, now, time.UTC}, setup(), nil, [2]int{0, 22})
	if got, want := nothing.Text(80, ink.Look{}), "Nothing was asked yet. Begin with 'surefret practice'.\n"; got != want {
		t.Errorf("before any practice: %q", got)
	}
}

// What is shown and what is painted go by the same rounded figure: 0.796 is 80 %, and
// sure.
func TestSharesAreRoundedBeforeTheyAreJudged(t *testing.T) {
	for share, want := range map[float64]int{0.794: 7, 0.796: 8, 0.044: 0, 0.996: 9, 1: 9} {
		level := Unsure
		if enough(share) {
			level = Sure
		}
		if got := figure(level, share); got != want {
			t.Errorf("%.3f, %d %%, has the figure %d, want %d", share, percent(share), got, want)
		}
	}
	if got := figure(Unsure, 0.95); got != 7 {
		t.Errorf("asked on one day alone: %d", got)
	}
}

func TestALeftHandedMapIsMirrored(t *testing.T) {
	m := wholeNeck(t)
	golden(t, "neck.svg", m.SVG())
	m.LeftHanded = true
	golden(t, "neck-left-40.txt", m.Text(40, ink.Look{}))
	golden(t, "neck-left.svg", m.SVG())
}

// The mean of a drill is over what was asked, worked out here item by item.
func TestDrillsAreSummedUp(t *testing.T) {
	c, _, o := learned(t)
	byName := map[string]Drill{}
	for _, d := range NeckMap(c, o, setup(), nil, [2]int{0, 22}).Drills {
		byName[d.Name] = d
		for _, part := range d.Parts {
			byName[part.Name] = part
		}
	}
	for name, of := range map[string]func(drills.Item) bool{
		"note":              func(it drills.Item) bool { return strings.HasPrefix(it.ID, "note/") },
		"tenths, root on 5": func(it drills.Item) bool { return strings.HasPrefix(it.ID, "shape/tenth-5") },
		"strings 6 and 4":   func(it drills.Item) bool { return strings.HasPrefix(it.ID, "interval/E2-D3") },
		"strings 2 and 1":   func(it drills.Item) bool { return strings.HasPrefix(it.ID, "interval/B3-E4") },
		"key":               func(it drills.Item) bool { return strings.HasPrefix(it.ID, "key/") },
	} {
		want := Drill{Name: name}
		for _, it := range c.Items() {
			if !of(it) {
				continue
			}
			want.Items++
			if st, _ := o.Know.State(it.ID); st.Asked > 0 {
				p, _ := o.Fluency(it.ID)
				want.Asked++
				want.Fluency += p
			}
		}
		want.Fluency /= float64(max(1, want.Asked))
		got := byName[name]
		if got.Items != want.Items || got.Asked != want.Asked || got.Fluency-want.Fluency > 1e-9 || want.Fluency-got.Fluency > 1e-9 {
			t.Errorf("%s: %+v, want %+v", name, got, want)
		}
	}
}

// known is an item's state with a fluency that no planner has to reach.
type known struct {
	state   scheduler.State
	fluency float64
}

func (k known) Fluency(string, time.Time) float64    { return k.fluency }
func (k known) State(string) (scheduler.State, bool) { return k.state, true }

func TestSureTakesTwoDaysAndEightInTen(t *testing.T) {
	for _, c := range []struct {
		days    uint32
		fluency float64
		want    bool
	}{{1, 0.95, false}, {2, 0.95, true}, {2, 0.8, true}, {9, 0.79, false}, {2, 0.796, true}} {
		o := Outlook{known{scheduler.State{Asked: 9, Days: c.days}, c.fluency}, now, time.UTC}
		if got := o.Sure("note/E2+3/name"); got != c.want {
			t.Errorf("asked on %d days, right in time with a chance of %.2f: sure %v", c.days, c.fluency, got)
		}
	}
}
