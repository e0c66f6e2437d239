package cpu

import (
	"coldstart/cpu/internal/plan"
	"coldstart/memory"
)

// An ending says how a run of steps ended.
type ending uint8

const (
	done    ending = iota
	waits          // the order begins anew later
	trapped        // a trap sprang; what was set before it stays set
)

// exec carries out bound steps.
func (m *Machine) exec(b *plan.Bound) ending {
	v, steps, recording := m.file.Words, b.Steps, m.observer != nil
	for i := 0; ; {
		s := &steps[i]
		i++
		old := v[s.D]
		if recording {
			m.noteUses(s)
		}
		switch s.Op {
		case plan.End:
			return done
		case plan.Move:
			v[s.D] = v[s.A]
		case plan.Plus:
			v[s.D] = (v[s.A] + v[s.B]) & s.M
		case plan.Join:
			v[s.D] = v[s.A]<<s.N | v[s.B]
		case plan.Bits:
			v[s.D] = v[s.A] >> s.N & s.M
		case plan.Put:
			v[s.D] = v[s.D]&^s.M | v[s.A]<<s.N&s.M
		case plan.Jump:
			i = int(s.J)
		case plan.JumpZero:
			if v[s.A] == 0 {
				i = int(s.J)
			}
		case plan.Count:
			if v[s.D] == 0 {
				i = int(s.J)
			} else {
				v[s.D]--
			}
		case plan.Load:
			a := memory.Addr(v[s.A])
			w, st := m.bus.Read(a)
			if recording {
				m.step.Reads = append(m.step.Reads, Access{a, w, st})
			}
			if st != 0 && m.doubtfulRead(a, st) {
				return trapped
			}
			v[s.D] = w & s.M
		case plan.Store:
			a, w := memory.Addr(v[s.A]), v[s.B]
			st := m.bus.Write(a, w)
			if recording {
				m.step.Writes = append(m.step.Writes, Access{a, w, st})
			}
			if st != 0 && m.doubtfulWrite(a, st) {
				return trapped
			}
		case plan.Receive, plan.Sign, plan.Send, plan.Command:
			if !m.exchange(s) {
				return trapped
			}
		case plan.Halt:
			m.halted = true
		case plan.Wait:
			if v[s.A] == 0 {
				return waits
			}
		case plan.Spend:
			m.spent += int64(v[s.A])
		case plan.Restart:
			m.restart(s.N)
		case plan.Trap:
			m.spring(int(s.N), 0, -1)
			return trapped
		default:
			v[s.D] = m.adder.Compute(s, v[s.A], v[s.B], v[s.C])
		}
		if recording {
			m.noteChange(s, old)
		}
	}
}

// exchange carries out a step over a channel; false where a trap sprang because nobody answered.
func (m *Machine) exchange(s *plan.Step) bool {
	v := m.file.Words
	a := Action{Code: int(v[s.A])}
	switch s.Op {
	case plan.Receive:
		a.Verb = Receive
	case plan.Sign:
		a.Verb, a.Sign = Sign, int(v[s.B])
	case plan.Send:
		a.Verb, a.Word = Send, v[s.B]
	case plan.Command:
		a.Verb, a.Word = Command, v[s.B]
	}
	r := m.ports.Do(a, m.now)
	if m.observer != nil {
		m.step.Exchanges = append(m.step.Exchanges, Exchange{a, r})
	}
	if r.None && m.noAnswer(a.Code) {
		return false
	}
	if s.Op == plan.Receive || s.Op == plan.Sign {
		v[s.D] = r.Word & s.M
	}
	return true
}
