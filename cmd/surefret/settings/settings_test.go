package settings

import (
	"cmp"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	gocmp "github.com/google/go-cmp/cmp"

	"surefret/cmd/surefret/form"
	"surefret/drills/theory"
)

func TestDefaultsCanBeUsed(t *testing.T) {
	setup, err := Default().Setup()
	if err != nil {
		t.Fatal(err)
	}
	if setup.Neck.Tuning.String() != "E2 A2 D3 G3 B3 E4" || setup.Neck.Frets != 22 || setup.Aim != 2*time.Second || !setup.Sound {
		t.Errorf("setup %+v", setup)
	}
	if err := setup.Neck.Check(); err != nil {
		t.Error(err)
	}
}

// Each struct field has a form field and the other way round, or a setting
// could be saved that no form asks.
func TestEverySettingHasAField(t *testing.T) {
	typ := reflect.TypeFor[Settings]()
	if typ.NumField() != len(Fields) {
		t.Errorf("%d settings, %d fields", typ.NumField(), len(Fields))
	}
	for i := range typ.NumField() {
		if find(typ.Field(i).Tag.Get("json")).Key == "" {
			t.Errorf("%s has no field", typ.Field(i).Name)
		}
	}
	for _, f := range Fields {
		if f.Ask == "" || !strings.HasSuffix(f.Ask, "?") || f.hint == "" {
			t.Errorf("%s asks %q, hints %q", f.Key, f.Ask, f.hint)
		}
	}
}

func TestEverySettingSurvivesTheStore(t *testing.T) {
	s := Settings{
		Tuning: "C2 G2 D3 A3 E4", Frets: 24, Capo: 3, LeftHanded: true, Names: "german", Flats: true, SixFlats: true,
		Aim: 1.5, Stretch: 5, Highest: 15, Minutes: 20, MoveOn: 0, KeyWait: 1.5, ShownFirst: ShowNothing, Sound: false, Volume: -6.5, ReferenceA: 442, Guitar: BrightGuitar, Speak: true, Drawing: "ascii", Knows: OpenStrings,
		Listen: true, Input: "Interface", Headphones: true, Sounded: true, Delay: 130,
	}
	set, usual := reflect.ValueOf(s), reflect.ValueOf(Default())
	for i := range set.NumField() {
		if set.Field(i).Equal(usual.Field(i)) {
			t.Errorf("%s is as it is by default: give it another value here", set.Type().Field(i).Name)
		}
	}
	got, err := FromMap(s.ToMap())
	if err != nil {
		t.Fatal(err)
	}
	if diff := gocmp.Diff(s, got); diff != "" {
		t.Error(diff)
	}
	setup, err := s.Setup()
	if err != nil || setup.Names.System != theory.German || setup.Neck.Capo != 3 {
		t.Errorf("setup %+v, %v", setup, err)
	}
}

func TestWhatTheStoreLacksHasItsDefault(t *testing.T) {
	got, err := FromMap(map[string]string{"frets": "19", "from the future": "[1]"})
	want := Default()
	want.Frets = 19
	if diff := gocmp.Diff(want, got); diff != "" || err != nil {
		t.Error(diff, err)
	}
}

func TestABadSettingIsNamedAndDefaulted(t *testing.T) {
	for key, text := range map[string]string{"frets": "99", "aim": `"x"`, "names": `"klingon"`, "tuning": `{`, "sound": "1", "volume": "1e400"} {
		got, err := FromMap(map[string]string{key: text, "capo": "2"})
		want := Default()
		want.Capo = 2
		if err == nil || !strings.Contains(err.Error(), key) {
			t.Errorf("%s: %v", key, err)
		}
		if diff := gocmp.Diff(want, got); diff != "" {
			t.Errorf("%s: %s", key, diff)
		}
	}
}

