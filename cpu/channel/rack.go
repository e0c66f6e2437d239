package channel

import (
	"iter"
	"slices"

	"coldstart/cpu"
	"coldstart/memory"
)

// A Device is what stands at one channel. Its times never go back.
type Device interface {
	// Do carries out one action at the given time.
	Do(a cpu.Action, now cpu.Time) cpu.Reply
	// Next is when the device next changes by itself, later than now; cpu.Never where it will not.
	Next(now cpu.Time) cpu.Time
	// Clone is a device in the same state that shares nothing changeable with this one.
	Clone() Device
}

// A Port is a device that is one of several onto the same thing behind them all.
type Port interface {
	Device
	// Behind is that thing: ports onto the same one give the same.
	Behind() any
	// Onto is the port in the same state, onto what another port of its kind of thing reaches.
	Onto(Port) Port
}

// Same tells whether two devices are one, or ports onto one thing.
func Same(a, b Device) bool {
	if port, ok := a.(Port); ok {
		other, ok := b.(Port)
		return ok && port.Behind() == other.Behind()
	}
	return a != nil && a == b
}

// A Rack is the devices of a machine by channel code; it is a cpu.Ports. The zero Rack is empty: nobody answers.
type Rack struct {
	slots  []slot // by code
	counts bool   // somebody counts how often signs come up
}

// A slot is one channel: the device at its far end, and what fails there and between.
type slot struct {
	code   int
	device Device
	faults *faults // never nil
	rises  *rises  // of the device; never nil
	told   []request
}

// Stuck is bits held at a value whatever drives them. A bit in both is held at one, as an open input mostly reads.
type Stuck struct {
	Zero, One memory.Word
}

// Through is w as it comes out at the far end.
func (s Stuck) Through(w memory.Word) memory.Word { return w&^s.Zero | s.One }

// Put sets a device at a channel code, in the place of any that was there; nothing fails there.
func (r *Rack) Put(code int, d Device) {
	i, found := r.find(code)
	if !found {
		r.slots = slices.Insert(r.slots, i, slot{})
	}
	r.slots[i] = slot{code: code, device: d, faults: newFaults(), rises: new(rises)}
	r.slots[i].connect()
}

// Share sets the device that stands at a channel code of another rack at the same code here, reached by lines of its own:
// what fails between stays as it is here. There must be one. A port that stands here stays, with what was chosen by it, and
// reaches what the one there reaches.
func (r *Rack) Share(from *Rack, code int) {
	i, found := r.find(code)
	if !found {
		r.slots = slices.Insert(r.slots, i, slot{code: code, faults: newFaults()})
	}
	at, _ := from.find(code)
	there := from.slots[at].device
	if here, ok := r.slots[i].device.(Port); ok {
		there = here.Onto(there.(Port))
	}
	r.slots[i].device, r.slots[i].rises = there, from.slots[at].rises
	r.counts = r.counts || from.counts
}

// Devices are the devices, by their channel codes.
func (r *Rack) Devices() iter.Seq[Device] {
	return func(yield func(Device) bool) {
		for i := range r.slots {
			if !yield(r.slots[i].device) {
				return
			}
		}
	}
}

// connect lets a drive read its tape as the faults have it.
func (s *slot) connect() {
	if d, ok := s.device.(*Drive); ok {
		d.faults = s.faults
	}
}

// Device is the device at a channel code; nil where there is none.
func (r *Rack) Device(code int) Device {
	if i, found := r.find(code); found {
		return r.slots[i].device
	}
	return nil
}

// Do carries out one action at the device it is meant for, through the lines of its channel.
func (r *Rack) Do(a cpu.Action, now cpu.Time) cpu.Reply {
	i, found := r.find(a.Code)
	if !found {
		return cpu.Reply{None: true}
	}
	s := &r.slots[i]
	if !r.counts && a.Verb != cpu.Rises {
		return s.pass(a, now)
	}
	r.counts = true
	r.catch(now)
	reply := s.pass(a, now)
	if a.Verb != cpu.Rises {
		r.look(now)
	}
	return reply
}

// catch counts, of signs that somebody counts, what came up until now.
func (r *Rack) catch(now cpu.Time) {
	for i := range r.slots {
		r.slots[i].rises.catch(r.slots[i].device, now)
	}
}

// look looks at signs that somebody counts after something was done: behind several ports it may have been done to all.
func (r *Rack) look(now cpu.Time) {
	for i := range r.slots {
		r.slots[i].rises.look(r.slots[i].device, now)
	}
}

// pass carries out an action at the device, through the lines between as they are.
func (s *slot) pass(a cpu.Action, now cpu.Time) cpu.Reply {
	if len(s.faults.lines) == 0 && a.Verb != cpu.Rises {
		return s.device.Do(a, now)
	}
	if s.faults.dead() {
		return cpu.Reply{None: true}
	}
	if a.Verb == cpu.Rises {
		return cpu.Reply{Word: s.requests(a.Sign, now)}
	}
	if a.Verb == cpu.Send || a.Verb == cpu.Command {
		a.Word = s.faults.through(SendBit, a.Word)
	}
	reply := s.device.Do(a, now)
	switch a.Verb {
	case cpu.Receive, cpu.Steal:
		if reply.None {
			break
		}
		reply.Word = s.faults.through(ReceiveBit, reply.Word)
	case cpu.Sign:
		reply.Word = s.faults.sign(a.Sign, reply.Word)
	}
	return reply
}

// Next is when the first of the devices next changes by itself, later than now; cpu.Never where none will.
func (r *Rack) Next(now cpu.Time) cpu.Time {
	if r.counts {
		r.catch(now)
	}
	next := cpu.Never
	for i := range r.slots {
		next = min(next, r.slots[i].device.Next(now))
	}
	return next
}

// Clone is a Rack in the same state: told the same, it answers the same.
func (r *Rack) Clone() *Rack {
	c := &Rack{slots: slices.Clone(r.slots), counts: r.counts}
	for i := range c.slots {
		s := &c.slots[i]
		s.device, s.faults = r.copied(c, i), s.faults.clone()
		s.rises, s.told = s.rises.clone(), slices.Clone(s.told)
		s.connect()
	}
	return c
}

// copied is a copy of device i for a copy c of r that has those before it: ports that share what is behind them go on to.
func (r *Rack) copied(c *Rack, i int) Device {
	if port, ok := r.slots[i].device.(Port); ok {
		for j := range i {
			if other, ok := r.slots[j].device.(Port); ok && other.Behind() == port.Behind() {
				return port.Onto(c.slots[j].device.(Port))
			}
		}
	}
	return r.slots[i].device.Clone()
}

// Restore brings r to the state of kept, which may be restored again. The faults in r stay in it, and those that are in kept
// too remember what they did there.
func (r *Rack) Restore(kept *Rack) {
	c := kept.Clone()
	for i := range c.slots {
		s := &c.slots[i]
		if at, found := r.find(s.code); found {
			r.slots[at].faults.recall(s.faults)
			s.faults = r.slots[at].faults
		} else {
			s.faults = newFaults()
		}
		s.connect()
	}
	*r = *c
}

// find is where the slot of a code stands or belongs. A Rack has a handful of slots, so it looks at each.
func (r *Rack) find(code int) (int, bool) {
	for i := range r.slots {
		if r.slots[i].code >= code {
			return i, r.slots[i].code == code
		}
	}
	return len(r.slots), false
}
