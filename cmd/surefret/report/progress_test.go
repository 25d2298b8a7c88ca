package report

import (
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"surefret/cmd/surefret/ink"
	"surefret/drills"
	"surefret/scheduler"
)

func progressOf(t testing.TB, since string) Progress {
	c, rows, o := learned(t)
	tally := NewTally(c, planner(t, c))
	if err := tally.Read(each(rows)); err != nil {
		t.Fatal(err)
	}
	p := tally.Progress(o, since, "2026-11-25", nil)
	p.Gigs = []Ready{
		{Name: "Harbour Fair", Day: "2026-11-30", Now: 0.61, Share: 0.72, Low: 0.6, High: 0.85},
		{Name: "A supper with a long name", Day: "2027-01-04", Now: 0.3, Share: 0.5, Low: 0.2, High: 0.9},
		{Name: "Quay Day", Day: "2027-01-09", Share: 0.1, Thin: true},
	}
	p.Neck = NeckMap(c, o, setup(), nil, [2]int{0, 22})
	p.Forecast = []Forecast{{"2026-11-25", 4.25}, {"2026-11-26", 0}, {"2026-11-27", 2.5}}
	return p
}

func near(a, b, by float64) bool { return math.Abs(a-b) <= by }

// Everything that is counted is counted here again, each in a loop of its own.
func TestProgressIsWhatTheLogSays(t *testing.T) {
	c, rows, _ := learned(t)
	for _, since := range []string{"", "2026-10-01"} {
		p := progressOf(t, since)

		days, last := map[string]Day{}, map[string]bool{}
		for _, r := range rows {
			item, _ := c.Item(r.Item)
			last[r.Item] = r.Right && r.Thinking <= item.Aim
			d := days[r.Day]
			d.Day = r.Day
			d.Answers++
			if r.Right {
				d.Right++
			}
			d.Fluent = 0
			for _, fluent := range last {
				if fluent {
					d.Fluent++
				}
			}
			d.Minutes += (r.Thinking + 2*time.Second).Minutes() // as the log was made
			days[r.Day] = d
		}
		shown := 0
		for day := range days {
			if day >= since {
				shown++
			}
		}
		if len(p.Days) != shown {
			t.Fatalf("%d days since %q, want %d", len(p.Days), since, shown)
		}
		for _, got := range p.Days {
			want := days[got.Day]
			// The first answer of a sitting is reckoned, not measured.
			if !near(got.Minutes, want.Minutes, 2.0/60) {
				t.Errorf("%s: %.3f minutes, want %.3f", got.Day, got.Minutes, want.Minutes)
			}
			got.Minutes = want.Minutes
			if got != want {
				t.Errorf("%+v, want %+v", got, want)
			}
		}

		var low []float64
		for _, r := range rows {
			item, _ := c.Item(r.Item)
			if r.Right && slices.Equal(item.Strings, []int{6}) && r.Day >= since {
				low = append(low, r.Thinking.Seconds())
			}
		}
		slices.Sort(low)
		if s := p.Strings[0]; s.Name != "6" || s.Answers != len(low) || !near(s.Typical, low[len(low)/2], 0.011) {
			t.Errorf("string 6: %+v, want %d answers, %.3f s", s, len(low), low[len(low)/2])
		}
		if s := p.Strings[0]; s.Latest >= s.First {
			t.Errorf("string 6 got faster in the log, not in %+v", s)
		}

		var sum, fluent, n float64
		know, seen := planner(t, c), map[string]string{}
		for _, r := range rows {
			answer := scheduler.Answer{Item: r.Item, At: r.At, Right: r.Right, Thinking: r.Thinking}
			if day := seen[r.Item]; day != "" && day != r.Day && r.Day >= since {
				sum += know.Fluency(r.Item, r.At)
				n++
				if know.Outcome(answer).Fluent() {
					fluent++
				}
			}
			know.Learn(answer)
			seen[r.Item] = r.Day
		}
		var gotSum, gotFluent, gotN float64
		for _, b := range p.Trust {
			k := float64(b.Answers)
			gotSum, gotFluent, gotN = gotSum+b.Predicted*k, gotFluent+b.Observed*k, gotN+k
		}
		if gotN != n || !near(gotSum, sum, 1e-6) || !near(gotFluent, fluent, 1e-6) {
			t.Errorf("predicted and observed: %.3f %.3f of %.0f, want %.3f %.3f of %.0f", gotSum, gotFluent, gotN, sum, fluent, n)
		}
	}
}

