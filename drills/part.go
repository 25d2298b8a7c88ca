package drills

import (
	"fmt"
	"hash/crc32"
	"math/rand/v2"
	"slices"
	"strings"
	"time"

	"surefret/drills/fretboard"
	"surefret/drills/fretboard/fingering"
	"surefret/drills/theory"
)

// An OwnPart is a part that the player added to one of his songs.
type OwnPart struct {
	ID      string // of the song and the part: "tin umbrella/intro"
	Song    string // its title
	Name    string // "intro"
	Learned theory.Key
	Tempo   float64 // beats a minute, 0 where it is not known
	Part    fretboard.Part
}

// A phrase is a bar of a part in which something sounds.
type phrase struct {
	own         OwnPart
	bar         int // from 1
	first, last int // its events, from the first that sounds; last is one past them
}

// sounded reports whether an event has a pitch.
func sounded(e fretboard.Event) bool {
	return slices.ContainsFunc(e.Notes, func(n fretboard.Fretted) bool { return !n.Dead })
}

// phrases lists the phrases of a part, those that are played alike once.
func (o OwnPart) phrases() (all []phrase) {
	seen := map[string]bool{}
	for _, p := range o.bars() {
		if alike := p.content(); !seen[alike] {
			seen[alike] = true
			all = append(all, p)
		}
	}
	return all
}

// bars lists the bars of a part in which something sounds.
func (o OwnPart) bars() (all []phrase) {
	for from := 0; from < len(o.Part.Events); {
		p := phrase{own: o, bar: o.Part.Events[from].Bar, first: from, last: from}
		for p.last < len(o.Part.Events) && o.Part.Events[p.last].Bar == p.bar {
			p.last++
		}
		for from = p.last; p.first < p.last && !sounded(o.Part.Events[p.first]); {
			p.first++
		}
		if p.first < p.last {
			all = append(all, p)
		}
	}
	return all
}

// phraseOf is the phrase that a bar is: the first bar that is played like it.
func (o OwnPart) phraseOf(bar int) (phrase, bool) {
	bars := o.bars()
	i := slices.IndexFunc(bars, func(p phrase) bool { return p.bar == bar })
	if i < 0 {
		return phrase{}, false
	}
	return bars[slices.IndexFunc(bars, func(p phrase) bool { return p.content() == bars[i].content() })], true
}

// content writes what is played, and on which strings.
func (p phrase) content() string {
	var b strings.Builder
	fmt.Fprint(&b, p.own.Part.Neck.Tuning)
	for _, e := range p.own.Part.Events[p.first:p.last] {
		b.WriteByte(' ')
		for _, n := range e.Notes {
			fmt.Fprintf(&b, "%s%d/%d%s,", n.Before, n.String, n.Fret, n.After)
		}
	}
	return b.String()
}

func (p phrase) id() string {
	return fmt.Sprintf("part/%s/%d=%08x", p.own.ID, p.bar, crc32.ChecksumIEEE([]byte(p.own.Learned.String()+p.content())))
}

// said names the bar: "second bar", "bar 14".
func (p phrase) said() string {
	ordinals := []string{"first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth"}
	if p.bar <= len(ordinals) {
		return ordinals[p.bar-1] + " bar"
	}
	return fmt.Sprintf("bar %d", p.bar)
}

// partItems ask where the phrases of the player's own parts begin in a key that is
// called.
//
// What is remembered is a phrase, a bar of a part; the key is drawn afresh, from the
// gigs that play the song first. Bars that are played alike are one phrase. An id
// names the song, the part and the bar, with a checksum of what is played there, since a
// bar that was changed is another thing to remember: "part/tin umbrella/intro/2=5c1f09ab".
func (s Setup) partItems() []Item {
	var items []Item
	for _, own := range s.Parts {
		for _, p := range own.phrases() {
			if len(s.drawnKeys(p.own.Learned.Mode)) == 0 || !s.shows(own.Part.Events[p.first:p.last]) {
				continue
			}
			_, heard := s.strokes(own.Part.Events[p.first:p.last])
			items = append(items, Item{
				ID:      p.id(),
				Title:   fmt.Sprintf("%s, %s, %s", own.Song, own.Name, p.said()),
				Group:   own.Song,
				topic:   "parts of " + own.Song,
				Aim:     s.Aim * 2,
				Stage:   stageLowNaturals, // what a player adds himself waits for nothing
				Strings: p.strings(),
				typed:   !heard,
			})
		}
	}
	return items
}

