package cpu

import (
	"coldstart/cpu/internal/plan"
)

// An ending says how a run of steps ended.
type ending uint8

const (
	done    ending = iota
	waits          // the order begins anew later
	trapped        // a trap sprang; what was set before it stays set
)

// exec carries out bound steps from one of them on.
func (m *Machine) exec(b *plan.Bound, from int) ending {
	v, steps, recording := m.file.All, b.Steps, m.observer != nil
	for i := from; ; {
		s := &steps[i]
		i++
		old := v[s.D]
		if recording && s.Told != 0 {
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
			on := v[s.A] != 0
			if s.C != 0 && m.logic != nil {
				if on = m.logic.skips(on == (s.C == plan.SkipsIfNot)); s.C == plan.SkipsIf {
					on = !on
				}
			}
			if !on {
				i = int(s.J)
			}
		case plan.Count:
			if v[s.D] == 0 {
				i = int(s.J)
			} else {
				v[s.D]--
			}
		case plan.Load, plan.LoadPart:
			if !m.load(s) {
				return trapped
			}
		case plan.Store, plan.StorePart, plan.StoreWrong:
			if !m.store(s) {
				return trapped
			}
		case plan.After:
			if !m.after(s) {
				return trapped
			}
		case plan.Receive, plan.Sign, plan.Send, plan.Command:
			if !m.exchange(s) {
				return trapped
			}
		case plan.Halt:
			m.stand(s.N == 0 && m.springing == 0)
		case plan.Wait:
			if v[s.A] == 0 {
				return waits
			}
		case plan.Spend:
			m.spent += int64(v[s.A])
		case plan.Restart:
			if !m.restart(s.N) {
				return trapped
			}
		case plan.Trap:
			m.spring(int(s.N), 0, -1)
			return trapped
		default:
			if m.logic == nil {
				v[s.D] = m.adder.Compute(s, v[s.A], v[s.B], v[s.C])
			} else {
				v[s.D] = m.logic.compute(m.adder, s, v[s.A], v[s.B], v[s.C])
			}
		}
		if m.logic != nil && s.Op.Sets() {
			m.forced(s.D)
		}
		if recording && s.Told&plan.SetsD != 0 {
			m.noteChange(s, old)
		}
	}
}
