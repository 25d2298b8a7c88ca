package report

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"surefret/drills"
	"surefret/drills/theory"
)

// Progress is what the log shows of a stretch of practice.
type Progress struct {
	Since    string     `json:"since"`               // first day shown
	Until    string     `json:"until"`               // today
	Days     []Day      `json:"days"`                // those with practice, in order
	Recent   int        `json:"days_of_the_last_14"` // with practice, today among the fourteen
	Strings  []Speed    `json:"strings"`             // thinking time by string, the lowest first
	Drills   []Speed    `json:"drills"`              // and by family; neither has what was played
	Played   []Played   `json:"played"`              // drills that were answered by playing, beside what was typed
	Fluent   []Became   `json:"became_sure"`
	Trust    []Tenth    `json:"predicted_and_observed"`
	Neck     Map        `json:"neck"` // as of now, with what to practise next
	Topics   []Reached  `json:"topics_became_sure"`
	Keys     []Key      `json:"keys"` // major keys round the circle of fifths, from C on
	Gigs     []Ready    `json:"gigs"`
	Forecast []Forecast `json:"forecast"`
}

// A Day is one day of practice.
type Day struct {
	Day     string  `json:"day"`
	Minutes float64 `json:"minutes"`
	Answers int     `json:"answers"`
	Right   int     `json:"right"`
	Fluent  int     `json:"fluent_items"` // items whose last answer by the end of the day was fluent
}

// A Speed is how fast right answers came.
type Speed struct {
	Name    string  `json:"name"`
	Answers int     `json:"answers"`           // right ones that were timed
	Typical float64 `json:"thinking"`          // the median in seconds
	First   float64 `json:"thinking_at_first"` // in the first month shown, 0 where it is the only one
	Latest  float64 `json:"thinking_lately"`   // in the last month shown
	Aim     float64 `json:"aim"`               // that most of its items have
}

// A Played is a drill that was answered by playing: what the hand knows, and what the
// head does.
type Played struct {
	Name   string `json:"name"`
	Played Way    `json:"played"`
	Typed  Way    `json:"typed"`
}

// A Way is how answers came in one way.
type Way struct {
	Answers int     `json:"answers"`
	Right   int     `json:"right"`
	Typical float64 `json:"thinking"` // the median of right ones in seconds, 0 where none was timed
	Aim     float64 `json:"aim"`      // that most of its items have, by this way
}

// A Reached is a topic that is sure, with the day on which the last of its items became so.
type Reached struct {
	Topic
	Day string `json:"day"`
}

// A Became is an item that became sure, in words.
type Became struct {
	Item  string `json:"item"`
	Title string `json:"title"`
	Day   string `json:"day"`
}

// A Tenth holds the answers, the first of their item on a day, whose predicted
// fluency fell into one tenth.
type Tenth struct {
	Predicted float64 `json:"predicted"` // mean, 0 to 1
	Observed  float64 `json:"observed"`  // share that was fluent
	Answers   int     `json:"answers"`
}

// A Key is how sure the player is of one key.
type Key struct {
	Name    string  `json:"key"`
	Fluency float64 `json:"fluency"` // mean over its items, those never asked counting 0
	Asked   int     `json:"asked"`
	Sure    int     `json:"sure"` // items that are sure, see Outlook.Sure
	Items   int     `json:"items"`
	Called  bool    `json:"called"` // by a coming gig
}

