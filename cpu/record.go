package cpu

import (
	"coldstart/cpu/internal/plan"
	"coldstart/memory"
)

// reset empties a record for the next order; its slices are used again.
func (s *Step) reset(number int64, at Time, place memory.Addr) {
	*s = Step{
		Number: number, At: at, Place: place,
		Uses: s.Uses[:0], Reads: s.Reads[:0], Writes: s.Writes[:0], Changes: s.Changes[:0], Exchanges: s.Exchanges[:0],
	}
}

// noteUses records the registers that a step reads.
func (m *Machine) noteUses(s *plan.Step) {
	a, b, c := s.Op.Reads()
	for _, p := range [...]struct {
		read  bool
		place uint16
	}{{a, s.A}, {b, s.B}, {c, s.C}} {
		if p.read && int(p.place) < m.file.Registers {
			r := m.code.Registers[p.place]
			m.step.Uses = append(m.step.Uses, Use{Register: r, Value: m.file.Words[p.place], Unknown: !m.known[p.place]})
		}
	}
}

// noteChange records the register that a step has set.
func (m *Machine) noteChange(s *plan.Step, old memory.Word) {
	if !s.Op.Sets() || int(s.D) >= m.file.Registers {
		return
	}
	m.known[s.D] = true
	m.step.Changes = append(m.step.Changes, Change{Register: m.code.Registers[s.D], Old: old, New: m.file.Words[s.D]})
}

// show completes the record and shows it.
func (m *Machine) show() {
	m.step.Done, m.step.Waiting, m.step.Halted = m.now, m.waiting, m.halted
	m.observer.Observe(&m.step)
}
