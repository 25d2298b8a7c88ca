package drills

import (
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the pages under testdata anew")

// explanationsOf is how many explanations of each family stand in the page.
var explanationsOf = map[Family]int{"note": 35, "shape": 70, "interval": 30, "walkup": 20, "key": 30, "ear": 15}

// The page is read by a teacher after a change that is meant: go test -update.
func TestExplanationsAreAsRead(t *testing.T) {
	const page = "testdata/explanations.txt"
	var b strings.Builder
	c, rng := whole(), seeded(11)
	for _, f := range Families() {
		fmt.Fprintf(&b, "== %s\n\n", f)
		items := slices.DeleteFunc(slices.Clone(c.Items()), func(it Item) bool { return it.Family != f })
		rng.Shuffle(len(items), func(i, j int) { items[i], items[j] = items[j], items[i] })
		for i := range explanationsOf[f] {
			q := must(c.Ask(items[i%len(items)].ID, rng))
			v, _ := mistake(q, c.setup.Names)
			fmt.Fprintf(&b, "%s\n   wrong: %s, not %s. %s\n", q.Text, v.Want, v.Given, v.Explanation())
			l := q.Lesson()
			fmt.Fprintf(&b, "   shown: %s. %s.\n\n", l.Pattern, l.Here)
		}
	}
	if *update {
		if err := os.WriteFile(page, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want := string(must(os.ReadFile(page)))
	if got := b.String(); got != want {
		t.Errorf("the explanations changed: read the difference of %s after go test -update", page)
	}
}
