// Package demo holds invented data to try the program on: half a year of practice
// of the two guitarists of the Saltmarsh Five, a function band in an invented
// harbour town, and the band's next gigs.
package demo

import (
	"surefret/drills/gig"
	"surefret/scheduler"
)

// Banner stands wherever the invented data shows.
const Banner = "Invented data: the Saltmarsh Five, their town, their songs and their practice are made up."

// Part is invented, in D with its open strings.
const Part = `Tin Umbrella, intro

e|-2-----3-2-|-0-----2-0-|
B|---3---3---|---2---2---|
G|-----2-----|-----2-----|
D|-0---------|-----------|
A|-----------|-0---------|
E|-----------|-----------|
`

// Gigs are the band's next three dates as seen from today, in keys that singers
// love and guitarists do not.
func Gigs(today scheduler.Day) []gig.Gig {
	section := func(name, chords string) gig.Section { return gig.Section{Name: name, Chords: chords} }
	return []gig.Gig{
		{Name: "Harbour Fair", Day: (today + 5).String(), Songs: []gig.Song{
			{Title: "Tin Umbrella", Learned: "D", Called: "Bb", Tempo: 96, Shapes: []string{"tenth-6-major", "tenth-6-minor"}, Parts: []gig.Part{gig.NewPart("umbrella-intro.txt", Part)},
				Sections: []gig.Section{section("verse", "1 5 6- 4"), section("chorus", "4 5 1 1")}},
			{Title: "Ropewalk", Learned: "G", Called: "Ab", Tempo: 112, Shapes: []string{"e-form-major", "a-form-minor"},
				Sections: []gig.Section{section("verse", "1 4 1 5"), section("bridge", "2- 5 1 6-")}},
			{Title: "Low Water Waltz", Learned: "Am", Called: "C#m", Tempo: 84,
				Sections: []gig.Section{section("all", "i iv bVI V i")}},
		}},
		{Name: "Lantern Night", Day: (today + 19).String(), Songs: []gig.Song{
			{Title: "Cockle Row", Learned: "C", Called: "Eb", Tempo: 120, Shapes: []string{"triad-321-major-second"},
				Sections: []gig.Section{section("verse", "1 6- 4 5"), section("chorus", "4 1 5 1")}},
			{Title: "Salt on the Stairs", Learned: "E", Called: "F#", Tempo: 132,
				Sections: []gig.Section{section("verse", "1 b7 4 1")}},
		}},
		{Name: "Pilot Office Supper", Day: (today + 40).String(), Songs: []gig.Song{
			{Title: "Ninth Buoy", Learned: "A", Called: "Db", Tempo: 76, Shapes: []string{"tenth-5-major", "tenth-5-minor"},
				Sections: []gig.Section{section("verse", "1 3- 4 5"), section("chorus", "6- 4 1 5")}},
			{Title: "Chandler's Daughter", Learned: "G", Called: "B", Tempo: 104,
				Sections: []gig.Section{section("verse", "1 5 2- 4")}},
		}},
	}
}
