package drills

import (
	"cmp"
	"regexp"
	"slices"
	"strings"
	"sync"
)

// A known is a figure or a word of questions that not every player knows. The first
// group of its pattern is the word that is explained; $2 stands for a part of it.
type known struct {
	name    string // stable: what was explained is kept by it
	pattern *regexp.Regexp
	means   string
}

// terms lists them, once they are asked for: most commands ask no question.
var terms = sync.OnceValue(func() []known {
	return []known{
		{"minor number", regexp.MustCompile(`(?:^|\s)(([2-7])-)`), "the minor chord on the $2 of the key"},
		{"flat number", regexp.MustCompile(`(?:^|\s)(b([367]))\b`), "the $2, a half step lower than in the major scale: bands count from that in minor, too"},
		{"frets", regexp.MustCompile(`(x(?: (?:x|\d+)){5,}|\d+(?: (?:x|\d+)){5,})`), "the frets from the lowest string to the highest; x is not played"},
		{"maj7", regexp.MustCompile(`\S(maj7)\b`), "a major triad and the note a half step below the octave"},
		{"m7", regexp.MustCompile(`(?:\S|-form )(m7)\b`), "a minor triad and the note two half steps below the octave"},
		{"7sus4", regexp.MustCompile(`[A-Za-z#](7sus4)\b`), "a seventh chord with the fourth in place of the third"},
		{"7", regexp.MustCompile(`(?:[^mj\s\db#]|[A-Za-z][b#])(7)\b`), "a major triad and the note two half steps below the octave"},
		{"sus", regexp.MustCompile(`\S*[^7\s](sus([24]))\b`), "the $2 of the scale in place of the third"},
		{"add9", regexp.MustCompile(`\S(add9)\b`), "a major triad and the ninth, the 2 an octave up"},
		{"5", regexp.MustCompile(`[A-Za-z#](5)\b`), "a power chord: root and fifth alone"},
		{"diminished", regexp.MustCompile(`\b(diminished)\b`), "a triad of two minor thirds, one on the other"},
		{"augmented", regexp.MustCompile(`\b(augmented)\b`), "a triad of two major thirds, one on the other"},
		{"slash", regexp.MustCompile(`(?:^|\s|Is this )(([^\s/,:\d][^\s/,:]*)/([^\s/,:?]+))`), "the chord $2 with $3 in the bass"},
		{"form", regexp.MustCompile(`\b(([EACGD])[ -]form)\b`), "the shape of the open $2 chord, moved up the neck"},
		{"tenth", regexp.MustCompile(`(?i)\b(tenth)s?\b`), "an octave and a third"},
		{"ninth", regexp.MustCompile(`(?i)\b(ninth)\b`), "a second and an octave"},
		{"eleventh", regexp.MustCompile(`(?i)\b(eleventh)\b`), "a fourth and an octave"},
		{"twelfth", regexp.MustCompile(`(?i)\b(twelfth)\b`), "a fifth and an octave"},
		{"thirteenth", regexp.MustCompile(`(?i)\b(thirteenth)\b`), "a sixth and an octave"},
		{"tritone", regexp.MustCompile(`(?i)\b(tritone)\b`), "six half steps, half an octave"},
		{"root position", regexp.MustCompile(`\b(root position)\b`), "the order with the root as its lowest note"},
		{"first inversion", regexp.MustCompile(`\b(first inversion)\b`), "the order with the third as its lowest note"},
		{"second inversion", regexp.MustCompile(`\b(second inversion)\b`), "the order with the fifth as its lowest note"},
		{"walk", regexp.MustCompile(`(?i)\b(walk (?:up|down))\b`), "to go from one root to the next by the notes between"},
		{"walk a bar", regexp.MustCompile(`\b(walk (?:half )?a bar)\b`), "a note a beat, in 6/8 a long and a short one twice: the root first, tones of the chord on the strong beats, by a step or a half step into the next root"},
		{"half step", regexp.MustCompile(`\b(half step)s?\b`), "the step from one fret to the next"},
		{"raised 6 and 7", regexp.MustCompile(`\b(raised 6 and 7)\b`), "the 6 and the 7 of the major scale, as the 5 of a minor key has them"},
		{"relative", regexp.MustCompile(`\b(relative (?:minor|major))\b`), "the key with the same sharps or flats"},
		{"pentatonic", regexp.MustCompile(`(?i)\b(pentatonic)\b`), "a scale of five notes"},
		{"box", regexp.MustCompile(`\b(box)\b`), "a scale in one position of the hand, two notes a string"},
		{"held", regexp.MustCompile(`\b(held)\b`), "what stays while the chords below change"},
		{"root", regexp.MustCompile(`\b(root)\b(?: at| to| and|:)`), "the note that a chord or a scale is named after"},
		{"triad", regexp.MustCompile(`\b(triad)\b`), "a chord of three notes: root, third and fifth"},
		{"octave", regexp.MustCompile(`(?i)\b(octave)\b`), "the next note of the same name, 12 frets higher on a string"},
		{"interval", regexp.MustCompile(`\b(interval)\b`), "how far two notes lie apart"},
		{"open", regexp.MustCompile(`(?i)\b(open)\b`), "not pressed down"},
		{"inlay", regexp.MustCompile(`\b(inlay)\b`), "the mark in the neck, as at frets 3, 5, 7, 9 and 12"},
		{"third", regexp.MustCompile(`(?i)\b(third)s?\b`), "the third note of a scale: 4 half steps up, in a minor one 3"},
		{"scale", regexp.MustCompile(`\b(scale)\b`), "the notes of a key in order, a letter each"},
		{"number", regexp.MustCompile(`(?i)\b(from [1-7] to [1-7]|the [1-7])(?:[ ,:]|$)`), "counted in the notes of the key: in C, 1 is C and 4 is F"},
		{"major", regexp.MustCompile(`\b(major)\b`), "the wider kind, whose third is 4 half steps up"},
		{"minor", regexp.MustCompile(`\b(minor)\b`), "the narrower kind, whose third is 3 half steps up"},
		{"naturals", regexp.MustCompile(`\b(naturals)\b`), "the notes without sharp or flat"},
		{"in time", regexp.MustCompile(`\b(in time)\b`), "with no more thinking than the aim, which 'surefret setup' sets"},
		{"sure", regexp.MustCompile(`\bBecame (sure)\b`), "asked on two days or more, and would be right in time eight times in ten"},
		{"keynote", regexp.MustCompile(`\b(keynote)\b`), "the note that a key is named after, its 1"},
	}
})

