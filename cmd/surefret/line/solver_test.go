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

// held reads a shape as players write it, the lowest string first: "x x 6 6 5 x".
func held(frets string) (all [][2]int) {
	for i, f := range strings.Fields(frets) {
		if f != "x" {
			all = append(all, [2]int{6 - i, number(f)})
		}
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
	if m := find(`Every ([A-G][#b]*) from fret (\d+) to fret (\d+): .*`, text); m != nil {
		var all []string
		for str := 1; str <= 6; str++ {
			if f := fretOf(str, pc(m[0]), number(m[1])); f <= number(m[2]) {
				all = append(all, fmt.Sprintf("%d/%d", str, f))
			}
		}
		return strings.Join(all, " ")
	}
	if m := find(`From string .* to string .*: which interval\?`, text); m != nil {
		return theory.Chromatic(midi(at[1][0], at[1][1]) - midi(at[0][0], at[0][1])).String()
	}
	if m := find(`The same note as .*: which fret on string (\d)\?`, text); m != nil {
		return fmt.Sprint(midi(at[0][0], at[0][1]) - open[number(m[0])-1])
	}
	if m := find(`(?:An?|Two) (.*) (above|below) string.*: which fret on string (\d)\?`, text); m != nil {
		iv := 0
		for _, part := range strings.Split(m[0], " and a ") {
			if part == "octaves" {
				iv += 24 // two of them
			} else {
				iv += must(theory.ParseInterval(part)).Semitones
			}
		}
		if m[1] == "below" {
			iv = -iv
		}
		return fmt.Sprint(midi(at[0][0], at[0][1]) + iv - open[number(m[2])-1])
	}
	moved := find(`Your .* at string.*, in (\S+)\. The singer calls (\S+): where now\?`, text)
	if moved == nil {
		moved = find(`The song is in (\S+), and your .* at string.*\. The singer calls (\S+): where now\?`, text)
	}
	if m := moved; m != nil {
		up := mod12(pc(m[1]) - pc(m[0])) // the same shape, so the same strings
		if fret := at[0][1] + up; fret <= 17 {
			return fmt.Sprint(fret)
		}
		return fmt.Sprint(at[0][1] + up - 12)
	}
	if m := find(`(.*): (root|[A-G][#b]*) at which fret of string (\d)\?`, text); m != nil {
		if find(`\S+5(?: with its octave)?`, m[0]) != nil {
			m[0] += ", root on string " + m[2]
		}
		r, root := shapeIn(m[0])
		if m[1] != "root" {
			root = must(theory.ParseNote(m[1]))
		}
		return s.root(r, root.PitchClass(), text)
	}
	if m := find(`In .*, (?:the open strings|(\S+) and (\S+) stay on strings) (\d) and (\d)(?: ring)?: which frets for (\S+) below\?`, text); m != nil {
		return s.under(m, text)
	}
	if m := find(`(.*): which frets\?`, text); m != nil {
		r, root := shapeIn(m[0])
		return s.frets(r, root.PitchClass(), text)
	}
	if m := find(`.* at string .*: which note\?`, text); m != nil {
		return sharps[mod12(midi(at[0][0], at[0][1]))]
	}
	if m := find(`([x\d ]+), root and third: which chord\?`, text); m != nil {
		places := held(m[0])
		low, high := midi(places[0][0], places[0][1]), midi(places[1][0], places[1][1])
		return sharps[mod12(low)] + map[int]string{3: "m", 4: ""}[mod12(high-low)]
	}
	if m := find(`([x\d ]+): which chord\?`, text); m != nil {
		var notes []theory.Note
		for _, p := range held(m[0]) {
			notes = append(notes, must(theory.ParseNote(sharps[mod12(midi(p[0], p[1]))])))
		}
		return nameOf(notes)
	}
	if m := find(`In (.*), walk (up|down) from (b?\d)(?: at string.*,)? to (b?\d)(.*): which \d+ (notes|places), root to root\?`, text); m != nil {
		ups := walk(key(m[0]), m[1], m[2], m[3], m[4])
		var path []string
		for _, up := range ups {
			if m[5] == "notes" {
				path = append(path, sharps[mod12(up)])
				continue
			}
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
	s.t.Errorf("a question that the solver cannot read: %s", text)
	return "stop"
}

// under is the bass of a chord alone, within four frets of the tones that stay above it.
func (s *solver) under(m []string, text string) string {
	var stay []int
	for i, name := range m[:2] {
		if name != "" {
			stay = append(stay, fretOf(number(m[2+i]), must(theory.ParseNote(name)).PitchClass(), 0))
		}
	}
	bass := must(theory.ParseChord(m[4])).Bass().PitchClass()
	for str := 6; str > number(m[2]); str-- {
		fret := fretOf(str, bass, 0)
		if frets := append([]int{fret}, stay...); len(stay) == 0 || slices.Max(frets)-slices.Min(frets) < 4 {
			return fmt.Sprintf("%d/%d", str, fret)
		}
	}
	s.t.Errorf("no bass in reach: %s", text)
	return "stop"
}

// root is a fret of the root string where the whole shape lies on the neck.
func (s *solver) root(r fretboard.Recipe, pc int, text string) string {
	for fret := fretOf(r.Root, pc, 0); fret <= 22; fret += 12 {
		if frets := lay(r, fret); slices.Min(frets) >= 0 && slices.Max(frets) <= 22 && playable(r, fret) {
			return fmt.Sprint(fret)
		}
	}
	s.t.Errorf("no room: %s", text)
	return "stop"
}

// frets writes a shape as players do, the lowest string first.
func (s *solver) frets(r fretboard.Recipe, pc int, text string) string {
	fret := number(s.root(r, pc, text))
	words := strings.Fields("x x x x x x")
	for i, f := range lay(r, fret) {
		words[6-r.Tones[i].String] = fmt.Sprint(f)
	}
	return strings.Join(words, " ")
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

// shapeIn finds the shape that a bandmate speaks of, by the words of its family, and its
// root: a chord's own, or the keynote of tones that are held.
func shapeIn(text string) (fretboard.Recipe, theory.Note) {
	var name string
	var root theory.Note
	shape := func(pattern string, named func(m []string) string) {
		m := find(pattern, text)
		if m == nil || name != "" {
			return
		}
		name = named(m)
		for _, word := range m {
			if c, err := theory.ParseChord(word); err == nil {
				root = c.Root
				break
			}
		}
	}
	symbol := func(chord string) string {
		c := must(theory.ParseChord(chord))
		switch word := strings.TrimPrefix(strings.Split(chord, "/")[0], c.Root.String()); word {
		case "":
			return "major"
		case "m":
			return "minor"
		default:
			return word
		}
	}
	nth := map[string]string{"root position": "root", "first inversion": "first", "second inversion": "second"}
	strs := `(?:, strings [\d to,and]+)?`
	shape(`(Octave|Major tenth|Minor tenth|Major third|Minor third|Major sixth|Minor sixth) on (\S+), strings (\d) and (\d)`, func(m []string) string {
		words := strings.Fields(strings.ToLower(m[0]))
		switch words[len(words)-1] {
		case "octave":
			return "octave-" + m[2] + "-" + m[3]
		case "tenth":
			return "tenth-" + m[2] + "-" + words[0]
		}
		return words[1] + "-" + m[2] + "-" + m[3] + "-" + words[0]
	})
	shape(`(\S+) (major|minor) pentatonic, box (\d)`, func(m []string) string { return "pentatonic-" + m[2] + "-" + m[1] })
	shape(`(\S+) (\S+) triad, (.*), strings (\d) (\d) (\d)`, func(m []string) string {
		return "triad-" + m[3] + m[4] + m[5] + "-" + m[1] + "-" + nth[m[2]]
	})
	shape(`(\S+5)/\S+, strings (\d) and \d`, func(m []string) string { return "power-" + m[1] + "-inverted" })
	shape(`(\S+5) with its octave, strings (\d) (?:to|and) \d`, func(m []string) string { return "power-" + m[1] + "-octave" })
	shape(`(\S+5), strings (\d) (?:to|and) \d`, func(m []string) string { return "power-" + m[1] })
	shape(`(\S+5) with its octave, root on string (\d)`+strs, func(m []string) string { return "power-" + m[1] + "-octave" })
	shape(`(\S+5), root on string (\d)`+strs, func(m []string) string { return "power-" + m[1] })
	shape(`(\S+), the third on string (\d)( and the fifth on top)?`+strs, func(m []string) string {
		return strings.TrimSuffix("over-third-"+m[1]+"-"+symbol(m[0])+map[bool]string{true: "-wide"}[m[2] != ""], " ")
	})
	shape(`(\S+/\S+)(, the fifth on top)?, strings (\d),? .*`, func(m []string) string {
		return strings.TrimSuffix("over-third-"+m[2]+"-"+symbol(m[0])+map[bool]string{true: "-wide"}[m[1] != ""], " ")
	})
	shape(`(\S+/\S+) in the (.) form, strings (\d) to \d`, func(m []string) string {
		return "over-fifth-" + m[2] + map[bool]string{true: "-a"}[m[1] == "A"] + "-" + symbol(m[0])
	})
	shape(`(\S+) in the (.) form, the fifth on string (\d)`+strs, func(m []string) string {
		return "over-fifth-" + m[2] + map[bool]string{true: "-a"}[m[1] == "A"] + "-" + symbol(m[0])
	})
	shape(`(\S+) in the D form on the top three strings`+strs, func(m []string) string { return "d-form-top-" + symbol(m[0]) })
	shape(`(\S+) in the (.) form`+strs, func(m []string) string { return strings.ToLower(m[1]) + "-form-" + symbol(m[0]) })
	if name != "" {
		return must(fretboard.Shape(name)), root
	}
	m := find(`(\S+) with (\S+)( and \S+)? held on strings? .*`, text)
	if m == nil {
		panic("no shape is called " + text)
	}
	chord, keynote := must(theory.ParseChord(m[0])), must(theory.ParseNote(m[1]))
	for _, r := range fretboard.Shapes {
		over := mod12(chord.Root.PitchClass() - keynote.PitchClass())
		if both := strings.HasPrefix(r.Name, "held-1-5"); r.Family == "held tones" && both == (m[2] != "") && mod12(r.Over.Semitones) == over {
			return r, keynote
		}
	}
	panic("no shape is called " + text)
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
func walk(k theory.Key, updown, one, other, how string) []int {
	degree := func(s string) int { return k.Note(must(theory.ParseNumeral(s)).Degree).PitchClass() }
	from, to, step := degree(one), degree(other), 1
	if updown == "down" {
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
	if strings.Contains(how, "skipping the first") {
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
	if m := find(`Which key is the relative (?:major|minor) of (.*)\?`, text); m != nil {
		return key(m[0]).Relative().String(), true
	}
	if m := find(`The (\S+) in ([^,]*): which chord\?`, text); m != nil {
		return key(m[1]).Chord(must(theory.ParseNumeral(m[0]))).String(), true
	}
	if m := find(`In ([^,]*), which number is (\S+)\?`, text); m != nil {
		return key(m[0]).Numeral(must(theory.ParseChord(m[1]))).Number(), true
	}
	if m := find(`(.*) in (.*): which chords\?`, text); m != nil {
		var p theory.Progression
		for _, number := range strings.Fields(m[0]) {
			p = append(p, key(m[1]).Chord(must(theory.ParseNumeral(number))))
		}
		return p.String(), true
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
	case strings.HasSuffix(text, " with one wrong note: which one?"):
		m := find(`(.*) with one wrong note: which one\?`, text)
		for i, name := range strings.Fields(m[0]) {
			if must(theory.ParseNote(name)).PitchClass() != mod12(at(i)) {
				return fmt.Sprint(i + 1), true
			}
		}
	case strings.HasPrefix(text, "Is this "):
		m := find(`Is this (\S+)\?`, text)
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
