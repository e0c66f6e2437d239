package plant

import (
	"slices"

	"coldstart/cpu"
	"coldstart/cpu/channel"
	"coldstart/memory"
)

// A Spec is what stands in an exchange. Terminals are the places of the network that lines, trunks and receivers are wired
// to, 16 a concentrator.
type Spec struct {
	Frames        int      // of the network, 1 to 16
	Concentrators int      // a frame, 1 to 32
	Pulse         cpu.Time // how long the pulser takes for a crosspoint

	Lines                 int // at the terminals from 0 on
	Trunks, TrunksAt      int // and the terminal of the first
	Receivers, ReceiverAt int

	Map *memory.Addr // where the program keeps its own map of idle links, a word a concentrator; nil: nobody says
}

// Terminals is how many terminals the network has.
func (s *Spec) Terminals() int { return s.Frames * s.Concentrators * TerminalsEach }

// A Plant is an exchange around its processors.
type Plant struct {
	spec Spec
	now  cpu.Time
	next cpu.Time // when something happens by itself; cpu.Never where nothing will

	net       network
	hooks     []uint16 // by row of scan points: a one for each loop closed
	tones     []Tone   // by terminal
	seized    []bool   // by trunk: taken by the program
	passed    [][]byte // by trunk: digits passed on to the far end since it was seized
	receivers []receiver
	traffic   *Traffic // never nil
	people    people
	counts    Counts      // as the network shows them
	heed      func(Pulse) // nil: nobody
}

// New is an exchange at power-up: no crosspoint commanded, every loop open, and people who will do what the traffic says; nil:
// nobody does anything.
func New(spec Spec, t *Traffic) *Plant {
	p := &Plant{spec: spec, traffic: t, net: newNetwork(spec)}
	p.hooks = make([]uint16, spec.Terminals()/TerminalsEach)
	p.tones = make([]Tone, spec.Terminals())
	p.seized, p.passed = make([]bool, spec.Trunks), make([][]byte, spec.Trunks)
	p.receivers = make([]receiver, spec.Receivers)
	p.Play(t)
	return p
}

// Play lets people do what a traffic list says from now on; it is for a plant that has not begun.
func (p *Plant) Play(t *Traffic) {
	if t == nil {
		t = new(Traffic)
	}
	p.traffic, p.people = t, newPeople(t)
	p.plan()
}

// Heed lets f be called with each pulse from now on, when it is asked for. It belongs to whoever runs the plant: a clone has none.
func (p *Plant) Heed(f func(Pulse)) { p.heed = f }

// Spec is what stands in the exchange.
func (p *Plant) Spec() Spec { return p.spec }

// Clone is a plant in the same state that shares nothing changeable with this one.
func (p *Plant) Clone() *Plant {
	c := *p
	c.heed = nil
	c.net = p.net.clone()
	c.hooks, c.tones, c.seized = slices.Clone(p.hooks), slices.Clone(p.tones), slices.Clone(p.seized)
	c.passed, c.receivers = slices.Clone(p.passed), slices.Clone(p.receivers)
	for i, digits := range c.passed {
		c.passed[i] = slices.Clip(digits)
	}
	c.people = p.people.clone()
	return &c
}

// advance lets all happen that happens by itself up to a time, in its order.
func (p *Plant) advance(now cpu.Time) {
	for p.next <= now {
		p.now = max(p.now, p.next)
		if p.net.pulseEnds(p.now) {
			p.moved()
		}
		p.peopleAct()
		p.look()
		p.plan()
	}
	p.now = max(p.now, now)
}

// plan finds when something happens next.
func (p *Plant) plan() { p.next = min(p.net.ends(), p.people.next()) }

// kind is what a terminal is for.
type kind uint8

const (
	nothing kind = iota
	line
	trunk
	digits
)

// kindOf is what a terminal is for.
func (p *Plant) kindOf(terminal int) kind {
	s := &p.spec
	switch {
	case terminal < s.Lines:
		return line
	case terminal >= s.TrunksAt && terminal < s.TrunksAt+s.Trunks:
		return trunk
	case terminal >= s.ReceiverAt && terminal < s.ReceiverAt+s.Receivers:
		return digits
	}
	return nothing
}

// hook opens or closes the loop of a terminal.
func (p *Plant) hook(terminal int, closed bool) {
	row, bit := terminal/TerminalsEach, uint16(1)<<(terminal%TerminalsEach)
	p.hooks[row] &^= bit
	if closed {
		p.hooks[row] |= bit
	}
}

// closed tells whether the loop of a terminal is closed.
func (p *Plant) closed(terminal int) bool {
	return p.hooks[terminal/TerminalsEach]>>(terminal%TerminalsEach)&1 == 1
}

// Of is the plant that the ports of a rack reach; nil where it has none.
func Of(r *channel.Rack) *Plant {
	for d := range r.Devices() {
		if port, ok := d.(*Port); ok {
			return port.plant
		}
	}
	return nil
}

// Asks lets the ports of a rack be those of a half, 0 or 1, in what is recorded of the network.
func Asks(r *channel.Rack, half int) {
	for d := range r.Devices() {
		if port, ok := d.(*Port); ok {
			port.half = half
		}
	}
}