// strings lists the strings that the phrase is played on, the lowest first.
func (p phrase) strings() (strs []int) {
	for _, e := range p.own.Part.Events[p.first:p.last] {
		for _, n := range e.Notes {
			if !slices.Contains(strs, n.String) {
				strs = append(strs, n.String)
			}
		}
	}
	slices.Sort(strs)
	slices.Reverse(strs)
	return strs
}

// shows reports whether a phrase lies between the frets asked, all of it.
func (s Setup) shows(events []fretboard.Event) bool {
	return !slices.ContainsFunc(events, func(e fretboard.Event) bool {
		return slices.ContainsFunc(e.Notes, func(n fretboard.Fretted) bool {
			return !n.Dead && (!s.Neck.Has(n.Position) || n.Fret < s.Frets[0] || n.Fret > s.Frets[1])
		})
	})
}

// lowest is the place of an event on its lowest string.
func lowest(e fretboard.Event) (at fretboard.Position) {
	for _, n := range e.Notes {
		if !n.Dead && n.String > at.String {
			at = n.Position
		}
	}
	return at
}

func (s Setup) askPart(ref string, rng *rand.Rand) (Question, error) {
	for _, own := range s.Parts {
		if !strings.HasPrefix(ref, own.ID+"/") {
			continue
		}
		for _, p := range own.phrases() {
			if p.id() == "part/"+ref {
				return s.askPhrase(p, rng)
			}
		}
	}
	return Question{}, fmt.Errorf("no such part: %s", ref)
}

// askPhrase asks a phrase in a key that is called for its song, or else in one that the
// part can be played in.
func (s Setup) askPhrase(p phrase, rng *rand.Rand) (Question, error) {
	const tries = 6 // a move of a long part takes its time
	var keys []theory.Key
	for _, n := range s.needs {
		if slices.Contains(n.Parts, p.own.ID) {
			keys = append(keys, n.Key)
		}
	}
	needed, all := len(keys), s.drawnKeys(p.own.Learned.Mode)
	for _, i := range rng.Perm(len(all))[:min(tries, len(all))] {
		keys = append(keys, all[i])
	}
	if needed > 1 {
		rng.Shuffle(needed, func(i, j int) { keys[i], keys[j] = keys[j], keys[i] })
	}
	if !s.OnlyKeys {
		keys = append(keys, p.own.Learned)
	}
	for _, whole := range []bool{true, false} { // with nothing broken, if there is such a key
		for _, k := range keys {
			offers, err := MovePart(p.own.Part, p.own.Learned, k)
			if err == nil && s.shows(offers[0].Events[p.first:p.last]) && (!whole || offers[0].Broken() == 0) {
				return s.phraseQuestion(p, k, offers), nil
			}
		}
	}
	return Question{}, fmt.Errorf("no place for it between frets %d and %d", s.Frets[0], s.Frets[1])
}

// MovePart moves a part to the key that is called: the same way as its song, unless
// that cannot be played. The other ways come behind it.
func MovePart(part fretboard.Part, learned, called theory.Key) (fingering.Offers, error) {
	return fingering.MoveNear(part, part.Neck.ShapeKey(learned), part.Neck.ShapeKey(called))
}

// phraseQuestion wants the place where a phrase begins. Each way to move the part that
// can be played is right.
func (s Setup) phraseQuestion(p phrase, k theory.Key, offers fingering.Offers) Question {
	best := offers[0].Events[p.first:p.last]
	want := lowest(best[0])
	which := "where does it begin"
	if len(best[0].Notes) > 1 {
		which = "where is the lowest note of its first chord"
	}
	q := Question{
		Text:   fmt.Sprintf("%s, %s, %s, called in %s: %s?", p.own.Song, p.own.Name, p.said(), s.inKey(k), which),
		Expect: ExpectPlaces,
		Count:  1,
		Target: p.sounds(s, best),
	}
	marks, goes := s.phraseMarks(k, best)
	why := "It goes " + goes
	q.lesson = func() Lesson {
		return Lesson{Pattern: fmt.Sprintf("%s, %s, %s, by number: %s", p.own.Song, p.own.Name, p.said(), s.phraseNumbers(k, best)),
			Here: fmt.Sprintf("In %s: %s", s.inKey(k), goes), Marks: marks}
	}
	var ways [][]struck
	for i, m := range offers {
		if way, ok := s.strokes(m.Events[p.first:p.last]); ok && (i == 0 || m.Broken() == 0) {
			ways = append(ways, way)
		}
	}
	q.cue = []Sounding{} // the first note would say where it begins
	q.judge = judgement(s.beginning, func(given []fretboard.Position) Verdict {
		v := Verdict{Given: fretboard.WritePlaces(given), Want: fretboard.WritePlaces([]fretboard.Position{want}), Why: why, Marks: marks}
		for i, m := range offers {
			if lowest(m.Events[p.first]) == given[0] && (i == 0 || m.Broken() == 0) {
				v.Right = true
				if i > 0 {
					v.Marks, _ = s.phraseMarks(k, m.Events[p.first:p.last])
					v.Note = "so it can be played, too"
				}
				return v
			}
		}
		note := s.phraseNote(k, want)
		if off := s.Neck.MIDI(given[0]) - s.Neck.MIDI(want); off != 0 {
			v.is = s.offBy(given[0], note, off)
		} else {
			v.is = fmt.Sprintf("%s is the same %s, and the part cannot be played from there as you hold it", say(given[0]), s.Names.Note(note))
		}
		return v
	})
	if begins := q.judge; len(ways) > 0 {
		q.playing = func() *Playing { return s.playPhrase(ways) }
		q.judge = func(answer string) (Verdict, error) {
			if len(strings.Fields(answer)) > 1 {
				return s.judgePhrase(answer, ways, Verdict{Why: why, Marks: marks})
			}
			return begins(answer)
		}
	}
	return q
}

