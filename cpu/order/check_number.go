package order

import (
	"go/token"
	"strconv"

	"coldstart/cpu/order/syntax"
	"coldstart/memory"
)

// number reads a number in the file's own radix, or in the one written before it.
func (c *checker) number(n syntax.Number) (uint64, bool) {
	style := c.code.Geometry.Style
	if n.Radix != "" {
		style.Radix = radixes[n.Radix]
	}
	v, err := style.Parse(n.Text)
	if err != nil {
		c.errorf(n.At, "%v", err)
	}
	return v, err == nil
}

// value reads a number that must fit in width bits; what names whose they are.
func (c *checker) value(n syntax.Number, width int, what string) (memory.Word, bool) {
	v, ok := c.number(n)
	if ok && memory.Word(v) > memory.Mask(width) {
		c.errorf(n.At, "%s does not fit: %s has %d bits", n.Text, what, width)
		return 0, false
	}
	return memory.Word(v), ok
}

// addr reads an address.
func (c *checker) addr(n syntax.Number) (memory.Addr, bool) {
	v, ok := c.value(n, c.code.Geometry.AddrBits, "an address")
	return memory.Addr(v), ok
}

// decimal reads a count or width, which is decimal whatever the radix of the file; -1 where it is none or out of range.
func (c *checker) decimal(n syntax.Number, what string, least, most int) int {
	v, err := strconv.Atoi(n.Text)
	if err != nil || v < least || v > most {
		c.errorf(n.At, "%s is %s, but must be a decimal number from %d to %d", what, n.Text, least, most)
		return -1
	}
	return v
}

// width gives the width of something declared. One that is wrong would make whatever names the thing look wrong too.
func (c *checker) width(n syntax.Number, what string, most int) int {
	w := c.decimal(n, "the width of "+what, 1, most)
	c.unsure = c.unsure || w < 0
	return w
}

// bit turns one bit number of the handbook into the number counted from the right.
func (c *checker) bit(at token.Position, text string, width int) (int, bool) {
	v, err := strconv.Atoi(text)
	if err != nil {
		c.errorf(at, "%s is not a bit number: bit numbers are decimal", text)
		return 0, false
	}
	bit, err := c.code.Geometry.Style.BitFrom(v, width)
	if err != nil {
		c.errorf(at, "%v", err)
	}
	return bit, err == nil
}

// run turns a run of bit numbers, or a single one, into two numbers counted from the right, in the sequence typed.
func (c *checker) run(b syntax.Bits, width int) (first, last int, ok bool) {
	first, ok = c.bit(b.At, b.First, width)
	if !ok || b.Last == "" {
		return first, first, ok
	}
	last, ok = c.bit(b.At, b.Last, width)
	return first, last, ok
}

// down is a run typed as words are drawn, the left end first. One typed from the right may be a slip, or from a handbook that
// counts its bits from the other end: taken the wrong way round it would look right in every listing.
func (c *checker) down(b syntax.Bits, width int) (hi, lo int, ok bool) {
	hi, lo, ok = c.run(b, width)
	if ok && hi < lo {
		c.errorf(b.At, "bits %s-%s run from right to left: write the left one first, %s-%s", b.First, b.Last, b.Last, b.First)
		ok = false
	}
	return hi, lo, ok
}
