package drills

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// A claim is a sentence that an explanation may hold, from a small letter on, and whether it is true: by the
// theory core, which other programs and handbooks hold, and the open strings alone.
type claim struct {
	says string // a pattern of the whole sentence
	true func(c claimed, m []string) bool
}

// claimed is what was asked when a sentence was said.
type claimed struct {
	Setup
	q Question
	v Verdict
}

// String numbers and frets as they are said.
const (
	noteWord  = `([A-G][#b]{0,2})`
	chordWord = `([A-G]\S*)`
	fretsUp   = `(the same fret|\S+ frets? (?:up|down))`
	interval  = `(the same note|(?:two|three) octaves(?: and an? [a-z ]+?)?|(?:an?|the) [a-z0-9 -]+?)`
)

func note(s string) int { return must(theory.ParseNote(s)).PitchClass() }
func atoi(s string) int { return must(strconv.Atoi(s)) }
func mod(a, n int) int  { return ((a % n) + n) % n }
func notesOf(s string) []theory.Note {
	return must(standard().parseNotes(s, len(strings.Fields(s))))
}

// wide is how many half steps an interval has: "a minor third", "two octaves and a third".
func wide(s string) int {
	octaves, rest, more := strings.Cut(s, " and ")
	if n := slices.Index([]string{"", "an octave", "two octaves", "three octaves"}, octaves); n > 0 {
		if more {
			return 12*n + wide(rest)
		}
		return 12 * n
	}
	switch s = strings.TrimPrefix(strings.TrimPrefix(strings.TrimPrefix(s, "an "), "a "), "the "); s {
	case "same note", "root":
		return 0
	}
	return must(theory.ParseInterval(s)).Semitones
}

// count reads "one fret", "14 half steps".
func count(s string) int {
	word := strings.Fields(s)[0]
	if n := slices.Index([]string{"no", "one", "two", "three", "four"}, strings.ToLower(word)); n >= 0 {
		return n
	}
	return atoi(word)
}

// up reads "two frets up", "the same fret".
func up(s string) int {
	switch {
	case s == "the same fret":
		return 0
	case strings.HasSuffix(s, "down"):
		return -count(s)
	}
	return count(s)
}

func (c claimed) at(str, fret int) int {
	return c.Neck.MIDI(fretboard.Position{String: str, Fret: fret})
}

func (c claimed) pc(str, fret int, name string) bool { return c.at(str, fret)%12 == note(name) }

// hopsHold checks an interval on every pair of strings so far apart: told from the lower
// string, or down, from the higher one.
func (c claimed) hopsHold(semitones int, over, most string, others string, down bool) bool {
	back, way := 0, 1
	if down {
		back, way = count(over), -1
	}
	ways := map[int]int{}
	for _, m := range regexp.MustCompile(`; from string ([\d, or]+), (the same fret|\S+ frets? (?:up|down)|\S+)`).FindAllStringSubmatch(others, -1) {
		by := m[2]
		if !strings.Contains(by, " ") { // the same way, by another number
			by += " frets " + most[strings.LastIndex(most, " ")+1:]
		}
		for _, str := range regexp.MustCompile(`\d`).FindAllString(m[1], -1) {
			ways[atoi(str)+back] = way * up(by)
		}
	}
	for low := c.Neck.Tuning.Strings(); low > count(over); low-- {
		by, other := ways[low]
		if !other {
			by = way * up(most)
		}
		if c.at(low-count(over), 20+by)-c.at(low, 20) != semitones {
			return false
		}
	}
	return true
}

var hops = `(\S+ strings? over), ` + fretsUp + `((?:; from string [\d, or]+, (?:the same fret|\S+ frets? (?:up|down)|[a-z]+))*)`

