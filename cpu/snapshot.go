package cpu

import (
	"slices"

	"coldstart/memory"
)

// A Snapshot is the whole state of a Machine; restoring it repeats the run exactly. Store and channels keep their own. Faults
// in the logic are no part of it, but what they remember is: a machine put back stands under the faults that are in now.
type Snapshot struct {
	registers []memory.Word
	known     []bool
	deadlines []Time
	restarts  []Time
	ages      []int64
	requests  []requestPlan
	now, next Time
	orders    int64
	halted    bool
	resumes   bool
	waiting   bool
	trap      *Trap
	logic     logicState
	turned    Time
	sprang    int64
}

// Snapshot copies the machine's state.
func (m *Machine) Snapshot() Snapshot {
	ages := make([]int64, len(m.interrupts))
	for i := range m.interrupts {
		ages[i] = m.interrupts[i].age
	}
	return Snapshot{
		ages: ages, requests: slices.Clone(m.requests), restarts: slices.Clone(m.restarts),
		registers: slices.Clone(m.file.Words[:m.file.Registers]),
		known:     slices.Clone(m.known),
		deadlines: slices.Clone(m.deadlines),
		now:       m.now, next: m.next, orders: m.orders,
		halted: m.halted, resumes: m.resumes, waiting: m.waiting, trap: m.trap,
		logic: m.logic.state(), turned: m.duplex.since, sprang: m.duplex.sprang,
	}
}

// Restore puts the machine back into a state it, or another machine of the same Code, was in.
func (m *Machine) Restore(s Snapshot) {
	copy(m.file.Words, s.registers)
	copy(m.known, s.known)
	copy(m.deadlines, s.deadlines)
	copy(m.restarts, s.restarts)
	copy(m.requests, s.requests)
	for i, age := range s.ages {
		m.interrupts[i].age = age
	}
	m.now, m.next, m.orders = s.now, s.next, s.orders
	m.halted, m.resumes, m.waiting, m.trap = s.halted, s.resumes, s.waiting, s.trap
	m.logic.recall(s.logic)
	m.duplex.since, m.duplex.sprang = s.turned, s.sprang
	m.settle()
	m.duplex.was = m.file.Words[m.duplex.onLine]
	if m.bench != nil {
		m.bench.Turn()
	}
}
