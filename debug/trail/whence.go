package trail

import (
	"coldstart/cpu"
	"coldstart/memory"
)

// Whence tells who wrote a word last and where its value came from; its Number is 0 for a word that no order wrote.
func (r *Record) Whence(a memory.Addr) Write { return r.told(r.peek(a).write) }

// follow carries origins along: a value that an order read somewhere and set or wrote unchanged keeps the origin it had.
// Two sources of the same value in one order cannot be told apart; the one read last is taken.
func (r *Record) follow(s *cpu.Step) {
	// All are looked up before any is set: an order may exchange two registers, or a register and a word.
	r.moved = r.moved[:0]
	for i := range s.Changes {
		if c := &s.Changes[i]; !c.Register.FlipFlop { // a single bit comes from nowhere in particular
			r.moved = append(r.moved, r.source(s, c.New))
		}
	}
	registers := len(r.moved)
	for i := range s.Writes {
		if i < len(s.Stolen) {
			r.moved = append(r.moved, r.sources.number(s.Stolen[i].Origin))
		} else {
			r.moved = append(r.moved, r.source(s, s.Writes[i].Word))
		}
	}
	n := 0
	for i := range s.Changes {
		if c := &s.Changes[i]; !c.Register.FlipFlop {
			r.origins[c.Register.Number] = r.moved[n]
			n++
		}
	}
	for i := range s.Writes {
		w := &s.Writes[i]
		if w.Status&(memory.Protected|memory.NoReply) != 0 {
			continue
		}
		p := r.spot(w.Addr)
		p.use |= Written
		if !p.stood {
			p.stood, p.warned = true, false
		}
		r.leave(p)
		p.write = written{s.Number, s.At, s.Place, w.Word & r.mask(w.Addr), r.moved[registers+i], 0}
		if i < len(s.Stolen) {
			p.write.stolen = int32(s.Stolen[i].Code) + 1
		}
	}
}

// mask cuts a word to the width of the store at an address, as that store does.
func (r *Record) mask(a memory.Addr) memory.Word {
	if area := r.code.Geometry.Area(a); area != nil {
		return memory.Mask(area.Width)
	}
	return memory.Mask(r.code.Geometry.Width)
}

// source finds where a value came from within one order.
func (r *Record) source(s *cpu.Step, w memory.Word) source {
	for i := len(s.Exchanges) - 1; i >= 0; i-- {
		if x := &s.Exchanges[i]; x.Action.Verb == cpu.Receive && x.Reply.Word == w {
			return r.sources.number(x.Reply.Origin)
		}
	}
	for i := len(s.Reads) - 1; i >= 0; i-- {
		if a := &s.Reads[i]; a.Word == w {
			return r.spot(a.Addr).write.from
		}
	}
	for i := len(s.Uses) - 1; i >= 0; i-- {
		if u := &s.Uses[i]; u.Value == w && !u.Register.FlipFlop && !Made(s, u) {
			return r.origins[u.Register.Number]
		}
	}
	return 0
}

// Made tells whether an order used a value that it had just set itself, as one does that sets flip-flops by its result: such
// a value does not come from where the register's last one came from.
func Made(s *cpu.Step, u *cpu.Use) bool {
	for i := range s.Changes {
		if c := &s.Changes[i]; c.Register == u.Register {
			return c.Old != u.Value
		}
	}
	return false
}
