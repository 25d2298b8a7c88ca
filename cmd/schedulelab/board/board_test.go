package board_test

import (
	"testing"

	"surefret/cmd/schedulelab/board"
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
