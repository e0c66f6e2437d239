package order

import "coldstart/memory"

// Show writes what a register holds in the machine's own style. One as wide as an address, as the order counter is, is taken
// to hold one, and is written with the digits that addresses have everywhere else.
func (c *Code) Show(r *Register, w memory.Word) string {
	g := &c.Geometry
	if r.Width == g.AddrBits {
		return g.Style.Addr(memory.Addr(w), g.AddrBits)
	}
	return g.Style.Word(w, r.Width)
}
