package board_test

import (
	"fmt"
	"math"
	"testing"

	"surefret/cmd/schedulelab/board"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/scheduler"
)

func TestEverySizeHasWholeKin(t *testing.T) {
	for _, size := range []int{200, 300, 600, 1500, 1600} {
		b, err := board.New(size)
		if err != nil {
			t.Fatal(err)
		}
		if len(b.Items) != size || len(b.Steps) != size || len(b.Kin) != size {
			t.Fatalf("size %d: %d items, %d steps, %d kin", size, len(b.Items), len(b.Steps), len(b.Kin))
		}
		if _, err := scheduler.NewPlanner(b.Items, scheduler.Options{}); err != nil {
			t.Errorf("size %d: the planner refuses it: %v", size, err)
		}
		links := 0
		for i, kin := range b.Kin {
			if b.Steps[i] < 0 || b.Steps[i] > 8 {
				t.Errorf("%s takes %v steps", b.Items[i].ID, b.Steps[i])
			}
			for k, l := range kin {
				links++
				if b.Items[l.Item].ID != b.Items[i].Kin[k].ID || l.Weight != b.Items[i].Kin[k].Weight {
					t.Errorf("%s: link %d is not the declared kin", b.Items[i].ID, k)
				}
				back := false
				for _, m := range b.Kin[l.Item] {
					back = back || m == board.Link{Item: i, Weight: l.Weight}
				}
				if !back {
					t.Errorf("%s helps %s, but not the other way", b.Items[l.Item].ID, b.Items[i].ID)
				}
			}
		}
		if links < size {
			t.Errorf("size %d has only %d links of kin", size, links)
		}
	}
}

// The outer strings of a guitar are both E: every note of the one is, two
// octaves away, a note of the other (common practice).
func TestOuterStringsAreTwins(t *testing.T) {
	b, err := board.New(300)
	if err != nil {
		t.Fatal(err)
	}
	at := map[string]int{}
	for i, it := range b.Items {
		at[it.ID] = i
	}
	i, j := at["note/6+3/name"], at["note/1+3/name"]
	for _, l := range b.Kin[i] {
		if l.Item == j && l.Weight > 0.5 {
			return
		}
	}
	t.Errorf("fret 3 of string 6 has kin %v, not its twin %d", b.Kin[i], j)
}

func TestAWrongSizeIsToldSo(t *testing.T) {
	for _, size := range []int{0, 199, 1601} {
		if _, err := board.New(size); err == nil {
			t.Errorf("a board of %d was laid out", size)
		}
	}
}

// What is met when is the drills' own order: the shares of the stages in each
// family are those of a guitar's catalogue, and every note has its very stage.
func TestStagesAreThoseOfTheDrills(t *testing.T) {
	guitar := drills.Setup{Neck: fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}}
	real, notes := map[string][12]float64{}, map[string]int{}
	for _, it := range drills.NewCatalogue(guitar).Items() {
		share := real[string(it.Family)]
		share[min(it.Stage, drills.Ungated)]++
		real[string(it.Family)] = share
		notes[it.ID] = min(it.Stage, drills.Ungated)
	}
	b, err := board.New(1500)
	if err != nil {
		t.Fatal(err)
	}
	ours := map[string][12]float64{}
	for _, it := range b.Items {
		share := ours[it.Family]
		share[it.Stage]++
		ours[it.Family] = share
		var str, fret int
		var way string
		if n, _ := fmt.Sscanf(it.ID, "note/%d+%d/%s", &str, &fret, &way); n == 3 {
			id := fmt.Sprintf("note/%s+%d/%s", fretboard.Standard.Open[str-1], fret, way)
			if stage, ok := notes[id]; !ok || stage != it.Stage {
				t.Errorf("%s is met at %d, and %s of the drills at %d", it.ID, it.Stage, id, stage)
			}
		}
	}
	for _, family := range []string{"shape", "interval", "walkup", "key"} {
		total := func(share [12]float64) (sum float64) {
			for _, n := range share {
				sum += n
			}
			return sum
		}
		for s := range 12 {
			want, got := real[family][s]/total(real[family]), ours[family][s]/total(ours[family])
			if math.Abs(want-got) > 0.01 {
				t.Errorf("%s: %.3f are met at stage %d, and %.3f of the drills'", family, got, s, want)
			}
		}
	}
}