// A tally that was kept halfway ends as one that read all.
func TestATallyCanBeKept(t *testing.T) {
	c, rows, o := learned(t)
	whole := NewTally(c, planner(t, c))
	if err := whole.Read(each(rows)); err != nil {
		t.Fatal(err)
	}
	for _, cut := range []int{0, 1, 700, len(rows)} {
		half := NewTally(c, planner(t, c))
		if err := half.Read(each(rows[:cut])); err != nil {
			t.Fatal(err)
		}
		data, err := half.MarshalBinary()
		if err != nil {
			t.Fatal(err)
		}
		on := NewTally(c, planner(t, c))
		if err := on.UnmarshalBinary(data); err != nil {
			t.Fatal(err)
		}
		if err := on.Read(each(rows[cut:])); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(whole.Progress(o, "", "2026-11-25", nil), on.Progress(o, "", "2026-11-25", nil), cmp.Exporter(func(reflect.Type) bool { return true })); diff != "" {
			t.Errorf("cut at %d: %s", cut, diff)
		}
		if err := NewTally(c, planner(t, c)).UnmarshalBinary(data[:len(data)/2]); err == nil {
			t.Error("half a tally was taken up")
		}
	}
}

func TestDaysOfTheLastFourteen(t *testing.T) {
	for days, want := range map[string]int{
		"":                      0,
		"2026-11-25":            1,
		"2026-11-22 2026-11-24": 2,
		"2026-11-11 2026-11-12": 1, // today is the fourteenth day
		"2026-11-24 2026-11-25 2026-11-24 2026-11-27": 2, // a clock set back
	} {
		var all []Day
		for d := range strings.FieldsSeq(days) {
			all = append(all, Day{Day: d})
		}
		if got := recent(all, "2026-11-25"); got != want {
			t.Errorf("%s: %d, want %d", days, got, want)
		}
	}
}

// The circle of fifths as every primer has it, from C clockwise.
func TestKeysGoRoundTheCircleOfFifths(t *testing.T) {
	p := progressOf(t, "")
	var names []string
	for _, k := range p.Keys {
		names = append(names, strings.TrimSuffix(k.Name, " major"))
		if (k.Asked > 0) != (k.Name == "D major") || k.Items == 0 || k.Asked > k.Items {
			t.Errorf("%+v; only D major was asked", k)
		}
	}
	if got, want := strings.Join(names, " "), "C G D A E B Gb Db Ab Eb Bb F"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}

func TestProgressFitsAnyWidth(t *testing.T) {
	p := progressOf(t, "")
	for columns := 40; columns <= 120; columns++ {
		fits(t, columns, p.Text(columns, ink.Look{}))
	}
	golden(t, "progress-40.txt", p.Text(40, ink.Look{ASCII: true}))
	golden(t, "progress-100.txt", p.Text(100, ink.Look{}))
	if text := progressOf(t, "2027-01-01").Text(40, ink.Look{}); !strings.Contains(text, "Nothing was practised") {
		t.Errorf("no practice: %s", text)
	}
}

func TestThePageIsAsItWasLookedAt(t *testing.T) {
	var b strings.Builder
	if err := progressOf(t, "").HTML(&b, "Invented <data>"); err != nil {
		t.Fatal(err)
	}
	golden(t, "progress.html", b.String())
	for _, bad := range []string{"http://", "https://", "<script", "src=", "Invented <data>"} {
		if strings.Contains(strings.ReplaceAll(b.String(), `xmlns="http://www.w3.org/2000/svg"`, ""), bad) {
			t.Errorf("the page has %q in it", bad)
		}
	}
	if n, m := strings.Count(b.String(), "<svg"), strings.Count(b.String(), "<table>"); n != 9 || m != 8 {
		t.Errorf("%d pictures, %d tables", n, m)
	}
	var empty strings.Builder
	if err := progressOf(t, "2027-01-01").HTML(&empty, ""); err != nil || !strings.Contains(empty.String(), "Nothing was practised") {
		t.Errorf("no practice: %v %s", err, empty.String())
	}
}

