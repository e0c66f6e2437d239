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
)

// A trapPlan is a trap of the machine file, bound.
type trapPlan struct {
	kind *order.Trap
	when *plan.Bound // nil: always
	does *plan.Bound
}

// bindTraps binds the traps and the boot rule.
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
}

// spring lets trap n happen, unless its condition keeps it out; it tells whether it did. A trap inside a trap stops the
// machine: nothing it could still do is known.
func (m *Machine) spring(n int, addr memory.Addr, code int) bool {
	t := &m.traps[n]
	if t.when != nil && !m.inTrap && !m.holds(t.when) {
		return false
	}
	if m.inTrap {
		m.halted = true
		return true
	}
	m.raise(&Trap{Kind: t.kind, Place: memory.Addr(m.file.Words[m.file.Here()]), Addr: addr, Code: code})
	m.inTrap = true
	m.exec(t.does)
	m.inTrap = false
	return true
}

// holds works out a condition; looking at it is no step of the order, so nothing is recorded.
func (m *Machine) holds(b *plan.Bound) bool {
	o := m.observer
	m.observer = nil
	m.exec(b)
	m.observer = o
	return m.file.Words[b.Result] == 1
}

// raise keeps a trap as the last one, and in the record.
func (m *Machine) raise(t *Trap) {
	m.trap = t
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
	m.raise(&Trap{Kind: &order.Trap{Name: name, Number: -1}, Place: memory.Addr(m.file.Words[m.file.Here()]), Addr: addr, Code: code})
	m.halted = true
	return true
}

// doubtfulRead springs what a read calls for; it tells whether the order ends there.
func (m *Machine) doubtfulRead(a memory.Addr, st memory.Status) bool {
	switch {
	case st&memory.NoReply != 0:
		return m.named(trapNoReply, true, a, -1)
	case st&memory.ParityWrong != 0:
		return m.named(trapParity, false, a, -1)
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
		m.halted = true
	}
}

// springTimer springs the trap of the timer that has run out, and stops that timer.
func (m *Machine) springTimer(place memory.Addr) {
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
	m.waiting = false
	m.spring(m.code.Timers[n].Trap.Number, place, -1)
	m.pass(1)
}
