package plant

import (
	"slices"

	"coldstart/cpu"
)

// Counts are calls as one of three counts them who know nothing of each other: the people, the network, and the program.
//
//   - Offered: a caller heard dial tone; a whole path came to be from a line or trunk to a receiver.
//   - SetUp: a caller has a path to somebody who is being called; a whole path came to be between two parties.
//   - Answered: the two can talk; both ends of such a path are off-hook.
//   - Released: the caller of such a call has hung up; such a path is no more.
type Counts struct {
	Offered, SetUp, Answered, Released int
}

// An Outcome is what came of a call of the traffic list.
type Outcome uint8

// The outcomes.
const (
	NotYet     Outcome = iota // its time has not come
	Going                     // the caller is off-hook
	Talked                    // and hung up in the end
	NoAnswer                  // the caller waited in vain
	Refused                   // busy or reorder tone
	NoDialTone                // none came
	CutOff                    // the path broke while they talked
	InUse                     // the line was in use, so the call never began
)

// String is the outcome in words.
func (o Outcome) String() string {
	return [...]string{"not yet", "going on", "talked", "no answer", "refused by a tone", "no dial tone", "cut off", "line in use already"}[o]
}

// Counts are the calls as people and as the network count them up to a time.
func (p *Plant) Counts(now cpu.Time) (lived, network Counts) {
	p.advance(now)
	return p.people.counts, p.counts
}

// Outcomes are what came of the calls of the traffic list up to a time, in its order.
func (p *Plant) Outcomes(now cpu.Time) []Outcome {
	p.advance(now)
	return slices.Clone(p.people.outcomes)
}

// Over tells whether the traffic list is played out, and nobody has done anything for a second.
func (p *Plant) Over(now cpu.Time) bool {
	p.advance(now)
	ps := &p.people
	return ps.starts == cpu.Never && len(ps.callers)+len(ps.bells)+len(ps.guests) == 0 && now >= ps.quiet+settles
}

// Pulses are what was asked of the network so far, in order; they are not to be changed.
func (p *Plant) Pulses() []Pulse { return p.net.pulses }

// Paths are the whole paths there are at a time, by their ends.
func (p *Plant) Paths(now cpu.Time) []Path {
	p.advance(now)
	return slices.Clone(p.net.paths)
}

// Reed is what is known of a crosspoint at a time, with the last pulse that moved it; false where there is no such
// crosspoint.
func (p *Plant) Reed(crosspoint int, now cpu.Time) (r Reed, last Pulse, ok bool) {
	p.advance(now)
	i, ok := p.net.index(crosspoint)
	if !ok {
		return Unknown, Pulse{}, false
	}
	r, last = p.net.reed(i)
	return r, last, true
}

// reed is what is known of the crosspoint at an index.
func (n *network) reed(i int) (Reed, Pulse) {
	at := n.last[i]
	switch {
	case at == 0:
		return Unknown, Pulse{}
	case n.pulses[at-1].Release:
		return Released, n.pulses[at-1]
	}
	return Set, n.pulses[at-1]
}

// Reeds gives each crosspoint at a time, by concentrator and link: those of its terminals, then those of the middle switch.
func (p *Plant) Reeds(now cpu.Time) []Concentrator {
	p.advance(now)
	all := make([]Concentrator, p.net.concentrators)
	for i := range p.net.last {
		x := p.net.number(i)
		c := x >> 3 / TerminalsEach
		if x&middleBit != 0 {
			c = x >> 3 & 0o777
		}
		r, _ := p.net.reed(i)
		all[c].Reeds[r]++
		if r == Unknown {
			all[c].Never = append(all[c].Never, x)
		}
	}
	return all
}

// A Concentrator is what is known of the crosspoints of one, those of its links at the middle switches included.
type Concentrator struct {
	Reeds [3]int // how many are Unknown, Set, Released
	Never []int  // those that were never commanded
}

// Link is what the pulses say of link k of a concentrator at a time: how many crosspoints are set to it, and the last pulse
// that moved one of them; false where there was none.
func (p *Plant) Link(concentrator, k int, now cpu.Time) (set int, last Pulse, ok bool) {
	p.advance(now)
	for t := range TerminalsEach {
		i, _ := p.net.index(Terminal(concentrator*TerminalsEach+t, k))
		r, pulse := p.net.reed(i)
		if r == Set {
			set++
		}
		if r != Unknown && (!ok || pulse.Until > last.Until) {
			last, ok = pulse, true
		}
	}
	return set, last, ok
}

// Hook tells whether the loop of a terminal is closed at a time.
func (p *Plant) Hook(terminal int, now cpu.Time) bool {
	p.advance(now)
	return p.closed(terminal)
}

// Sounding is how many terminals have a tone or ringing on them at a time.
func (p *Plant) Sounding(now cpu.Time) int {
	p.advance(now)
	n := 0
	for _, t := range p.tones {
		if t != Silence {
			n++
		}
	}
	return n
}

// Seized is how many trunks the program has seized.
func (p *Plant) Seized() int {
	n := 0
	for _, s := range p.seized {
		if s {
			n++
		}
	}
	return n
}