// Whatever the JSON has, the text and the page say with the same figure.
func TestTextPageAndJSONSayTheSame(t *testing.T) {
	var html strings.Builder
	shown := progressOf(t, "")
	if err := shown.HTML(&html, ""); err != nil {
		t.Fatal(err)
	}
	data, err := json.Marshal(shown)
	if err != nil {
		t.Fatal(err)
	}
	var p Progress
	if err := json.Unmarshal(data, &p); err != nil {
		t.Fatal(err)
	}
	words := func(text, drawn string) string {
		return strings.Join(strings.Fields(regexp.MustCompile(drawn).ReplaceAllString(text, " ")), " ")
	}
	said := map[string]string{"text": words(shown.Text(100, ink.Look{}), "[▆─━●○┊┿┼║]+"), "page": words(strings.ReplaceAll(html.String(), "&nbsp;", " "), "<[^>]*>")}
	facts := 0
	says := func(in, format string, args ...any) {
		t.Helper()
		facts++
		if want := fmt.Sprintf(format, args...); !strings.Contains(said[in], want) {
			t.Errorf("the %s does not say %q", in, want)
		}
	}
	both := func(format string, args ...any) {
		t.Helper()
		says("text", format, args...)
		says("page", format, args...)
	}
	hundred := func(share float64) int { return int(math.Round(100 * share)) }

	minutes, answers := 0.0, 0
	for _, d := range p.Days {
		minutes, answers = minutes+d.Minutes, answers+d.Answers
		says("page", "%s %d %d %d", short(d.Day), d.Fluent, d.Answers, d.Right)
	}
	weeks := shown.weeks()
	for i, w := range weeks {
		says("page", "%s %.0f %d", short(w.day), w.minutes, w.days)
		if i >= len(weeks)-rowWeeks {
			says("text", "%s %.0f on %s", short(w.day), w.minutes, Many(w.days, "day"))
		}
	}
	both("%.0f minutes on %d days, %d answers. %d items right in time when last asked. Practised on %d of the last 14 days.", minutes, len(p.Days), answers, p.Days[len(p.Days)-1].Fluent, p.Recent)
	figures, drawn := map[int]string{}, ""
	for _, place := range p.Neck.Places {
		if place.Level != Unmet && place.Fret < octave {
			figures[place.String] += fmt.Sprint(" ", place.Figure())
		}
	}
	for _, m := range regexp.MustCompile(`class="on\d"[^>]*>(\d)<`).FindAllStringSubmatch(html.String(), -1) {
		drawn += " " + m[1]
	}
	for str, row := range figures {
		says("text", "%d%s", str, row)
		if !strings.Contains(drawn, row) {
			t.Errorf("string %d is%s, and on the page%s", str, row, drawn)
		}
	}
	for _, r := range p.Neck.Weakest {
		both("%s: %d %% %s", r.Words, hundred(r.Fluency), r.Command)
	}
	for _, topic := range p.Topics {
		both("%s: %s, %d %%", short(topic.Day), topic.Name, hundred(topic.Fluency))
	}
	for _, b := range p.Fluent {
		both("%s: %s", short(b.Day), b.Title)
	}
	for _, g := range p.Gigs {
		if g.Thin {
			says("text", "%s too few answers %s", short(g.Day), g.Name)
			says("page", "%s %s too few answers", g.Name, short(g.Day))
			continue
		}
		says("text", "%s %d %% %s: %d to %d %%, now %d %%", short(g.Day), hundred(g.Share), g.Name, hundred(g.Low), hundred(g.High), hundred(g.Now))
		says("page", "%s %s %d %% %d %% %d %% %d %%", g.Name, short(g.Day), hundred(g.Share), hundred(g.Low), hundred(g.High), hundred(g.Now))
	}
	for i, s := range append(slices.Clone(p.Strings), p.Drills...) {
		if i < len(p.Strings) {
			s.Name = "string " + s.Name
		}
		says("text", "%s %.1f s, was %.1f", s.Name, s.Latest, s.First)
		says("page", "%s %.1f %.1f %.1f %.1f %d", s.Name, s.Latest, s.First, s.Aim, s.Typical, s.Answers)
	}
	for _, k := range p.Keys {
		if k.Asked > 0 {
			says("text", "%s %d %%", k.Name, hundred(k.Fluency))
		} else {
			says("text", "%s chords by number not asked", k.Name)
		}
		says("page", "%s %d %d %d %d", k.Name, hundred(k.Fluency), k.Sure, k.Asked, k.Items)
	}
	for _, f := range p.Forecast {
		both("%s %.1f", short(f.Day), f.Minutes)
	}
	apart, n := 0.0, 0
	for _, b := range p.Trust {
		apart, n = apart+math.Abs(b.Predicted-b.Observed)*float64(b.Answers), n+b.Answers
		says("page", "%d %% %d %% %d", hundred(b.Predicted), hundred(b.Observed), b.Answers)
	}
	both("Of %d answers that it gave a chance, the share in time was %d point", n, hundred(apart/float64(n)))
	if facts < 140 {
		t.Errorf("%d facts were looked for", facts)
	}
}

