package cpu

import (
	"slices"

	"coldstart/cpu/internal/plan"
	"coldstart/memory"
)

// A failing is a fault that is in.
type failing struct {
	Fault
	Draws
	rests bool // it is out for now
}

// acts is whether the fault does what it does this time.
func (f *failing) acts() bool { return f != nil && !f.rests && f.Fires() }

// A logic is the faults in the logic of a machine.
type logic struct {
	faults []*failing // in the order of compareFaults
	rest   int64      // of a slow clock: what no whole picosecond came of, in parts of Per
}

// rebind lets orders be bound anew: with a fault in the adder or the order counter, nothing that comes of them is known before
// the order runs.
func (m *Machine) rebind() {
	m.binder.Doubt(slices.ContainsFunc(m.failing(), func(f *failing) bool {
		return f.Part == AdderCarry || f.Part == RegisterBit && f.Number == m.code.Counter.Number
	}))
	m.forget()
}

// settle makes registers what stuck bits hold them at. It is no time at which an intermittent fault acts.
func (m *Machine) settle() {
	for _, f := range m.failing() {
		if f.Part == RegisterBit && !f.rests && f.OneIn < 2 {
			w := &m.file.Words[f.Number]
			*w = *w&^(1<<f.Bit) | memory.Word(f.Value)<<f.Bit
		}
	}
}

// forced makes a register that was just set what its stuck bits let it be.
func (m *Machine) forced(register uint16) {
	for _, f := range m.logic.faults {
		if f.Part == RegisterBit && f.Number == int(register) && !f.rests {
			w := &m.file.All[register]
			f.hold(w, f.Bit)
		}
	}
}

// hold makes a bit of a word the value of the fault, if it acts.
func (f *failing) hold(w *memory.Word, bit int) {
	before := *w
	if f.Fires() {
		*w = *w&^(1<<bit) | memory.Word(f.Value)<<bit
	}
	f.Note(*w != before)
}

// ordered is a word fetched as an order, as the order register shows it.
func (l *logic) ordered(w memory.Word) memory.Word {
	for _, f := range l.faults {
		if f.Part == OrderBit && !f.rests {
			f.hold(&w, f.Bit)
		}
	}
	return w
}

// skips is whether an order skips that should, or should not.
func (l *logic) skips(should bool) bool {
	for _, f := range l.faults {
		if f.Part != SkipGate || f.rests {
			continue
		}
		does := should
		if f.Fires() {
			does = f.Value == 1
		}
		f.Note(does != should)
		return does
	}
	return should
}

// dead is whether timer n does not fire though it should.
func (l *logic) dead(n int) bool {
	if l == nil {
		return false
	}
	for _, f := range l.faults {
		if f.Part == DeadTimer && f.Number == n && !f.rests {
			dead := f.Fires()
			f.Note(dead)
			return dead
		}
	}
	return false
}

// lasts is how many picoseconds some time by the clock of the machine file lasts by this one: exactly, what is less than a
// picosecond being kept for the next time.
func (l *logic) lasts(t Time) Time {
	for _, f := range l.faults {
		if f.Part == SlowClock && f.acts() {
			l.rest += int64(t%Time(f.Per)) * f.More
			more := t/Time(f.Per)*Time(f.More) + Time(l.rest/f.Per)
			l.rest %= f.Per
			f.Note(more > 0)
			return t + more
		}
	}
	return t
}

// compute makes D of a step that goes through the adder, some carries of which may be held.
func (l *logic) compute(adder plan.Adder, s *plan.Step, a, b, c memory.Word) memory.Word {
	if !s.Op.Adds() {
		return adder.Compute(s, a, b, c)
	}
	var held plan.Carries
	here := func(f *failing) bool { return f.Part == AdderCarry && !f.rests && f.Bit < int(s.N) }
	for _, f := range l.faults {
		if here(f) && f.Fires() {
			held.Hold(f.Bit, f.Value)
		}
	}
	right, w := adder.Compute(s, a, b, c), held.Compute(adder, s, a, b, c)
	for _, f := range l.faults {
		if here(f) {
			f.Note(w != right)
		}
	}
	return w
}

// A logicState is what the faults in a machine's logic remember.
type logicState struct {
	draws map[Fault]Draws
	rest  int64
}

// state is what the faults remember now.
func (l *logic) state() logicState {
	if l == nil {
		return logicState{}
	}
	s := logicState{map[Fault]Draws{}, l.rest}
	for _, f := range l.faults {
		s.draws[f.Fault] = f.Draws
	}
	return s
}

// recall puts back what faults remembered; those put in since begin anew.
func (l *logic) recall(s logicState) {
	if l == nil {
		return
	}
	l.rest = s.rest
	for _, f := range l.faults {
		d, ok := s.draws[f.Fault]
		if !ok {
			d = f.Begin()
		}
		f.Draws = d
	}
}