// A Ready is the readiness for one gig.
type Ready struct {
	Name  string  `json:"name"`
	Day   string  `json:"day"`
	Now   float64 `json:"now"`
	Share float64 `json:"share"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
	Thin  bool    `json:"thin,omitempty"` // too little was asked to say
}

// A Forecast is the expected practice load of one of the coming days.
type Forecast struct {
	Day     string  `json:"day"`
	Minutes float64 `json:"minutes"`
}

// mostFluent is how many items that became sure are named.
const mostFluent = 10

// Progress sums up from the day since on, "2026-10-01", or from the beginning
// where it is empty. Thinking times and predictions are counted by the month, so
// the whole month of since is in them. Played are minutes by day in which nothing was
// answered.
func (t *Tally) Progress(o Outlook, since, today string, played map[string]float64) Progress {
	p := Progress{Since: since, Until: today}
	days := withMinutes(t.Days, played)
	for i, d := range days {
		if d.Day >= since {
			p.Days = days[i:]
			break
		}
	}
	if len(p.Days) > 0 && p.Since == "" {
		p.Since = p.Days[0].Day
	}
	p.Recent = recent(days, today)
	months := slices.DeleteFunc(slices.Clone(t.Months), func(m month) bool { return since != "" && m.Month < since[:7] })
	p.Strings = speeds(months, "string ")
	slices.Reverse(p.Strings)
	p.Drills = speeds(months, "drill ")
	p.Trust = trust(months)
	for _, b := range slices.Backward(t.Became) {
		it, ok := t.catalogue.Item(b.Item)
		named := slices.ContainsFunc(p.Fluent, func(c Became) bool { return c.Item == b.Item })
		// What has been missed since is fluent no more.
		if ok && !named && t.Fluent[b.Item] && b.Day >= since && len(p.Fluent) < mostFluent {
			p.Fluent = append(p.Fluent, Became{b.Item, it.Title, b.Day})
		}
	}
	p.Keys = t.keys(o)
	p.Topics = t.reached(o, since)
	t.setAims(p.Strings, p.Drills)
	p.Played = t.played(months)
	return p
}

// played lists the drills that were answered by playing.
func (t *Tally) played(months []month) []Played {
	all := []Played{}
	for _, family := range drills.Families() {
		hand, head := t.way(months, played, family), t.way(months, typed, family)
		if hand.Answers > 0 {
			all = append(all, Played{string(family), hand, head})
		}
	}
	return all
}

// way sums up the answers to a drill that were given in one way.
func (t *Tally) way(months []month, how string, family drills.Family) (w Way) {
	name, speed, longer := how+string(family), "drill "+string(family), time.Duration(0)
	if how == played {
		speed, longer = name, t.Reach
	}
	taken := times{}
	for _, m := range months {
		if n := m.Ways[name]; n != nil {
			w.Answers, w.Right = w.Answers+n.Answers, w.Right+n.Right
		}
		if s := m.Speeds[speed]; s != nil {
			for slot, n := range *s {
				taken[slot] += n
			}
		}
	}
	w.Typical, _ = taken.median()
	aims := []Speed{{Name: string(family)}}
	t.setAims(nil, aims)
	w.Aim = aims[0].Aim + longer.Seconds()
	return w
}

// withMinutes adds minutes to days, and the days that had no answer. As many items were
// fluent then as on the day before.
func withMinutes(days []Day, played map[string]float64) []Day {
	days = slices.Clone(days)
	for _, day := range slices.Sorted(maps.Keys(played)) {
		i, there := slices.BinarySearchFunc(days, day, func(d Day, day string) int { return cmp.Compare(d.Day, day) })
		if !there {
			days = slices.Insert(days, i, Day{Day: day})
			if i > 0 {
				days[i].Fluent = days[i-1].Fluent
			}
		}
		days[i].Minutes += played[day]
	}
	return days
}

// reached lists the topics that are sure, the latest first, of those whose last item
// became so from the day since on.
func (t *Tally) reached(o Outlook, since string) []Reached {
	days := map[string]string{}
	for _, b := range t.Became {
		if it, ok := t.catalogue.Item(b.Item); ok {
			days[it.Topic()] = max(days[it.Topic()], b.Day)
		}
	}
	all := []Reached{}
	for _, topic := range o.SureTopics(t.catalogue.Items()) {
		if day := days[topic.Name]; day != "" && day >= since {
			all = append(all, Reached{topic, day})
		}
	}
	slices.SortFunc(all, func(a, b Reached) int { return cmp.Or(cmp.Compare(b.Day, a.Day), cmp.Compare(a.Name, b.Name)) })
	return all[:min(mostTopics, len(all))]
}

// SureTopics lists the topics of items that are sure, in the order of the items: all of
// theirs were asked, one on two days at least, they are sure on the mean, and none is
// under one in two.
func (o Outlook) SureTopics(items []drills.Item) (sure []Topic) {
	ids := map[string][]string{}
	var names []string
	for _, it := range items {
		name := it.Topic()
		if name == "" {
			continue
		}
		if ids[name] == nil {
			names = append(names, name)
		}
		ids[name] = append(ids[name], it.ID)
	}
	for _, name := range names {
		of := ids[name]
		short := func(id string) bool { p, asked := o.Fluency(id); return !asked || p < 0.5 }
		if mean, asked := o.mean(of); enough(mean) && o.twoDays(of...) && !slices.ContainsFunc(of, short) {
			sure = append(sure, Topic{name, mean, asked, len(of)})
		}
	}
	return sure
}

// mostTopics is how many topics that became sure are named.
const mostTopics = 10

// setAims sets the aim that most items of a string, asked for its notes, or of a drill
// have.
func (t *Tally) setAims(strs, families []Speed) {
	for _, group := range []struct {
		speeds []Speed
		of     func(drillItem) string
	}{{strs, drillItem.onString}, {families, drillItem.family}} {
		counts := map[string]map[time.Duration]int{}
		for _, it := range t.catalogue.Items() {
			name := group.of(drillItem{it})
			if counts[name] == nil {
				counts[name] = map[time.Duration]int{}
			}
			counts[name][it.Aim]++
		}
		for i := range group.speeds {
			most := 0
			for aim, n := range counts[group.speeds[i].Name] {
				if seconds := aim.Seconds(); n > most || n == most && seconds < group.speeds[i].Aim {
					most, group.speeds[i].Aim = n, seconds
				}
			}
		}
	}
}

// A drillItem is an item by the names under which its thinking times are counted.
type drillItem struct{ drills.Item }

func (it drillItem) family() string { return string(it.Family) }

func (it drillItem) onString() string {
	if len(it.Strings) != 1 {
		return ""
	}
	return fmt.Sprint(it.Strings[0])
}

// recent counts the days with practice among the fourteen up to today. A clock
// that was set back leaves days twice, and days after today.
func recent(days []Day, today string) int {
	now, err := time.Parse(time.DateOnly, today)
	if err != nil {
		return 0
	}
	from := now.AddDate(0, 0, -13).Format(time.DateOnly)
	seen := map[string]bool{}
	for _, d := range days {
		if from <= d.Day && d.Day <= today {
			seen[d.Day] = true
		}
	}
	return len(seen)
}

// speeds lists the typical thinking times whose names begin with prefix.
func speeds(months []month, prefix string) []Speed {
	whole := map[string]times{}
	by := map[string]*Speed{}
	for _, m := range months {
		for name, t := range m.Speeds {
			short, ok := strings.CutPrefix(name, prefix)
			if !ok {
				continue
			}
			s := by[short]
			if s == nil {
				s = &Speed{Name: short}
				by[short], whole[short] = s, times{}
			}
			for at, n := range *t {
				whole[short][at] += n
			}
			median, _ := t.median()
			if s.Latest > 0 && s.First == 0 {
				s.First = s.Latest
			}
			s.Latest = median
		}
	}
	var all []Speed
	for name, s := range by {
		s.Typical, s.Answers = whole[name].median()
		all = append(all, *s)
	}
	slices.SortFunc(all, func(a, b Speed) int { return cmp.Compare(a.Name, b.Name) })
	return all
}

// trust sets what was predicted beside what was observed.
func trust(months []month) []Tenth {
	var sum [10]tenth
	for _, m := range months {
		for i, b := range m.Tenths {
			sum[i].Sum += b.Sum
			sum[i].Fluent += b.Fluent
			sum[i].N += b.N
		}
	}
	var all []Tenth
	for _, b := range sum {
		if b.N > 0 {
			all = append(all, Tenth{b.Sum / float64(b.N), float64(b.Fluent) / float64(b.N), b.N})
		}
	}
	return all
}

// keys tells how sure each major key is, a fifth up from one to the next. Of
// each pair that sounds the same it takes the one with fewer accidentals, G flat
// of the pair that has six.
func (t *Tally) keys(o Outlook) []Key {
	flatFirst := theory.KeysOf(theory.Major)[1:13] // G flat to B
	by := map[string]int{}
	var keys []Key
	for i := range flatFirst {
		k := flatFirst[(i+6)%12] // from C on
		by["key/"+k.String()] = len(keys)
		keys = append(keys, Key{Name: k.String()})
	}
	for _, it := range t.catalogue.Items() {
		at, ok := by[it.ID[:max(strings.LastIndexByte(it.ID, '/'), 0)]]
		if !ok {
			continue
		}
		k := &keys[at]
		k.Items++
		if p, asked := o.Fluency(it.ID); asked {
			k.Asked++
			k.Fluency += p
			if o.Sure(it.ID) {
				k.Sure++
			}
		}
	}
	for i := range keys {
		keys[i].Fluency /= float64(max(keys[i].Items, 1))
	}
	return keys
}
