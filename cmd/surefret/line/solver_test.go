package line

import (
	"bytes"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"surefret/cmd/surefret/practice/practicetest"
	"surefret/cmd/surefret/settings"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// The solver is a player who has only a book of theory and ears: it reads the
// sentences of the line mode, works the answer out from the open strings and
// the twelve semitones, and types it. Only the recipe of a named shape, which
// tone sits on which string, is looked up; the frets are its own sums.
type solver struct {
	t     *testing.T
	heard []drills.Sounding
}

// open holds the MIDI numbers of the open strings, string 1 first. MIDI 1.0
// counts 60 for C4; standard tuning is E2 A2 D3 G3 B3 E4.
var open = [...]int{64, 59, 55, 50, 45, 40}

var sharps = [...]string{"C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"}

func midi(str, fret int) int { return open[str-1] + fret }

func mod12(n int) int { return (n%12 + 12) % 12 }

// fretOf is the lowest fret of a string with a pitch class, from a fret on.
func fretOf(str, pc, from int) int { return from + mod12(pc-midi(str, from)) }

var placePattern = regexp.MustCompile(`[sS]tring (\d), (?:fret (\d+)|open)`)

// places reads every place that a sentence names.
func places(text string) (all [][2]int) {
	for _, m := range placePattern.FindAllStringSubmatch(text, -1) {
		str, _ := strconv.Atoi(m[1])
		fret, _ := strconv.Atoi(m[2])
		all = append(all, [2]int{str, fret})
	}
	return all
}

// held reads frets and the strings they are on: "3 5 5" on "6 to 4", "6 and 3".
func held(frets, strs string) (all [][2]int) {
	fields := regexp.MustCompile(`\d`).FindAllString(strs, -1)
	for i, f := range strings.Fields(frets) {
		str := number(fields[0]) - i
		if !strings.Contains(strs, "to") {
			str = number(fields[i])
		}
		all = append(all, [2]int{str, number(f)})
	}
	return all
}

// find returns the groups of a pattern in text, or nil.
func find(pattern, text string) []string {
	m := regexp.MustCompile("^" + pattern + "$").FindStringSubmatch(text)
	if m == nil {
		return nil
	}
	return m[1:]
}

func number(s string) int { n, _ := strconv.Atoi(s); return n }

// solve answers one question.
func (s *solver) solve(text string) string {
	pc := func(name string) int { return must(theory.ParseNote(name)).PitchClass() }
	key := func(name string) theory.Key { return must(theory.ParseKey(name)) }
	at := places(text)
	if m := find(`String.*: which note\?`, text); m != nil {
		return sharps[mod12(midi(at[0][0], at[0][1]))]
	}
	if m := find(`([A-G][#b]*) on string (\d): which fret\?`, text); m != nil {
		return fmt.Sprint(fretOf(number(m[1]), pc(m[0]), 0))
	}
	if m := find(`([A-G][#b]*) on every string, frets (\d+) to (\d+): .*`, text); m != nil {
		var all []string
		for str := 1; str <= 6; str++ {
			if f := fretOf(str, pc(m[0]), number(m[1])); f <= number(m[2]) {
				all = append(all, fmt.Sprintf("%d/%d", str, f))
			}
		}
		return strings.Join(all, " ")
	}
	if m := find(`String .* to string .*: which interval\?`, text); m != nil {
		return theory.Chromatic(midi(at[1][0], at[1][1]) - midi(at[0][0], at[0][1])).String()
	}
	if m := find(`The same note as .*: which fret of string (\d)\?`, text); m != nil {
		return fmt.Sprint(midi(at[0][0], at[0][1]) - open[number(m[0])-1])
	}
	if m := find(`(.*) (above|below) string.*: which fret of string (\d)\?`, text); m != nil {
		iv := must(theory.ParseInterval(strings.ToLower(m[0]))).Semitones
		if m[1] == "below" {
			iv = -iv
		}
		return fmt.Sprint(midi(at[0][0], at[0][1]) + iv - open[number(m[2])-1])
	}
	if m := find(`(\S+): keynote ([A-G][#b]*) on string (\d), which fret, for the .*\?`, text); m != nil {
		return s.root(text, number(m[2]), pc(m[1]))
	}
	if m := find(`(\S+): root on string (\d), which fret, for the .*\?`, text); m != nil {
		return s.root(text, number(m[1]), must(theory.ParseChord(m[0])).Root.PitchClass())
	}
	if m := find(`In (\S+) at (string.*), in (\S+) at which fret, for the .*\?`, text); m != nil {
		return s.root(text, at[0][0], mod12(midi(at[0][0], at[0][1])-pc(m[0])+pc(m[2])))
	}
	if m := find(`(\S+): which frets.*, for the .*\?`, text); m != nil {
		return s.frets(shapeIn(text), m[0])
	}
	if m := find(`String .*: which root, for the .*\?`, text); m != nil {
		return sharps[mod12(midi(at[0][0], at[0][1]))]
	}
	if m := find(`Frets (\d+) (\d+) on strings (\d) and (\d), root and third: which chord\?`, text); m != nil {
		low, high := midi(number(m[2]), number(m[0])), midi(number(m[3]), number(m[1]))
		return sharps[mod12(low)] + map[int]string{3: "m", 4: ""}[mod12(high-low)]
	}
	if m := find(`Frets (.*) on strings (.*): which chord\?`, text); m != nil {
		var notes []theory.Note
		for _, p := range held(m[0], m[1]) {
			notes = append(notes, must(theory.ParseNote(sharps[mod12(midi(p[0], p[1]))])))
		}
		return nameOf(notes)
	}
	if m := find(`(Walk-.*) in (.*): which \d+ notes, (.*)\?`, text); m != nil {
		var names []string
		for _, up := range walk(key(m[1]), m[0], m[2]) {
			names = append(names, sharps[mod12(up)])
		}
		return strings.Join(names, " ")
	}
	if m := find(`(Walk-.*) in (.*) from string.*: which \d+ places, (.*)\?`, text); m != nil {
		ups := walk(key(m[1]), m[0], m[2])
		var path []string
		for _, up := range ups {
			want := midi(at[0][0], at[0][1]) + up - ups[0]
			for str := 1; str <= 6; str++ {
				if f := want - open[str-1]; f >= 0 && f <= 22 {
					path = append(path, fmt.Sprintf("%d/%d", str, f))
					break
				}
			}
		}
		return strings.Join(path, " ")
	}
	if answer, ok := solveKey(text, key); ok {
		return answer
	}
	if answer, ok := s.solveByEar(text); ok {
		return answer
	}
	s.t.Fatalf("a question that the solver cannot read: %s", text)
	return ""
}

// root is a fret of the root string where the whole shape lies on the neck.
func (s *solver) root(text string, str, pc int) string {
	r := shapeIn(text)
	for fret := fretOf(str, pc, 0); fret <= 22; fret += 12 {
		if frets := lay(r, fret); slices.Min(frets) >= 0 && slices.Max(frets) <= 22 && playable(r, fret) {
			return fmt.Sprint(fret)
		}
	}
	s.t.Fatalf("no room: %s", text)
	return ""
}

// frets lays a shape for a chord symbol or a root note.
func (s *solver) frets(r fretboard.Recipe, symbol string) string {
	var root int
	if c, err := theory.ParseChord(symbol); err == nil {
		root = mod12(c.Root.PitchClass() - r.Over.Semitones)
	}
	for fret := fretOf(r.Root, root, 0); fret <= 22; fret += 12 {
		frets := lay(r, fret)
		if slices.Min(frets) < 0 || slices.Max(frets) > 22 || !playable(r, fret) {
			continue
		}
		var words []string
		for i, f := range frets {
			words = append(words, fmt.Sprintf("%d/%d", r.Tones[i].String, f))
		}
		return strings.Join(words, " ")
	}
	s.t.Fatalf("no room for %s at %s", r.Name, symbol)
	return ""
}

// lay computes the frets of a shape from where its root is.
func lay(r fretboard.Recipe, fret int) []int {
	var frets []int
	for _, t := range r.Tones {
		frets = append(frets, midi(r.Root, fret)+t.Above.Semitones-open[t.String-1])
	}
	return frets
}

// playable asks the neck whether a hand can hold it there, which no book of
// theory knows.
func playable(r fretboard.Recipe, fret int) bool {
	neck := fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}
	return r.At(neck, theory.FromMIDI(midi(r.Root, fret), true).Note, fret).Playable()
}

