package plan

import (
	"coldstart/cpu/order"
	"coldstart/memory"
)

// An operand is a value while steps are built: known already, or standing at a place when the order runs.
type operand struct {
	known bool
	value memory.Word
	place uint16
}

// known is the operand of a value known at binding time.
func known(w memory.Word) operand { return operand{known: true, value: w} }

// A builder makes the steps of one order. What it knows of the counter and of locals it knows only for the point it has
// come to: where two ways meet, whatever one of them sets is no longer known.
type builder struct {
	adder     Adder
	doubt     bool // what the adder gives is not known before the order runs
	word      int  // bits of a word of store
	file      *File
	fields    []*order.Field
	values    []memory.Word // of the fields
	here      operand
	counter   operand
	counterAt uint16 // where the counter stands
	counterTo uint16 // where a transfer to the counter goes
	locals    []operand
	base      uint16 // first scratch place of a line
	next      uint16 // next free scratch place
	limit     uint16 // the place behind the last of them
	steps     []Step
	label     int // the last step that a jump goes to: the step before it must stay as it is
}

// finish closes the run.
func (u *builder) finish() []Step {
	u.emit(Step{Op: End})
	for i := range u.steps {
		u.steps[i].tell(u.file)
	}
	return u.steps
}

// emit appends a step and gives its index.
func (u *builder) emit(s Step) int {
	u.steps = append(u.steps, s)
	return len(u.steps) - 1
}

// land lets the jump at index i come out here.
func (u *builder) land(i int) {
	u.steps[i].J = uint16(len(u.steps))
	u.label = len(u.steps)
}

// mark makes this point one that jumps go back to.
func (u *builder) mark() uint16 {
	u.label = len(u.steps)
	return uint16(len(u.steps))
}

// fresh takes a scratch place, free again after the line.
func (u *builder) fresh() uint16 {
	p := u.next
	if p >= u.limit {
		panic("plan: an order needs more scratch places than the checker allows")
	}
	u.next++
	return p
}

// place is where an operand stands; a known value gets a constant.
func (u *builder) place(o operand) uint16 {
	if o.known {
		return u.file.constant(o.value)
	}
	return o.place
}

// isScratch tells whether a place is free again after the line.
func (u *builder) isScratch(p uint16) bool { return p >= u.base && int(p) < u.file.first() }

// settle makes an operand stand at a given place. The last step is turned there where it made just this value.
func (u *builder) settle(o operand, at uint16) {
	last := len(u.steps) - 1
	if !o.known && u.isScratch(o.place) && last >= 0 && u.label <= last && u.steps[last].Op.Sets() &&
		u.steps[last].D == o.place && u.steps[last].Op != Put {
		u.steps[last].D = at
		return
	}
	if p := u.place(o); p != at {
		u.emit(Step{Op: Move, D: at, A: p})
	}
}

// forget makes every local and the counter unknown that the lines set, first giving locals a place for their value.
func (u *builder) forget(lines ...[]*order.Stmt) {
	for _, ls := range lines {
		for _, n := range assigned(ls) {
			if l := &u.locals[n]; l.known {
				l.known = false
				u.emit(Step{Op: Move, D: l.place, A: u.file.constant(l.value)})
			}
		}
		if u.setsCounter(ls) {
			u.counter = operand{place: u.counterAt}
		}
	}
}

// register is the operand of a register: the counter may be known.
func (u *builder) register(n int) operand {
	if uint16(n) == u.counterAt {
		return u.counter
	}
	return operand{place: uint16(n)}
}

// target is the register number that a register or group expression names in this word.
func (u *builder) target(e *order.Expr) int {
	if e.Op == "group" {
		return u.fields[e.Index].Group[u.values[e.Index]].Number
	}
	return e.Index
}
