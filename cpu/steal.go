package cpu

import (
	"coldstart/cpu/order"
	"coldstart/memory"
)

// steal lets devices put the words into store that they have by now, each for some cycles of the machine.
func (m *Machine) steal() {
	for _, ch := range m.stealing {
		for {
			r := m.do(Action{Verb: Steal, Code: ch.Code})
			if r.None {
				break
			}
			m.enterStolen(ch, r)
			m.pass(int64(ch.Steals))
		}
	}
	m.step.At = m.now
}

// enterStolen stores a word that a device has. What does not go in is lost; no order is there that a trap could end.
func (m *Machine) enterStolen(ch *order.Channel, r Reply) {
	a := (r.Addr + memory.Addr(r.On*m.code.Geometry.Step())) & memory.Addr(memory.Mask(m.code.Geometry.AddrBits))
	w := r.Word & memory.Mask(min(ch.Width, m.code.Geometry.Width))
	if m.bench != nil {
		m.bench.Touch(a)
	}
	st := m.bus.Write(a, w)
	if m.observer != nil {
		m.step.Writes = append(m.step.Writes, Access{a, w, st})
		m.step.Stolen = append(m.step.Stolen, Stolen{ch.Code, r.Origin})
	}
	if m.mirror != nil && st == 0 {
		m.mirrored(a, w, m.code.Geometry.Width)
	}
}
