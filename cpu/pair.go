package cpu

import (
	"coldstart/cpu/internal/plan"
	"coldstart/memory"
)

// A duplexPlan is what a machine needs of the machine file's duplex line, bound.
type duplexPlan struct {
	onLine uint16      // place of the on-line flip-flop
	does   *plan.Bound // nil: nothing
	was    memory.Word // how the flip-flop stood when it was last looked at
	since  Time        // when the order began that last changed it
	sprang int64       // the order that the last trap sprang in
}

// bindDuplex binds what the machine does that comes on-line, and the conditions of mirrored ranges.
func (m *Machine) bindDuplex() {
	m.mirrors = nil
	for _, r := range m.code.Mirrors {
		m.mirrors = append(m.mirrors, m.binder.Condition(r.When))
	}
	d := m.code.Duplex
	if d == nil {
		return
	}
	m.duplex.onLine = uint16(d.OnLine.Number)
	if len(d.Does) > 0 {
		m.duplex.does = m.binder.Transfers(d.Does, d.Locals)
	}
}

// Watch lets Run end after each order that changes the on-line flip-flop, from now on.
func (m *Machine) Watch() {
	m.watched = true
	m.duplex.was = m.file.Words[m.duplex.onLine]
}

// notice looks at the on-line flip-flop after an order that began at a time.
func (m *Machine) notice(began Time) {
	if w := m.file.Words[m.duplex.onLine]; w != m.duplex.was {
		m.duplex.was, m.duplex.since = w, began
		m.paused = true
	}
}

// Turned is when the order began that last changed the on-line flip-flop, and the trap that sprang in that order, nil where
// none did. It is right when Run has just ended by it.
func (m *Machine) Turned() (Time, *Trap) {
	if m.duplex.sprang == m.orders && m.trap != nil {
		return m.duplex.since, m.trap
	}
	return m.duplex.since, nil
}

// turns tells whether a bound order may change the on-line flip-flop.
func (m *Machine) turns(b *plan.Bound) bool {
	if m.code.Duplex == nil {
		return false
	}
	for i := range b.Steps {
		if s := &b.Steps[i]; s.Op.Sets() && s.D == m.duplex.onLine {
			return true
		}
	}
	return false
}

// TakeOver does what the machine file's duplex line says of a machine that comes on-line, at once and at no cost, and lets it
// run; where it says nothing the machine goes on as it was.
func (m *Machine) TakeOver() {
	if m.duplex.does == nil {
		return
	}
	m.halted, m.waiting, m.resumes = false, false, false
	m.begin(m.Place())
	m.exec(m.duplex.does, 0)
}

// Stop lets the machine stand still after the order it did last; the resume key sets it going.
func (m *Machine) Stop() {
	m.stand(true)
	m.waiting = false
}

// Kill lets the machine stand still for good.
func (m *Machine) Kill() {
	m.stand(false)
	m.waiting = false
}

// Wake lets a machine that stands in an order that waits, because nothing of its own could end that, look once more.
func (m *Machine) Wake() {
	if m.halted && m.waiting {
		m.halted = false
	}
}

// Idle lets time go on to a time for a machine that stands still. Its timers do not run meanwhile; what calls is held.
func (m *Machine) Idle(until Time) {
	d := until - m.now
	if !m.halted || d < 0 {
		return
	}
	m.now = until
	for i := range m.deadlines {
		if m.deadlines[i] != Never {
			m.deadlines[i] += d
		}
		if m.restarts[i] >= 0 {
			m.restarts[i] += d
		}
	}
	if m.next != Never {
		m.next += d
	}
	m.step.reset(m.orders, m.now, m.Place()) // what was stolen now belongs to no order
	m.steal()
	m.listen()
}

// Mirror lets to be called from now on after each write into a mirrored range, with the address, the word written, how many
// bits of it, and whether parity is copied. It is for a machine that has not run yet.
func (m *Machine) Mirror(to func(a memory.Addr, w memory.Word, bits int, copied bool)) {
	m.mirror = to
	if m.cells = m.fusable(); m.cells == nil {
		return
	}
	for _, r := range m.code.Mirrors {
		m.cells.Close(r.First, r.Last)
	}
}

// mirrored passes a write on, where the range is mirrored just now.
func (m *Machine) mirrored(a memory.Addr, w memory.Word, bits int) {
	for i, r := range m.code.Mirrors {
		if a >= r.First && a <= r.Last && m.holds(m.mirrors[i]) {
			m.mirror(a, w, bits, r.Copied)
			return
		}
	}
}

// RunsOut is when timer n of the machine file runs out; Never where it does not run.
func (m *Machine) RunsOut(n int) Time { return m.deadlines[n] }
