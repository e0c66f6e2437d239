package cpu

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
)

// A Part is a part of a half's logic that can fail.
type Part uint8

// The parts, and what of a Fault each looks at.
const (
	RegisterBit Part = iota // bit Bit of register Number stands at Value
	AdderCarry              // the carry into bit Bit of the adder is Value
	OrderBit                // bit Bit of whatever is fetched as an order, or as a part of one, is Value
	SkipGate                // an order that skips on a condition never does, for Value 0, or always, for Value 1
	DeadTimer               // timer Number never fires
	SlowClock               // a cycle lasts longer, by More parts of Per
	parts
)

// A Fault is one thing that fails in the logic of a half. Bits are counted from the right. Equal faults are the same fault.
type Fault struct {
	Part      Part
	Number    int
	Bit       int
	Value     int
	More, Per int64
	Chance
}

// place is what two faults share that cannot both be in.
func (f Fault) place() Fault {
	return Fault{Part: f.Part, Number: f.Number, Bit: f.Bit}
}

// Jam puts a fault in. The error, one sentence, says that there is no such place, or that another fault is there already. The
// same fault again changes nothing.
func (m *Machine) Jam(f Fault) error {
	if err := m.checkFault(f); err != nil {
		return err
	}
	for _, other := range m.failing() {
		switch {
		case other.Fault == f:
			return nil
		case other.place() == f.place():
			return errors.New("another fault is at this place already: take that jam out first")
		}
	}
	if m.logic == nil {
		m.logic = new(logic)
	}
	if f.Part == SlowClock {
		m.logic.rest = 0
	}
	in := &failing{Fault: f, Draws: f.Begin()}
	at, _ := slices.BinarySearchFunc(m.logic.faults, in, compareFaults)
	m.logic.faults = slices.Insert(m.logic.faults, at, in)
	m.rebind()
	m.settle()
	return nil
}

// Unjam takes a fault out. What it did to registers stays until they are set. The error says that it is not in.
func (m *Machine) Unjam(f Fault) error {
	i := m.fault(f)
	if i < 0 {
		return errors.New("this fault is not in")
	}
	m.logic.faults = slices.Delete(m.logic.faults, i, i+1)
	if len(m.logic.faults) == 0 {
		m.logic = nil
	}
	m.rebind()
	return nil
}

// Rest takes a fault that is in out of force for now, or puts it back in force; what it remembers stays. It may be called
// in the midst of an order.
func (m *Machine) Rest(f Fault, out bool) {
	if i := m.fault(f); i >= 0 {
		m.logic.faults[i].rests = out
		m.settle()
	}
}

// Effect is how often a fault could have acted so far, and how often it made a difference.
func (m *Machine) Effect(f Fault) (met, altered int64) {
	if i := m.fault(f); i >= 0 {
		in := m.logic.faults[i]
		return in.Met, in.Altered
	}
	return 0, 0
}

// failing is the faults that are in.
func (m *Machine) failing() []*failing {
	if m.logic == nil {
		return nil
	}
	return m.logic.faults
}

// fault is the index of a fault that is in, else -1.
func (m *Machine) fault(f Fault) int {
	return slices.IndexFunc(m.failing(), func(in *failing) bool { return in.Fault == f })
}

// compareFaults puts faults in an order that does not hang on which was put in first.
func compareFaults(a, b *failing) int {
	return cmp.Or(cmp.Compare(a.Part, b.Part), cmp.Compare(a.Number, b.Number), cmp.Compare(a.Bit, b.Bit))
}

// checkFault finds what there is not.
func (m *Machine) checkFault(f Fault) error {
	c, width := m.code, 1
	switch f.Part {
	case RegisterBit:
		if f.Number < 0 || f.Number >= len(c.Registers) {
			return fmt.Errorf("there is no register %d", f.Number)
		}
		width = c.Registers[f.Number].Width
	case AdderCarry:
		width = c.Geometry.Width
	case OrderBit:
		width = c.OrderWidth()
	case DeadTimer:
		if f.Number < 0 || f.Number >= len(c.Timers) {
			return fmt.Errorf("there is no timer %d", f.Number)
		}
	case SlowClock:
		switch {
		case c.Cycle == 0:
			return errors.New("the machine file states no clock, so that none can be slow")
		case f.More < 1 || f.Per < 1 || f.More > 10*f.Per || f.Per > 1e8:
			return errors.New("a clock can be slow by more than nothing and up to ten times its cycle")
		}
	}
	switch {
	case f.Part >= parts:
		return fmt.Errorf("there is no part %d", f.Part)
	case f.Bit < 0 || f.Bit >= width:
		return fmt.Errorf("there is no bit %d: it has %d", f.Bit, width)
	case f.Value != 0 && f.Value != 1:
		return fmt.Errorf("nothing is held at %d: give 0 or 1", f.Value)
	}
	return nil
}
