// Package spoken puts what is written in signs into words, for those who listen: "Bbm7"
// is "B flat minor 7", "6/3" is "string 6 fret 3", "b7" is "flat 7". Whatever the
// program prints in plain sentences goes through it, so that one thing sounds the same
// everywhere. It knows the player's names of notes; what it does not know it leaves.
package spoken

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// A Speller puts signs into words, in the player's names of notes.
type Speller struct {
	Names theory.Names
}

var (
	asIs     = regexp.MustCompile(`'surefret [^']*'|surefret( [a-z][a-z0-9-]*| --[a-z]+( [0-9,a-z-]+)?)+|(^|\s)(~|\.\.?)?/\S+`) // commands, and files
	day      = regexp.MustCompile(`\b\d{4}-\d{2}-\d{2}\b`)
	seconds  = regexp.MustCompile(`(\d) s\b`)
	meter    = regexp.MustCompile(`\b(?:in|bars? of|bars,) \d{1,2}/(?:2|4|8|16)\b(?: and \d{1,2}/(?:2|4|8|16)\b)*`) // no place is said so
	place    = regexp.MustCompile(`\b(\d{1,2})/(\d{1,2})\b`)
	places   = regexp.MustCompile(`\b\d{1,2}/\d{1,2}(,? \d{1,2}/\d{1,2})*\b`)
	shape    = regexp.MustCompile(`\b(x|\d{1,2})( (x|\d{1,2})){3,}\b`)
	span     = regexp.MustCompile(`^(\d{1,2})-(\d{1,2})$`)
	figure   = regexp.MustCompile(`\d+`)
	count    = regexp.MustCompile(`^(\d)([#b])$`)
	named    = regexp.MustCompile(`^[a-z][a-z0-9]*(-[a-z0-9]+)+$`)
	numeral  = regexp.MustCompile(`^([#b]*)(VII|VI|IV|III|II|V|vii|vi|iv|iii|ii)(.*)$`)
	degree   = regexp.MustCompile(`^([#b]*)([1-7])(.*)$`)
	quality  = regexp.MustCompile(`^(m|maj|sus|add|dim|aug)\d`)
	trailing = regexp.MustCompile(`[.,;:?!)\]"'>]+$`)
	leading  = regexp.MustCompile(`^[(\["'<]+`)
	pitch    = regexp.MustCompile(`^\pL\pL*[#b]*[0-4][.,;:]?$`) // a note and its octave
)

// roots are the names of notes with their signs, by system.
var roots = map[theory.System]*regexp.Regexp{
	theory.English: regexp.MustCompile(`^([A-G])(#{1,2}|b{1,2}|)([^#].*|$)`),
	theory.Solfege: regexp.MustCompile(`^(Do|Re|Ré|Mi|Fa|Sol|La|Si)(#{1,2}|b{1,2}|)([^#].*|$)`),
	theory.German:  regexp.MustCompile(`^([A-H](?:isis|is|eses|es|s)?)(#{1,2}|b{1,2}|)([^#].*|$)`),
}

// Text says a text in words.
func (s Speller) Text(text string) string {
	var b strings.Builder
	from := 0
	for _, at := range asIs.FindAllStringIndex(text, -1) {
		b.WriteString(s.prose(text[from:at[0]]))
		b.WriteString(text[at[0]:at[1]])
		from = at[1]
	}
	return b.String() + s.prose(text[from:])
}

func (s Speller) prose(text string) string {
	text = day.ReplaceAllStringFunc(text, sayDay)
	text = seconds.ReplaceAllString(text, "$1 seconds")
	text = strings.NewReplacer(" %", " percent", "%", " percent", "string/fret", "string and fret", "; x is not played", "", ", on the inlay", "", ", on the double inlay", "", " dB", " decibels", "♭", "b", "♯", "#").Replace(text)
	text = meter.ReplaceAllStringFunc(text, func(all string) string {
		return figure.ReplaceAllStringFunc(strings.ReplaceAll(all, "/", " "), func(n string) string { i, _ := strconv.Atoi(n); return numbers[min(i, len(numbers)-1)] }) + " time"
	})
	text = places.ReplaceAllStringFunc(text, func(all string) string {
		said := place.ReplaceAllStringFunc(all, func(one string) string {
			var p fretboard.Position
			fmt.Sscanf(one, "%d/%d", &p.String, &p.Fret)
			return Place(p)
		})
		return strings.ReplaceAll(strings.ReplaceAll(said, " string", ", string"), ",,", ",")
	})
	text = shape.ReplaceAllStringFunc(text, func(all string) string {
		if !strings.Contains(all, "x") {
			return all
		}
		return held(all)
	})
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		words := strings.Split(line, " ")
		pitches := slices.ContainsFunc(words, pitch.MatchString)
		before, after := "", "." // the list that the word before may be in, and what stands after it
		for j, word := range words {
			front, back := leading.FindString(word), trailing.FindString(word)
			if len(front)+len(back) >= len(word) {
				before, after = "", back
				continue
			}
			bare := word[len(front) : len(word)-len(back)]
			of := s.listOf(bare)
			if of != "" && of == before && front == "" {
				words[j-1] += ","
			}
			said := s.Name(bare)
			if pitches {
				said = strings.Replace(said, " power chord", " 5", 1)
			}
			words[j] = front + said + back
			if before = of; back != "" || bare == "A" && strings.ContainsAny(after, ".?!") { // the article
				before = ""
			}
			after = back
		}
		lines[i] = strings.Join(words, " ")
	}
	return strings.Join(lines, "\n")
}