// walkedNotes reads the notes of a line that was answered by notes or by places.
func (c claimed) walkedNotes(answer string) (pcs []int) {
	for word := range strings.FieldsSeq(answer) {
		if places, err := c.parsePlaces(word, nil); err == nil {
			pcs = append(pcs, c.Neck.MIDI(places[0])%12)
		} else {
			pcs = append(pcs, note(word))
		}
	}
	return pcs
}

// claims lists every sentence that there is. Patterns match from start to end.
var claims = []claim{
	// Notes and where they lie.
	{`fret (\d+) is ` + noteWord + `(?:: the shape there is ` + chordWord + `)?`, func(c claimed, m []string) bool {
		return c.pc(c.q.String, atoi(m[1]), m[2]) && (m[3] == "" || slices.ContainsFunc(must(theory.ParseChord(m[3])).Notes(), must(theory.ParseNote(m[2])).Enharmonic))
	}},
	{`the open string (\d) is ` + noteWord + `(?:: the shape there is \S+)?`, func(c claimed, m []string) bool { return c.pc(atoi(m[1]), 0, m[2]) }},
	{`(?:fret (\d+)|the open string \d) is ` + noteWord + `, but the shape cannot be played there`, func(c claimed, m []string) bool {
		fret, _ := strconv.Atoi(m[1])
		return c.pc(c.q.String, fret, m[2]) && !slices.Contains(strings.Fields(c.v.Want), strconv.Itoa(fret))
	}},
	{`(?:from (\S+(?: minor)?) to (\S+(?: minor)?): ` + fretsUp + ` on the same strings; )?` + noteWord + ` is (?:(\S+ frets?) (above|below) (?:the open (\S+?)|fret (\d+), which is (\S+?))|at fret (\d+)(?:, on the (?:double )?inlay|, an octave above the open string)?|string (\d), open)(?:; it is an octave above string (\d), fret (\d+))?`, func(c claimed, m []string) bool {
		str := c.q.String
		if str == 0 {
			str = c.v.Marks[0].At.String
			if places := placePattern.FindStringSubmatch(c.q.Text); places != nil {
				str = atoi(places[1])
			}
		}
		fret := 0
		switch {
		case m[10] != "":
			fret = atoi(m[10])
		case m[11] != "":
			str = atoi(m[11])
		default:
			mark := m[7]
			if m[8] != "" {
				fret, mark = atoi(m[8]), m[9]
			}
			if !c.pc(str, fret, mark) {
				return false
			}
			if m[6] == "above" {
				fret += count(m[5])
			} else {
				fret -= count(m[5])
			}
		}
		moved := m[1] == "" || mod(note(strings.Fields(m[2])[0])-note(strings.Fields(m[1])[0])-up(m[3]), 12) == 0
		return c.pc(str, fret, m[4]) && moved && (m[12] == "" || c.at(atoi(m[12]), atoi(m[13]))+12 == c.at(str, fret))
	}},
	{`string (\d), (?:fret (\d+)|open) is ` + noteWord + `(?:, not ` + noteWord + `|, (an octave|two octaves) too (?:high|low)|, and lies beyond these frets)?`, func(c claimed, m []string) bool {
		fret, _ := strconv.Atoi(m[2])
		return c.pc(atoi(m[1]), fret, m[3]) && (m[4] == "" || !c.pc(atoi(m[1]), fret, m[4]))
	}},
	{`string (\d)(?:, fret \d+|, open)? is missing`, func(c claimed, m []string) bool { return !strings.Contains(c.v.Given, m[0]) }},
	// Intervals and patterns.
	{interval + `(?: down)?: ` + strings.Replace(hops, "over", "back", 1), func(c claimed, m []string) bool { return c.hopsHold(wide(m[1]), m[2], m[3], m[4], true) }},
	{interval + `(?: up)?: ` + hops, func(c claimed, m []string) bool { return c.hopsHold(wide(m[1]), m[2], m[3], m[4], false) }},
	{interval + ` would be (?:fret (\d+) of|the open) string (\d)`, func(c claimed, m []string) bool {
		fret, _ := strconv.Atoi(m[2])
		from := c.q.Marks[0].At
		return c.at(atoi(m[3]), fret)-c.at(from.String, from.Fret) == wide(m[1])
	}},
	{interval + ` (?:is|are) (an octave|two octaves|\S+ half steps?) (wider|narrower)`, func(c claimed, m []string) bool {
		by := 0
		if strings.Contains(m[2], "octave") {
			by = wide(m[2])
		} else {
			by = count(m[2])
		}
		if m[3] == "narrower" {
			by = -by
		}
		return wide(m[1])-by == abs(must(theory.ParseInterval(c.v.Want)).Semitones)
	}},
	{`(?:fret (\d+)|the open string) is ` + interval + `( up| down|, (?:an octave|two octaves) too (?:high|low))?`, func(c claimed, m []string) bool {
		fret, _ := strconv.Atoi(m[1])
		from, iv := c.q.Marks[0].At, wide(m[2])
		switch {
		case strings.Contains(m[3], "too"):
			return mod(fret-atoi(strings.TrimPrefix(c.v.Want, "fret ")), 12) == 0
		case m[3] == " down":
			iv = -iv
		}
		return c.at(c.q.String, fret)-c.at(from.String, from.Fret) == iv
	}},
	// Shapes.
	{`that is ` + chordWord + `, (\S+ frets?) too (high|low)`, func(c claimed, m []string) bool {
		by := count(m[2])
		if m[3] == "low" {
			by = -by
		}
		given, want := must(theory.ParseChord(m[1])), c.q.Lesson().Here
		want, _, _ = strings.Cut(want, ":")
		return mod(given.Root.PitchClass()-must(theory.ParseChord(want)).Root.PitchClass()-by, 12) == 0
	}},
	{`fret (\d+) would be the key of ` + noteWord, func(c claimed, m []string) bool {
		_, called, _ := strings.Cut(c.q.Text, "The singer calls ")
		key := regexp.MustCompile(`^[A-G][#b]?`).FindString(called)
		right := must(strconv.Atoi(strings.Fields(c.v.Want)[1]))
		return mod(note(m[2])-note(key)-atoi(m[1])+right, 12) == 0
	}},
	{`.*: root on string (\d)((?:; the .* on string \d, (?:the same fret|\S+ frets? (?:up|down)))+)`, func(c claimed, m []string) bool {
		for _, t := range regexp.MustCompile(`; (the [a-z ]+) on string (\d), `+fretsUp).FindAllStringSubmatch(m[2], -1) {
			if mod(c.at(atoi(t[2]), 20+up(t[3]))-c.at(atoi(m[1]), 20)-wide(t[1]), 12) != 0 {
				return false
			}
		}
		return true
	}},
	{`.*: the open ` + chordWord + ` moved up, a finger in place of the nut; its root is on string (\d)`, func(c claimed, m []string) bool {
		return slices.ContainsFunc([]int{0, 1, 2, 3}, func(fret int) bool { return c.pc(atoi(m[2]), fret, m[1][:1]) })
	}},
	{`(?:the keynote stays on string (\d)|keynote and fifth stay on strings (\d) and \d), and the bass moves to (the [a-z ]+) of the key on string (\d)`, func(c claimed, m []string) bool {
		marks := c.v.Marks
		keynote := marks[len(marks)-1]
		return fmt.Sprint(keynote.At.String) == m[1]+m[2] && fmt.Sprint(marks[0].At.String) == m[4] &&
			mod(c.at(marks[0].At.String, marks[0].At.Fret)-c.at(keynote.At.String, keynote.At.Fret)-wide(m[3]), 12) == 0
	}},
	{`its notes are ([A-G#b ]+); its root, ` + noteWord + `, is on string (\d)`, func(c claimed, m []string) bool {
		var labels []string
		for _, mark := range c.v.Marks {
			if labels = append(labels, mark.Label); fmt.Sprint(mark.At.String) == m[3] && mark.Label != m[2] {
				return false
			}
		}
		return strings.Join(labels, " ") == m[1]
	}},
	{chordWord + ` is ([A-G#b ]+)`, func(c claimed, m []string) bool { return c.sayNotes(must(theory.ParseChord(m[1])).Notes()) == m[2] }},
	// Walks.
	{`note (\d) is ` + noteWord + `, not ` + noteWord, func(c claimed, m []string) bool {
		n := atoi(m[1]) - 1
		return c.walkedNotes(c.v.Want)[n] == note(m[2]) && c.walkedNotes(c.v.Given)[n] == note(m[3])
	}},
	{`by number: ([b#\d ]+); (?:in (\S+(?: minor)?): ([A-G#b ]+)|on the neck: ([\d/ ]+))`, func(c claimed, m []string) bool {
		key := regexp.MustCompile(`In (\S+(?: minor)?),`).FindStringSubmatch(c.q.Text)
		notes := m[3]
		if notes == "" {
			notes = c.v.Want
		}
		for i, n := range notesOf(notes) {
			up := must(theory.ParseNumeral(strings.Fields(m[1])[i])).Interval().Semitones
			if mod(n.PitchClass()-must(theory.ParseKey(key[1])).Tonic.PitchClass()-up, 12) != 0 {
				return false
			}
			if m[4] != "" && c.Neck.MIDI(must(c.parsePlaces(strings.Fields(m[4])[i], nil))[0])%12 != n.PitchClass() {
				return false
			}
		}
		return true
	}},
	// Walking lines.
	{`note (\d) is ` + noteWord + ` again, which is no tone of (\S+)`, func(c claimed, m []string) bool {
		given := c.walkedNotes(c.v.Given)
		for _, n := range must(theory.ParseChord(m[3])).Notes() {
			if n.PitchClass() == note(m[2]) {
				return false
			}
		}
		return given[atoi(m[1])-1] == note(m[2]) && given[atoi(m[1])-2] == note(m[2])
	}},
	{`note (\d) is an octave off where note (\d) leads`, func(c claimed, m []string) bool {
		places := must(c.parsePlaces(c.v.Given, nil))
		apart := abs(c.Neck.MIDI(places[atoi(m[1])-1]) - c.Neck.MIDI(places[atoi(m[2])-1]))
		return apart > 2 && (mod(apart, 12) <= 2 || mod(apart, 12) >= 10)
	}},
	{`from note (\d) to note (\d) it is more than an octave`, func(c claimed, m []string) bool {
		places := must(c.parsePlaces(c.v.Given, nil))
		return abs(c.Neck.MIDI(places[atoi(m[1])-1])-c.Neck.MIDI(places[atoi(m[2])-1])) > 12
	}},
	{`note (\d), ` + noteWord + `, is (?:no step from ` + noteWord + `|on a strong beat and no tone of (\S+)|neither of (\S+) nor of the key, and no half step from note \d|no (half|whole) step (above|below) ` + noteWord + `)`, func(c claimed, m []string) bool {
		key := must(theory.ParseKey(regexp.MustCompile(`In (\S+(?: minor)?),`).FindStringSubmatch(c.q.Text)[1]))
		at, given := note(m[2]), c.walkedNotes(c.v.Given)
		outside := func(chord string) bool {
			return !slices.ContainsFunc(must(theory.ParseChord(chord)).Notes(), func(n theory.Note) bool { return n.PitchClass() == at })
		}
		switch {
		case given[atoi(m[1])-1] != at:
			return false
		case m[3] != "":
			apart := mod(at-note(m[3]), 12)
			return apart > 2 && apart < 10 || apart == 0
		case m[4] != "":
			return outside(m[4])
		case m[5] != "":
			return outside(m[5]) && !slices.ContainsFunc(key.Scale(), func(n theory.Note) bool { return n.PitchClass() == at })
		}
		by := map[string]int{"half above": 1, "half below": -1, "whole above": 2, "whole below": -2}[m[6]+" "+m[7]]
		return mod(at-note(m[8])-by, 12) != 0
	}},
	{`the root first, on strong beats tones of ` + chordWord + `, which are ([A-G#b ]+)(?:, and the seventh ` + noteWord + `)?; into ` + noteWord + ` lead ([A-G#b ]+)`, func(c claimed, m []string) bool {
		chord := must(theory.ParseChord(m[1]))
		if m[3] != "" && mod(note(m[3])-chord.Root.PitchClass(), 12) != 10 {
			return false
		}
		leads := notesOf(m[5])
		for _, n := range leads {
			if by := mod(n.PitchClass()-note(m[4]), 12); by == 0 || by > 2 && by < 10 {
				return false
			}
		}
		return c.sayNotes(chord.Notes()) == m[2] && (len(leads) > 1 || strings.Contains(c.q.Text, "step"))
	}},
	// Parts: the notes in half steps above the tonic, read off the tablature in D by hand.
	{`it goes ([A-G#b ]+), at ([\d/+ ]+)`, func(c claimed, m []string) bool {
		asked := regexp.MustCompile(`, (\w+) bar, called in (\S+):`).FindStringSubmatch(c.q.Text)
		tonic := note(asked[2])
		var up []int
		for i, at := range must(c.parsePlaces(strings.ReplaceAll(m[2], "+", " "), nil)) {
			n := notesOf(m[1])[i].PitchClass()
			if c.Neck.MIDI(at)%12 != n {
				return false
			}
			up = append(up, mod(n-tonic, 12))
		}
		return slices.Equal(up, map[string][]int{"first": {0, 7, 0, 7}, "second": {7, 0, 7, 4, 2}, "fourth": {0, 7, 0}}[asked[1]])
	}},
	// Changes.
	{`the (\S+) of (\S+(?: minor)?) is ` + noteWord + `: (?:the next (higher|lower) string, )?` + fretsUp + `(?: on the same string)?`, func(c claimed, m []string) bool {
		from, to := c.q.Marks[0].At, c.v.Marks[0].At
		over := map[string]int{"": 0, "higher": -1, "lower": 1}[m[4]]
		return mod(note(strings.TrimSuffix(m[2], " minor"))+degreeSteps(m[1])-note(m[3]), 12) == 0 && c.pc(to.String, to.Fret, m[3]) &&
			to.String-from.String == over && to.Fret-from.Fret == up(m[5])
	}},
	// Keys.
	{`(no sharps or flats|\d (?:sharps?|flats?)) is (.*)`, func(c claimed, m []string) bool { return must(theory.ParseKey(m[2])).SignatureName() == m[1] }},
	{`(\S+ (?:major|minor)) has (no sharps or flats|\d (?:sharps?|flats?))`, func(c claimed, m []string) bool { return must(theory.ParseKey(m[1])).SignatureName() == m[2] }},
	{`(\S+ (?:major|minor)) has (?:the signature of (\S+ major): )?(no sharps or flats|[A-G#b ]+)(?:; the last (sharp|flat but one)(?:, (\S+), is a half step below| is the keynote,) (\S+)|, its 4)?`, func(c claimed, m []string) bool {
		key := must(theory.ParseKey(m[1]))
		major := key
		if m[2] != "" {
			major = must(theory.ParseKey(m[2]))
		}
		signs := key.Accidentals()
		return major.Signature() == key.Signature() && (len(signs) == 0 || c.sayNotes(signs) == m[3]) && (m[6] == "" || must(theory.ParseNote(m[6])) == major.Tonic)
	}},
	{`(\S+ (?:major|minor)) is written (\S+ (?:major|minor))`, func(c claimed, m []string) bool {
		return note(strings.Fields(m[1])[0]) == note(strings.Fields(m[2])[0])
	}},
	{`(\S+ (?:major|minor)) is the relative of (\S+ (?:major|minor))`, func(c claimed, m []string) bool {
		return must(theory.ParseKey(m[1])).Relative() == must(theory.ParseKey(m[2]))
	}},
	{`the relative minor is on the 6 of the major key, three half steps below its keynote: (.*) and (.*) both have (.*)`, func(c claimed, m []string) bool {
		major, minor := must(theory.ParseKey(m[1])), must(theory.ParseKey(m[2]))
		return major.Note(theory.Degree{Number: 6}) == minor.Tonic && mod(major.Tonic.PitchClass()-3, 12) == minor.Tonic.PitchClass() && minor.SignatureName() == m[3]
	}},
	{`the (b?\d) is ` + interval + ` above the 1: ` + noteWord + ` above ` + noteWord + `(?:; it is the (\d) of the minor scale, and bands call it (\S+) since they count from the major scale)?`, func(c claimed, m []string) bool {
		key := theory.Key{Tonic: must(theory.ParseNote(m[4])), Mode: theory.Minor}
		return mod(note(m[3])-note(m[4]), 12) == wide(m[2]) && key.Degree(must(theory.ParseNote(m[3]))).String() == m[1] &&
			(m[5] == "" || m[6] == m[1] && key.Scale()[atoi(m[5])-1].String() == m[3])
	}},
	{`the (\S+) of (\S+(?: minor)?) is (\S+?)(?:, not \S+)?`, func(c claimed, m []string) bool {
		return must(theory.ParseKey(m[2])).Chord(must(theory.ParseNumeral(m[1]))).String() == m[3]
	}},
	{`the (\S+) is (\S+), not (\S+)`, func(c claimed, m []string) bool {
		return strings.Contains(" "+c.v.Want+" ", " "+m[2]+" ") && m[2] != m[3]
	}},
	{chordWord + ` has (\S+), which (\S+ \S+) does not`, func(c claimed, m []string) bool {
		n := must(theory.ParseNote(m[2]))
		return slices.Contains(must(theory.ParseChord(m[1])).Notes(), n) && !must(theory.ParseKey(m[3])).Contains(n)
	}},
	{chordWord + ` is the (\S+)`, func(c claimed, m []string) bool {
		key := regexp.MustCompile(`in (\S+(?: minor)?):`).FindStringSubmatch(c.q.Text)
		return must(theory.ParseKey(key[1])).Chord(must(theory.ParseNumeral(m[2]))).String() == m[1]
	}},
	{`the scale of (\S+ \S+) is ([A-G#b ]+)`, func(c claimed, m []string) bool { return c.sayNotes(must(theory.ParseKey(m[1])).Scale()) == m[2] }},
	// By ear.
	{interval + ` is (\S+ frets?)(?: on one string)?`, func(c claimed, m []string) bool { return wide(m[1]) == count(m[2]) }},
	{interval + ` is (\S+ half steps)`, func(c claimed, m []string) bool { return wide(m[1]) == count(m[2]) }},
	{`(\S+ frets?) up is ` + interval + ` above the open string`, func(c claimed, m []string) bool { return wide(m[2]) == count(m[1]) }},
	{`you heard ` + interval + `, (\S+ half steps)`, func(c claimed, m []string) bool {
		return wide(m[1]) == count(m[2]) && c.q.Heard[1].MIDI-c.q.Heard[0].MIDI == count(m[2])
	}},
	{`you heard ` + chordWord + `: ([A-G#b ]+)`, func(c claimed, m []string) bool {
		notes := must(theory.ParseChord(m[1])).Notes()
		for i, n := range notes {
			if c.q.Heard[i].MIDI%12 != n.PitchClass() {
				return false
			}
		}
		return c.sayNotes(notes) == m[2]
	}},
	{`the open string is what came first`, func(c claimed, m []string) bool { return c.q.Heard[0].MIDI == c.at(c.q.String, 0) }},
	{noteWord + ` was (as written|a half step too high|a half step too low)`, func(c claimed, m []string) bool {
		i := slices.Index(c.q.Choices, m[1])
		by := map[string]int{"as written": 0, "a half step too high": 1, "a half step too low": -1}[m[2]]
		return mod(c.q.Heard[i].MIDI-note(m[1])-by, 12) == 0
	}},
	{`a unison is the same note twice`, func(claimed, []string) bool { return true }},

	// Tones that stay.
	{`string (\d), (?:fret (\d+)|open) is no note of ` + chordWord + `|the bass would be ` + noteWord + `, not ` + noteWord + `|nothing sounds below the tones that stay|no hand holds that: (.+)`, func(c claimed, m []string) bool {
		if m[1] == "" {
			return m[4] == "" || note(m[4]) != note(m[5]) && strings.Contains(c.q.Text, m[5])
		}
		fret, _ := strconv.Atoi(m[2])
		return !slices.ContainsFunc(must(theory.ParseChord(m[3])).Notes(), func(n theory.Note) bool { return n.PitchClass() == c.at(atoi(m[1]), fret)%12 })
	}},
	{`in \S+, ` + noteWord + ` and ` + noteWord + ` (?:ring open|stay) on strings (\d) and (\d)(?:, at frets? (\d+)(?: and (\d+))?)?; the bass moves below`, func(c claimed, m []string) bool {
		low, _ := strconv.Atoi(m[5])
		top, err := strconv.Atoi(m[6])
		if err != nil {
			top = low
		}
		return c.pc(atoi(m[3]), low, m[1]) && c.pc(atoi(m[4]), top, m[2])
	}},
}

