package duplex

import (
	"errors"

	"coldstart/cpu"
	"coldstart/cpu/channel"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// A Pair is two halves, one on-line and one standby, on one time line. The half that is behind steps next, A where both are
// at one time; what an order does, it does when it begins. Times are those of the line; each half has its own clock.
type Pair struct {
	halves [2]*Half
	clocks [2]Clock
	code   *order.Code
	common []int // codes of the channels at which both reach the same device

	now    cpu.Time
	paused bool
	on     [2]bool // the on-line flip-flops as last looked at
	dead   [2]bool // without power
	rose   int     // the half whose flip-flop rose last
	fell   int     // the half whose flip-flop fell last
	sole   int     // the half that was on-line alone last
	left   Event   // the changeover under way
	passed int64   // how many of those planned have happened
	due    []due   // by time, and at one time in the order they were asked for
	mates  [2]mate
	events []Event

	heed    func(Event)                         // nil: nobody
	entered func(int, memory.Addr, memory.Word) // nil: nobody
	lost    [2]int64
	driven  [2]int64
}

// NewPair builds a pair with its power off, its devices in a rack for each half; at channels where Rack.Share put them in both,
// the halves reach the same device. The error says that the machine file has no duplex line.
func NewPair(code *order.Code, a, b *channel.Rack, fill uint64) (*Pair, error) {
	if code.Duplex == nil {
		return nil, errors.New("the machine file has no duplex line, so nothing says which of two halves is on-line")
	}
	p := &Pair{code: code}
	for _, ch := range code.Channels {
		if channel.Same(a.Device(ch.Code), b.Device(ch.Code)) {
			p.common = append(p.common, ch.Code)
		}
	}
	for n, rack := range []*channel.Rack{a, b} {
		h := newHalf(string(rune('A'+n)), code, rack, lines{p, n}, fill)
		h.Machine.Watch()
		if len(code.Mirrors) > 0 {
			h.Machine.Mirror(func(at memory.Addr, w memory.Word, bits int, copied bool) { p.mirror(n, at, w, bits, copied) })
		}
		p.halves[n] = h
	}
	return p, nil
}

// Half is half 0, which is A, or 1, B. What is changed in it while the pair runs, the pair finds out when it runs on.
func (p *Pair) Half(n int) *Half { return p.halves[n] }

// SetClock gives a half its own clock; it is for a pair that has not run yet.
func (p *Pair) SetClock(n int, c Clock) { p.clocks[n] = c }

// Boot puts A on-line and B on standby, and does the boot rule in A, and in B too where both is asked. A half that is not
// booted stands still.
func (p *Pair) Boot(both bool) {
	for n, h := range p.halves {
		p.set(n, n == 0)
		h.Machine.Idle(h.Machine.Now()) // from here on it hears what calls
		if n == 0 || both {
			h.Machine.Boot()
		}
		h.Machine.Watch()
		p.on[n] = p.onLine(n)
	}
	p.sole = 0
	p.change(0, Cause{})
}

// Now is the time the pair has come to.
func (p *Pair) Now() cpu.Time { return p.now }

// Time is the time on the line that a half has come to.
func (p *Pair) Time(n int) cpu.Time { return p.clocks[n].line(p.halves[n].Machine.Now()) }

// OnLine tells whether the on-line flip-flop of a half is 1.
func (p *Pair) OnLine(n int) bool { return p.on[n] }

// Dead tells whether a half has lost its power.
func (p *Pair) Dead(n int) bool { return p.dead[n] }

// Events are the changeovers, and the times when both halves were on-line or none, in the order they began.
func (p *Pair) Events() []Event { return p.events }

// Outputs is how often a half drove a gated channel, and how often it tried while it was not on-line and was not let.
func (p *Pair) Outputs(n int) (driven, lost int64) { return p.driven[n], p.lost[n] }

// Pause lets Run end after the order acting.
func (p *Pair) Pause() {
	p.paused = true
	p.yield()
}

// yield lets the half that is acting act no further than this order before the pair looks again at what comes next.
func (p *Pair) yield() {
	for _, h := range p.halves {
		h.Machine.Pause()
	}
}

// Run takes orders of both halves until n are done, until the time is reached, until somebody calls Pause of the pair, or until
// nothing can happen any more; it gives the number taken.
func (p *Pair) Run(n int64, until cpu.Time) int64 {
	p.paused = false
	p.look(p.now, Cause{By: ByHand})
	taken := int64(0)
	for taken < n && !p.paused {
		h, at := p.behind()
		next := p.Due()
		if next <= at {
			if next >= until {
				break
			}
			p.now = max(p.now, next)
			p.happen()
			continue
		}
		if at >= until {
			break
		}
		p.now = max(p.now, at)
		taken += p.run(h, n-taken, min(next, until))
	}
	p.rest()
	return taken
}

// Passed is how many things that were planned have happened: ends of a gap, keys, answers, ends of power.
func (p *Pair) Passed() int64 { return p.passed }

// Pass lets planned things happen that come before the next order, until so many have happened since the beginning.
func (p *Pair) Pass(n int64) {
	p.look(p.now, Cause{By: ByHand})
	for p.passed < n {
		_, at := p.behind()
		next := p.Due()
		if next > at || next == cpu.Never {
			break
		}
		p.now = max(p.now, next)
		p.happen()
	}
	p.rest()
}

// rest lets the time go on for halves that stand still, so that whoever sets one going does it now and not in the past.
func (p *Pair) rest() {
	for n, h := range p.halves {
		h.Machine.Idle(p.clocks[n].own(p.now))
	}
}

// run lets a half take orders as long as it is behind the other one.
func (p *Pair) run(n int, most int64, limit cpu.Time) int64 {
	m, other := p.halves[n].Machine, 1-n
	if !p.halves[other].Machine.Halted() {
		limit = min(limit, later(p.Time(other), cpu.Time(other))) // at one time A comes first
	}
	until := p.clocks[n].own(limit)
	taken := m.Run(most, until)
	if at, trap := m.Turned(); p.onLine(n) != p.on[n] {
		p.look(p.clocks[n].line(at), p.cause(n, trap))
	}
	now := min(p.Time(n), p.Due())
	if !p.halves[other].Machine.Halted() {
		now = min(now, p.Time(other))
	}
	p.now = max(p.now, now)
	return taken
}

// behind is the running half that is behind the other, and its time; cpu.Never where none runs.
func (p *Pair) behind() (n int, at cpu.Time) {
	at = cpu.Never
	for i, h := range p.halves {
		if t := p.Time(i); !h.Machine.Halted() && t < at {
			n, at = i, t
		}
	}
	return n, at
}

// set gives the on-line flip-flop of a half a value.
func (p *Pair) set(n int, on bool) {
	m, w := p.halves[n].Machine, memory.Word(0)
	if on {
		w = 1
	}
	m.Set(p.code.Duplex.OnLine, w)
	m.Watch()
}

// onLine is how the on-line flip-flop of a half stands just now.
func (p *Pair) onLine(n int) bool { return p.halves[n].Machine.Value(p.code.Duplex.OnLine) == 1 }
