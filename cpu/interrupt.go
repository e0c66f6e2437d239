package cpu

import (
	"coldstart/cpu/internal/plan"
	"coldstart/cpu/order"
)

// An interruptPlan is an interrupt of the machine file, bound.
type interruptPlan struct {
	kind *order.Interrupt
	when *plan.Bound
	does *plan.Bound
	age  int64 // orders done since the flip-flop it waits for was set; -1 while that is 0
}

// bindInterrupts binds the interrupts, the highest first; how old each is stays as it was.
func (m *Machine) bindInterrupts() {
	old := m.interrupts
	m.interrupts = nil
	for i, k := range m.code.Interrupts {
		p := interruptPlan{kind: k, when: m.binder.Condition(k.When), does: m.binder.Transfers(k.Does, k.Locals), age: -1}
		if i < len(old) {
			p.age = old[i].age
		}
		m.interrupts = append(m.interrupts, p)
	}
}

// interrupted answers the first interrupt that asks and may be answered; it tells whether one did.
func (m *Machine) interrupted() bool {
	for i := range m.interrupts {
		p := &m.interrupts[i]
		if p.kind.Enable != nil && (p.age < 0 || p.age < int64(p.kind.Delay)) {
			continue
		}
		if m.holds(p.when) {
			m.waiting = false
			m.exec(p.does, 0)
			return true
		}
	}
	return false
}

// age lets the flip-flops that interrupts wait for grow older by an order.
func (m *Machine) age() {
	for i := range m.interrupts {
		p := &m.interrupts[i]
		switch {
		case p.kind.Enable == nil:
		case m.Value(p.kind.Enable) == 0:
			p.age = -1
		default:
			p.age++
		}
	}
}
