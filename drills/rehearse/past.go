package rehearse

import (
	"cmp"
	"slices"
	"time"
)

// A Past run is what is kept of one.
type Past struct {
	At      time.Time `json:"at"`              // when it ended
	Day     string    `json:"day"`             // the practice day of it, as it was where the player is
	Seconds float64   `json:"seconds"`         // how long it sounded, the count-in left out
	Song    string    `json:"song"`            // its id
	Key     string    `json:"key"`             // "Eb major"
	Tempo   float64   `json:"tempo"`           // beats a minute
	Part    bool      `json:"part,omitempty"`  // not all of the song was asked
	Asked   int       `json:"asked"`           // changes that came while their fret was asked
	Given   int       `json:"given"`           // of these, answered
	InTime  int       `json:"right_in_time"`   // of these, right before the next one came
	Holds   float64   `json:"holds,omitempty"` // see [Page]
}

// Enough to say at which tempo a song holds: runs through the whole of it, the changes
// that were asked in each, and how many of the latest runs count.
const (
	fewestRuns  = 2
	fewestAsked = 8
	latestRuns  = 3
)

// HoldsAt returns the tempo, in beats a minute, at which nine in ten changes of a song
// are right in time in a key: the median of what its latest whole runs came to, 0 where it
// holds at none. Enough reports whether so much was rehearsed that it can be said; else the
// tempo is 0. Past runs come in order of time.
func HoldsAt(past []Past, song, key string) (tempo float64, enough bool) {
	var holds []float64
	for _, p := range slices.Backward(past) {
		if p.Song == song && p.Key == key && !p.Part && p.Asked >= fewestAsked && len(holds) < latestRuns {
			holds = append(holds, p.Holds)
		}
	}
	if len(holds) < fewestRuns {
		return 0, false
	}
	slices.Sort(holds)
	return holds[(len(holds)-1)/2], true
}

// A Rehearsed key is what is kept of a song in one.
type Rehearsed struct {
	Key     string  `json:"key"`             // "Eb major"
	Runs    int     `json:"runs"`            // parts of the song among them
	Minutes float64 `json:"minutes"`         // that they sounded
	Last    string  `json:"last"`            // day of the last one
	Holds   float64 `json:"holds,omitempty"` // see [HoldsAt]
	Enough  bool    `json:"enough"`          // of it was rehearsed to say Holds
}

// InKeys lists the keys that a song was rehearsed in, the one of the latest run first. Past
// runs come in order of time.
func InKeys(past []Past, song string) []Rehearsed {
	keys := []Rehearsed{}
	for _, p := range slices.Backward(past) {
		if p.Song != song {
			continue
		}
		i := slices.IndexFunc(keys, func(r Rehearsed) bool { return r.Key == p.Key })
		if i < 0 {
			i = len(keys)
			r := Rehearsed{Key: p.Key, Last: p.Day}
			r.Holds, r.Enough = HoldsAt(past, song, p.Key)
			keys = append(keys, r)
		}
		keys[i].Runs++
		keys[i].Minutes += p.Seconds / 60
	}
	return keys
}

// ByTime brings past runs in order.
func ByTime(past []Past) {
	slices.SortFunc(past, func(a, b Past) int { return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Song, b.Song)) })
}