func TestEveryOptionAndEveryRefusal(t *testing.T) {
	for _, f := range Fields {
		for _, o := range f.Options {
			s := Default()
			if err := f.Set(&s, " "+strings.ToUpper(o.Value)+" "); err != nil {
				t.Errorf("%s: %v", f.Key, err)
			}
			if f.Get(s) != o.Value {
				t.Errorf("%s: set %q, got %q", f.Key, o.Value, f.Get(s))
			}
			if err := s.Check(); err != nil {
				t.Error(err)
			}
		}
		for _, bad := range []string{"", "never", "NaN", "1e9", "-100", "12.5x", "\x00"} {
			if f.Key == "input" && bad != "" && bad != "\x00" {
				continue // any name will do
			}
			s := Default()
			err := f.Set(&s, bad)
			if err == nil || strings.ContainsAny(err.Error(), "\n") {
				t.Errorf("%s took %q: %v", f.Key, bad, err)
			}
			if s != Default() {
				t.Errorf("%s refused %q and changed it", f.Key, bad)
			}
		}
	}
}

func TestNumbersReadADecimalComma(t *testing.T) {
	s := Default()
	f := find("aim")
	if err := f.Set(&s, "1,5"); err != nil || s.Aim != 1.5 {
		t.Errorf("aim %v, %v", s.Aim, err)
	}
}

func TestACustomTuningIsKeptAsItsStrings(t *testing.T) {
	s := Default()
	f := find("tuning")
	if err := f.Set(&s, "c2,g2,d3,a3"); err != nil || s.Tuning != "C2 G2 D3 A3" {
		t.Errorf("tuning %q, %v", s.Tuning, err)
	}
	if err := f.Set(&s, "D2 A2 D3 G3 B3 E4"); err != nil || s.Tuning != "drop D" {
		t.Errorf("tuning %q, %v", s.Tuning, err)
	}
}

// Whatever is kept under the name of a setting, practice can begin, and the
// player is told in one line.
func FuzzFromMap(f *testing.F) {
	for key, text := range Default().ToMap() {
		f.Add(key, text)
	}
	f.Add("aim", "1e400")
	f.Add("frets", "-9007199254740993")
	f.Add("tuning", `"E2 E2 E2 E2 E2 E2 E2 E2 E2 E2 E2 E2 E2"`)
	f.Add("typing", `{"`)
	f.Fuzz(func(t *testing.T, key, text string) {
		s, err := FromMap(map[string]string{key: text})
		if err != nil && len(err.Error()) > 2000 {
			t.Errorf("it takes %d bytes to say what is wrong", len(err.Error()))
		}
		if _, err := s.Setup(); err != nil {
			t.Errorf("%s = %q leaves settings that cannot be used: %v", key, text, err)
		}
		if again, err := FromMap(s.ToMap()); err != nil || again != s {
			t.Errorf("%s = %q gave %+v, which comes back as %+v (%v)", key, text, s, again, err)
		}
	})
}

// Four questions at most. Whoever can name all notes is offered to prove it, on the screen
// and in lines; who begins is not asked what he calls them, and others only where they may
// not be English; a tuning is asked for where it is no usual one; in lines, where questions
// may be listened to, times as well.
func TestTheFirstFormOffersToProveWhatIsKnown(t *testing.T) {
	const knowing, playing, tuning, naming, timing = "Which notes can you name?", "What do you play?",
		"How is it tuned?", "How do you name the notes?", "Do thinking times count?"
	for _, c := range []struct {
		lines                bool
		language             string
		knows, plays, tuning string
		asked                []string
		want                 Settings
		proves               bool
	}{
		{true, "C", "all: I'll prove it", "guitar", "standard", []string{knowing, playing, timing}, Settings{Knows: AllNotes, Names: "english"}, true},
		{true, "C", NoNotes, "bass", "bass", []string{knowing, playing, timing}, Settings{Knows: NoNotes, Names: "english"}, false},
		{false, "en_GB.UTF-8", "all", "another", "drop D", []string{knowing, playing, tuning}, Settings{Knows: AllNotes, Names: "english"}, false},
		{false, "en_GB.UTF-8", "prove", "guitar", "standard", []string{knowing, playing}, Settings{Knows: AllNotes, Names: "english"}, true},
		{false, "de_AT.UTF-8", NoNotes, "guitar", "standard", []string{knowing, playing}, Settings{Knows: NoNotes, Names: "german"}, false},
		{false, "fr_FR", OpenStrings, "another", "DADGAD", []string{knowing, playing, tuning, naming}, Settings{Knows: OpenStrings, Names: "solfege"}, false},
	} {
		s := Default()
		s.Names = NamesIn(c.language)
		var proves bool
		var asked []string
		for _, q := range FirstForm(&s, &proves, c.lines).Questions {
			if q.Idle != nil && q.Idle() {
				continue
			}
			asked = append(asked, q.Ask)
			answer := map[string]string{knowing: c.knows, playing: c.plays, tuning: c.tuning, timing: "off"}[q.Ask]
			if err := q.Set(cmp.Or(answer, *q.Value)); err != nil {
				t.Fatal(err)
			}
		}
		s.Arrive()
		if !slices.Equal(asked, c.asked) || proves != c.proves || s.Knows != c.want.Knows || s.Names != c.want.Names || s.Tuning != c.tuning || s.Times == c.lines || (s.ShownFirst == ShowNeeded) != (c.want.Knows != AllNotes) {
			t.Errorf("lines %v, %s, %s: asked %q, proves %v, %+v", c.lines, c.language, c.knows, asked, proves, s)
		}
	}
}