// Where not every week is drawn, text and page say how many are.
func TestWeeksThatAreNotDrawnAreCounted(t *testing.T) {
	for weeks := 1; weeks <= 30; weeks++ {
		p := Progress{}
		for i := range weeks {
			p.Days = append(p.Days, Day{Day: time.Date(2026, 3, 2+7*i, 0, 0, 0, 0, time.UTC).Format(time.DateOnly), Minutes: 10})
		}
		text, words := p.Text(80, ink.Look{}), p.minutesChart()
		said := fmt.Sprintf("Minutes, by week, the last 13 of %d\n", weeks)
		if rows := strings.Count(text, "10 on 1 day"); rows != min(weeks, 13) || strings.Contains(text, said) != (weeks > 13) {
			t.Errorf("%d weeks, %d drawn:\n%s", weeks, rows, text)
		}
		said = fmt.Sprintf("The last 26 of %d weeks are drawn.", weeks)
		if bars := strings.Count(string(words.SVG), `class="bar"`); bars != min(weeks, 26) || strings.Contains(words.Words, said) != (weeks > 26) {
			t.Errorf("%d weeks, %d drawn: %s", weeks, bars, words.Words)
		}
	}
}

// What was played is told apart from what was typed, and has an aim that is longer by the
// reach: within it a played answer is fluent. A note of a song on its beat has no time.
func TestPlayedAnswersAreToldApart(t *testing.T) {
	c, _, o := learned(t)
	tally := NewTally(c, planner(t, c))
	tally.Reach = 600 * time.Millisecond
	it, _ := c.Item("note/E2+3/find")
	var rows []drills.Answer
	for i, r := range []drills.Answer{
		{Entry: drills.EntryKeys, Right: true, Thinking: time.Second},
		{Entry: drills.EntryPlayed, Right: true, Thinking: it.Aim + 500*time.Millisecond},
		{Entry: drills.EntryPlayed, Right: true, Thinking: time.Millisecond},
		{Entry: drills.EntryPlayed, Thinking: time.Second},
	} {
		r.Item, r.Day, r.At = it.ID, "2026-11-20", time.Date(2026, 11, 20, 18, i, 0, 0, time.UTC)
		rows = append(rows, r)
	}
	if err := tally.Read(each(rows[:2])); err != nil || tally.Days[0].Fluent != 1 {
		t.Errorf("%v: after a played answer within its aim %d items are fluent", err, tally.Days[0].Fluent)
	}
	if err := tally.Read(each(rows[2:])); err != nil {
		t.Fatal(err)
	}
	p := tally.Progress(o, "", "2026-11-25", nil)
	aim := it.Aim.Seconds()
	want := []Played{{"note", Way{3, 2, (it.Aim.Seconds() + 0.51), aim + 0.6}, Way{1, 1, 1.01, aim}}}
	if diff := cmp.Diff(want, p.Played, cmp.Comparer(func(a, b float64) bool { return near(a, b, 0.001) })); diff != "" {
		t.Error(diff)
	}
	if len(p.Drills) != 1 || p.Drills[0].Answers != 1 {
		t.Errorf("the times of what was typed are %+v", p.Drills)
	}
}
