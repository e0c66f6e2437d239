package cpu

import (
	"coldstart/cpu/internal/plan"
	"coldstart/cpu/order"
	"coldstart/memory"
)

// The names of the traps that a machine springs by itself.
const (
	trapParity    = "parity"
	trapUndefined = "undefined"
	trapNoReply   = "no-reply"
	trapProtected = "protected"
	trapCorrected = "corrected"
	trapAgain     = "again" // a trap inside a trap
)

// trapUnreadable is the name of the stop at an order whose page nobody can read; no machine file has such a trap.
const (
	trapUnreadable = "unreadable"
)

// A trapPlan is a trap of the machine file, bound.
type trapPlan struct {
	kind *order.Trap
	when *plan.Bound // nil: always
	does *plan.Bound
}

// bindTraps binds all that is not an order: traps, interrupts, the boot rule, and the conditions of protected ranges.
func (m *Machine) bindTraps() {
	m.traps = m.traps[:0]
	for _, t := range m.code.Traps {
		p := trapPlan{kind: t, does: m.binder.Transfers(t.Does, t.Locals)}
		if t.When != nil {
			p.when = m.binder.Condition(t.When)
		}
		m.traps = append(m.traps, p)
	}
	m.boot = m.binder.Transfers(m.code.Boot, m.code.BootLocals)
	m.protects = nil
	for _, p := range m.code.Protects {
		m.protects = append(m.protects, m.binder.Condition(p.When))
	}
	m.bindInterrupts()
	m.bindDuplex()
}

// spring lets trap n happen, unless its condition keeps it out; it tells whether it did. A trap inside a trap is the one
// named again, where the machine file has it; inside that, or without it, the machine stops: nothing it could still do is
// known.
func (m *Machine) spring(n int, addr memory.Addr, code int) bool {
	t := &m.traps[n]
	if m.springing > 0 {
		if t = m.again(); t == nil || m.springing > 1 {
			m.stand(false)
			return true
		}
	} else if t.when != nil && !m.holds(t.when) {
		return false
	}
	m.raise(&Trap{Kind: t.kind, Place: memory.Addr(m.file.Words[m.file.Here()]), Addr: addr, Code: code})
	m.springing++
	m.exec(t.does, 0)
	m.springing--
	return true
}

// again is the trap for a trap inside a trap, nil where the machine file has none.
func (m *Machine) again() *trapPlan {
	for i := range m.traps {
		if m.traps[i].kind.Name == trapAgain {
			return &m.traps[i]
		}
	}
	return nil
}

// holds works out a condition; looking at it is no step of the order, so nothing is recorded.
func (m *Machine) holds(b *plan.Bound) bool {
	o := m.observer
	m.observer = nil
	end := m.exec(b, 0)
	m.observer = o
	return end == done && m.file.Words[b.Result] == 1
}

// raise keeps a trap as the last one, and in the record.
func (m *Machine) raise(t *Trap) {
	m.trap, m.duplex.sprang = t, m.orders
	if m.observer != nil {
		m.step.Trap = t
	}
}

// named springs the trap of a name. Where the machine file has none, the machine stops where stopping is asked, or goes on.
func (m *Machine) named(name string, stop bool, addr memory.Addr, code int) bool {
	for i := range m.traps {
		if m.traps[i].kind.Name == name {
			return m.spring(i, addr, code)
		}
	}
	if !stop {
		return false
	}
	m.halt(name, addr, code)
	return true
}

// halt stops the machine by a trap that its machine file does not have.
func (m *Machine) halt(name string, addr memory.Addr, code int) {
	m.raise(&Trap{Kind: &order.Trap{Name: name, Number: -1}, Place: memory.Addr(m.file.Words[m.file.Here()]), Addr: addr, Code: code})
	m.stand(false)
}

// stop stops the machine at an order that cannot be done.
func (m *Machine) stop(name string, o *order.Order, words []memory.Word) {
	if m.observer != nil {
		m.step.Order, m.step.Words = o, words
	}
	m.halt(name, m.code.WordOf(m.Place()), -1)
}

// doubtfulRead springs what a read calls for; it tells whether the order ends there. A word put right ends nothing: the order
// goes on with it, and what there is to say of it is said when the order is done.
func (m *Machine) doubtfulRead(a memory.Addr, st memory.Status) bool {
	switch {
	case st&memory.NoReply != 0:
		return m.named(trapNoReply, true, a, -1)
	case st&memory.ParityWrong != 0:
		return m.named(trapParity, false, a, -1)
	case st&memory.Corrected != 0 && m.springing == 0:
		m.mended = append(m.mended[:0], a)
	}
	return false
}

// doubtfulWrite springs what a write calls for; it tells whether the order ends there.
func (m *Machine) doubtfulWrite(a memory.Addr, st memory.Status) bool {
	switch {
	case st&memory.NoReply != 0:
		return m.named(trapNoReply, true, a, -1)
	case st&memory.Protected != 0:
		return m.named(trapProtected, false, a, -1)
	}
	return false
}

// noAnswer springs the trap of a channel code that nobody answers.
func (m *Machine) noAnswer(code int) bool { return m.named(trapNoReply, true, 0, code) }

// noOrder springs the trap of a word that no order reads.
func (m *Machine) noOrder(place memory.Addr, words []memory.Word) {
	if m.observer != nil {
		m.step.Words = words
	}
	if !m.named(trapUndefined, true, place, -1) {
		m.stand(false)
	}
}

// springTimer springs the trap of the timer that has run out, and stops that timer; false where that timer does not fire.
func (m *Machine) springTimer(place memory.Addr) bool {
	n := 0
	for i, d := range m.deadlines {
		if d == m.next {
			n = i
		}
	}
	m.deadlines[n] = Never
	m.next = Never
	for _, d := range m.deadlines {
		m.next = min(m.next, d)
	}
	if m.logic.dead(n) {
		return false
	}
	m.waiting = false
	m.spring(m.code.Timers[n].Trap.Number, place, -1)
	m.pass(1)
	return true
}
