package scheduler

import (
	"bytes"
	"encoding/gob"
	"fmt"
)

const snapshotVersion = 0

type snapshot struct {
	Version int
	IDs     []string
	States  []State
	Seqs    []uint32
	Unknown []Review
	Day     Day
	Seq     uint32
}

// MarshalBinary returns what the planner has learnt.
func (p *Planner) MarshalBinary() ([]byte, error) {
	s := snapshot{Version: snapshotVersion, Unknown: p.unknown, Day: p.day, Seq: p.seq}
	for i := range p.items {
		if e := &p.items[i]; e.state.Asked > 0 {
			s.IDs = append(s.IDs, e.item.ID)
			s.States = append(s.States, e.state)
			s.Seqs = append(s.Seqs, e.seq)
		}
	}
	var b bytes.Buffer
	err := gob.NewEncoder(&b).Encode(s)
	return b.Bytes(), err
}

// UnmarshalBinary restores what another planner with the same items and
// options had learnt.
func (p *Planner) UnmarshalBinary(data []byte) error {
	var s snapshot
	if err := gob.NewDecoder(bytes.NewReader(data)).Decode(&s); err != nil {
		return fmt.Errorf("scheduler: reading the snapshot: %w; replay the log instead", err)
	}
	if s.Version != snapshotVersion {
		return fmt.Errorf("scheduler: snapshot of version %d, want %d; replay the log instead", s.Version, snapshotVersion)
	}
	for n, id := range s.IDs {
		if i, ok := p.index[id]; ok {
			p.items[i].state, p.items[i].seq = s.States[n], s.Seqs[n]
		}
	}
	p.unknown, p.day, p.seq = s.Unknown, s.Day, s.Seq
	return nil
}