// The lists whose members are parted by a comma when they are said: "E flat E" is one note
// or two.
const (
	notes   = "notes or chords"
	figures = "figures"
)

// listOf says in which list a word may stand, "" for none.
func (s Speller) listOf(word string) string {
	first, _, _ := strings.Cut(word, "/")
	_, isNumber := strconv.Atoi(first)
	switch _, ok := s.chord(first); {
	case ok && roots[s.Names.System].MatchString(first):
		return notes
	case ok || isNumber == nil:
		return figures
	}
	return ""
}

// Name says one word that may be a note, a chord, a number of a chord or the name of a
// shape. Any other word stays.
func (s Speller) Name(word string) string {
	if n, err := strconv.Atoi(word); err == nil && n >= 0 {
		return word
	} else if err == nil {
		return fmt.Sprint("minus ", -n)
	}
	if m := count.FindStringSubmatch(word); m != nil {
		return m[1] + map[string]string{"#": " sharp", "b": " flat"}[m[2]] + map[bool]string{true: "s"}[m[1] != "1"]
	}
	if one, other, ok := strings.Cut(word, "/"); ok && !strings.HasSuffix(word, "6/9") {
		a, b := s.Name(one), s.Name(other)
		switch first, err := s.Names.Parse(one); {
		case degree.MatchString(one) && degree.MatchString(other): // a number over its bass
		case a == one && b == other && !s.isNote(other):
			return word
		case err == nil && s.isNote(other):
			if second, _ := s.Names.Parse(other); second.PitchClass() == first.PitchClass() {
				return a + " or " + b
			}
		}
		return a + " over " + b
	}
	if m := span.FindStringSubmatch(word); m != nil {
		if said, ok := s.chord(word); ok && strings.Contains("|6|7|9|11|13|", "|"+m[2]+"|") && m[1] < "8" && len(m[1]) == 1 && m[1] != "0" {
			return said
		}
		return m[1] + " to " + m[2]
	}
	if said, ok := s.chord(word); ok {
		return said
	}
	if quality.MatchString(word) {
		if said, ok := sayQuality(word); ok {
			return said
		}
	}
	if named.MatchString(word) {
		return sayShape(word)
	}
	return word
}

func (s Speller) isNote(word string) bool { _, err := s.Names.Parse(word); return err == nil }

// chord says a root, a number or a numeral with what stands after it.
func (s Speller) chord(word string) (said string, ok bool) {
	root, rest := "", ""
	if m := roots[s.Names.System].FindStringSubmatch(word); m != nil {
		if root, rest = m[1]+sign(m[2]), m[3]; rest == "5" { // "A flat 5" is another chord
			return root + " power chord", true
		}
	} else if m := numeral.FindStringSubmatch(word); m != nil {
		root = strings.TrimSpace(sign(m[1]) + " " + degreeOf[strings.ToUpper(m[2])])
		if rest = m[3]; m[2] == strings.ToLower(m[2]) && !strings.HasPrefix(rest, "dim") && !strings.HasPrefix(rest, "°") {
			rest = "m" + rest
		}
	} else if m := degree.FindStringSubmatch(word); m != nil {
		root, rest = strings.TrimSpace(sign(m[1])+" "+m[2]), m[3]
	} else {
		return "", false
	}
	quality, ok := sayQuality(rest)
	return strings.TrimSpace(root + " " + quality), ok
}

var degreeOf = map[string]string{"I": "1", "II": "2", "III": "3", "IV": "4", "V": "5", "VI": "6", "VII": "7"}

// sign says accidentals.
func sign(signs string) string {
	return map[string]string{"#": " sharp", "##": " double sharp", "b": " flat", "bb": " double flat"}[signs]
}

// qualities are what stands after a root, the longest first where one begins another.
var qualities = []struct{ sign, words string }{
	{"maj", "major"}, {"min", "minor"}, {"M7", "major 7"}, {"m", "minor"}, {"-", "minor"}, {"dim", "diminished"}, {"°", "diminished"},
	{"ø", "half diminished"}, {"aug", "augmented"}, {"+", "augmented"}, {"sus", "suspended"}, {"add", "add"}, {"alt", "altered"}, {"no", "no"},
	{"b5", "flat 5"}, {"#5", "sharp 5"}, {"b9", "flat 9"}, {"#9", "sharp 9"}, {"#11", "sharp 11"}, {"b13", "flat 13"}, {"b6", "flat 6"},
	{"6/9", "6 9"}, {"69", "6 9"}, {"13", "13"}, {"11", "11"}, {"2", "2"}, {"3", "3"}, {"4", "4"}, {"5", "5"}, {"6", "6"}, {"7", "7"}, {"9", "9"},
	{"0", "0"}, {"1", "1"}, {"8", "8"}, {"(", ""}, {")", ""}, // octaves: "B1"
}

