package proof

import (
	"coldstart/cpu/order"
	"coldstart/memory"
)

// cell is what a store word may hold: what the orders met write there, or else what the image has there.
func (x *explorer) cell(a memory.Addr) value {
	if v := x.written[a]; v != nil {
		return *v
	}
	w, _, ok := x.image.At(a)
	if !ok || x.changes[a] {
		return value{} // nothing yet: an order that writes there has still to be met
	}
	x.relied[a] = true
	return exactly(w)
}

// write notes that an order stores a value.
func (x *explorer) write(w *walk, t *order.Expr, at, v value) {
	if at.any || len(at.words) > mostWorked {
		if w.order != nil {
			x.result.wildWrites[w.place.words[0]] = true
		}
		return
	}
	if t.Width != x.code.Geometry.Width {
		v = anything()
	}
	for _, word := range at.words {
		a := memory.Addr(word)
		if w.order != nil {
			x.result.writes[[2]memory.Addr{memory.Addr(w.place.words[0]), a}] = w.order
		}
		if x.relied[a] && !x.changes[a] {
			x.again = true
		}
		x.changes[a] = true
		x.note(a, v)
	}
}

// note lets a store word hold a value, and visits those again that looked at it before.
func (x *explorer) note(a memory.Addr, v value) {
	cell := x.written[a]
	if cell == nil {
		cell = &value{}
		x.written[a] = cell
	}
	before := *cell
	if *cell = cell.or(v); cell.any == before.any && len(cell.words) == len(before.words) {
		return
	}
	x.queue = append(x.queue, x.lookers[a]...)
}
