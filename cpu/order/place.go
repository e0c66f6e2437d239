package order

import (
	"math/bits"

	"coldstart/memory"
)

// A place is where an order stands: the address of its first word or, where words hold two orders, the number of orders
// before it, so that address 5 has places 10 and 11. The order counter holds a place, and `here` is one.

// Step is how far the place of one word of an order is from that of the next: the units of a word, or 1.
func (c *Code) Step() int {
	if c.PerWord > 1 {
		return 1
	}
	return c.units()
}

// WordStep is how far the place of one word of data is from that of the next.
func (c *Code) WordStep() int { return c.Step() * max(c.PerWord, 1) }

// units is how many addresses a word takes.
func (c *Code) units() int {
	if unit := c.Geometry.Unit; unit > 0 {
		return c.Geometry.Width / unit
	}
	return 1
}

// OrderWidth is how many bits an order has in one place: those of a word, or of half a word.
func (c *Code) OrderWidth() int { return c.Geometry.Width / max(c.PerWord, 1) }

// PlaceBits is how many bits a place has: those of an address, and one more where words hold two orders.
func (c *Code) PlaceBits() int { return c.Geometry.AddrBits + bits.Len(uint(max(c.PerWord, 1))) - 1 }

// WordOf is the address of the word that a place lies in.
func (c *Code) WordOf(place memory.Addr) memory.Addr { return place / memory.Addr(max(c.PerWord, 1)) }

// PlaceOf is the first place in the word at an address.
func (c *Code) PlaceOf(a memory.Addr) memory.Addr { return a * memory.Addr(max(c.PerWord, 1)) }

// Part is what stands at a place, cut from the word that it lies in.
func (c *Code) Part(place memory.Addr, w memory.Word) memory.Word {
	return w >> c.shift(place) & memory.Mask(c.OrderWidth())
}

// Put is the word that a place lies in with part put there.
func (c *Code) Put(place memory.Addr, w, part memory.Word) memory.Word {
	mask := memory.Mask(c.OrderWidth())
	return w&^(mask<<c.shift(place)) | part&mask<<c.shift(place)
}

// shift is how many bits stand right of a place in its word.
func (c *Code) shift(place memory.Addr) int {
	if c.PerWord < 2 || (place&1 == 1) != c.RightFirst {
		return 0
	}
	return c.OrderWidth()
}

// After is the place behind an order that stands at a place; o may be nil, where no order reads the word there.
func (c *Code) After(place memory.Addr, o *Order) memory.Addr {
	words := 1
	if o != nil {
		words = len(o.Patterns)
	}
	return (place + memory.Addr(words*c.Step())) & memory.Addr(memory.Mask(c.PlaceBits()))
}
