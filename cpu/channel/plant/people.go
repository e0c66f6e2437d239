package plant

import (
	"slices"

	"coldstart/cpu"
)

// How people are: common practice as far as we could tell, no source.
const (
	thinks   = 500 * cpu.Millisecond // from hearing dial tone to the first digit
	hangsUp  = 2 * cpu.Second        // from hearing busy or reorder tone, or nothing any more, to hanging up
	followed = cpu.Second            // from one of two hanging up to the other
	answers  = 4 * cpu.Second        // from ringing to answering, of somebody no call says it of
	level    = -10                   // dBm of the low tone of a push button that no call says it of
	patience = 10 * cpu.Second       // how long somebody who answered listens for a voice
	settles  = cpu.Second            // how long all must have been quiet for the evening to be over
)

// A stage is how far a caller has got.
type stage uint8

const (
	waiting   stage = iota // off-hook, for dial tone
	thinking               // has heard it
	sounding               // a digit
	pausing                // between digits
	listening              // all dialled
	talking
	leaving // will hang up
)

// A caller is somebody a call of the traffic list has taken off-hook.
type caller struct {
	call  int // of the traffic list
	from  int // terminal
	stage stage
	at    cpu.Time // when the caller next does something
	digit int      // of those dialled

	receiver int      // that hears the digit being sounded; -1: none
	hears    cpu.Time // when the receiver will take it for a digit; cpu.Never: not
	to       int      // terminal of the other party, once talking; -1 before
	setUp    bool
}

// A bell is somebody who is being called.
type bell struct {
	terminal int
	since    cpu.Time
	at       cpu.Time // when it is answered; cpu.Never: never
	known    bool     // at is what the call says
}

// A guest is somebody called who has answered.
type guest struct {
	terminal int
	at       cpu.Time // hangs up; cpu.Never while talking
}

// people is everybody in the exchange. There are few at a time.
type people struct {
	begun    int // calls of the traffic list that have begun, or could not
	starts   cpu.Time
	callers  []caller
	bells    []bell
	guests   []guest
	outcomes []Outcome
	counts   Counts   // as people live them
	quiet    cpu.Time // since when nobody does anything
}

// newPeople is everybody before the evening.
func newPeople(t *Traffic) people {
	p := people{starts: cpu.Never, outcomes: make([]Outcome, len(t.Calls))}
	if len(t.Calls) > 0 {
		p.starts = t.Calls[0].At
	}
	return p
}

// clone is people in the same state.
func (p *people) clone() people {
	c := *p
	c.callers, c.bells, c.guests = slices.Clone(p.callers), slices.Clone(p.bells), slices.Clone(p.guests)
	c.outcomes = slices.Clone(p.outcomes)
	return c
}

// next is when somebody next does something of their own accord.
func (p *people) next() cpu.Time {
	next := p.starts
	for i := range p.callers {
		next = min(next, p.callers[i].at, p.callers[i].hears)
	}
	for i := range p.bells {
		next = min(next, p.bells[i].at)
	}
	for i := range p.guests {
		next = min(next, p.guests[i].at)
	}
	return next
}

// peopleAct lets everybody do what is due.
func (p *Plant) peopleAct() {
	ps := &p.people
	for ps.starts <= p.now {
		p.begin(ps.begun)
		if ps.begun++; ps.begun < len(p.traffic.Calls) {
			ps.starts = p.traffic.Calls[ps.begun].At
		} else {
			ps.starts = cpu.Never
		}
	}
	for i := range ps.callers {
		p.act(&ps.callers[i])
	}
	for i := range ps.bells {
		if b := &ps.bells[i]; b.at <= p.now {
			p.hook(b.terminal, true)
			ps.guests = append(ps.guests, guest{b.terminal, p.now + patience})
			b.terminal = -1
		}
	}
	for i := range ps.guests {
		if g := &ps.guests[i]; g.at <= p.now {
			p.hook(g.terminal, false)
			g.terminal = -1
		}
	}
	p.gone()
}

// gone forgets those who have hung up or answered.
func (p *Plant) gone() {
	ps := &p.people
	ps.bells = slices.DeleteFunc(ps.bells, func(b bell) bool { return b.terminal < 0 })
	ps.guests = slices.DeleteFunc(ps.guests, func(g guest) bool { return g.terminal < 0 })
	before := len(ps.callers)
	ps.callers = slices.DeleteFunc(ps.callers, func(c caller) bool { return c.from < 0 })
	if before != len(ps.callers) || len(ps.callers)+len(ps.bells)+len(ps.guests) > 0 {
		ps.quiet = p.now
	}
}

