package drills

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"surefret/drills/fretboard"
	"surefret/drills/fretboard/tablature"
	"surefret/drills/theory"
)

// tinTab is the intro of Tin Umbrella in D; its third bar is the first one again.
const tinTab = "e|-----------|------2-0-|-----------|---------|\n" +
	"B|-----3-----|--3-------|-----3-----|----3----|\n" +
	"G|---2---2---|----2-----|---2---2---|----2----|\n" +
	"D|-0---------|----------|-0---------|----0----|\n" +
	"A|-----------|-0--------|-----------|---------|\n" +
	"E|-----------|----------|-----------|---------|\n"

func tinIntro(tab string) OwnPart {
	t := must(tablature.Parse(tab, fretboard.Fretboard{Tuning: fretboard.Standard, Frets: 22}))
	return OwnPart{ID: "tin umbrella/intro", Song: "Tin Umbrella", Name: "intro", Learned: must(theory.ParseKey("D")), Tempo: 120, Part: t.Part()}
}

func partItems(c *Catalogue) (ids, titles []string) {
	for _, it := range c.Items() {
		if it.Family == "part" {
			ids, titles = append(ids, it.ID), append(titles, it.Title)
		}
	}
	return ids, titles
}

// A phrase that was changed is another thing to remember, and the others stay.
func TestThePhrasesOfAPartAreItems(t *testing.T) {
	ids, titles := partItems(whole())
	want := []string{"Tin Umbrella, intro, first bar", "Tin Umbrella, intro, second bar", "Tin Umbrella, intro, fourth bar"}
	if !slices.Equal(titles, want) {
		t.Errorf("the phrases are %q, want %q", titles, want)
	}
	s := standard()
	s.Parts = []OwnPart{tinIntro(strings.Replace(tinTab, "------2-0-", "------2-3-", 1))}
	changed, _ := partItems(NewCatalogue(s))
	if len(changed) != 3 || changed[0] != ids[0] || changed[1] == ids[1] || changed[2] != ids[2] {
		t.Errorf("with another second bar %q become %q", ids, changed)
	}
	if topic := must(item(whole(), ids[0])).Topic(); topic != "parts of Tin Umbrella" {
		t.Errorf("the topic is %q", topic)
	}
}

func item(c *Catalogue, id string) (Item, error) {
	it, ok := c.Item(id)
	if !ok {
		return it, fmt.Errorf("no item %q", id)
	}
	return it, nil
}

// In Bb the second bar begins on F, as it does on A in D, on the fifth.
func TestAPhraseIsAskedInTheKeyThatIsCalled(t *testing.T) {
	ids, _ := partItems(whole())
	bb := must(theory.ParseKey("Bb"))
	need := Need{Key: bb, Learned: must(theory.ParseKey("D")), Parts: []string{"tin umbrella/intro"}}
	var needed []string
	for _, it := range whole().ItemsFor(need) {
		if it.Family == "part" {
			needed = append(needed, it.ID)
		}
	}
	if !slices.Equal(needed, ids) {
		t.Errorf("the song needs %q, want %q", needed, ids)
	}
	q := must(whole().Within(need).Ask(ids[1], seeded(1)))
	if q.Text != "Tin Umbrella, intro, second bar, called in Bb: where does it begin?" {
		t.Errorf("asked: %s", q.Text)
	}
	best := must(MovePart(tinIntro(tinTab).Part, need.Learned, bb))[0]
	first := slices.IndexFunc(best.Events, func(e fretboard.Event) bool { return e.Bar == 2 })
	at := best.Events[first].Notes[0].Position
	if whole().setup.Neck.MIDI(at)%12 != 5 {
		t.Fatalf("the part was moved to begin at %v, which is no F", at)
	}
	v := must(q.Judge(fretboard.WritePlaces([]fretboard.Position{at})))
	if !v.Right || !strings.HasPrefix(v.Why, "It goes F Bb F D C, at ") || len(v.Marks) < 4 || !slices.Contains(v.Marks, Mark{at, "F"}) {
		t.Errorf("the answer is judged %+v", v)
	}
	if wrong := must(q.Judge("6/3")); wrong.Right || !strings.Contains(wrong.is, "is G, not F") {
		t.Errorf("6/3 is judged %+v", wrong)
	}
	// 120 beats a minute: a bar of four is two seconds.
	if last := q.Target[len(q.Target)-1]; len(q.Target) != 5 || (last.At+last.For).Round(time.Millisecond) != 2*time.Second {
		t.Errorf("it sounds %v", q.Target)
	}
	keys := map[string]bool{}
	for seed := range 30 {
		text := must(whole().Ask(ids[0], seeded(seed))).Text
		_, key, _ := strings.Cut(text, "called in ")
		keys[key] = true
	}
	if len(keys) < 8 {
		t.Errorf("without a gig it is asked in %d keys of 12", len(keys))
	}
}
