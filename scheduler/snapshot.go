package scheduler

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"time"
)

// A snapshot is what a planner has learnt, so that a start need not replay the
// log: a magic word with the version, the aim that the learning depended on, the
// player, then items and answers kept aside, each by name, and a
// checksum.
// Numbers are little-endian; what replay gives and what a snapshot gives are
// the same, bit for bit.
const snapshotMagic = "surefret learnt 8\n"

// sumSize is the length of the checksum at the end.
const sumSize = 4

// errSnapshot is wrapped by every error of [Planner.UnmarshalBinary]: the
// snapshot is of another program version, other options or other items, or
// damaged. The log still has everything: replay it.
var errSnapshot = errors.New("scheduler: snapshot cannot be used, replay the log instead")

type snapshotHead struct {
	Aim     int64
	Player  player
	Day     Day
	Before  Day
	Began   Day
	Shifted Day
	ShiftOn Day
	At      int64
	Seq     uint32
	Run     uint32
	Last    int32 // place among the items of the snapshot, -1 for none
	Items   uint32
	Kept    uint32 // answers kept aside
}

type snapshotItem struct {
	State State
	Seq   uint32
	Back  bool
	Rest  uint32 // answer number of the family's last answer
}

type snapshotAnswer struct {
	Second   int64
	Nano     int32
	Right    bool
	Thinking int64
	Day      Day
}

// MarshalBinary returns what the planner has learnt. It never fails.
func (p *Planner) MarshalBinary() ([]byte, error) {
	head := snapshotHead{
		Aim: int64(p.opt.Aim), Player: p.player,
		Day: p.day, Before: p.before, Began: p.began, Shifted: p.shifted, ShiftOn: p.shiftedOn, At: p.at, Seq: p.seq, Run: p.run, Last: -1, Kept: uint32(len(p.unknown)),
	}
	for i := range p.items {
		if p.items[i].state != (State{}) {
			if int32(i) == p.last {
				head.Last = int32(head.Items)
			}
			head.Items++
		}
	}
	b := put([]byte(snapshotMagic), head)
	for i := range p.items {
		e, g := &p.items[i], &p.families[p.standing[i].family]
		if e.state != (State{}) {
			b = put(name(b, p.given[i].ID), snapshotItem{e.state, e.seq, e.back, g.seq})
		}
	}
	for _, r := range p.unknown {
		b = put(name(b, r.Item), snapshotAnswer{r.At.Unix(), int32(r.At.Nanosecond()), r.Right, int64(r.Thinking), r.Day})
	}
	return binary.LittleEndian.AppendUint32(b, crc32.ChecksumIEEE(b)), nil
}

func put(b []byte, v any) []byte {
	b, err := binary.Append(b, binary.LittleEndian, v)
	if err != nil {
		panic(err) // a snapshot type of no fixed size: a mistake in this file
	}
	return b
}

func name(b []byte, s string) []byte {
	return append(binary.AppendUvarint(b, uint64(len(s))), s...)
}

// UnmarshalBinary takes over what another planner with the same options had
// learnt. Items may have been added since; none of those met may be missing.
// On an error, which wraps [errSnapshot], the planner is as before.
func (p *Planner) UnmarshalBinary(data []byte) error {
	rest, ok := bytes.CutPrefix(data, []byte(snapshotMagic))
	if !ok {
		return fmt.Errorf("%w: it is not of this version", errSnapshot)
	}
	if len(rest) < sumSize {
		return fmt.Errorf("%w: it ends in its head", errSnapshot)
	}
	body := data[:len(data)-sumSize]
	if binary.LittleEndian.Uint32(data[len(body):]) != crc32.ChecksumIEEE(body) {
		return fmt.Errorf("%w: it is not as it was written", errSnapshot)
	}
	in := bytes.NewReader(rest[:len(rest)-sumSize])
	var head snapshotHead
	if err := binary.Read(in, binary.LittleEndian, &head); err != nil {
		return fmt.Errorf("%w: it ends in its head", errSnapshot)
	}
	if head.Aim != int64(p.opt.Aim) {
		return fmt.Errorf("%w: it was made with another aim", errSnapshot)
	}
	at := make([]int32, 0, min(int(head.Items), len(p.items)))
	learnt := make([]snapshotItem, 0, cap(at))
	for range head.Items {
		id, err := readName(in)
		if err != nil {
			return err
		}
		i, ok := p.index[id]
		if !ok {
			return fmt.Errorf("%w: it has %q, which is not an item now", errSnapshot, id)
		}
		var s snapshotItem
		if err := binary.Read(in, binary.LittleEndian, &s); err != nil {
			return fmt.Errorf("%w: it ends in item %q", errSnapshot, id)
		}
		at, learnt = append(at, i), append(learnt, s)
	}
	unknown, err := p.readKept(in, head.Kept)
	if err != nil {
		return err
	}
	if in.Len() > 0 {
		return fmt.Errorf("%w: it is longer than it says", errSnapshot)
	}
	if int(head.Last) >= len(at) || head.Last < -1 || (head.Last < 0) != (head.Seq == 0) {
		return fmt.Errorf("%w: its last answer is to none of its items", errSnapshot)
	}
	p.restore(head, at, learnt, unknown)
	return nil
}

func (p *Planner) readKept(in *bytes.Reader, n uint32) ([]Answer, error) {
	var kept []Answer
	for range n {
		id, err := readName(in)
		if err != nil {
			return nil, err
		}
		if _, ok := p.index[id]; ok {
			return nil, fmt.Errorf("%w: %q was no item then and is one now", errSnapshot, id)
		}
		var r snapshotAnswer
		if err := binary.Read(in, binary.LittleEndian, &r); err != nil {
			return nil, fmt.Errorf("%w: it ends in an answer of %q", errSnapshot, id)
		}
		kept = append(kept, Answer{id, time.Unix(r.Second, int64(r.Nano)).UTC(), r.Right, time.Duration(r.Thinking), r.Day})
	}
	return kept, nil
}

func readName(in *bytes.Reader) (string, error) {
	n, err := binary.ReadUvarint(in)
	if err != nil || n > uint64(in.Len()) {
		return "", fmt.Errorf("%w: a name is cut off", errSnapshot)
	}
	b := make([]byte, n)
	if _, err := io.ReadFull(in, b); err != nil {
		return "", fmt.Errorf("%w: a name is cut off", errSnapshot)
	}
	return string(b), nil
}

// restore puts in place what was read whole.
func (p *Planner) restore(head snapshotHead, at []int32, learnt []snapshotItem, unknown []Answer) {
	for i := range p.items {
		e := &p.items[i]
		e.state, e.seq, e.back = State{}, 0, false
		p.families[p.standing[i].family].seq = 0
	}
	for n, i := range at {
		s := &learnt[n]
		e, g := &p.items[i], &p.families[p.standing[i].family]
		e.state, e.seq, e.back = s.State, s.Seq, s.Back
		g.seq = s.Rest
	}
	p.player, p.unknown = head.Player, unknown
	p.day, p.before, p.began, p.shifted, p.shiftedOn = head.Day, head.Before, head.Began, head.Shifted, head.ShiftOn
	p.at, p.seq, p.run, p.last = head.At, head.Seq, head.Run, -1
	if head.Last >= 0 {
		p.last = at[head.Last]
	}
	p.planned = false
}
