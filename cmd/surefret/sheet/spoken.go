package sheet

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"surefret/cmd/surefret/report"
	"surefret/cmd/surefret/spoken"
	"surefret/drills/fretboard"
	"surefret/drills/fretboard/fingering"
)

// What follows tells each page to those who listen: full sentences, notes and chords in
// words, fewer than the page has.

// Sentences tells a gig, song by song.
func (page Page) Sentences(s spoken.Speller) []string {
	said := []string{fmt.Sprintf("%s is on %s, with %s.", page.Name, Day(page.Day), report.Many(len(page.Songs), "song"))}
	ready := ""
	if r := page.Readiness; r != nil {
		ready = s.Text(r.say())
		said = append(said, ready)
	}
	if page.Note != "" {
		said = append(said, "Your note says: "+sentence(strings.Join(strings.Fields(page.Note), " ")))
	}
	for i, song := range page.Songs {
		said = append(said, fmt.Sprintf("Song %d of %d is %s, in %s.", i+1, len(page.Songs), song.Title, s.Text(song.Called)))
		said = append(said, slices.DeleteFunc(song.rest(s), func(line string) bool { return line == ready })...)
	}
	return said
}

// Sentences tells one song.
func (song Song) Sentences(s spoken.Speller) []string {
	return append([]string{fmt.Sprintf("%s is in %s.", song.Title, s.Text(song.Called))}, song.rest(s)...)
}

// rest tells what comes after a song's title and key.
func (song Song) rest(s spoken.Speller) (said []string) {
	say := func(format string, args ...any) { said = append(said, fmt.Sprintf(format, args...)+".") }
	if song.Semitones != 0 {
		say("You learned it in %s, and it is now %s", s.Text(song.Learned), frets(song.Semitones))
	}
	// What is wanted at once comes first: the way out, and where the chords lie.
	broken := song.broken(math.MaxInt)
	if out := song.bestWay(); out != "" {
		said, broken = append(said, s.Text(out)), broken[:len(broken)-1]
	}
	said = append(said, song.sayRoots(s)...)
	if song.Tempo > 0 {
		say("The tempo is %g beats a minute", song.Tempo)
	}
	for _, sec := range song.Sections {
		if sec.Name == "" {
			say("The chords are %s", s.List(sec.Chords))
		} else {
			say("The %s goes %s", sec.Name, s.List(sec.Chords))
		}
		say("By number that is %s", s.Numbers(sec.Numbers))
	}
	say("The key has %s", song.Signature)
	said = append(said, song.sayShapes(s)...)
	for _, kept := range song.Kept { // where each chord is, its page says
		say("Over the chords, %s", strings.TrimRight(s.Text(kept.Words), "."))
	}
	for _, walk := range song.Walks {
		if last := len(walk.Notes) - 1; last > 1 {
			var by []string
			for i, note := range walk.Notes[1:last] {
				by = append(by, s.Name(note)+", "+spoken.Place(walk.Path[i+1]))
			}
			say("Walk from %s to %s by way of %s", s.Name(walk.From), s.Name(walk.To), strings.Join(by, "; "))
		}
	}
	said = append(said, song.walked(s)...)
	for _, line := range append(broken, song.practise()...) {
		said = append(said, s.Text(line))
	}
	return said
}

// sayRoots tells where the roots of its chords lie, chords on one root together.
func (song Song) sayRoots(s spoken.Speller) (said []string) {
	var chords, roots []string
	for _, c := range song.Chords {
		root := cmp.Or(spoken.Places(c.Roots, " or "), "no low root")
		if i := slices.Index(roots, root); i >= 0 {
			chords[i] += " and " + s.Name(c.Chord)
			continue
		}
		chords, roots = append(chords, s.Name(c.Chord)), append(roots, root)
	}
	for i, c := range chords {
		said = append(said, fmt.Sprintf("%s: %s.", c, roots[i]))
	}
	return said
}

