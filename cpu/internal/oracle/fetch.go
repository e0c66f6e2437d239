package oracle

import (
	"coldstart/cpu/order"
	"coldstart/memory"
)

// fetch reads the words of the order at a place; false where something came between.
func (h *Half) fetch(place memory.Addr) (*order.Order, []memory.Word, bool) {
	w, ok := h.part(place, memory.Word(place))
	if !ok {
		return nil, nil, false
	}
	words := []memory.Word{w}
	o := h.read(w)
	switch {
	case o == nil:
		h.undefined(memory.Word(place))
		return nil, nil, false
	case o.Unreadable:
		h.Trap = "unreadable"
		h.stop(false)
		return nil, nil, false
	}
	at := place
	for range o.Patterns[1:] {
		at = h.Code.After(at, nil)
		if w, ok = h.part(at, memory.Word(place)); !ok {
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

// part reads what stands at a place, for the order that stands at another.
func (h *Half) part(place memory.Addr, acting memory.Word) (memory.Word, bool) {
	w, st := h.Bus.Read(h.Code.WordOf(place))
	if h.readTrap(st, acting) {
		return 0, false
	}
	return h.Code.Part(place, w), true
}

// read finds the order that reads a word, or what the handbook says of words that none reads.
func (h *Half) read(w memory.Word) *order.Order {
	if o := plainFind(h.Code.Orders, w); o != nil {
		return o
	}
	var narrowest *order.Order
	for _, o := range h.Code.Undefined {
		if reads(o, w) && (narrowest == nil || narrowest.Patterns[0].Mask&^o.Patterns[0].Mask == 0) {
			narrowest = o
		}
	}
	if narrowest == nil || narrowest.Does == nil {
		return nil
	}
	return narrowest
}

// plainFind looks through orders one by one; one that yields to others comes after them.
func plainFind(orders []*order.Order, w memory.Word) *order.Order {
	for _, o := range orders {
		if !reads(o, w) {
			continue
		}
		yields := false
		for _, first := range o.Except {
			yields = yields || reads(first, w)
		}
		if !yields {
			return o
		}
	}
	return nil
}

// reads tells whether an order reads a word as its first: the pattern fits, and every group field means a register.
func reads(o *order.Order, w memory.Word) bool {
	if w&o.Patterns[0].Mask != o.Patterns[0].Value {
		return false
	}
	for _, f := range o.Fields {
		if f.Group == nil || len(f.Pieces) == 0 || f.Pieces[0].Word > 0 {
			continue
		}
		if f.Group[f.Of([]memory.Word{w})] == nil {
			return false
		}
	}
	return true
}