func sayQuality(rest string) (string, bool) {
	var words []string
next:
	for rest != "" {
		for _, q := range qualities {
			if after, ok := strings.CutPrefix(rest, q.sign); ok {
				if rest = after; q.words != "" {
					words = append(words, q.words)
				}
				continue next
			}
		}
		return "", false
	}
	return strings.Join(words, " "), true
}

// sayShape says the name of a shape: "triad-321-m" is "triad 3 2 1 minor".
func sayShape(name string) string {
	words := strings.Split(name, "-")
	for i, w := range words {
		switch _, err := strconv.Atoi(w); {
		case err == nil:
			words[i] = strings.Join(strings.Split(w, ""), " ")
		case w == "m" || strings.ContainsAny(w, "0123456789"):
			if said, ok := sayQuality(w); ok {
				words[i] = said
			}
		}
	}
	return strings.Join(words, " ")
}

// sayDay says "2026-12-05" as "5 December 2026".
func sayDay(text string) string {
	at, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return text
	}
	return at.Format("2 January 2006")
}

// Place says a place on the neck.
func Place(p fretboard.Position) string {
	if p.Fret == 0 {
		return fmt.Sprintf("string %d open", p.String)
	}
	return fmt.Sprintf("string %d fret %d", p.String, p.Fret)
}

// Places says places on the neck, with a word or a sign between them.
func Places(all []fretboard.Position, between string) string {
	var said []string
	for _, p := range all {
		said = append(said, Place(p))
	}
	return strings.Join(said, between)
}

// held says frets by the strings that are played, so that nobody has to count those that
// are not: "x 10 x 9" is "string 3 fret 10, string 1 fret 9".
func held(frets string) string {
	fields := strings.Fields(frets)
	var all []fretboard.Position
	for i, f := range fields {
		if fret, err := strconv.Atoi(f); err == nil {
			all = append(all, fretboard.Position{String: len(fields) - i, Fret: fret})
		}
	}
	return strings.NewReplacer(",", "", ";", ",").Replace(Places(all, "; "))
}

// List says several names, with commas between them.
func (s Speller) List(names []string) string {
	said := make([]string, len(names))
	for i, n := range names {
		said[i] = s.Name(n)
	}
	return strings.Join(said, ", ")
}

// numbered are the chords of numbers that would be read as one: "57".
var numbered = regexp.MustCompile(`^([1-7])(6|7|9|11|13)$`)

// Numbers says chords by their numbers, with commas between them: "57" is "5 seventh".
func (s Speller) Numbers(chords []string) string {
	said := make([]string, len(chords))
	for i, c := range chords {
		if said[i] = s.Name(c); numbered.MatchString(c) {
			n, _ := strconv.Atoi(c[1:])
			said[i] = c[:1] + " " + ordinals[n]
		}
	}
	return strings.Join(said, ", ")
}

// numbers are the words that a number may be answered in.
var numbers = strings.Fields("zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen twenty twenty-one twenty-two twenty-three twenty-four")

// ordinals are the numbers as frets are counted: "the fifth fret".
var ordinals = strings.Fields("nut first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth fourteenth fifteenth sixteenth seventeenth eighteenth nineteenth twentieth twenty-first twenty-second twenty-third twenty-fourth")

// qualitySigns are the words of notes and chords that symbols have otherwise.
var qualitySigns = strings.NewReplacer("power chord", "5", " double sharp", "##", " double flat", "bb", "half diminished", "m7b5", "diminished", "dim", "augmented", "aug", "suspended", "sus", "altered", "alt")

var signed = regexp.MustCompile(` (sharp|flat)\b`)

// Written puts an answer that was spoken into signs: "string six fret nine" is "string 6
// fret 9", "e flat over g" is "eb / g", "three, not played, open" is "3 x 0".
func Written(answer string) string {
	text := strings.ReplaceAll(strings.ToLower(answer), "twenty ", "twenty-")
	if strings.Contains(text, "not played") {
		text = strings.NewReplacer("not played", "x", "open", "0", ",", " ").Replace(text)
	}
	words := strings.Fields(qualitySigns.Replace(text))
	for i, w := range words {
		bare := strings.TrimRight(w, ",;")
		n := slices.Index(numbers, bare)
		if n < 0 {
			n = slices.Index(ordinals, bare)
		}
		switch {
		case n >= 0:
			words[i] = strconv.Itoa(n) + w[len(bare):]
		case bare == "over":
			words[i] = "/"
		}
	}
	return signed.ReplaceAllStringFunc(strings.Join(words, " "), func(word string) string { return map[byte]string{'s': "#", 'f': "b"}[word[1]] })
}