// sayShapes tells where its shapes land, places of one shape together.
func (song Song) sayShapes(s spoken.Speller) (said []string) {
	words := ""
	for _, sh := range song.landed() {
		var frets []string // its words name the strings
		for f := range strings.FieldsSeq(sh.Frets) {
			if f != "x" {
				frets = append(frets, f)
			}
		}
		place := fmt.Sprintf("%s %s", s.List(append([]string{sh.Chord}, sh.For...)), strings.Join(frets, ", "))
		if sh.Words == words && len(said) > 0 {
			said[len(said)-1] = strings.TrimSuffix(said[len(said)-1], ".") + "; " + place + "."
			continue
		}
		words = sh.Words
		said = append(said, fmt.Sprintf("The %s, lowest string first: %s.", s.Text(words), place))
	}
	return said
}

// Sentences tells a key.
func (page Key) Sentences(s spoken.Speller) []string {
	said := []string{
		fmt.Sprintf("%s has %s.", s.Text(page.name), page.Signature),
		fmt.Sprintf("Its notes are %s.", s.List(page.Scale)),
	}
	for _, c := range page.Chords {
		said = append(said, fmt.Sprintf("Chord %s is %s, its root on %s.", s.Name(c.Number), s.Name(c.Chord), cmp.Or(spoken.Places(c.Roots, " or "), "no low string")))
	}
	for _, w := range page.WalkUps {
		said = append(said, fmt.Sprintf("Walk from %s to %s, %s: %s.", s.Name(w.From), s.Name(w.To), s.List(w.Notes), spoken.Places(w.Path, ", ")))
	}
	for _, c := range page.Choices {
		how := fmt.Sprintf("With a capo at fret %d", c.Capo)
		switch {
		case c.Now:
			how = "As the guitar is"
		case c.Detuned > 0:
			how = "Tuned " + fretboard.Steps(c.Detuned) + " down"
			if lower, _ := page.neck.Tuning.Below(); lower > 0 {
				how += " more"
			}
			if page.neck.Capo > 0 {
				how += ", the capo off,"
			}
		case c.Capo == 0 && page.neck.Capo > 0:
			how = "With the capo off"
		case c.Capo == 0:
			how = "Without a capo"
		}
		said = append(said, fmt.Sprintf("%s you play %s shapes, %d of 5 chords open.", how, s.Text(strings.TrimSuffix(c.Shapes, " shapes")), c.Open))
	}
	return said
}

// Sentences names the groups of shapes; of a part of them, see [Shapes.Called], each shape.
func (all Shapes) Sentences(tuning string, each bool) (said []string) {
	count, on := map[string]int{}, 0
	for _, shape := range all {
		if shape.Playable {
			count[shape.Family]++
			on++
		}
	}
	said = append(said, fmt.Sprintf("%s can be played in %s tuning.", report.Many(on, "shape"), tuning))
	if off := len(all) - on; off > 0 {
		said = append(said, fmt.Sprintf("%d more cannot; 'surefret shape show' says why.", off))
	}
	for _, shape := range all {
		switch {
		case shape.Playable && each:
			said = append(said, shape.Name+".")
		case shape.Playable && count[shape.Family] > 0:
			said = append(said, fmt.Sprintf("%s, %d.", shape.Family, count[shape.Family]))
			count[shape.Family] = 0
		}
	}
	if !each {
		said = append(said, "The shapes of a group, or of some strings of it: 'surefret shape list triads', 'surefret shape list triads-321'.")
	}
	return said
}

var fingers = [...]string{"", "first finger", "second finger", "third finger", "little finger"}

// Sentences tells every place of a shape, string by string.
func (page Shape) Sentences(s spoken.Speller) []string {
	said := []string{fmt.Sprintf("%s, %s, over %s.", page.Name, page.Words, page.Root)}
	muted := false
	if page.Why != "" {
		said = append(said, s.Text("Not among your shapes: "+page.Why+"."))
	}
	for _, place := range page.Places {
		if !place.Playable {
			said = append(said, fmt.Sprintf("With its root at fret %d it is not playable, %s.", place.Fret, place.Why))
			continue
		}
		var notes []string
		for _, n := range place.Notes {
			note := spoken.Place(fretboard.Position{String: n.String, Fret: n.Fret})
			if n.Finger > 0 {
				note += ", " + fingers[n.Finger]
			}
			notes = append(notes, note)
		}
		muted = muted || len(place.Muted) > 0
		said = append(said, fmt.Sprintf("Root at fret %d: %s.", place.Fret, strings.Join(notes, "; ")))
		for _, b := range place.Barres {
			said = append(said, fmt.Sprintf("One finger bars strings %d to %d at fret %d.", b.From, b.To, b.Fret))
		}
	}
	if muted {
		said = append(said, "Strings that are not named are not played.")
	}
	return said
}

