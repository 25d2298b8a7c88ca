package hearing_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"surefret/cmd/surefret/hearing"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/testdata/oracle"
)

var standard = fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}

// A roll is a question for a grip, and what is played to it, the lowest string first.
type roll struct {
	q            drills.Question
	midis        []int
	octave, near bool // an octave is asked for; what is played is nearly what is asked for
}

// rolls are questions for grips of two and three notes, the right answer to each and so
// many near misses: a note a fret, two, a string or an octave off, one left out, or the
// whole grip moved. Of an octave one near miss is its lower note, played twice.
func rolls(t *testing.T, octaves bool, count, misses int, rng *rand.Rand) (all []roll) {
	t.Helper()
	c := drills.NewCatalogue(drills.Setup{Neck: standard, Frets: [2]int{0, 15}})
	var items []string
	for _, it := range c.Items() {
		if it.Playable() && (it.Family == "shape" || it.Family == "interval") && octaves == (it.Group == "octaves" || strings.HasPrefix(it.Title, "octave,")) {
			items = append(items, it.ID)
		}
	}
	for asked := 0; asked < count; {
		q, err := c.Ask(items[rng.IntN(len(items))], rng)
		if err != nil {
			t.Fatal(err)
		}
		if p, ok := q.Playing(); !ok || !strings.HasPrefix(p.How, "Roll") {
			continue
		}
		asked++
		n := max(2, q.Count)
		var midis []int
		for _, s := range q.Target[:n] {
			midis = append(midis, s.MIDI)
		}
		all = append(all, roll{q, midis, octaves, false})
		near := nearMisses(midis)
		rng.Shuffle(len(near), func(i, j int) { near[i], near[j] = near[j], near[i] })
		if octaves {
			near = slices.Insert(near, 0, []int{midis[0], midis[0]})
		}
		for _, m := range near[:min(misses, len(near))] {
			all = append(all, roll{q, m, octaves, true})
		}
	}
	return all
}

func nearMisses(midis []int) (all [][]int) {
	for i := range midis {
		for _, by := range []int{1, -1, 2, -2, 5, -5, 12, -12} {
			m := slices.Clone(midis)
			m[i] += by
			all = append(all, m)
		}
		all = append(all, slices.Delete(slices.Clone(midis), i, i+1))
	}
	for _, by := range []int{1, -1, 2, -2, 5, -5} {
		m := slices.Clone(midis)
		for i := range m {
			m[i] += by
		}
		all = append(all, m)
	}
	return slices.DeleteFunc(all, func(m []int) bool { return slices.Min(m) < 40 || slices.Max(m) > 86 })
}

// clipTime is from one roll to the next.
const clipTime = 3 * time.Second

// played renders rolls, a note every 250 to 400 ms, each ringing on.
func played(t *testing.T, font string, program int, all []roll, rng *rand.Rand) (clips [][]float32) {
	t.Helper()
	const together = 40
	for part := range slices.Chunk(all, together) {
		var notes []oracle.Plucked
		for i, r := range part {
			at := time.Duration(i)*clipTime + 500*time.Millisecond
			ends := at + 1800*time.Millisecond
			for str, midi := range r.midis {
				if str > 0 && midi == r.midis[str-1] {
					str-- // the same note again is plucked on the same string
				}
				notes = append(notes, oracle.Plucked{At: at, For: ends - at, Key: midi, Velocity: 70 + rng.IntN(36), Cents: float64(rng.IntN(21) - 10), Channel: str})
				at += time.Duration(250+rng.IntN(150)) * time.Millisecond
			}
		}
		x := oracle.Guitars(t, font, program, true, notes)
		long := int(clipTime.Seconds() * oracle.GuitarRate)
		for i := range part {
			clip := make([]float32, long)
			copy(clip, x[min(len(x), i*long):])
			clips = append(clips, clip)
		}
	}
	return clips
}

// noisy adds white noise 10 dB below the mean level from the first note on.
func noisy(x []float32, rng *rand.Rand) []float32 {
	from, to := oracle.GuitarRate/2, 2*oracle.GuitarRate
	sum := 0.0
	for _, v := range x[from:to] {
		sum += float64(v) * float64(v)
	}
	loud := math.Sqrt(sum/float64(to-from)) * math.Pow(10, -10.0/20)
	y := make([]float32, len(x))
	for i, v := range x {
		y[i] = v + float32(loud*rng.NormFloat64())
	}
	return y
}

