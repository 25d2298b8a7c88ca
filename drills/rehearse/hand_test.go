package rehearse_test

import (
	"strings"
	"testing"

	"surefret/drills/fretboard"
	"surefret/drills/rehearse"
)

// What the hand plays was looked up on a neck by hand: shapes and walks are the
// fretboard's, whose tests hold them against other work.
func TestTheHandPlaysWhatWasAskedFor(t *testing.T) {
	const song = "Key: C\n\n| C | Am F | G7sus4 | G/B |"
	for as, want := range map[string]string{
		rehearse.Roots: "C 5/3, Am 5/0, F 6/1, G7sus4 6/3, G/B 5/2",
		"tenths":       "C 5/3 2/5, Am 5/0 2/1, F 6/1 3/2, G7sus4 6/3, G/B 5/2 2/3", // no tenth without a third: the root alone
		"octaves":      "C 5/3 3/5, Am 5/0 3/2, F 6/1 4/3, G7sus4 6/3 4/5, G/B 5/2 3/4",
		"triads":       "C 3/0 2/1 1/0, Am 3/2 2/1 1/0, F 3/2 2/1 1/1, G7sus4 6/3, G/B 3/4 2/3 1/3",
		"e-form-major": "C 6/8 5/10 4/10 3/9 2/8 1/8, Am 5/0, F 6/1 5/3 4/3 3/2 2/1 1/1, G7sus4 6/3, G/B 5/2",
	} {
		r := run(t, song, 96)
		if err := r.As(as, neck); err != nil {
			t.Errorf("%s: %v", as, err)
		}
		if got := hands(r); got != want {
			t.Errorf("%s are played at %s, want %s", as, got, want)
		}
		for _, c := range r.Changes { // the fret that is asked is where the hand is
			if low := c.Hand[0]; low.String >= 5 && neck.MIDI(low)%12 == c.Chord.Bass().PitchClass() && low != c.Place {
				t.Errorf("%s of %s is asked at %v and played at %v", as, c.Chord, c.Place, low)
			}
		}
	}
}

func hands(r rehearse.Run) string {
	var all []string
	for _, c := range r.Changes {
		all = append(all, c.Chord.String()+" "+fretboard.WritePlaces(c.Hand))
	}
	return strings.Join(all, ", ")
}

// Tones that are held are the same over every chord; a walk begins and ends on roots.
func TestHeldTonesStayAndWalksArrive(t *testing.T) {
	r := run(t, "Key: G\n\n| G | C | D | Em |", 96)
	if err := r.As(rehearse.Held, neck); err != nil {
		t.Fatal(err)
	}
	last := func(c rehearse.Change) [2]fretboard.Position { return [2]fretboard.Position(c.Hand[len(c.Hand)-2:]) }
	for _, c := range r.Changes {
		if last(c) != last(r.Changes[0]) {
			t.Errorf("%s: %s and %s, nothing is held", c.Chord, fretboard.WritePlaces(c.Hand), fretboard.WritePlaces(r.Changes[0].Hand))
		}
	}
	if err := r.As(rehearse.Walks, neck); err != nil {
		t.Fatal(err)
	}
	walks := 0
	for i, c := range r.Changes {
		if !c.Walk {
			continue
		}
		walks++
		from, to := c.Hand[0], c.Hand[len(c.Hand)-1]
		if neck.MIDI(from)%12 != c.Chord.Bass().PitchClass() || neck.MIDI(to)%12 != r.Changes[i+1].Chord.Bass().PitchClass() {
			t.Errorf("the walk from %s goes %s", c.Chord, fretboard.WritePlaces(c.Hand))
		}
	}
	if walks != 1 { // from G to C; the others lie a step apart
		t.Errorf("%d walks", walks)
	}
}

// A walk goes on from where the one before it arrived, and the root is asked there: C at 6/8.
// From G at 6/3 the neck has no walk down to D: its notes between are those from 5/10.
func TestAWalkGoesOnFromWhereTheLastArrived(t *testing.T) {
	for song, want := range map[string]string{
		"Key: D\n\n| Bm | G | D | G |":   "Bm 5/2 5/0 6/3, G 6/3 5/9 5/7 6/10, D 6/10 5/7 5/9 5/10, G 5/10",
		"Key: F\n\n| Bb | F | Dm | Bb |": "Bb 5/1 5/0 6/3 6/1, F 6/1 5/7 5/5, Dm 5/5 5/3 6/6, Bb 6/6",
		"Key: C\n\n| Em | C | F | Dm |":  "Em 5/7 5/5 6/8, C 6/8 5/5 5/7 5/8, F 5/8 5/7 5/5, Dm 5/5",
		"Key: C\n\n| Am | C | F |":       "Am 5/0 5/2 5/3, C 5/3 4/0 4/2 4/3, F 6/1", // string 4 has no root that is asked
	} {
		r := run(t, song, 96)
		if err := r.As(rehearse.Walks, neck); err != nil {
			t.Fatal(err)
		}
		if got := hands(r); got != want {
			t.Errorf("%q is walked\n%s, want\n%s", song, got, want)
		}
		for _, c := range r.Changes {
			if c.Hand[0] != c.Place {
				t.Errorf("%q: %s is asked at %v and played at %v", song, c.Chord, c.Place, c.Hand[0])
			}
		}
	}
}

// A walking line goes from bass to bass, a note a beat, and back to the first.
func TestAWalkingLineIsPlayed(t *testing.T) {
	bass := fretboard.Fretboard{Tuning: fretboard.Bass, Frets: 20}
	r := runOn(t, bass, "Key: C\n\n| C | F G | Am | Am |", 96)
	if err := r.As(rehearse.Walking, bass); err != nil {
		t.Fatal(err)
	}
	for i, c := range r.Changes {
		next := r.Changes[(i+1)%len(r.Changes)]
		from, to := c.Hand[0], c.Hand[len(c.Hand)-1]
		if !c.Walk || len(c.Hand) != int(c.Length)+1 || bass.MIDI(from)%12 != c.Chord.Bass().PitchClass() || bass.MIDI(to)%12 != next.Chord.Bass().PitchClass() {
			t.Errorf("under %s, %g beats, it walks %s", c.Chord, c.Length, fretboard.WritePlaces(c.Hand))
		}
	}
}

func TestWhatNobodyCanPlayIsSaid(t *testing.T) {
	for _, v := range []struct{ song, as, want string }{
		{"Key: C\n\n| C | F |", "nonsense", `no shape on this instrument is called "nonsense"`},
		{"Key: C\n\n| C | F |", "a-form-m7", "no chord of this song has one of the shapes"},
		{"Key: C\n\n| C | Dm |", rehearse.Walks, "no two neighbouring chords of this song have a walk"},
		{"Key: C\n\n| C | F# | Bb | Ebm |", rehearse.Held, "no two tones can stay over every chord"},
	} {
		r := run(t, v.song, 96)
		if err := r.As(v.as, neck); err == nil || !strings.Contains(err.Error(), v.want) {
			t.Errorf("%s as %s: %v, want %q", v.song, v.as, err, v.want)
		}
	}
}
