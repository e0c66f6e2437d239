package bringup

import (
	"coldstart/cpu"
	"coldstart/memory"
)

// A Press is the resume key pressed at a halt.
type Press struct {
	At     cpu.Time
	Orders int64       // done by then
	Halt   memory.Addr // of the order that halted the machine
	Text   string      // that order
	Place  memory.Addr // where the machine goes on
}

// press presses the resume key at a halt, where the start says so and it sets the machine going; it tells whether it did.
func (r *run) press() bool {
	m := r.half.Machine
	if len(r.presses) >= r.start.Resume || !m.Resume() {
		return false
	}
	p := Press{At: m.Now(), Orders: m.Orders(), Place: m.Place()}
	if last := r.record.Last(1); len(last) == 1 {
		p.Halt, p.Text = last[0].Place, teller{r}.order(last[0])
	}
	r.presses = append(r.presses, p)
	return true
}