// Who listens is not asked how the neck is drawn, and says so by a word of the answer.
func TestWhoListensIsNotAskedHowTheNeckIsDrawn(t *testing.T) {
	s := Default()
	listens := false
	for _, q := range Form(&s).Questions {
		switch q.Ask {
		case "Is it printed to be read, or to be listened to?":
			if err := q.Set("listened"); err != nil {
				t.Fatal(err)
			}
			listens = true
		case "How is the neck drawn?":
			if !listens || !q.Idle() {
				t.Error("who listens is asked how the neck is drawn")
			}
		}
	}
	if !s.Speak {
		t.Error("listened is not taken")
	}
}

// Who has set something up is told what is kept, as it was asked.
func TestWhatIsSetUpIsTold(t *testing.T) {
	s := Default()
	s.Tuning, s.Speak, s.Minutes = "drop D", true, 20
	const want = "Saved. How is it tuned? Drop D. How many minutes a day? 20. Is it printed to be read, or to be listened to? To be listened to, in words: F sharp, B flat minor."
	if said := Told(Default(), s); said != want {
		t.Errorf("it says %q", said)
	}
	if said := Told(s, s); said != "No setting is changed." {
		t.Errorf("where nothing is changed it says %q", said)
	}
}

// Who changes his names keeps his tuning, and sees and types it in the new ones.
func TestATuningIsShownInTheNamesOfTheMoment(t *testing.T) {
	s := Default()
	s.Tuning = "E2 B2 E3 A3"
	var names, tuning form.Question
	f := Form(&s)
	for i, q := range f.Questions {
		switch Fields[i].Key {
		case "names":
			names = q
			if tuning.Ask != "" {
				t.Error("the tuning is asked for before the names that it is read in")
			}
		case "tuning":
			tuning = q
		}
	}
	if err := names.Set("german"); err != nil {
		t.Fatal(err)
	}
	if at, ok := tuning.Option("1"); !ok || at.Label != "standard, E2 A2 D3 G3 H3 E4" {
		t.Errorf("the first tuning reads %q", at.Label)
	}
	if err := tuning.Set(*tuning.Value); err != nil || s.Tuning != "E2 B2 E3 A3" {
		t.Errorf("left as it was it is %q: %v", s.Tuning, err)
	}
	if err := tuning.Set("E2 B2 E3 A3"); err != nil || s.Tuning != "E2 B2 E3 A3" {
		t.Errorf("what was shown at first is %q: %v", s.Tuning, err)
	}
	if err := tuning.Set("harp: E2 H2 E3 B3"); err != nil || s.Tuning != "harp: E2 B2 E3 Bb3" {
		t.Errorf("a tuning in German is kept as %q: %v", s.Tuning, err)
	}
	field := find("tuning")
	if got := field.Get(s); got != "harp: E2 H2 E3 B3" {
		t.Errorf("it is shown as %q", got)
	}
}
