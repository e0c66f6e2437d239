package cpu

import (
	"coldstart/cpu/internal/plan"
	"coldstart/memory"
)

// tableBits is the widest address for which bound orders stand in a table; beyond it they stand in a map.
const tableBits = 20

// A bounds holds the orders bound so far by address.
type bounds struct {
	table  []*plan.Bound
	sparse map[memory.Addr]*plan.Bound
}

// newBounds makes room for addresses of some bits.
func newBounds(addrBits int) bounds {
	if addrBits <= tableBits {
		return bounds{table: make([]*plan.Bound, 1<<addrBits)}
	}
	return bounds{sparse: map[memory.Addr]*plan.Bound{}}
}

// at is the order bound at an address, nil where there is none.
func (b *bounds) at(a memory.Addr) *plan.Bound {
	if a < memory.Addr(len(b.table)) {
		return b.table[a]
	}
	return b.sparse[a]
}

// put keeps an order bound at an address.
func (b *bounds) put(a memory.Addr, p *plan.Bound) {
	if b.table != nil {
		b.table[a] = p
		return
	}
	b.sparse[a] = p
}

// drop forgets all.
func (b *bounds) drop() {
	clear(b.table)
	clear(b.sparse)
}
