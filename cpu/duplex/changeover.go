package duplex

import (
	"slices"

	"coldstart/cpu"
)

// An Event is something that the on-line flip-flops of a pair came to.
type Event struct {
	Kind  Kind
	At    cpu.Time // when it began
	Until cpu.Time // when it was over; cpu.Never where it is not yet
	To    int      // of a changeover: the half that is on-line after it
	Cause Cause    // what began it
}

// A Kind is a kind of Event.
type Kind uint8

// The kinds.
const (
	Both       Kind = iota + 1 // both halves are on-line
	None                       // no half is on-line
	Changeover                 // another half is on-line alone than before
)

// A Cause is what made an on-line flip-flop change.
type Cause struct {
	By   By
	Half int       // the half whose order, trap or channel it was
	Trap *cpu.Trap // of a trap or timer
}

// By is a kind of Cause.
type By uint8

// The causes.
const (
	ByHand  By = iota + 1 // a person, or a jam
	ByKey                 // the changeover key
	ByOrder               // an order of the half
	ByTrap                // a trap in the half
	ByTimer               // a timer of the half that ran out
	ByMate                // the maintenance channel of the half
	ByGap                 // the changeover circuit, at the end of the gap
	ByPower               // the half lost its power
)

// A due is something that happens at a time.
type due struct {
	at    cpu.Time
	what  what
	half  int
	order request // of the maintenance channel
}

// A what is a kind of due.
type what uint8

const (
	gapOver what = iota
	keyPressed
	powerLost
	mateActs
)

// Key lets the changeover key be pressed at a time: the half that is on-line alone then leaves the line. While none or both
// are on-line a changeover is under way already, and the key does nothing.
func (p *Pair) Key(at cpu.Time) { p.plan(due{at: at, what: keyPressed}) }

// Cut lets a half lose its power at a time, for good.
func (p *Pair) Cut(n int, at cpu.Time) { p.plan(due{at: at, what: powerLost, half: n}) }

// plan puts d in its place on the time line; what is past happens at once.
func (p *Pair) plan(d due) {
	d.at = max(d.at, p.now)
	i := slices.IndexFunc(p.due, func(other due) bool { return other.at > d.at })
	if i < 0 {
		i = len(p.due)
	}
	p.due = slices.Insert(p.due, i, d)
	p.yield()
}

// Due is when something happens that was planned, the end of a gap or a key, an answer over the maintenance channel or the end
// of power; cpu.Never where nothing will.
func (p *Pair) Due() cpu.Time {
	if len(p.due) == 0 {
		return cpu.Never
	}
	return p.due[0].at
}

// happen lets the next thing happen. Both halves have come to its time, or stand still.
func (p *Pair) happen() {
	d := p.due[0]
	p.passed++
	p.due = slices.Delete(p.due, 0, 1)
	switch d.what {
	case gapOver:
		p.gapOver(d.at)
	case keyPressed:
		p.leave(d.at, Cause{By: ByKey})
	case powerLost:
		p.dead[d.half] = true
		p.set(d.half, false)
		p.halves[d.half].Machine.Kill()
		p.look(d.at, Cause{By: ByPower, Half: d.half})
	case mateActs:
		p.mateActs(d)
	}
	for n := range p.halves {
		p.wake(n, d.at)
	}
}

// wake lets a half that waits for good look again: something outside it has changed.
func (p *Pair) wake(n int, at cpu.Time) {
	if m := p.halves[n].Machine; m.Halted() && m.Waiting() && !p.dead[n] {
		m.Idle(p.clocks[n].own(at))
		m.Wake()
		p.yield()
	}
}

// leave takes the half that is on-line alone off the line.
func (p *Pair) leave(at cpu.Time, c Cause) {
	if p.on[0] != p.on[1] {
		n := 0
		if p.on[1] {
			n = 1
		}
		p.set(n, false)
		p.look(at, c)
	}
}

// gapOver ends a state in which none or both are on-line: the other half than the one whose flip-flop fell last comes on-line,
// the other than the one whose rose last leaves the line. A half without power cannot come.
func (p *Pair) gapOver(at cpu.Time) {
	if p.on[0] && p.on[1] {
		p.set(1-p.rose, false)
		p.look(at, Cause{By: ByGap})
		return
	}
	n := 1 - p.fell
	if p.dead[n] {
		n = 1 - n
	}
	if p.on[0] || p.on[1] || p.dead[n] {
		return
	}
	p.set(n, true)
	p.look(at, Cause{By: ByGap})
	if p.on[n] {
		m := p.halves[n].Machine
		m.Idle(p.clocks[n].own(at))
		m.TakeOver()
		m.Watch()
		_, trap := m.Turned()
		p.look(at, p.cause(n, trap))
	}
}

// cause is why the flip-flop of a half changed that its own machine changed.
func (p *Pair) cause(n int, trap *cpu.Trap) Cause {
	c := Cause{By: ByOrder, Half: n, Trap: trap}
	if trap == nil {
		return c
	}
	c.By = ByTrap
	for _, t := range p.code.Timers {
		if t.Trap == trap.Kind {
			c.By = ByTimer
		}
	}
	return c
}

// look looks at the flip-flops of both halves at a time.
func (p *Pair) look(at cpu.Time, c Cause) {
	changed := false
	for n := range p.halves {
		on := p.onLine(n)
		if on == p.on[n] {
			continue
		}
		if p.on[n] = on; on {
			p.rose = n
		} else {
			p.fell = n
		}
		changed = true
	}
	if changed {
		p.change(at, c)
	}
}

// change takes down what the flip-flops have come to, and lets the changeover circuit start to work on it.
func (p *Pair) change(at cpu.Time, c Cause) {
	p.due = slices.DeleteFunc(p.due, func(d due) bool { return d.what == gapOver })
	for i := range p.events {
		if p.events[i].Until == cpu.Never {
			p.events[i].Until = at
		}
	}
	switch {
	case p.on[0] == p.on[1]:
		e := Event{Kind: None, At: at, Until: cpu.Never, Cause: c}
		if p.on[0] {
			e.Kind = Both
		}
		p.note(e)
		if p.left.Kind == 0 {
			p.left = Event{Kind: Changeover, At: at, Cause: c}
		}
		p.plan(due{at: later(at, cpu.Time(p.code.Duplex.Gap)), what: gapOver})
		return
	case p.on[p.sole]: // it is the same half as before
	default:
		p.sole = 1 - p.sole
		if p.left.Kind == 0 {
			p.left = Event{Kind: Changeover, At: at, Cause: c}
		}
		p.left.Until, p.left.To = at, p.sole
		p.note(p.left)
	}
	p.left = Event{}
}

// note keeps an event, and tells it to whoever heeds them.
func (p *Pair) note(e Event) {
	p.events = append(p.events, e)
	if p.heed != nil {
		p.heed(e)
	}
}

// Heed lets f be called with each event from now on, as it begins; a changeover begins to be one when it is over.
func (p *Pair) Heed(f func(Event)) { p.heed = f }
