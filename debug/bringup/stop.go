package bringup

import (
	"fmt"

	"coldstart/cpu"
	"coldstart/loader/list"
	"coldstart/memory"
)

// stop says why a run did not come to its end: a line each, the reason first.
func (t teller) stop(e Ending) []string {
	m := t.half.Machine
	lines := []string{fmt.Sprintf("%v at %s: %s", e, t.time(m.Now()), t.reason(e))}
	if t.watcher != nil && len(t.watcher.Reached()) > 0 {
		last := t.watcher.Reached()[len(t.watcher.Reached())-1]
		lines = append(lines, fmt.Sprintf("last milestone: %s, %s", list.Safe(last.Sentence), t.time(last.At)))
	}
	if a := t.bad(e); a != nil {
		lines = append(lines, fmt.Sprintf("%s: %s", t.addr(*a), t.writer(*a, t.record.Whence(*a))))
	}
	if e == Trapped {
		lines = append(lines, t.unread(m.LastTrap())...)
	}
	if t.turning(e) {
		if loop := t.loop(); loop != "" {
			lines = append(lines, loop)
		}
	}
	return append(lines, t.drives()...)
}

// bad is the address of the word that the stop is about, nil where it is about none.
func (t teller) bad(e Ending) *memory.Addr {
	switch last := t.record.Last(1); {
	case e == Trapped:
		return t.concerned(t.half.Machine.LastTrap())
	case e == Halted && len(last) == 1:
		return &last[0].Place
	}
	return nil
}

// turning tells whether the loop the machine was in is what matters: it did not stop by itself, or a timer stopped it.
func (t teller) turning(e Ending) bool {
	return e != Halted && (e != Trapped || t.byTimer(t.half.Machine.LastTrap()))
}

// reason is what the machine itself shows.
func (t teller) reason(e Ending) string {
	last := t.record.Last(1)
	if len(last) == 0 {
		return "no order was done"
	}
	at := last[0]
	switch e {
	case Trapped:
		return t.trap(t.half.Machine.LastTrap())
	case Halted, Standing:
		return fmt.Sprintf("by the order at %s, %s", t.addr(at.Place), t.order(at))
	}
	said := fmt.Sprintf("last order at %s, %s", t.addr(at.Place), t.order(at))
	if e == Limit {
		return t.limit() + "; " + said
	}
	return said
}

// limit says which limit was reached.
func (t teller) limit() string {
	if t.half.Machine.Orders() >= t.limits.Orders {
		return fmt.Sprintf("the limit was %d orders", t.limits.Orders)
	}
	return "the limit was " + t.time(t.limits.Time)
}

// trap words a trap and what it saved.
func (t teller) trap(trap *cpu.Trap) string {
	said := "trap " + trap.Kind.Name
	if trap.Kind.Text != "" {
		said += ", " + trap.Kind.Text
	}
	said += ", in the order at " + t.addr(trap.Place)
	switch {
	case trap.Code >= 0:
		said += fmt.Sprintf(", channel code %s", t.office.Code.Geometry.Style.Number(uint64(trap.Code)))
	case t.concerned(trap) != nil && *t.concerned(trap) != trap.Place:
		said += ", store " + t.addr(*t.concerned(trap))
	}
	if set := t.registers(trap.Kind.Does); set != "" {
		said += "; " + set
	}
	return said
}

// concerned is the store address a trap is about, nil where it is about none.
func (t teller) concerned(trap *cpu.Trap) *memory.Addr {
	if trap == nil || trap.Code >= 0 || t.byTimer(trap) {
		return nil
	}
	switch trap.Kind.Name {
	case "parity", "no-reply", "protected", "undefined", "corrected":
		return &trap.Addr
	}
	return &trap.Place
}

// byTimer tells whether a timer springs this kind of trap.
func (t teller) byTimer(trap *cpu.Trap) bool {
	for _, timer := range t.office.Code.Timers {
		if trap != nil && timer.Trap == trap.Kind {
			return true
		}
	}
	return false
}
