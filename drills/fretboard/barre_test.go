package fretboard

import "testing"

func TestAnOpenStringBreaksABarre(t *testing.T) {
	at := stopsOf([]Position{{6, 2}, {5, 0}, {4, 2}, {3, 4}, {2, 2}})
	runs, notes := at.runs(2, nil)
	if len(runs) != 2 || notes != 3 || runs[1] != (Barre{2, 4, 2}) {
		t.Errorf("%d notes in runs %v, want string 6 alone and a barre from 4 to 2", notes, runs)
	}
}
