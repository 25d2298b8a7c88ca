package theory_test

import (
	"testing"

	. "surefret/drills/theory"
)

func TestNotesArePrintedInEverySystem(t *testing.T) {
	for _, v := range []struct{ note, ascii, signs, solfege, solfegeSigns, german string }{
		{"B", "B", "B", "Si", "Si", "H"},
		{"Bb", "Bb", "B♭", "Sib", "Si♭", "B"},
		{"Bbb", "Bbb", "B𝄫", "Sibb", "Si𝄫", "Heses"},
		{"F##", "F##", "F𝄪", "Fa##", "Fa𝄪", "Fisis"},
		{"Ab", "Ab", "A♭", "Lab", "La♭", "As"},
		{"Ebb", "Ebb", "E𝄫", "Mibb", "Mi𝄫", "Eses"},
		{"G#", "G#", "G♯", "Sol#", "Sol♯", "Gis"},
		{"C", "C", "C", "Do", "Do", "C"},
	} {
		n := mustNote(t, v.note)
		for _, system := range []struct {
			names Names
			want  string
		}{
			{Names{}, v.ascii},
			{Names{Signs: true}, v.signs},
			{Names{System: Solfege}, v.solfege},
			{Names{System: Solfege, Signs: true}, v.solfegeSigns},
			{Names{System: German}, v.german},
			{Names{System: German, Signs: true}, v.german},
		} {
			if got := system.names.Note(n); got != system.want {
				t.Errorf("%s in %+v: got %s, want %s", v.note, system.names, got, system.want)
			}
		}
	}
	if got := (Names{System: Solfege}).Pitch(mustPitch(t, "Bb3")); got != "Sib3" {
		t.Errorf("Bb3 in solfege: got %s", got)
	}
	for names, want := range map[Names]string{{}: "F#m7b5/Bb", {Signs: true}: "F♯m7♭5/B♭", {System: Solfege}: "Fa#m7b5/Sib", {System: German, Signs: true}: "Fism7♭5/B"} {
		if got := names.Chord(mustChord(t, "F#m7b5/Bb")); got != want {
			t.Errorf("a chord in %+v: got %s, want %s", names, got, want)
		}
	}
}

func TestOtherSystemsReadTheirOwnNames(t *testing.T) {
	solfege, german := Names{System: Solfege}, Names{System: German}
	for _, v := range []struct {
		names Names
		s     string
		want  string
	}{
		{solfege, "ré", "D"}, {solfege, "RE", "D"}, {solfege, "ut", "C"}, {solfege, "ti♭", "Bb"}, {solfege, "sol#", "G#"},
		{german, "h", "B"}, {german, "B", "Bb"}, {german, "Bb", "Bb"}, {german, "F#", "F#"}, {german, "Eb", "Eb"},
		{german, "asas", "Abb"}, {german, "H#", "B#"}, {german, "HIS", "B#"},
		{solfege, "fa dièse", "F#"}, {solfege, "Si bémol", "Bb"}, {solfege, "sol sharp", "G#"}, {solfege, "mi bemolle", "Eb"}, {solfege, "Fa #", "F#"},
		{german, "F sharp", "F#"}, {german, "A sharp", "A#"}, {german, "E flat", "Eb"}, {german, "B flat", "Bb"}, {german, "H flat", "Bb"}, {german, "H natural", "B"},
	} {
		if n, err := v.names.Parse(v.s); err != nil || n.String() != v.want {
			t.Errorf("%q: got %v, %v, want %s", v.s, n, err, v.want)
		}
	}
	for _, v := range []struct {
		names Names
		s     string
	}{
		{solfege, "C"}, {solfege, "H"}, {solfege, "so"}, {solfege, "do###"},
		{german, ""}, {german, "I"}, {german, "Bis"}, {german, "Bes"}, {german, "B#"}, {german, "Bbb"}, {german, "Cisisis"}, {german, "Do"}, {german, "Cises"}, {german, "B sharp"}, {german, "B natural"},
	} {
		if n, err := v.names.Parse(v.s); err == nil {
			t.Errorf("%q in %+v is read as %v", v.s, v.names, n)
		}
	}
	for s, want := range map[string]string{"Asus4": "Asus4", "Assus4": "Absus4", "Esus2": "Esus2", "B7": "Bb7", "H7/Dis": "B7/D#", "Es-": "Ebm", "Fism7b5": "F#m7b5", "F sharp minor 7": "F#m7", "Asharp": "A#"} {
		if c, err := german.ParseChord(s); err != nil || c.String() != want {
			t.Errorf("%q in German: got %v, %v, want %s", s, c, err, want)
		}
	}
	if k, err := german.ParseKey("h moll"); err != nil || k != (Key{Tonic: Note{Letter: B}, Mode: Minor}) {
		t.Errorf("h moll: got %v, %v", k, err)
	}
}
