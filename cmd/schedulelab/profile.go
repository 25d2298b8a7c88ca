package main

import (
	"slices"

	"surefret/cmd/schedulelab/learner"
	"surefret/cmd/surefret/settings"
	"surefret/drills/fretboard"
)

// A profile is a player whom goals and courses name.
type profile struct {
	name   string
	traits learner.Traits
	tuning string // "" for a guitar's
	knows  string // of the names of the notes, "" for all
}

// Three guitarists without anything unusual: a beginner, one who has played for four years,
// and an old hand; and a bassist of four years. Chosen, no source.
var profiles = []profile{
	{"beginner", learner.Traits{Wrong: 0.6, Careless: 3}, "", settings.NoNotes},
	{"four-years", learner.Traits{Known: 0.25, Wrong: 0.15, Careless: 1}, "", ""},
	{"old-hand", learner.Traits{Known: 0.6, Careless: 1}, "", ""},
	{"bassist", learner.Traits{Known: 0.25, Wrong: 0.15, Careless: 1}, fretboard.Bass.Name, ""},
}

const profileSeeds = 2

// profilePlayer is the named player with one of the memories. He skips a day now and
// then and takes two seconds an answer besides thinking and typing.
func profilePlayer(k int, memory string, seed uint64) bankPlayer {
	t := profiles[k].traits
	t.Memory, t.Pace, t.Rate, t.Transfer, t.Interference, t.Lapse, t.Tail = memory, 1, 1.2, 0.5, 0.1, 0.01, 0.01
	return bankPlayer{Traits: t, seed: seed, extra: 2, missed: 0.08, resumes: 1, tuning: profiles[k].tuning, knows: profiles[k].knows}
}

// playProfiles lets the first two of them practise by the rules, each with every memory.
func playProfiles(m *material, rules []candidate) ([]played, error) {
	n := 2 * perProfile
	all := make([]played, len(rules))
	for r := range rules {
		all[r] = played{rules[r], make([]record, n)}
	}
	err := parallel(len(rules)*n, func(k int) (err error) {
		r, who := k/n, k%n
		p := profilePlayer(who/perProfile, learner.Memories[who%perProfile/profileSeeds], uint64(1+who%profileSeeds))
		all[r].records[who], err = m.play(p, rules[r].rule)
		return err
	})
	return all, err
}

var perProfile = len(learner.Memories) * profileSeeds

// ofProfile are the records of a named player among those of playProfiles.
func (p played) ofProfile(name string) []record {
	k := slices.IndexFunc(profiles, func(p profile) bool { return p.name == name })
	return p.records[k*perProfile : (k+1)*perProfile]
}
