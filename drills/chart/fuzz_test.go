package chart

import (
	"errors"
	"runtime"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// hold reads a text and holds it to what is promised of any: what is read is written
// so that it reads as the same, and what is refused is told in plain sentences.
func hold(t *testing.T, name, text string) {
	charts, err := Read(name, text, Options{})
	if err != nil {
		if len(err.Error()) > 1000 || strings.ContainsAny(err.Error(), "\n\x1b\a") {
			t.Errorf("told as %q", err)
		}
		var f *faults
		if errors.As(err, &f) && (len(f.list) == 0 || f.list[0].line < 1 || f.list[0].column < 1) {
			t.Errorf("%+v", f.list)
		}
		return
	}
	for _, c := range charts {
		c.played(1000)
		written := c.String()
		again, err := Read(name, written, Options{})
		if err != nil {
			t.Fatalf("%q is written %q: %v", text, written, err)
		}
		if len(again) != 1 || !cmp.Equal(c, again[0], whole) {
			t.Errorf("%q is written %q and reads otherwise: %s", text, written, cmp.Diff([]Chart{c}, again, whole))
		}
		if moved, err := c.Move(c.Key, 0); err == nil {
			_ = moved.String()
		}
		if n, err := c.Numbers(); err == nil {
			_ = n.String()
		}
	}
}

func FuzzText(f *testing.F) {
	f.Add(umbrella)
	f.Add("||: 1 . 5/7 . | 6m :||[2. (2/4) 4 | x2\nA line\n")
	f.Fuzz(func(t *testing.T, text string) { hold(t, "x.txt", text) })
}

func FuzzChordPro(f *testing.F) {
	f.Add(umbrellaPro)
	f.Add("{ns}\n{t: x}\n[i]a\n{ns}\n[V/V]b[*c]\n{sog}\nA | % . |: C~D :|: E |. x\n{eog}\n")
	f.Fuzz(func(t *testing.T, text string) { hold(t, "x.cho", text) })
}

func FuzzTyped(f *testing.F) {
	f.Add("1 4 5 (x3)", 0)
	f.Add("i VI; iv, V7/V", 5)
	f.Fuzz(func(t *testing.T, text string, _ int) {
		c, err := ReadTyped(text, Options{})
		if err != nil {
			return
		}
		if again, err := ReadTyped(c.String(), Options{}); err != nil || !cmp.Equal(c, again, whole) {
			t.Errorf("%q is written %q and reads otherwise: %v %s", text, c.String(), err, cmp.Diff(c, again, whole))
		}
	})
}

// A megabyte of anything is read or refused in 64 MB. It is bytes that are counted,
// of all that was ever allocated: they bound the time too, whatever the machine.
func TestAMegabyteOfAnything(t *testing.T) {
	const megabyte = 1 << 20
	for _, unit := range []string{"G ", "|", "| G ", "1 ", "((G)) ", "[G]", "{t: x}\n", "G-", "a", "I ", "G\na\n", "Key: G\n", "{soc}\n", "\n", "Verse: G\n", "{ns}\n[G]a\n", "%% ", "15 "} {
		whole, lined := strings.Repeat(unit, megabyte/len(unit)), strings.Repeat(strings.Repeat(unit, 250/len(unit))+"\n", Largest/251)
		for name, text := range map[string]string{"x.txt": whole, "x.cho": whole, "lined.txt": lined, "lined.cho": lined} {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			_, err := Read(name, text, Options{})
			runtime.ReadMemStats(&after)
			if taken := after.TotalAlloc - before.TotalAlloc; taken > 64*megabyte {
				t.Errorf("a megabyte of %q in %s takes %d MB", unit, name, taken/megabyte)
			}
			if err != nil && len(err.Error()) > 1000 {
				t.Errorf("%q: told in %d letters", unit, len(err.Error()))
			}
		}
	}
}
