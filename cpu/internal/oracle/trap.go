package oracle

import (
	"coldstart/cpu/order"
	"coldstart/memory"
)

// spring does a trap, unless its condition keeps it out; it tells whether the trap happened. A trap inside a trap is the
// trap named again, where the file has one; inside that, or without it, the half stops.
func (h *Half) spring(t *order.Trap, place memory.Word) bool {
	if h.traps > 0 {
		again := h.Code.Trap("again")
		if again == nil || h.traps > 1 {
			h.stop(false)
			return true
		}
		t = again
	}
	f := &frame{half: h, locals: make([]memory.Word, t.Locals), here: place}
	if t.When != nil && h.traps == 0 {
		if v, _ := f.value(t.When); v == 0 {
			return false
		}
	}
	h.Trap = t.Name
	h.traps++
	f.lines(t.Does)
	h.traps--
	return true
}

// named springs the trap of a name; where the file has none, the half stops if it must, or goes on.
func (h *Half) named(name string, must bool, place memory.Word) bool {
	if t := h.Code.Trap(name); t != nil {
		return h.spring(t, place)
	}
	if must {
		h.Trap = name
		h.stop(false)
	}
	return must
}

// undefined is what happens at words that no order reads.
func (h *Half) undefined(place memory.Word) {
	if !h.named("undefined", true, place) {
		h.stop(false)
	}
}

// readTrap springs what a read calls for.
func (h *Half) readTrap(st memory.Status, place memory.Word) bool {
	if st&memory.NoReply != 0 {
		return h.named("no-reply", true, place)
	}
	h.mended = h.mended || st&memory.Corrected != 0 && h.traps == 0
	return st&memory.ParityWrong != 0 && h.named("parity", false, place)
}

// writeTrap springs what a write calls for.
func (h *Half) writeTrap(st memory.Status, place memory.Word) bool {
	if st&memory.NoReply != 0 {
		return h.named("no-reply", true, place)
	}
	return st&memory.Protected != 0 && h.named("protected", false, place)
}
