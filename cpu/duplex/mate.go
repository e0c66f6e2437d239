package duplex

import (
	"coldstart/cpu"
	"coldstart/memory"
)

// The commands of a maintenance channel, as the manual of the notation states them; common practice, no source.
const (
	holdAddress = iota
	readStore
	writeStore
	readRegister
	writeRegister
	stopMate
	startMate
	oneOrder
	changeOver
)

// The signs of a maintenance channel.
const (
	ready = iota
	mateOnLine
	mateStands
)

// A mate is the end of a maintenance channel that a half has.
type mate struct {
	held, address memory.Word
	reply         memory.Word
	ready         bool // the reply is there
	asking        bool // what was asked has not reached the other half yet
}

// A request is what one half asks of the other.
type request struct {
	command, address, word memory.Word
}

// askMate carries out an action of half n over its maintenance channel.
func (p *Pair) askMate(n int, a cpu.Action, at cpu.Time) cpu.Reply {
	c, other := &p.mates[n], p.halves[1-n].Machine
	switch a.Verb {
	case cpu.Send:
		c.held = a.Word
	case cpu.Command:
		switch {
		case a.Word == holdAddress:
			c.address = c.held
		case a.Word <= changeOver && !c.asking: // it hears one thing at a time
			c.ready, c.asking = false, true
			p.plan(due{at: later(at, cpu.Time(p.code.Duplex.Delay)), what: mateActs, half: n, order: request{a.Word, c.address, c.held}})
		}
	case cpu.Receive:
		return cpu.Reply{Word: c.reply, None: p.dead[1-n] && !c.ready}
	case cpu.Sign:
		switch {
		case a.Sign == ready && c.ready, !p.dead[1-n] && (a.Sign == mateOnLine && p.onLine(1-n) || a.Sign == mateStands && other.Halted()):
			return cpu.Reply{Word: 1}
		}
	}
	return cpu.Reply{}
}

// mateActs lets the other half do what a half asked, and reply.
func (p *Pair) mateActs(d due) {
	c, n := &p.mates[d.half], 1-d.half
	c.asking = false
	if p.dead[n] {
		return
	}
	p.halves[n].Machine.Idle(p.clocks[n].own(d.at))
	c.reply, c.ready = p.obey(n, d)
	p.look(d.at, Cause{By: ByMate, Half: d.half})
}

// obey does what the other half asked of half n; false where nothing answers there.
func (p *Pair) obey(n int, d due) (reply memory.Word, ok bool) {
	h, r := p.halves[n], d.order
	m := h.Machine
	switch r.command {
	case readStore:
		w, st := h.Store.Read(memory.Addr(r.address))
		return w, st&memory.NoReply == 0
	case writeStore:
		st := h.Store.Write(memory.Addr(r.address), r.word)
		p.wrote(n, memory.Addr(r.address), r.word, st)
		return 0, st&(memory.NoReply|memory.Protected) == 0
	case readRegister, writeRegister:
		return p.register(n, r)
	case stopMate:
		if !m.Halted() {
			m.Stop()
		}
	case startMate:
		m.Set(p.code.Counter, r.address)
	case oneOrder:
		if m.Halted() {
			m.Set(p.code.Counter, memory.Word(m.Place()))
			if m.Step(); !m.Halted() {
				m.Stop()
			}
		}
	case changeOver:
		p.leave(d.at, Cause{By: ByMate, Half: d.half})
	}
	return 0, true
}

// register reads or writes a register of half n by its number. A half that stands still goes on standing.
func (p *Pair) register(n int, r request) (memory.Word, bool) {
	m := p.halves[n].Machine
	if r.address >= memory.Word(len(p.code.Registers)) {
		return 0, false
	}
	reg := p.code.Registers[r.address]
	if r.command == readRegister {
		return m.Value(reg), true
	}
	if reg.Keys {
		return 0, false
	}
	stood := m.Halted()
	if m.Set(reg, r.word); stood {
		m.Stop()
	}
	return 0, true
}
