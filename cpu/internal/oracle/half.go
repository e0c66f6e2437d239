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
	Do        func(verb string, code, sign int, w memory.Word, now int64) (memory.Word, bool) // receive, send, command, sign, rises
	Steal     func(code int, now int64) (at, w memory.Word, ok bool)                          // a word that a device puts into store
	Next      func(now int64) int64                                                           // when a channel next changes; -1: never
	Registers []memory.Word
	Deadlines []int64       // of the timers; -1 where one does not run
	Restarted []int64       // when each timer was last restarted; -1: never
	Heard     []memory.Word // of each sign that sets a flip-flop, how often it had come up when it was last asked
	Since     []int64       // orders done since the flip-flop that an interrupt waits for was set; -1 while it is 0
	Now       int64         // picoseconds
	Halted    bool
	Resumes   bool // a halted half that the resume key sets going
	Waiting   bool
	Trap      string // name of the last trap

	traps  int  // springing now, one inside the other
	mended bool // the order acting read a word that was put right
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
		h.Restarted = append(h.Restarted, -1)
	}
	for range c.Interrupts {
		h.Since = append(h.Since, -1)
	}
	return h
}

// Boot does the boot rule.
func (h *Half) Boot() {
	h.listen()
	f := &frame{half: h, locals: make([]memory.Word, h.Code.BootLocals)}
	f.lines(h.Code.Boot)
}

// TakeOver does what a machine does that comes on-line.
func (h *Half) TakeOver() {
	d := h.Code.Duplex
	if len(d.Does) == 0 {
		return
	}
	h.Halted, h.Waiting, h.Resumes = false, false, false
	f := &frame{half: h, locals: make([]memory.Word, d.Locals), here: h.Registers[h.Code.Counter.Number]}
	f.lines(d.Does)
}

// Step takes one order, or answers what has come between two.
func (h *Half) Step() {
	if h.Halted {
		return
	}
	h.mended = false
	h.stolen()
	h.listen()
	place := h.Registers[h.Code.Counter.Number]
	if h.timer(place) || h.interrupt(place) {
		h.pass(1)
		return
	}
	if o, words, ok := h.fetch(memory.Addr(place)); !ok {
		h.pass(1)
	} else {
		h.carryOut(o, words, place)
	}
	h.count()
}

// stolen lets devices put words into store.
func (h *Half) stolen() {
	for _, ch := range h.Code.Channels {
		for ch.Steals > 0 {
			at, w, ok := h.Steal(ch.Code, h.Now)
			if !ok {
				break
			}
			h.Bus.Write(memory.Addr(at&memory.Mask(h.Code.Geometry.AddrBits)), ch.Passed(w)&memory.Mask(ch.Width))
			h.pass(int64(ch.Steals))
		}
	}
}

// listen sets the flip-flops of signs that have come up.
func (h *Half) listen() {
	i := 0
	for _, ch := range h.Code.Channels {
		for _, q := range ch.Requests {
			if len(h.Heard) == i {
				h.Heard = append(h.Heard, 0)
			}
			if n, ok := h.Do("rises", ch.Code, q.Sign, 0, h.Now); ok && n != h.Heard[i] {
				h.Heard[i], h.Registers[q.Sets.Number] = n, 1
			}
			i++
		}
	}
}

// timer springs the trap of the timer that has run out; of two that ran out together the later one in the file.
func (h *Half) timer(place memory.Word) bool {
	at := h.earliest()
	if at < 0 || at > h.Now {
		return false
	}
	n := 0
	for i, d := range h.Deadlines {
		if d == at {
			n = i
		}
	}
	h.Deadlines[n] = -1
	h.Waiting = false
	h.spring(h.Code.Timers[n].Trap, place)
	return true
}

// interrupt answers the first interrupt that asks and may be answered.
func (h *Half) interrupt(place memory.Word) bool {
	for i, in := range h.Code.Interrupts {
		f := &frame{half: h, locals: make([]memory.Word, in.Locals), here: place}
		if in.Enable != nil && (h.Since[i] < int64(in.Delay) || h.Since[i] < 0) {
			continue
		}
		if v, e := f.value(in.When); v == 1 && e == none {
			h.Waiting = false
			f.lines(in.Does)
			return true
		}
	}
	return false
}

// count lets the flip-flops that interrupts wait for grow older by an order.
func (h *Half) count() {
	for i, in := range h.Code.Interrupts {
		switch {
		case in.Enable == nil:
		case h.Registers[in.Enable.Number] == 0:
			h.Since[i] = -1
		default:
			h.Since[i]++
		}
	}
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
	next := memory.Word(h.Code.After(memory.Addr(place), o))
	f := &frame{half: h, order: o, fields: o.Values(words), locals: make([]memory.Word, o.Locals), here: place, next: next}
	counter := &h.Registers[h.Code.Counter.Number]
	if h.Code.HoldsNext {
		*counter = next
	}
	began := h.Now
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
		h.rest(began)
	}
	if h.mended && how != sprung {
		h.named("corrected", false, place)
	}
}

// rest lets time go on to the next event since the order began; without one the half stands still.
func (h *Half) rest(began int64) {
	h.Waiting = true
	at := h.earliest()
	if n := h.Next(began); n >= 0 && (at < 0 || n < at) {
		at = n
	}
	if at < 0 {
		h.stop(false)
		return
	}
	h.Now = max(h.Now, at)
}

// stop lets the half stand still. Of several reasons for it in one order, one that no key helps against is enough.
func (h *Half) stop(resumes bool) {
	h.Resumes = resumes && (h.Resumes || !h.Halted)
	h.Halted = true
}

// Resume is the resume key.
func (h *Half) Resume() bool {
	if !h.Halted || !h.Resumes {
		return false
	}
	h.Halted, h.Waiting, h.Resumes = false, false, false
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
