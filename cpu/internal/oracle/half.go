// Package oracle carries out the transfers of a machine file as plainly as they read, with no thought of speed. It exists
// to disagree: tests run it beside the bound plan and hold every register, store word and time against it.
package oracle

import (
	"coldstart/cpu/order"
	"coldstart/memory"
)

// A Half is one processor half, its state in plain sight.
type Half struct {
	Code      *order.Code
	Bus       memory.Bus
	Do        func(verb string, code, sign int, w memory.Word, now int64) (memory.Word, bool) // receive, send, command, sign
	Next      func(now int64) int64                                                           // when a channel next changes
	Registers []memory.Word
	Deadlines []int64 // of the timers; -1 where one does not run
	Now       int64   // picoseconds
	Halted    bool
	Waiting   bool
	Trap      string // name of the last trap

	inTrap bool
}

// A frame is what one run of lines works in: the order acting, if any, and its locals.
type frame struct {
	half   *Half
	order  *order.Order
	fields []memory.Word
	locals []memory.Word
	here   memory.Word
	next   memory.Word // where the machine goes on, for machines whose counter holds the order acting
	spent  int64
}

// An end is why lines end before the last of them.
type end int

const (
	none end = iota
	sprung
	waiting
)

// NewHalf makes a half with the given register values.
func NewHalf(c *order.Code, bus memory.Bus, registers []memory.Word) *Half {
	h := &Half{Code: c, Bus: bus, Registers: append([]memory.Word(nil), registers...)}
	for range c.Timers {
		h.Deadlines = append(h.Deadlines, -1)
	}
	return h
}

// Boot does the boot rule.
func (h *Half) Boot() {
	f := &frame{half: h, locals: make([]memory.Word, h.Code.BootLocals)}
	f.lines(h.Code.Boot)
}

// Step takes one order.
func (h *Half) Step() {
	if h.Halted {
		return
	}
	place := h.Registers[h.Code.Counter.Number]
	for i, d := range h.Deadlines {
		if d >= 0 && d <= h.Now && d == h.earliest() {
			h.Deadlines[i] = -1
			h.Waiting = false
			h.spring(h.Code.Timers[i].Trap, place)
			h.pass(1)
			return
		}
	}
	o, words, ok := h.fetch(memory.Addr(place))
	if !ok {
		h.pass(1)
		return
	}
	h.carryOut(o, words, place)
}

// earliest is the earliest deadline of a timer that runs, -1 where none does.
func (h *Half) earliest() int64 {
	at := int64(-1)
	for _, d := range h.Deadlines {
		if d >= 0 && (at < 0 || d < at) {
			at = d
		}
	}
	return at
}

// carryOut does one order fetched from a place.
func (h *Half) carryOut(o *order.Order, words []memory.Word, place memory.Word) {
	next := (place + memory.Word(len(words))) & memory.Mask(h.Code.Geometry.AddrBits)
	f := &frame{half: h, order: o, fields: o.Values(words), locals: make([]memory.Word, o.Locals), here: place, next: next}
	counter := &h.Registers[h.Code.Counter.Number]
	if h.Code.HoldsNext {
		*counter = next
	}
	how := f.lines(o.Does)
	h.pass(int64(o.Cost) + f.spent)
	switch how {
	case none:
		h.Waiting = false
		if !h.Code.HoldsNext {
			*counter = f.next
		}
	case waiting:
		*counter = place
		h.rest()
	}
}

// rest lets time go on to the next event; without one the half stands still.
func (h *Half) rest() {
	h.Waiting = true
	at := h.earliest()
	if n := h.Next(h.Now); n >= 0 && (at < 0 || n < at) {
		at = n
	}
	if at < 0 {
		h.Halted = true
		return
	}
	h.Now = max(h.Now, at)
}

// fetch reads the words of the order at a place; false where a trap came.
func (h *Half) fetch(place memory.Addr) (*order.Order, []memory.Word, bool) {
	w, st := h.Bus.Read(place)
	if h.readTrap(st, memory.Word(place)) {
		return nil, nil, false
	}
	words := []memory.Word{w}
	o := h.plainFind(w)
	if o == nil {
		h.undefined(memory.Word(place))
		return nil, nil, false
	}
	for i := 1; i < len(o.Patterns); i++ {
		w, st := h.Bus.Read((place + memory.Addr(i)) & memory.Addr(memory.Mask(h.Code.Geometry.AddrBits)))
		if h.readTrap(st, memory.Word(place)) {
			return nil, nil, false
		}
		words = append(words, w)
	}
	for i, p := range o.Patterns {
		if words[i]&p.Mask != p.Value {
			h.undefined(memory.Word(place))
			return nil, nil, false
		}
	}
	return o, words, true
}

// plainFind looks through the orders one by one.
func (h *Half) plainFind(w memory.Word) *order.Order {
	for _, o := range h.Code.Orders {
		if w&o.Patterns[0].Mask == o.Patterns[0].Value && picksRegisters(o, w) {
			return o
		}
	}
	return nil
}

// picksRegisters tells whether every group field of the first word means a register.
func picksRegisters(o *order.Order, w memory.Word) bool {
	for _, f := range o.Fields {
		if f.Group != nil && f.Group[f.Of([]memory.Word{w})] == nil {
			return false
		}
	}
	return true
}

// pass moves time on.
func (h *Half) pass(cycles int64) {
	if h.Code.Cycle == 0 {
		h.Now++
		return
	}
	h.Now += cycles * h.Code.Cycle
}