var placePattern = regexp.MustCompile(`string (\d), (?:fret|open)`)

// Whatever is said of an answer is true, and something is said of every wrong one: what
// it is, and the rule that gives the right one.
func TestEveryExplanationIsTrue(t *testing.T) {
	var patterns []*regexp.Regexp
	for _, cl := range claims {
		patterns = append(patterns, regexp.MustCompile("^(?:"+cl.says+")$"))
	}
	said := make([]int, len(claims))
	for _, tuning := range []fretboard.Tuning{fretboard.Standard, fretboard.Bass} {
		s := standard()
		s.Frets, s.Sound, s.Neck.Tuning = [2]int{0, 12}, true, tuning
		c, rng := NewCatalogue(s), seeded(21)
		for i := range map[bool]int{false: 4, true: 20}[tuning.Bass()] * len(c.Items()) { // few repeat a note that is no tone
			if it := c.Items()[i%len(c.Items())]; tuning.Bass() && it.Family != "walking" {
				continue // the guitar's explanations hold here by their own tests
			}
			q := must(c.Ask(c.Items()[i%len(c.Items())].ID, rng))
			v, ok := slip(q, rng)
			if !ok {
				t.Fatalf("%s: no slip of a player is judged wrong", q.Text)
			}
			if v.Why == "" || v.is == "" && v.Note == "" && q.Family != "ear" {
				t.Errorf("%s answered %s: %+v", q.Text, v.Given, v)
			}
			for _, sentence := range strings.Split(strings.TrimSuffix(v.Explanation(), "."), ". ") {
				known, holds := false, false
				for k, p := range patterns {
					for _, text := range []string{sentence, strings.ToLower(sentence[:1]) + sentence[1:]} {
						if m := p.FindStringSubmatch(text); m != nil && !holds {
							known, holds = true, claims[k].true(claimed{s, q, v}, m)
							said[k]++
						}
					}
				}
				if !known || !holds {
					t.Errorf("%s wants %s, answered %s: %s (known %t)", q.Text, v.Want, v.Given, sentence, known)
				}
			}
		}
	}
	for k, n := range said {
		if n == 0 {
			t.Errorf("nobody says %s", claims[k].says)
		}
	}
}