// begin lets a call of the traffic list begin: its caller goes off-hook, unless the line is in use already.
func (p *Plant) begin(n int) {
	c := &p.traffic.Calls[n]
	if p.closed(c.From) {
		p.people.outcomes[n] = InUse
		return
	}
	p.hook(c.From, true)
	p.people.outcomes[n] = Going
	p.people.callers = append(p.people.callers,
		caller{call: n, from: c.From, at: p.now + c.Waits, hears: cpu.Never, receiver: -1, to: -1})
}

// act lets a caller do what is due.
func (p *Plant) act(c *caller) {
	if c.hears <= p.now { // before the end of the tone, which may be due as well
		r := &p.receivers[c.receiver]
		if digit := p.sounded(c); digit != 0 {
			r.hear(digit)
		}
		c.hears = cpu.Never
	}
	if c.at > p.now {
		return
	}
	call := &p.traffic.Calls[c.call]
	switch c.stage {
	case waiting:
		p.leave(c, NoDialTone)
	case thinking, pausing:
		c.stage, c.at, c.receiver = sounding, c.at+call.Tone, -1
		p.listen(c)
	case sounding:
		p.stops(c)
		c.digit++
		c.stage, c.at = pausing, c.at+call.Pause
		if c.digit == len(call.Digits) {
			c.stage, c.at = listening, p.now+call.Waits
		}
	case listening:
		p.leave(c, NoAnswer)
	case talking:
		p.part(c, call.CalledEnds)
	case leaving:
		p.leave(c, Going)
	}
}

// part ends a talk: one hangs up, the other follows.
func (p *Plant) part(c *caller, calledEnds bool) {
	p.people.outcomes[c.call] = Talked
	mine, theirs := p.now, p.now+followed
	if calledEnds {
		mine, theirs = theirs, mine
	}
	p.sends(c.to, theirs)
	c.stage, c.at = leaving, mine
	if mine == p.now {
		p.leave(c, Going)
	}
	if theirs == p.now {
		p.hook(c.to, false)
	}
}

// sends lets whoever answered at a terminal hang up at a time.
func (p *Plant) sends(terminal int, at cpu.Time) {
	for i := range p.people.guests {
		if g := &p.people.guests[i]; g.terminal == terminal {
			g.at = at
		}
	}
}

// leave lets a caller hang up; what came of the call is said where nothing has been yet.
func (p *Plant) leave(c *caller, o Outcome) {
	p.stops(c)
	p.hook(c.from, false)
	if p.people.outcomes[c.call] == Going && o != Going {
		p.people.outcomes[c.call] = o
	}
	if c.setUp {
		p.people.counts.Released++
	}
	c.from, c.at = -1, cpu.Never
}

// listen finds the receiver that hears the digit a caller sounds: one that a whole path leads to. One that has just heard
// the same one, and nothing but a break too short to be a pause since, hears nothing new.
func (p *Plant) listen(c *caller) {
	r := -1
	for _, t := range p.joined(c.from) {
		if p.kindOf(t) == digits {
			r = t - p.spec.ReceiverAt
			break
		}
	}
	if r == c.receiver {
		return
	}
	p.stops(c)
	if r < 0 {
		return
	}
	c.receiver = r
	heard := &p.receivers[r]
	if digit := p.sounded(c); digit == heard.heard && heard.ended > 0 && p.now-heard.ended <= acceptPause {
		return
	}
	if at := p.now + acceptTone; at <= c.at {
		c.hears = at
	}
}

// stops notes when the receiver that heard a caller's tone hears it no more.
func (p *Plant) stops(c *caller) {
	if c.stage == sounding && c.receiver >= 0 {
		r := &p.receivers[c.receiver]
		r.heard, r.ended = p.sounded(c), p.now
	}
	c.receiver, c.hears = -1, cpu.Never
}

// sounded is what a receiver makes of the digit that a caller sounds.
func (p *Plant) sounded(c *caller) byte {
	call := &p.traffic.Calls[c.call]
	low, high, _ := Pair(call.Digits[c.digit])
	if !audible(call.Level, call.Twist) {
		return 0
	}
	off := 1000 + int64(call.Off)
	return decode(low*off, high*off)
}

// farEndFreed lets the far end of a trunk that is released hang up.
func (ps *people) farEndFreed(p *Plant, terminal int) {
	for i := range ps.guests {
		if ps.guests[i].terminal == terminal {
			p.hook(terminal, false)
			ps.guests[i].terminal = -1
		}
	}
	p.gone()
}
