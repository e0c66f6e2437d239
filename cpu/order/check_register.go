package order

import "coldstart/cpu/order/syntax"

// registers takes over registers, flip-flops, keys and the order counter, in file order.
func (c *checker) registers() {
	for _, s := range every[*syntax.Registers](c) {
		width := 1
		if s.Keyword != "flip-flop" {
			width = c.width(s.Bits, "a register", 64)
		}
		like := Register{
			Width: width, FlipFlop: s.Keyword == "flip-flop", Keys: s.Keyword == "keys",
			PlugIn: c.plugIn(s.PlugIn), Page: s.Reference(), Doubt: s.Doubt, Inverted: s.Inverted,
		}
		if like.Keys && width > 0 {
			like.Start, _ = c.value(s.AtStart, width, "this set of keys")
		}
		for _, n := range s.Names {
			c.register(s, n, like)
		}
	}
}

// register takes over one register of a line.
func (c *checker) register(s *syntax.Registers, n syntax.Name, r Register) {
	if n.Text == "here" {
		c.errorf(n.At, "here is the place of the order acting and cannot name a register")
		return
	}
	if !c.declare("register", n) {
		return
	}
	r.Name, r.Number = n.Text, len(c.code.Registers)
	c.code.Registers = append(c.code.Registers, &r)
	if s.Keyword == "counter" && c.code.Counter == nil {
		c.counter(s, &r)
	}
}

// counter makes r the order counter.
func (c *checker) counter(s *syntax.Registers, r *Register) {
	c.code.Counter = r
	c.code.HoldsNext = s.Holds.Text == "next"
	bits := c.code.PlaceBits()
	switch {
	case r.Width == bits || r.Width < 1:
	case bits > c.code.Geometry.AddrBits:
		c.errorf(s.Bits.At, "the order counter %s has %s, but it counts two orders a word: give it %d, one more than an address", r.Name, count(r.Width, "bit"), bits)
	default:
		c.errorf(s.Bits.At, "the order counter %s has %s, but an address has %s: they must be alike", r.Name, count(r.Width, "bit"), count(bits, "bit"))
	}
}

// registerNames are the registers there are, for a hint.
func (c *checker) registerNames() []string {
	return namesOf(c.code.Registers, func(r *Register) string { return r.Name })
}

// adder takes over which plug-in the adder is in.
func (c *checker) adder() {
	for _, s := range every[*syntax.Adder](c) {
		c.code.AdderPlugIn = c.plugIn(s.PlugIn)
	}
}

// plugIn gives the name of the plug-in that a part is in; it complains where none is declared so. No name is none.
func (c *checker) plugIn(n syntax.Name) string {
	if _, known := c.declared["plug-in "+n.Text]; n.Text != "" && !known {
		names := namesOf(c.code.PlugIns, func(p PlugIn) string { return p.Name })
		for _, area := range c.code.Geometry.Areas {
			names = append(names, area.Name)
		}
		c.unknown("plug-in", n, names)
	}
	return n.Text
}
