package screen

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/theory"
)

// graceTime is how long an answer that could still go on usually waits for another
// key: a C for its sharp, fret 1 for the second digit of 12; longer for a hand that was
// measured to need it. It never counts as thinking: the clock has stopped at the first
// key.
const graceTime = 400 * time.Millisecond

// An entry takes the keys of one answer. It knows no terminal: keys come in as
// runes or named steps, and what comes out is a text for the judge.
//
// Kinds with few possible answers (a note, a fret, a choice, a place) are taken
// letter by letter against the list of all of them: an answer is committed the
// moment that nothing longer can follow, waits for the grace time where it can,
// and a key that cannot go on begins anew. Other kinds are typed freely and
// committed with Enter.
type entry struct {
	question drills.Question
	neck     fretboard.Fretboard
	words    map[string]kind // possible texts and beginnings of them, nil where typing is free
	system   theory.System

	text    string
	first   time.Time       // when the first key of the answer came
	key     time.Time       // when the last one did
	gaps    []time.Duration // from a key that could have ended it to the next
	picks   []fretboard.Position
	refused bool // text cannot be read: Backspace mends it, and any other key begins anew
	bare    bool // the last of them was typed as a fret alone
	ended   bool // by Space or Enter, so that no late key goes on with it
	pointer *fretboard.Position
	by      drills.Entry
}

// kind tells what a text is among the possible ones.
type kind uint8

const (
	prefix kind = 1 << iota // something longer begins with it
	entire                  // it is an answer
)

// step is what came of a key.
type step uint8

const (
	ignored step = iota // no key of an answer
	edited              // taken, the answer goes on
	waiting             // an answer that could go on: commit it after the grace time
	commit              // the answer is complete
)

// newEntry begins the entry of an answer to q.
func newEntry(q drills.Question, neck fretboard.Fretboard, system theory.System) entry {
	e := entry{question: q, neck: neck, system: system, by: drills.EntryKeys}
	for _, w := range words(q, neck, system) {
		if e.words == nil {
			e.words = map[string]kind{}
		}
		e.words[w] |= entire
		for i := 1; i < len(w); i++ {
			e.words[w[:i]] |= prefix
		}
	}
	return e
}

// places reports whether the answer is places on the neck, several of them.
func (e *entry) places() bool {
	return e.question.Expect == drills.ExpectPlaces || e.question.Expect == drills.ExpectPath
}

// points reports whether the answer can be pointed at.
func (e *entry) points() bool { return e.places() || e.question.Expect == drills.ExpectFret }

// empty reports whether nothing was entered yet.
func (e *entry) empty() bool { return e.text == "" && len(e.picks) == 0 && e.pointer == nil }

// clear begins anew.
func (e *entry) clear() {
	e.text, e.picks, e.pointer, e.first, e.by = "", nil, nil, time.Time{}, drills.EntryKeys
	e.refused, e.bare, e.ended, e.gaps = false, false, false, nil
}

// refuse takes back an answer that cannot be read. What was typed freely stays to
// be mended.
func (e *entry) refuse() {
	if e.words != nil {
		e.clear()
		return
	}
	e.refused = true
}

// begin stamps the first key.
func (e *entry) begin(now time.Time) {
	if e.empty() {
		e.first = now
	}
}

// rune takes a character key.
func (e *entry) rune(r rune, now time.Time) step {
	switch {
	case e.words == nil:
		return e.free(r, now)
	case r == ' ' || e.places() && (r == ',' || r == ';'):
		if e.pointer != nil && e.text == "" {
			return e.pick(*e.pointer)
		}
		return e.space()
	case r == '/' && e.renamed():
		return edited
	}
	text := e.text + e.spell(r)
	if e.words[text] == 0 && e.places() && e.words[e.text]&entire != 0 {
		// What stands there is a place, and the key begins the next one.
		if s := e.done(); s == commit {
			return s
		}
		text = e.spell(r)
	}
	if e.words[text] == 0 {
		return e.anew(e.spellFirst(r), now)
	}
	return e.put(text, now)
}

// renamed takes back a place that was the bare fret of a string, since it names a
// string after all, and reports whether it could.
func (e *entry) renamed() bool {
	n := len(e.picks)
	if e.text != "" || !e.bare || n == 0 {
		return false
	}
	text := strconv.Itoa(e.picks[n-1].Fret) + "/"
	if e.words[text] == 0 {
		return false
	}
	e.text, e.picks, e.bare = text, e.picks[:n-1], false
	return true
}

// anew begins an answer in place of the one in hand.
func (e *entry) anew(text string, now time.Time) step {
	if e.words[text] == 0 {
		return ignored
	}
	if e.text != "" && len(e.picks) == 0 {
		e.first = now
	}
	return e.put(text, now)
}

// put takes a text that is an answer or begins one.
func (e *entry) put(text string, now time.Time) step {
	e.begin(now)
	if e.words[e.text]&entire != 0 && len(text) > len(e.text) && strings.HasPrefix(text, e.text) {
		e.gaps = append(e.gaps, now.Sub(e.key))
	}
	e.text, e.key, e.ended = text, now, false
	// A place can be typed without its slash: a string that is one digit.
	if e.places() && len(e.question.On) == 0 && e.words[text+"/"] != 0 && len(text) == 1 && e.neck.Tuning.Strings() < 10 {
		e.text += "/"
	}
	switch e.words[e.text] {
	case entire:
		return e.done()
	case entire | prefix:
		return waiting
	}
	return edited
}