// beginning reads the one place where a phrase begins.
func (s Setup) beginning(answer string) ([]fretboard.Position, error) {
	given, err := s.parsePlaces(answer, nil)
	if err == nil && len(given) != 1 {
		err = fmt.Errorf("%q has %d places: expected the one where it begins, like 6/3", answer, len(given))
	}
	return given, err
}

// phraseNote names the note of a place in a key: by its scale, or else with the sign of
// its signature.
func (s Setup) phraseNote(k theory.Key, at fretboard.Position) theory.Note {
	pitch := s.Neck.MIDI(at)
	for _, n := range k.Scale() {
		if n.PitchClass() == pitch%12 {
			return n
		}
	}
	return theory.FromMIDI(pitch, k.Signature() < 0).Note
}

// phraseMarks draws a phrase, each place once, and says its notes and places in order.
func (s Setup) phraseMarks(k theory.Key, events []fretboard.Event) (marks []Mark, goes string) {
	var notes, places []string
	for _, e := range events {
		var together []fretboard.Position
		for i := len(e.Notes) - 1; i >= 0; i-- {
			at := e.Notes[i].Position
			if e.Notes[i].Dead || !s.Neck.Has(at) {
				continue
			}
			name := s.Names.Note(s.phraseNote(k, at))
			notes, together = append(notes, name), append(together, at)
			if m := (Mark{at, name}); !slices.Contains(marks, m) {
				marks = append(marks, m)
			}
		}
		if len(together) > 0 {
			places = append(places, strings.ReplaceAll(fretboard.WritePlaces(together), " ", "+"))
		}
	}
	return marks, strings.Join(notes, " ") + ", at " + strings.Join(places, " ")
}

// phraseNumbers says the notes of a phrase by their numbers in the key.
func (s Setup) phraseNumbers(k theory.Key, events []fretboard.Event) string {
	var notes []theory.Note
	for _, e := range events {
		if at := lowest(e); s.Neck.Has(at) {
			notes = append(notes, s.phraseNote(k, at))
		}
	}
	return s.degrees(k, notes)
}

// usualTempo is how fast a part sounds whose song says no tempo, in beats a minute.
const usualTempo = 90

// sounds is the cue of a phrase in time.
func (p phrase) sounds(s Setup, events []fretboard.Event) (cue []Sounding) {
	tempo := p.own.Tempo
	if tempo == 0 {
		tempo = usualTempo
	}
	at := time.Duration(0)
	for _, e := range events {
		length := time.Duration(e.Beats * 60 / tempo * float64(time.Second))
		for _, n := range e.Notes {
			if !n.Dead && s.Neck.Has(n.Position) {
				cue = append(cue, Sounding{s.Neck.MIDI(n.Position), at, length})
			}
		}
		at += length
	}
	return cue
}

// AskPhrase poses a bar of an own part in a key, as [Catalogue.Ask] does; false where it is
// none of the catalogue's.
func (c *Catalogue) AskPhrase(own string, bar int, k theory.Key) (Question, bool) {
	for _, o := range c.setup.Parts {
		if o.ID != own {
			continue
		}
		p, ok := o.phraseOf(bar)
		if !ok {
			return Question{}, false
		}
		it, known := c.Item(p.id())
		offers, err := MovePart(o.Part, o.Learned, k)
		if !known || err != nil {
			return Question{}, false
		}
		q := c.setup.phraseQuestion(p, k, offers)
		q.Item, q.Family, q.title = it.ID, it.Family, it.Title
		return q, true
	}
	return Question{}, false
}