// basicTerms are words that everybody knows who has played for a while.
var basicTerms = []string{"root", "triad", "octave", "interval", "open", "inlay", "naturals", "third", "scale", "number", "major", "minor", "in time", "sure"}

// plainTerms are the words that are explained where a wrong answer is: its chords and
// figures say themselves what they are.
var plainTerms = []string{"inlay", "octave", "half step", "keynote", "root"}

// Terms lists the terms of what is asked in the order in which they stand, each once.
func (q Question) Terms() []Term { return TermsIn(q.Text) }

// Terms lists those of what is shown.
func (l Lesson) Terms() []Term {
	return TermsIn(strings.Join([]string{l.Title, l.Pattern, l.Here}, ". "))
}

// Terms lists the words of the trade in what a wrong answer is told.
func (v Verdict) Terms() []Term {
	if v.Right {
		return nil
	}
	return slices.DeleteFunc(TermsIn(v.Explanation()), func(t Term) bool { return !slices.Contains(plainTerms, t.Name) })
}

// TermsIn lists the terms of a text, as [Question.Terms] does.
func TermsIn(text string) []Term {
	type found struct {
		at int
		Term
	}
	var all []found
	for _, t := range terms() {
		for _, m := range t.pattern.FindAllStringSubmatchIndex(text, -1) {
			word := text[m[2]:m[3]]
			if slices.ContainsFunc(all, func(f found) bool { return strings.EqualFold(f.Word, word) }) {
				continue
			}
			all = append(all, found{m[2], Term{t.name, word, slices.Contains(basicTerms, t.name), string(t.pattern.ExpandString(nil, t.means, text, m))}})
		}
	}
	slices.SortStableFunc(all, func(a, b found) int { return cmp.Compare(a.at, b.at) })
	var said []Term
	for _, f := range all {
		said = append(said, f.Term)
	}
	return said
}