// spell turns a key that goes on into what it stands for: several keys make a
// sharp or a flat, since # is hard to reach on many keyboards.
func (e *entry) spell(r rune) string {
	s := strings.ToLower(string(r))
	if e.places() && s == "/" && strings.HasSuffix(e.text, "/") {
		return "" // it was there already
	}
	if e.question.Expect != drills.ExpectNote || e.text == "" || e.words[e.text+s] != 0 {
		return s
	}
	switch s {
	case "#", "♯", "+", "s":
		if e.system == theory.German && e.words[e.text+"is"] != 0 {
			return "is"
		}
		return "#"
	case "b", "♭", "-", "f":
		if e.system == theory.German {
			if e.words[e.text+"es"] != 0 {
				return "es"
			}
			return "s"
		}
		return "b"
	}
	return s
}

// spellFirst is spell for a key that begins.
func (e *entry) spellFirst(r rune) string {
	s := strings.ToLower(string(r))
	if len(s) == 1 && strings.ContainsAny(s, "#+-/♯♭") {
		return "none"
	}
	return s
}

// free takes a key of an answer that is typed freely.
func (e *entry) free(r rune, now time.Time) step {
	if r < ' ' || r == utf8.RuneError || len(e.text) >= 60 || r == ' ' && e.text == "" {
		return ignored
	}
	if e.refused {
		e.clear()
	}
	e.begin(now)
	e.text += string(r)
	return edited
}

// space ends a word that could have gone on. After a place that ended by itself it
// changes nothing.
func (e *entry) space() step {
	if e.words[e.text]&entire != 0 {
		e.ended = true
		return e.done()
	}
	if e.places() && e.text == "" && len(e.picks) > 0 {
		return edited
	}
	return ignored
}

// done ends the word in hand: the answer is complete, or a place of it is.
func (e *entry) done() step {
	if !e.places() {
		return commit
	}
	at, ok := e.place()
	e.text = ""
	if !ok {
		return ignored
	}
	return e.pick(at)
}

// enter commits what there is; it ends the grace time early.
func (e *entry) enter() step {
	switch {
	case e.words == nil:
		if strings.TrimSpace(e.text) == "" {
			return ignored
		}
		return commit
	case e.text != "":
		s := e.space()
		if s == edited && len(e.picks) < e.question.Count {
			return edited // it ends the place, and the others are still to come
		}
		if s == ignored {
			return ignored
		}
		return commit
	case e.question.Expect == drills.ExpectFret && e.pointer != nil:
		e.text = strconv.Itoa(e.pointer.Fret)
		return commit
	case e.places() && len(e.picks) == 0 && e.pointer != nil:
		e.picks = append(e.picks, *e.pointer)
		return commit
	case e.question.Expect == drills.ExpectPath && len(e.picks) < e.question.Count:
		return ignored
	case len(e.picks) > 0:
		return commit
	}
	return ignored
}

// grace commits an answer that waited long enough.
func (e *entry) grace() step {
	if e.words != nil && e.words[e.text] == entire|prefix {
		return e.done()
	}
	return ignored
}

// back takes the last key back.
func (e *entry) back() step {
	e.refused = false
	switch {
	case e.text != "":
		e.text = strings.TrimSuffix(e.text, "/")
		if _, size := utf8.DecodeLastRuneInString(e.text); e.words == nil {
			e.text = e.text[:len(e.text)-size]
		} else {
			e.text = ""
		}
	case len(e.picks) > 0:
		e.picks = e.picks[:len(e.picks)-1]
	case e.pointer != nil:
		e.pointer = nil
	default:
		return ignored
	}
	if e.empty() {
		e.clear()
	}
	return edited
}

// later is the entry as it is with a key that came after it was committed, and what it
// is then: nothing, where the key cannot go on with it.
func (e entry) later(r rune, now time.Time) (entry, kind) {
	e.gaps, e.key = append(slices.Clip(e.gaps), now.Sub(e.key)), now
	switch n := len(e.picks); {
	case e.words == nil || e.ended || e.by != drills.EntryKeys:
		return e, 0
	case e.places() && n > 0:
		last := e.picks[n-1]
		e.picks = slices.Clone(e.picks[:n-1])
		e.text = fmt.Sprintf("%d/%d%c", last.String, last.Fret, r)
		is := e.words[e.text]
		at, ok := e.place()
		if e.text = ""; !ok || is&entire == 0 {
			return e, 0
		}
		e.picks = append(e.picks, at)
		return e, is
	}
	e.text += e.spell(r)
	return e, e.words[e.text]
}

// answer returns the text for the judge.
func (e *entry) answer() string {
	if !e.places() {
		return e.display()
	}
	var words []string
	for _, p := range e.picks {
		words = append(words, strconv.Itoa(p.String)+"/"+strconv.Itoa(p.Fret))
	}
	return strings.Join(words, " ")
}

// display returns what was typed as it is shown: a note begins with a capital.
func (e *entry) display() string {
	if e.question.Expect != drills.ExpectNote || e.text == "" {
		return e.text
	}
	_, size := utf8.DecodeRuneInString(e.text)
	shown := strings.ToUpper(e.text[:size]) + e.text[size:]
	return strings.Replace(shown, "x", "##", 1)
}