// heardOf counts what came of rolls.
type heardOf struct {
	right, accepted, wrong int // right ones: played, taken as right, and as wrong
	near, taken            int // near misses: played, and taken as right
}

func (h *heardOf) add(o heardOf) {
	h.right, h.accepted, h.wrong = h.right+o.right, h.accepted+o.accepted, h.wrong+o.wrong
	h.near, h.taken = h.near+o.near, h.taken+o.taken
}

func (h *heardOf) judge(t *testing.T, r roll, clip []float32) {
	t.Helper()
	s := tape(clip)
	e, err := hearing.New(&s, standard, 440)
	if err != nil {
		t.Fatal(err)
	}
	heard, err := e.Hear(t.Context(), r.q)
	if r.near {
		h.near++
	} else {
		h.right++
	}
	if err != nil || heard.Answer == "" { // not heard well enough
		return
	}
	v, err := r.q.Judge(heard.Answer)
	switch {
	case err != nil:
		t.Errorf("%s answered %q: %v", r.q.Text, heard.Answer, err)
	case v.Right && r.near:
		h.taken++
		t.Logf("%s: %v is taken as right, %s", r.q.Text, r.midis, heard.Said)
	case v.Right:
		h.accepted++
	case !r.near:
		h.wrong++
		t.Logf("%s: %v is judged wrong, %s", r.q.Text, r.midis, heard.Said)
	}
}

// rolledBars are those that were set for octaves that are rolled, and for grips, shares of 1;
// for octaves in noise there is none.
var rolledBars = []struct {
	name           string
	octaves, noise bool
	accepted       float64 // of right ones, at least
	taken          float64 // of near misses, at most
}{
	{"octaves, clean", true, false, 0.90, 0.01},
	{"octaves, noise 10 dB", true, true, 0, 1},
	{"grips, clean", false, false, 0.85, 0},
	{"grips, noise 10 dB", false, true, 0.75, 0},
}

// TestRolledGrips holds grips that are rolled on recorded guitars to their bars: a tenth of
// them clean, or all where oracle.All asks for it. Of octaves there are more than a tenth:
// of three a guitar no share can be told.
func TestRolledGrips(t *testing.T) {
	all := oracle.All()
	octaves, grips, misses := 18, 13, 1
	if all {
		octaves, grips, misses = 30, 134, 3
	}
	var mu sync.Mutex
	sums := make([]heardOf, len(rolledBars))
	t.Run("guitars", func(t *testing.T) {
		for f, font := range oracle.Fonts {
			for p, program := range []int{oracle.NylonGuitar, oracle.MutedGuitar, oracle.CleanGuitar} {
				t.Run(fmt.Sprint(font, program), func(t *testing.T) {
					t.Parallel()
					rng := rand.New(rand.NewPCG(uint64(f), uint64(p)))
					asked := append(rolls(t, true, octaves, misses, rng), rolls(t, false, grips, misses, rng)...)
					clips := played(t, font, program, asked, rng)
					for k, bar := range rolledBars {
						var h heardOf
						for i, r := range asked {
							if r.octave != bar.octaves || bar.noise && !all {
								continue
							}
							clip := clips[i]
							if bar.noise {
								clip = noisy(clip, rng)
							}
							h.judge(t, r, clip)
						}
						mu.Lock()
						sums[k].add(h)
						mu.Unlock()
					}
				})
			}
		}
	})
	share := func(n, of int) float64 { return float64(n) / float64(max(of, 1)) }
	for k, bar := range rolledBars {
		h := sums[k]
		if h.right == 0 {
			continue
		}
		t.Logf("| %s | %d | %.1f %% | %d | %d | %d |", bar.name, h.right, 100*share(h.accepted, h.right), h.wrong, h.near, h.taken)
		if share(h.accepted, h.right) < bar.accepted || h.wrong > 0 || share(h.taken, h.near) > bar.taken {
			t.Errorf("%s: %+v, want %.0f %% accepted, none judged wrong, %.0f %% of near misses taken", bar.name, h, 100*bar.accepted, 100*bar.taken)
		}
	}
}
