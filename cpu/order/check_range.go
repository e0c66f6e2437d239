package order

import (
	"coldstart/cpu/order/syntax"
	"coldstart/memory"
)

// protects takes over the ranges that are not written while something holds.
func (c *checker) protects() {
	for _, s := range every[*syntax.Protect](c) {
		scope := c.written(s.At.Line)
		if s.Area.Text != "" {
			when := scope.calm(s.When, "a protected area")
			if area := c.area(s.Area); area != nil {
				c.code.Protects = append(c.code.Protects, Protect{First: area.First, Last: area.Last, When: when, Line: s.At.Line})
			}
			continue
		}
		first, last, ok := c.span(s.First, s.Last, "a protected range")
		when := scope.calm(s.When, "a protected range")
		if ok && c.stands(s.First, s.Last, "it cannot be protected") {
			c.code.Protects = append(c.code.Protects, Protect{First: first, Last: last, When: when, Line: s.At.Line})
		}
	}
}

// written is where the address that is to be written can be named: at, where no register is called so.
func (c *checker) written(line int) *scope {
	s := &scope{checker: c}
	if c.code.Register("at") == nil {
		s.locals, s.count = []local{{name: "at", width: c.code.Geometry.AddrBits, line: line}}, 1
	}
	return s
}

// area finds an area of store by its name.
func (c *checker) area(n syntax.Name) *memory.Area {
	areas := c.code.Geometry.Areas
	for i := range areas {
		if areas[i].Name == n.Text {
			return &areas[i]
		}
	}
	c.unknown("area of store", n, namesOf(areas, func(a memory.Area) string { return a.Name }))
	return nil
}

// mirrors takes over the ranges whose writes go to the other half too.
func (c *checker) mirrors() {
	for _, s := range every[*syntax.Mirror](c) {
		first, last, ok := c.span(s.First, s.Last, "a mirrored range")
		scope := &scope{checker: c}
		when := scope.calm(s.When, "a mirrored range")
		if ok && c.stands(s.First, s.Last, "it cannot be mirrored") {
			c.code.Mirrors = append(c.code.Mirrors, Mirror{First: first, Last: last, When: when, Copied: s.Parity.Text == "copied", Line: s.At.Line})
		}
	}
}

// lamps takes over the blocks of store words whose bits light lamps.
func (c *checker) lamps() {
	for _, s := range every[*syntax.Lamps](c) {
		first, last, ok := c.span(s.First, s.Last, "a block of lamps")
		if !ok || !c.stands(s.First, s.Last, "its bits light no lamps") {
			continue
		}
		if hi, lo, ok := c.down(s.Bits, c.code.Geometry.Area(first).Width); ok {
			c.code.Lamps = append(c.code.Lamps, Lamps{First: first, Last: last, Hi: hi, Lo: lo, Inverted: s.Inverted, PlugIn: s.PlugIn.Text})
		}
	}
}

// span reads a range of addresses, both ends included. Where addresses count units it begins with the first unit of a word
// and ends with the last of one.
func (c *checker) span(from, to syntax.Number, what string) (first, last memory.Addr, ok bool) {
	first, ok1 := c.addr(from)
	last, ok2 := c.addr(to)
	if !ok1 || !ok2 {
		return 0, 0, false
	}
	if first > last {
		c.errorf(from.At, "%s runs backwards, from %s to %s", what, from.Text, to.Text)
		return 0, 0, false
	}
	return first, last, c.begins(from, first) && c.ends(to, last)
}

// begins complains of an address that is not that of the first unit of a word.
func (c *checker) begins(typed syntax.Number, a memory.Addr) bool {
	n := memory.Addr(c.code.units())
	if a%n != 0 {
		c.errorf(typed.At, "%s is not the first unit of a word: a word has %d, so words begin at multiples of %d", typed.Text, n, n)
	}
	return a%n == 0
}

// ends complains of an address that is not that of the last unit of a word.
func (c *checker) ends(typed syntax.Number, a memory.Addr) bool {
	n := memory.Addr(c.code.units())
	if a%n != n-1 {
		g := c.code.Geometry
		c.errorf(typed.At, "%s is not the last unit of a word: the word there ends at %s", typed.Text, g.Style.Addr(a-a%n+n-1, g.AddrBits))
	}
	return a%n == n-1
}

// stands complains where no store answers at an end of a range; so says what follows from it.
func (c *checker) stands(from, to syntax.Number, so string) bool {
	g := &c.code.Geometry
	for _, n := range []syntax.Number{from, to} {
		if a, ok := c.addr(n); ok && g.Area(a) == nil {
			c.errorf(n.At, "no store answers at %s, so %s", g.Style.Addr(a, g.AddrBits), so)
			return false
		}
	}
	return true
}