// shapeIn finds the shape that a sentence speaks of: the one with the longest
// description in it.
func shapeIn(text string) fretboard.Recipe {
	var found fretboard.Recipe
	for _, r := range fretboard.Shapes {
		if len(r.Words) > len(found.Words) && strings.Contains(text, ", for the "+r.Words) {
			found = r
		}
	}
	return found
}

// nameOf names a chord, the bass first, by trying every symbol on every note. A
// shape may leave out the fifth.
func nameOf(notes []theory.Note) string {
	classes := func(notes []theory.Note) (set int) {
		for _, n := range notes {
			set |= 1 << n.PitchClass()
		}
		return set
	}
	for _, root := range notes {
		for _, suffix := range []string{"", "m", "dim", "aug", "5", "7", "m7", "maj7", "mM7", "m7b5", "dim7", "sus2", "sus4", "7sus4", "add9", "madd9"} {
			for _, left := range []string{"", "no5"} {
				c, err := theory.ParseChord(root.String() + suffix + left)
				if err == nil && classes(c.Notes()) == classes(notes) {
					return c.WithBass(notes[0]).String()
				}
			}
		}
	}
	return notes[0].String()
}

// walk returns the pitch classes of a walk above or below each other, as
// semitones that rise or fall.
func walk(k theory.Key, words, how string) []int {
	m := find(`Walk-(up|down) from (\S+) to (\S+)`, words)
	degree := func(s string) int { return k.Note(must(theory.ParseNumeral(s)).Degree).PitchClass() }
	from, to, step := degree(m[1]), degree(m[2]), 1
	if m[0] == "down" {
		step = -1
	}
	chromatic := strings.Contains(how, "half steps")
	var inScale []int
	if strings.Contains(how, "raised 6 and 7") {
		k.Mode = theory.MelodicMinor
	}
	for _, n := range k.Scale() {
		inScale = append(inScale, n.PitchClass())
	}
	var way []int
	at := from
	for at += step; mod12(at) != to; at += step {
		if chromatic || slices.Contains(inScale, mod12(at)) {
			way = append(way, at)
		}
	}
	if len(way) == 0 { // a whole tone apart: the semitone between
		way = []int{from + step}
	}
	if strings.Contains(how, "first note") {
		way = way[1:]
	}
	if chromatic {
		way = way[len(way)-2:]
	}
	return append(append([]int{from}, way...), at)
}

