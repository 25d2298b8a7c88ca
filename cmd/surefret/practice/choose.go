package practice

import (
	"cmp"
	"context"
	"encoding/json"
	"io"
	"slices"
	"strings"
	"time"

	"surefret/cmd/surefret/report"
	"surefret/drills"
)

// Choice is what the player chose to practise.
func (p *Player) Choice() drills.Choice { return p.choice }

// Choose keeps what is practised from now on, until it is chosen anew. It beats the
// order in which things are met; a gig that is near gets what it needs all the same. A
// choice that leaves nothing is a [NothingLeftError] and changes nothing.
func (p *Player) Choose(ctx context.Context, choice drills.Choice) error {
	before := p.choice
	p.choice = choice
	_, err := p.work(Selection{Heard: true})
	if err == nil {
		err = p.log.KeepChoice(ctx, choice)
	}
	if err != nil {
		p.choice = before
	}
	return err
}

// ChoicePage lists the words to choose by, with what is known of each.
func (p *Player) ChoicePage() report.Choice {
	return report.ChoiceOf(p.catalogue, p.choice, p.foresight())
}

// How weak topics are told and practised.
const (
	weakBelow  = 0.8 // fluency from which a topic is not weak
	weakTopics = 3   // how many of them are practised together
)

// Weak lists the topics of which something was asked and that are not sure, the
// weakest first, out of what the player chose to practise. Three of them are what
// [Selection] means by Weak.
func (p *Player) Weak() []report.Topic { return p.weak(p.catalogue.Choose(p.choice).Wants) }

// SayWeak says the weakest topics and how to practise them, "" for none.
func SayWeak(weak []report.Topic) string {
	var words []string
	for _, t := range weak[:min(weakTopics, len(weak))] {
		words = append(words, t.Name)
	}
	if len(words) == 0 {
		return ""
	}
	return "Weakest: " + strings.Join(words, "; ") + ". 'surefret practice --weak' practises just these."
}

func (p *Player) weak(fits func(drills.Item) bool) []report.Topic {
	named := map[string]*report.Topic{}
	for _, it := range p.catalogue.Items() {
		if it.Topic() == "" || p.aside[it.ID] || !fits(it) {
			continue
		}
		t := named[it.Topic()]
		if t == nil {
			t = &report.Topic{Name: it.Topic()}
			named[t.Name] = t
		}
		t.Items++
		if st, _ := p.planner.State(it.ID); st.Asked > 0 {
			t.Asked++
			t.Fluency += p.planner.Fluency(it.ID, p.Now())
		}
	}
	var weak []report.Topic
	for _, t := range named {
		if t.Fluency /= float64(t.Asked); t.Asked > 0 && t.Fluency < weakBelow {
			weak = append(weak, *t)
		}
	}
	slices.SortFunc(weak, func(a, b report.Topic) int {
		return cmp.Or(cmp.Compare(a.Fluency, b.Fluency), cmp.Compare(a.Name, b.Name))
	})
	return weak
}

// everyDay returns an item that the player keeps for every day, is not sure and was
// not asked today. It is every other question at most; the planner may go on with a
// topic that is begun so.
func (s *Sitting) everyDay(now time.Time) (string, bool) {
	if s.daily {
		s.daily = false
		return "", false
	}
	for _, id := range s.chosen.daily {
		st, _ := s.p.planner.State(id)
		if s.chosen.wants(id) && (st.Asked == 0 || st.Day < s.p.today() && s.p.planner.Fluency(id, now) < weakBelow) {
			s.daily = true
			return id, true
		}
	}
	return "", false
}

// A choiceFile is a choice in a file.
type choiceFile struct {
	Surefret string `json:"surefret"` // "choice"
	drills.Choice
}

// WriteChoice writes a choice as JSON, to hand to a pupil.
func WriteChoice(w io.Writer, choice drills.Choice) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(choiceFile{"choice", choice})
}

// ReadChoice reads what WriteChoice wrote, and reports whether it is that.
func ReadChoice(text string) (drills.Choice, bool) {
	var file choiceFile
	dec := json.NewDecoder(strings.NewReader(text))
	dec.DisallowUnknownFields()
	err := dec.Decode(&file)
	return file.Choice, err == nil && file.Surefret == "choice" && !dec.More()
}

// Union lists the words of both without repeating one; commas part words, too.
func Union(a, b []string) []string {
	all := slices.Clone(a)
	for _, words := range b {
		for word := range strings.SplitSeq(words, ",") {
			if word = strings.TrimSpace(word); word != "" && !slices.Contains(all, word) {
				all = append(all, word)
			}
		}
	}
	return all
}
