package store

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"surefret/drills/gig"
)

// say names a thing that two computers changed, and the value of each, in words.
// What no player chose is not named.
func (t thing) say(kept, lost standing) (what, keptWords, lostWords string) {
	switch t.kind {
	case kindGig:
		return t.sayGig(kept, lost)
	case kindSong:
		return t.saySong(kept, lost)
	}
	say := sayValue
	what = fmt.Sprintf("the %s %s", t.kind, t.key)
	if t.kind == kindSetting {
		name, item, _ := strings.Cut(t.key, "/")
		switch {
		case name+"/" == asideKey:
			what = "whether " + item + " is set aside"
			say = func(s standing) string {
				return map[bool]string{true: "set aside", false: "practised"}[string(s.value) == "true"]
			}
		case name+"/" == shapeKey:
			what = "the shape " + strconv.Quote(item)
		case name == choiceKey:
			what = "what is practised"
		case name+"/" == placedKey, name+"/" == explainedKey, name == typingKey, name == cautionedKey, name == weightsKey:
			return "", "", ""
		}
	}
	return what, say(kept), say(lost)
}

// sayValue says a value as it is, and when it was set where it is more than a line.
func sayValue(s standing) string {
	var text string
	switch {
	case s.value == nil:
		return "its removal"
	case json.Unmarshal(s.value, &text) == nil && !strings.Contains(text, "\n"):
		return text
	case strings.ContainsRune("{[\"", rune(s.value[0])):
		return "what was set on " + s.at.Local().Format(time.DateOnly)
	}
	return string(s.value)
}

// sayThere says whether there is still a gig or a song.
func sayThere(s standing) string {
	if s.value == nil {
		return "its removal"
	}
	return "what it is now"
}

func (t thing) saySong(kept, lost standing) (what, keptWords, lostWords string) {
	what = fmt.Sprintf("the song %q", kept.of.text("title"))
	name, own := strings.CutPrefix(t.part, ownPart)
	switch {
	case t.part == "":
		return what, sayThere(kept), sayThere(lost)
	case t.part == "learned":
		what = "the key of " + what
	case own:
		what = fmt.Sprintf("the part %s of %s", name, what)
	default:
		what = "the " + t.part + " of " + what
	}
	return what, sayValue(kept), sayValue(lost)
}

func (t thing) sayGig(kept, lost standing) (what, keptWords, lostWords string) {
	name := strconv.Quote(kept.of.text("name"))
	say := sayText
	part, title, _ := strings.Cut(t.part, "/")
	switch part + "/" {
	case "asked/":
		return "", "", ""
	case "/":
		return "the gig " + name, sayThere(kept), sayThere(lost)
	case partOrder + "/":
		what = "the order of the songs of " + name
		a, b := order(kept.value), order(lost.value)
		if slices.Equal(among(a, b), among(b, a)) { // songs came or went, which is told of the songs
			return "", "", ""
		}
		for _, titles := range [][]string{a, b} {
			for i, t := range titles {
				titles[i] = kept.of.title(t)
			}
		}
		return what, strings.Join(a, ", "), strings.Join(b, ", ")
	case partSong:
		what = fmt.Sprintf("the song %q of %s", kept.of.title(title), name)
		keptWords, lostWords = saySongs(kept.value, lost.value)
		return what, keptWords, lostWords
	case partCall:
		what = fmt.Sprintf("how %q is called at %s", kept.of.title(title), name)
		say = sayCall
	default:
		what = "the " + t.part + " of " + name
	}
	return what, say(kept.value), say(lost.value)
}

// text is what a part says, or the id where that was lost.
func (s *state) text(part string) string {
	var text string
	if json.Unmarshal(s.parts[part], &text) != nil {
		return s.last.key
	}
	return text
}

// title is the title of a song as it is written, of the one in its part.
func (s *state) title(part string) string {
	var song gig.Song
	if json.Unmarshal(s.parts[partSong+part], &song) != nil {
		return part
	}
	return song.Title
}

// sayText says a field of a gig: a day as it is, other texts in one line.
func sayText(v []byte) string {
	var text string
	if json.Unmarshal(v, &text) != nil || text == "" {
		return "nothing"
	}
	if isDay(text) {
		return text
	}
	return strconv.Quote(strings.Join(strings.Fields(text), " "))
}

func order(v []byte) (titles []string) {
	_ = json.Unmarshal(v, &titles)
	return titles
}

// among returns those of a that are in b, in their order.
func among(a, b []string) (both []string) {
	for _, t := range a {
		if slices.Contains(b, t) {
			both = append(both, t)
		}
	}
	return both
}

const takenOut = "taken out of the gig"

func sayCall(v []byte) string {
	var c call
	switch {
	case v == nil || json.Unmarshal(v, &c) != nil:
		return takenOut
	case c.Shaky:
		return c.Called + ", shaky"
	}
	return c.Called
}

// saySongs says of each of two songs what the other has not.
func saySongs(a, b []byte) (string, string) {
	fields := func(v []byte) (said []string) {
		var s gig.Song
		if v == nil || json.Unmarshal(v, &s) != nil {
			return nil
		}
		said = append(said, "learned in "+s.Learned)
		for _, sec := range s.Sections {
			said = append(said, strings.TrimSpace(sec.Name+" "+sec.Chords))
		}
		if len(s.Shapes) > 0 {
			said = append(said, "shapes "+strings.Join(s.Shapes, ", "))
		}
		for _, p := range s.Parts {
			said = append(said, fmt.Sprintf("part %q of %d lines", p.Name, strings.Count(p.Tab, "\n")+1))
		}
		if s.Tempo > 0 {
			said = append(said, fmt.Sprintf("tempo %g", s.Tempo))
		}
		return append(said, "the title "+s.Title)
	}
	x, y := fields(a), fields(b)
	say := func(one, other []string) string {
		if one == nil {
			return takenOut
		}
		own := slices.DeleteFunc(slices.Clone(one), func(s string) bool { return slices.Contains(other, s) })
		if len(own) == 0 || other == nil {
			return "the song as it was changed"
		}
		return strings.Join(own, "; ")
	}
	return say(x, y), say(y, x)
}
