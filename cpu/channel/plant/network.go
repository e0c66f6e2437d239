package plant

import (
	"cmp"
	"math/bits"
	"slices"

	"coldstart/cpu"
)

// How the network is built: concentrators of 16 terminals and 8 links, link k of each to middle switch k, where 8 junctors
// join links. A shape of our own.
const (
	Links         = 8  // of a concentrator, and as many middle switches
	TerminalsEach = 16 // of a concentrator
	junctorsEach  = 8  // of a middle switch
)

// A crosspoint is numbered as the pulser is told it. A terminal crosspoint joins terminal t, bits 15-3, to link k of its
// concentrator, bits 2-0. With the middle bit, one joins link k, bits 14-12, of concentrator c, bits 11-3, to junctor j of
// middle switch k, bits 2-0.
const (
	releaseBit = 1 << 17
	middleBit  = 1 << 16
)

// Terminal is the number of the crosspoint that joins a terminal to link k of its concentrator.
func Terminal(terminal, k int) int { return terminal<<3 | k }

// OfTerminal is the terminal of a terminal crosspoint; false for one of a middle switch.
func OfTerminal(crosspoint int) (int, bool) { return crosspoint >> 3, crosspoint&middleBit == 0 }

// Middle is the number of the crosspoint that joins link k of a concentrator to junctor j of middle switch k.
func Middle(concentrator, k, j int) int { return middleBit | k<<12 | concentrator<<3 | j }

// A Reed is what was last commanded of a crosspoint. Its zero value is Unknown: a latching reed keeps its last state through
// everything, and nobody knows that before the first command.
type Reed uint8

// The three states.
const (
	Unknown Reed = iota
	Set
	Released
)

// String is a state as a person says it.
func (r Reed) String() string { return [...]string{"unknown", "set", "released"}[r] }

// A Pulse is one order to the pulser.
type Pulse struct {
	At, Until  cpu.Time // the reed moves at the end
	Half       int      // that sent it
	Crosspoint int      // bits 16-0 of the word sent
	Release    bool
	Lost       bool // the pulser was busy: nothing moved
	Foreign    bool // there is no such crosspoint
}

// A Path is a way through the network from one terminal to another; From is the smaller number.
type Path struct {
	From, To      int
	Link, Junctor int      // Junctor is -1 where one link holds both ends
	Since         cpu.Time // when its last crosspoint was set

	spoken bool // both ends were off-hook on it
}

// network is the crosspoints and what was asked of them.
type network struct {
	concentrators int
	pulse         cpu.Time
	pulses        []Pulse
	last          []int32  // by crosspoint: 1 + the last of pulses that moved it; 0: none
	busy          int      // 1 + the pulse going on; 0: none
	onLink        []uint16 // by concentrator and link: the terminals of the concentrator that are set to it
	onJunctor     []uint8  // by concentrator and link: the junctors it is set to
	paths         []Path   // whole ones, by From and To
}

// newNetwork is a network that nothing was asked of.
func newNetwork(s Spec) network {
	c := s.Frames * s.Concentrators
	return network{
		concentrators: c, pulse: s.Pulse,
		last:   make([]int32, c*Links*(TerminalsEach+junctorsEach)),
		onLink: make([]uint16, c*Links), onJunctor: make([]uint8, c*Links),
	}
}

// clone is a network in the same state.
func (n *network) clone() network {
	c := *n
	c.pulses = slices.Clip(n.pulses)
	c.last, c.onLink, c.onJunctor = slices.Clone(n.last), slices.Clone(n.onLink), slices.Clone(n.onJunctor)
	c.paths = slices.Clone(n.paths)
	return c
}

// index is where a crosspoint stands in last; false where there is none of that number.
func (n *network) index(x int) (int, bool) {
	low := x & 7
	if x&middleBit == 0 {
		t := x >> 3
		return x, t < n.concentrators*TerminalsEach
	}
	k, c := x>>12&7, x>>3&0o777
	return n.concentrators*TerminalsEach*Links + (c*Links+k)*junctorsEach + low, x>>15&1 == 0 && c < n.concentrators
}

// number is the crosspoint that stands at an index of last.
func (n *network) number(i int) int {
	middle := n.concentrators * TerminalsEach * Links
	if i < middle {
		return i
	}
	i -= middle
	return Middle(i/junctorsEach/Links, i/junctorsEach%Links, i%junctorsEach)
}

