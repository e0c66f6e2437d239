package bringup

import (
	"fmt"

	"coldstart/cpu/channel/plant"
	"coldstart/cpu/duplex"
	"coldstart/memory"
)

// A Network is the network as it was asked for, at the end of a run, with the program's own map beside it. What the reeds
// themselves do nobody can read back.
type Network struct {
	Frames        int
	Concentrators []plant.Concentrator
	Paths         []plant.Path
	Asked         [2]int // pulses by half
	Lost          int    // of them, because the pulser was busy
	Foreign       int    // because there is no such crosspoint
	Standby       int    // asked for by a half that was not on-line just then
	Differences   []string
	Mapped        bool // somebody says where the program keeps its map
}

// network is how the network stands; nil where there is none.
func (r *run) network() *Network {
	x := plant.Of(r.half.Rack)
	if x == nil {
		return nil
	}
	now, spec := r.half.Machine.Now(), x.Spec()
	n := &Network{Frames: spec.Frames, Concentrators: x.Reeds(now), Paths: x.Paths(now), Mapped: spec.Map != nil, Standby: r.standby}
	if r.couple != nil {
		n.Standby = r.couple.runs[0].standby
	}
	for _, p := range x.Pulses() {
		n.Asked[p.Half]++
		switch {
		case p.Lost:
			n.Lost++
		case p.Foreign:
			n.Foreign++
		}
	}
	if n.Mapped {
		for c := range n.Concentrators {
			n.Differences = append(n.Differences, r.links(x, c, *spec.Map+memory.Addr(c))...)
		}
	}
	return n
}

// links are the differences of one word of the program's map: a one is a link that it takes for idle.
func (r *run) links(x *plant.Plant, c int, at memory.Addr) (all []string) {
	word, known := r.half.Word(at)
	if !known {
		return nil // the program has not made its map yet
	}
	now := r.half.Machine.Now()
	for k := range plant.Links {
		set, last, ever := x.Link(c, k, now)
		idle := word>>k&1 == 1
		where := fmt.Sprintf("link %d of concentrator %d (store %s)", k, c, teller{r}.addr(at))
		by := ""
		if ever {
			by = fmt.Sprintf("%s, asked by half %c", r.office.Time(last.Until), 'A'+rune(last.Half))
		}
		switch {
		case idle && set > 0:
			all = append(all, fmt.Sprintf("the map says %s is idle; the last pulse set it at %s", where, by))
		case !idle && set == 0 && ever:
			all = append(all, fmt.Sprintf("the map says %s is taken; the last pulse released it at %s", where, by))
		case !idle && !ever:
			all = append(all, fmt.Sprintf("the map says %s is taken; it was never commanded", where))
		}
	}
	return all
}

// heedNetwork counts pulses that a half asks for while it is not on-line.
func (r *run) heedNetwork(p *duplex.Pair) {
	if x := plant.Of(p.Half(0).Rack); x != nil {
		x.Heed(func(pulse plant.Pulse) {
			if !p.OnLine(pulse.Half) {
				r.standby++
			}
		})
	}
}
