package cpu

import (
	"coldstart/cpu/order"
	"coldstart/memory"
)

// A requestPlan is a sign of a channel that sets a flip-flop when it comes up.
type requestPlan struct {
	code, sign int
	sets       *order.Register
	heard      memory.Word // how often it had come up when it was last asked
}

// requests gathers the signs that the machine file lets set flip-flops.
func requests(c *order.Code) (list []requestPlan) {
	for _, ch := range c.Channels {
		for _, q := range ch.Requests {
			list = append(list, requestPlan{code: ch.Code, sign: q.Sign, sets: q.Sets})
		}
	}
	return list
}

// listen sets the flip-flop of each sign that has come up since it was last asked. Channels count, so that nothing is missed
// however late the machine asks; where nobody answers nothing is heard.
func (m *Machine) listen() {
	for i := range m.requests {
		c := &m.requests[i]
		r := m.ports.Do(Action{Verb: Rises, Code: c.code, Sign: c.sign}, m.now)
		if r.None || r.Word == c.heard {
			continue
		}
		c.heard = r.Word
		n := uint16(c.sets.Number)
		old := m.file.Words[n]
		m.file.Words[n], m.known[n] = 1, true
		if m.logic != nil {
			m.forced(n)
		}
		if m.observer != nil && m.file.Words[n] != old {
			m.step.Changes = append(m.step.Changes, Change{Register: c.sets, Old: old, New: m.file.Words[n]})
		}
	}
}