// ask begins a pulse, or records that there can be none.
func (n *network) ask(half, word int, now cpu.Time) {
	p := Pulse{At: now, Until: now, Half: half, Crosspoint: word &^ releaseBit, Release: word&releaseBit != 0, Lost: n.busy > 0}
	_, ok := n.index(p.Crosspoint)
	p.Foreign = !ok
	if !p.Lost {
		p.Until = now + n.pulse
	}
	// A copy of this network may share what is recorded: the record is only ever added to, and the copy clipped.
	n.pulses = append(n.pulses, p)
	if !p.Lost {
		n.busy = len(n.pulses)
	}
}

// ends is when the pulse going on ends.
func (n *network) ends() cpu.Time {
	if n.busy == 0 {
		return cpu.Never
	}
	return n.pulses[n.busy-1].Until
}

// pulseEnds lets a pulse end that is due; it tells whether a reed may have moved.
func (n *network) pulseEnds(now cpu.Time) bool {
	if n.ends() > now {
		return false
	}
	p := &n.pulses[n.busy-1]
	at := n.busy
	n.busy = 0
	i, ok := n.index(p.Crosspoint)
	if !ok {
		return false
	}
	n.last[i] = int32(at)
	n.move(p)
	return true
}

// move sets or releases a crosspoint.
func (n *network) move(p *Pulse) {
	x := p.Crosspoint
	if x&middleBit == 0 {
		at, bit := x>>3/TerminalsEach*Links+x&7, uint16(1)<<(x>>3%TerminalsEach)
		n.onLink[at] &^= bit
		if !p.Release {
			n.onLink[at] |= bit
		}
		return
	}
	at, bit := (x>>3&0o777)*Links+x>>12&7, uint8(1)<<(x&7)
	n.onJunctor[at] &^= bit
	if !p.Release {
		n.onJunctor[at] |= bit
	}
}

// whole is the paths there are now, by From and To, each since the given time.
func (n *network) whole(now cpu.Time) []Path {
	var all []Path
	for at, mask := range n.onLink {
		if mask == 0 {
			continue
		}
		ends, k := terminals(at/Links, mask), at%Links
		for i, from := range ends {
			for _, to := range ends[i+1:] {
				all = append(all, Path{From: from, To: to, Link: k, Junctor: -1, Since: now})
			}
		}
		for other := at + Links; other < len(n.onLink); other += Links {
			if joint := n.onJunctor[at] & n.onJunctor[other]; joint != 0 {
				for _, from := range ends {
					for _, to := range terminals(other/Links, n.onLink[other]) {
						all = append(all, Path{From: from, To: to, Link: k, Junctor: bits.TrailingZeros8(joint), Since: now})
					}
				}
			}
		}
	}
	slices.SortFunc(all, order)
	return all
}

// order puts paths in the order of their ends.
func order(a, b Path) int {
	return cmp.Or(a.From-b.From, a.To-b.To, a.Link-b.Link, a.Junctor-b.Junctor)
}

// terminals are the terminals of a concentrator that a mask has ones for.
func terminals(concentrator int, mask uint16) []int {
	var all []int
	for ; mask != 0; mask &= mask - 1 {
		all = append(all, concentrator*TerminalsEach+bits.TrailingZeros16(mask))
	}
	return all
}

// moved takes in that a reed moved: which paths have come to be, and which are no more.
func (p *Plant) moved() {
	now := p.net.whole(p.now)
	for i := range now {
		if at, ok := slices.BinarySearchFunc(p.net.paths, now[i], order); ok {
			now[i].Since, now[i].spoken = p.net.paths[at].Since, p.net.paths[at].spoken
			continue
		}
		switch p.between(&now[i]) {
		case toReceiver:
			p.counts.Offered++
		case speech:
			p.counts.SetUp++
		}
	}
	for i := range p.net.paths {
		if _, ok := slices.BinarySearchFunc(now, p.net.paths[i], order); !ok && p.between(&p.net.paths[i]) == speech {
			p.counts.Released++
		}
	}
	p.net.paths = now
}

// What a path is for.
type use uint8

const (
	noUse use = iota
	toReceiver
	speech
)

// between is what a path is for, by what it joins.
func (p *Plant) between(path *Path) use {
	a, b := p.kindOf(path.From), p.kindOf(path.To)
	party := func(k kind) bool { return k == line || k == trunk }
	switch {
	case party(a) && party(b):
		return speech
	case party(a) && b == digits, a == digits && party(b):
		return toReceiver
	}
	return noUse
}

// joined is the terminals that a terminal has a whole path to.
func (p *Plant) joined(terminal int) []int {
	var all []int
	for i := range p.net.paths {
		switch path := &p.net.paths[i]; terminal {
		case path.From:
			all = append(all, path.To)
		case path.To:
			all = append(all, path.From)
		}
	}
	return all
}