// PartSentences tells a moved part bar by bar, and how else it may be moved. Offers hold
// at least one.
func PartSentences(offers fingering.Offers, s spoken.Speller) []string {
	m := offers[0]
	said := []string{s.Text(m.Say() + "."), s.Text(kept(m))}
	bar, notes := 0, []string{}
	flush := func() {
		if len(notes) > 0 {
			said = append(said, fmt.Sprintf("Bar %d: %s.", bar, strings.Join(notes, "; ")))
		}
		notes = nil
	}
	for _, e := range m.Events {
		if e.Bar != bar {
			flush()
			bar = e.Bar
		}
		var together []string
		for _, n := range e.Notes {
			at := spoken.Place(n.Position)
			switch {
			case n.Dead:
				at = fmt.Sprintf("string %d damped", n.String)
			case !m.Neck.Has(n.Position):
				at = "a note that has no place"
			}
			together = append(together, at)
		}
		if len(together) > 0 {
			notes = append(notes, strings.Join(together, " with "))
		}
	}
	flush()
	for i, problem := range m.Told() {
		if i == mostBroken {
			said = append(said, "And more like these, which --json lists.")
			break
		}
		said = append(said, s.Text(sentence(problem)))
	}
	if len(m.Ways) > 0 {
		said = append(said, s.Text("Best way: "+sentence(m.Ways[0].Message)))
	}
	for _, other := range offers[1:] {
		said = append(said, s.Text(fmt.Sprintf("Another way: %s, which keeps %s; %s.", other.Way(), other.Keeps(), other.Costs())))
	}
	return said
}

// Numbered leaves the letters out, where there are numbers.
func (c Chart) Numbered() Chart {
	for _, sec := range c.Sections {
		for i := range sec.Bars {
			if len(sec.Bars[i].Numbers) > 0 {
				sec.Bars[i].Chords = nil
			}
		}
	}
	return c
}

// Sentences tells a chart section by section.
func (c Chart) Sentences(s spoken.Speller) []string {
	facts := fmt.Sprintf("%s is in %s", cmp.Or(c.Title, "The song"), s.Text(c.Key))
	if c.Sounding != "" {
		facts += fmt.Sprintf(" with the capo at fret %d, sounding %s", c.Capo, s.Text(c.Sounding))
	}
	if c.Tempo > 0 {
		facts += fmt.Sprintf(", %g beats a minute", c.Tempo)
	}
	said := []string{facts + "."}
	for _, sec := range c.Sections {
		var bars, numbers []string
		for _, b := range sec.Bars {
			if len(b.Chords) > 0 && len(b.Numbers) > 0 {
				numbers = append(numbers, strings.ReplaceAll(s.Numbers(b.Numbers), ", .", ", hold"))
			}
			bar := s.List(b.Chords)
			if len(b.Chords) == 0 {
				bar = s.Numbers(b.Numbers)
			}
			bar = strings.ReplaceAll(bar, ", .", ", hold")
			if b.Opens {
				bar = "repeat from here, " + bar
			}
			if b.Ending != "" {
				bar = "ending " + b.Ending + ", " + bar
			}
			if b.Repeats > 1 {
				bar += fmt.Sprintf(", %d times", b.Repeats)
			}
			bars = append(bars, bar)
		}
		head := cmp.Or(sec.Name, "The chords")
		if sec.Times > 1 {
			head += fmt.Sprintf(", %d times", sec.Times)
		}
		said = append(said, fmt.Sprintf("%s, %s: %s.", head, report.Many(len(sec.Bars), "bar"), strings.Join(bars, "; ")))
		if len(numbers) > 0 {
			said = append(said, fmt.Sprintf("By number: %s.", strings.Join(numbers, "; ")))
		}
	}
	return said
}
