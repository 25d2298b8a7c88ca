package sheet

import (
	"fmt"
	"io"
	"strings"

	"surefret/cmd/surefret/report"
	"surefret/drills/fretboard"
)

// Sentences tells a gig to those who listen: full sentences, one a line, notes
// and chords in words.
func (page Page) Sentences(w io.Writer) error {
	var b strings.Builder
	say := func(format string, args ...any) { fmt.Fprintf(&b, format+".\n", args...) }
	count := report.Many(len(page.Songs), "song")
	say("%s is on %s, with %s", page.Name, Day(page.Day), count)
	if r := page.Readiness; r != nil {
		fmt.Fprintln(&b, aloud(r.say()))
	}
	if page.Note != "" {
		say("Your note says: %s", strings.TrimRight(strings.Join(strings.Fields(page.Note), " "), "."))
	}
	for i, s := range page.Songs {
		say("Song %d of %d is %s, in %s", i+1, len(page.Songs), s.Title, spoken(s.Called))
		say("The key has %s", s.Signature)
		if s.Semitones != 0 {
			say("You learned it in %s, and it is now %s", spoken(s.Learned), sayShift(s.Semitones))
		}
		if s.Tempo > 0 {
			say("The tempo is %d beats a minute", s.Tempo)
		}
		if s.Shaky {
			say("It was shaky last time")
		}
		for _, sec := range s.Sections {
			if sec.Name == "" {
				say("The chords are %s", spokenList(sec.Chords))
			} else {
				say("The %s goes %s", sec.Name, spokenList(sec.Chords))
			}
			say("By number that is %s", spokenList(sec.Numbers))
		}
		for _, c := range s.Chords {
			say("%s has its root on %s", spoken(c.Chord), spokenPlaces(c.Roots, " and "))
		}
		for _, sh := range s.Landed() {
			say("The %s for %s lies, from the lowest string, at %s", sh.Words, spokenList(append([]string{sh.Chord}, sh.For...)), spokenFrets(sh.Frets))
		}
		for _, walk := range s.Walks {
			say("Walk from %s to %s over %s: %s", spoken(walk.From), spoken(walk.To), spokenList(walk.Notes), spokenPlaces(walk.Path, ", "))
		}
		for _, line := range s.Watch() {
			fmt.Fprintln(&b, aloud(line))
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// aloud puts the notes and chords of a sentence into words.
func aloud(sentence string) string {
	words := strings.Fields(strings.ReplaceAll(sentence, "%", "percent"))
	for i, word := range words {
		bare := strings.TrimRight(word, ".,;:")
		if first := i == 0 || strings.HasSuffix(words[i-1], ":"); bare == "A" && first {
			continue // the article
		}
		if bare != "" && (bare[0] < '0' || bare[0] > '9') {
			words[i] = spoken(bare) + word[len(bare):]
		}
	}
	return strings.Join(words, " ")
}

// spoken says a note, a chord, a key or a number of a chord in words: "Bbm7" is
// "B flat minor 7". What is none of these stays as it is.
func spoken(name string) string {
	first, rest, _ := strings.Cut(name, " ")
	chord, bass, slashed := strings.Cut(first, "/")
	said := spokenOne(chord)
	if slashed {
		said += " over " + spokenOne(bass)
	}
	if said == first && rest == "" {
		return name
	}
	return strings.TrimSpace(said + " " + rest)
}

func spokenOne(s string) string {
	root, quality := "", ""
	switch {
	case s == "":
		return s
	case s[0] >= 'A' && s[0] <= 'G':
		n := 1
		for n < len(s) && (s[n] == '#' || s[n] == 'b') {
			n++
		}
		root, quality = s[:1], s[n:]
		for _, sign := range s[1:n] {
			root += map[rune]string{'#': " sharp", 'b': " flat"}[sign]
		}
	default:
		n := 0
		for n < len(s) && (s[n] == '#' || s[n] == 'b') {
			root += map[byte]string{'#': "sharp ", 'b': "flat "}[s[n]]
			n++
		}
		if n == len(s) || s[n] < '1' || s[n] > '7' {
			return s
		}
		root, quality = root+s[n:n+1], s[n+1:]
	}
	for _, q := range []struct{ sign, word string }{
		{"maj", "major "}, {"m", "minor "}, {"-", "minor "}, {"dim", "diminished "}, {"aug", "augmented "},
		{"sus", "suspended "}, {"add", "add "}, {"6", "6"}, {"7", "7"}, {"9", "9"}, {"11", "11"}, {"13", "13"},
	} {
		if rest, ok := strings.CutPrefix(quality, q.sign); ok {
			return strings.TrimSpace(root + " " + q.word + rest)
		}
	}
	if quality != "" {
		return s // a word that begins like a note
	}
	return root
}

func spokenList(names []string) string {
	said := make([]string, len(names))
	for i, n := range names {
		said[i] = spoken(n)
	}
	return strings.Join(said, ", ")
}

func spokenPlaces(places []fretboard.Position, between string) string {
	var said []string
	for _, p := range places {
		at := fmt.Sprintf("string %d fret %d", p.String, p.Fret)
		if p.Fret == 0 {
			at = fmt.Sprintf("string %d open", p.String)
		}
		said = append(said, at)
	}
	return strings.Join(said, between)
}

// spokenFrets says "7 x 0" as "7, not played, open".
func spokenFrets(frets string) string {
	said := strings.Fields(frets)
	for i, f := range said {
		switch f {
		case "x":
			said[i] = "not played"
		case "0":
			said[i] = "open"
		}
	}
	return strings.Join(said, ", ")
}
