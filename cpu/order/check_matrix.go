package order

import (
	"coldstart/cpu/order/syntax"
	"coldstart/memory"
)

// parity takes over one parity column or check bit. One that covers a single run keeps its ends, which is how people
// speak of it.
func (c *checker) parity(p syntax.Parity, width int) (memory.Parity, bool) {
	column := memory.Parity{Name: p.Name.Text, Odd: p.Odd, Address: p.Address}
	hi, lo, ok := c.down(p.Bits, width)
	if !ok {
		return column, false
	}
	column.Hi, column.Lo = hi, lo
	if p.More == nil {
		return column, true
	}
	column.Over = covered(column)
	for _, bits := range p.More {
		hi, lo, ok := c.down(bits, width)
		if !ok {
			return column, false
		}
		more := covered(memory.Parity{Hi: hi, Lo: lo})
		if column.Over&more != 0 {
			c.errorf(bits.At, "check bit %s covers a bit twice, which is not to cover it at all", p.Name.Text)
			return column, false
		}
		column.Over |= more
	}
	column.Hi, column.Lo = 0, 0
	return column, true
}

// covered is the data bits a column is made over.
func covered(p memory.Parity) memory.Word {
	if p.Over != 0 {
		return p.Over
	}
	return memory.Mask(p.Hi-p.Lo+1) << p.Lo
}

// corrects complains where a wrong bit cannot be told from another: each data bit must fail columns of its own, and more
// than one, since a check bit that is wrong itself fails one.
func (c *checker) corrects(s *syntax.Store, area *memory.Area) {
	at := s.At
	if len(s.CheckBits) > 0 {
		at = s.CheckBits[0].Name.At
	}
	style := c.code.Geometry.Style
	failing := map[int]string{} // a set of columns, bit i for Parity[i], and what fails it
	for i, p := range area.Parity {
		failing[1<<i] = "check bit " + p.Name
	}
	for bit := range area.Width {
		fails := 0
		for i, p := range area.Parity {
			fails |= int(covered(p)>>bit&1) << i
		}
		switch other, taken := failing[fails]; {
		case fails == 0:
			c.errorf(at, "bit %s is covered by no check bit, so it cannot be corrected", style.Bit(bit, area.Width))
			return
		case taken:
			c.errorf(at, "bit %s and %s fail the same check bits, so that neither can be corrected", style.Bit(bit, area.Width), other)
			return
		}
		failing[fails] = "bit " + style.Bit(bit, area.Width)
	}
}