func solveKey(text string, key func(string) theory.Key) (string, bool) {
	if m := find(`(.*): how many sharps or flats\?`, text); m != nil {
		return key(m[0]).SignatureName(), true
	}
	if m := find(`(.*): which (major|minor) key\?`, text); m != nil {
		for _, k := range theory.Keys() {
			if k.Mode.String() == m[1] && strings.EqualFold(k.SignatureName(), m[0]) {
				return k.String(), true
			}
		}
	}
	if m := find(`(.*): which relative (?:major|minor)\?`, text); m != nil {
		return key(m[0]).Relative().String(), true
	}
	if m := find(`(\S+) in ([^,]*): which chord(?:, counted from the major scale)?\?`, text); m != nil {
		return key(m[1]).Chord(must(theory.ParseNumeral(m[0]))).String(), true
	}
	if m := find(`(\S+) in ([^,]*): which number(?:, counted from the major scale)?\?`, text); m != nil {
		return key(m[1]).Numeral(must(theory.ParseChord(m[0]))).Number(), true
	}
	if m := find(`(.*) in (.*): which chords\?`, text); m != nil {
		return must(theory.ParseProgression(m[0], key(m[1]))).String(), true
	}
	return "", false
}

// solveByEar answers what must be heard from the MIDI numbers of the cue.
func (s *solver) solveByEar(text string) (string, bool) {
	at := func(i int) int { return s.heard[i].MIDI }
	switch {
	case strings.HasPrefix(text, "You hear a tenth"):
		return map[int]string{15: "minor", 16: "major"}[at(1)-at(0)], true
	case strings.HasPrefix(text, "Two notes, the lower first"):
		return theory.Chromatic(at(1) - at(0)).String(), true
	case strings.HasPrefix(text, "Open string"):
		return fmt.Sprint(at(1) - at(0)), true
	case strings.HasSuffix(text, ", one note wrong: which?"):
		m := find(`(.*), one note wrong: which\?`, text)
		for i, name := range strings.Fields(m[0]) {
			if must(theory.ParseNote(name)).PitchClass() != mod12(at(i)) {
				return fmt.Sprint(i + 1), true
			}
		}
	case strings.HasSuffix(text, ": is that what you hear?"):
		m := find(`(\S+): is that what you hear\?`, text)
		var want, got []int
		for _, n := range must(theory.ParseChord(m[0])).Notes() {
			want = append(want, n.PitchClass())
		}
		for _, n := range s.heard {
			got = append(got, mod12(n.MIDI))
		}
		slices.Sort(want)
		slices.Sort(got)
		return map[bool]string{true: "yes", false: "no"}[slices.Equal(want, got)], true
	}
	return "", false
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// conversation answers what the line mode prints: each question is solved when
// its line is complete, and the answer is then there to be read.
type conversation struct {
	solver  *solver
	line    bytes.Buffer
	answers bytes.Buffer
	said    []string // the lines that were no questions
	asked   []string
}

func (c *conversation) Write(p []byte) (int, error) {
	for _, b := range p {
		if b != '\n' {
			c.line.WriteByte(b)
			continue
		}
		text := c.line.String()
		c.line.Reset()
		if strings.HasSuffix(text, "?") {
			c.asked = append(c.asked, text)
		} else {
			c.said = append(c.said, text)
		}
	}
	return len(p), nil
}

// Read solves the last question when its answer is wanted.
func (c *conversation) Read(p []byte) (int, error) {
	if c.answers.Len() == 0 {
		fmt.Fprintln(&c.answers, c.solver.solve(c.asked[len(c.asked)-1]))
	}
	return c.answers.Read(p)
}

func TestASolverFromTheTextbookGetsEveryQuestionRight(t *testing.T) {
	catalogue := drills.NewCatalogue(drills.Setup{Neck: fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}, Sound: true})
	groups := map[string][]string{}
	for _, it := range catalogue.Items() {
		group := string(it.Family)
		if i := strings.LastIndexByte(it.ID, '/'); it.Family == "note" || it.Family == "shape" {
			group += it.ID[i:]
			if strings.HasPrefix(it.ID, "note/all/") {
				group = "note/all"
			}
		}
		groups[group] = append(groups[group], it.ID)
	}
	for group, items := range groups {
		t.Run(group, func(t *testing.T) {
			const questions = 500
			c := &conversation{solver: &solver{t: t}}
			at := func() time.Time { return time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC) }
			var asked []string
			for i := range questions {
				asked = append(asked, items[(questions-1-i)%len(items)])
			}
			s := practicetest.Begin(new(practicetest.Log), settings.Default(), at, asked...)
			err := Runner{In: c, Out: c, Err: io.Discard, Now: at,
				Sound: func(cue []drills.Sounding) { c.solver.heard = cue }}.Run(t.Context(), s)
			if err != nil {
				t.Fatal(err)
			}
			right := 0
			for i, line := range c.said {
				if strings.HasPrefix(line, "right") {
					right++
				} else if strings.HasPrefix(line, "wrong") {
					t.Errorf("%s\n%s", c.asked[i], line)
				}
			}
			if right != questions || len(c.asked) != questions {
				t.Errorf("%d of %d right, asked %d times", right, questions, len(c.asked))
			}
			lastOf := map[string]string{}
			for i, text := range c.asked {
				item := items[(questions-1-i)%len(items)]
				if lastOf[item] == text && strings.HasPrefix(item, "interval") {
					t.Errorf("%s asked the same way twice running: %s", item, text)
				}
				lastOf[item] = text
			}
			for i := 1; i < len(c.asked); i++ {
				if c.asked[i] == c.asked[i-1] && !strings.HasPrefix(group, "ear") {
					t.Errorf("asked twice in a row: %s", c.asked[i])
				}
			}
		})
	}
}
