package cpu

import (
	"coldstart/cpu/internal/plan"
	"coldstart/memory"
)

// reset empties a record for the next order; its slices are used again.
func (s *Step) reset(number int64, at Time, place memory.Addr) {
	s.Number, s.At, s.Done, s.Place = number, at, 0, place
	s.Words, s.Fields, s.Order, s.Trap = nil, nil, nil, nil
	s.Uses, s.Reads, s.Writes, s.Changes, s.Exchanges, s.Stolen = s.Uses[:0], s.Reads[:0], s.Writes[:0], s.Changes[:0], s.Exchanges[:0], s.Stolen[:0]
	s.Waiting, s.Halted = false, false
}

// noteUses records the registers that a step reads.
func (m *Machine) noteUses(s *plan.Step) {
	if s.Told&plan.ReadsA != 0 {
		m.noteUse(s.A)
	}
	if s.Told&plan.ReadsB != 0 {
		m.noteUse(s.B)
	}
	if s.Told&plan.ReadsC != 0 {
		m.noteUse(s.C)
	}
}

// noteUse records that a register is read.
func (m *Machine) noteUse(n uint16) {
	m.step.Uses = append(m.step.Uses, Use{Register: m.code.Registers[n], Value: m.file.All[n], Unknown: !m.known[n]})
}

// noteChange records the register that a step has set.
func (m *Machine) noteChange(s *plan.Step, old memory.Word) {
	m.known[s.D] = true
	m.step.Changes = append(m.step.Changes, Change{Register: m.code.Registers[s.D], Old: old, New: m.file.All[s.D]})
}

// show completes the record and shows it.
func (m *Machine) show() {
	m.step.Done, m.step.Waiting, m.step.Halted = m.now, m.waiting, m.halted
	m.observer.Observe(&m.step)
}
