// Package gig holds what the player must be ready for: gigs with their dates,
// songs, and the key that each song is called in.
//
// From a gig it derives which items the songs need, so that the scheduler can
// have them fluent on the day.
package gig

// A Gig is one date with its songs.
type Gig struct {
	ID    string `json:"id"`   // unique, made when the gig is added
	Name  string `json:"name"` // "Harbour Fair"
	Day   string `json:"day"`  // "2026-12-05", local
	Songs []Song `json:"songs"`
	Note  string `json:"note,omitempty"` // how it went, in the player's words
}

// A Song is one song of a gig.
type Song struct {
	Title    string    `json:"title"`
	Learned  string    `json:"learned"` // the key its parts are learned in: "D"
	Called   string    `json:"called"`  // the key the singer asks for: "Bb"
	Sections []Section `json:"sections"`
	Shapes   []string  `json:"shapes,omitempty"` // names of movable shapes used
	Parts    []string  `json:"parts,omitempty"`  // tablature files
	Tempo    int       `json:"tempo,omitempty"`  // beats a minute, 0 where it is not given
	Shaky    bool      `json:"shaky,omitempty"`  // the player said so after the gig
}

// A Section is a stretch of a song and its chords, in numbers, roman numerals
// or chord names: "1 4 5 6-".
type Section struct {
	Name   string `json:"name,omitempty"`
	Chords string `json:"chords"`
}
