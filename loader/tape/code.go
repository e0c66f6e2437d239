package tape

import "math/bits"

// A code is a check code with all six of its parameters, as textbooks of the parametrised model count them: width,
// polynomial without its highest term, the register at the start, whether each byte goes in with its lowest bit first,
// whether the register comes out turned end for end, and what is added to it at last, without carries.
type code struct {
	bits    int
	poly    uint64
	start   uint64
	in, out bool
	final   uint64
	ones    uint64      // all bits of the register
	table   [256]uint64 // what each byte that leaves the register on the left brings in again
}

// step moves the register by one bit of 0: multiplication by x.
func (c *code) step(r uint64) uint64 {
	out := r >> uint(c.bits-1) & 1
	return r<<1&c.ones ^ c.poly&-out
}

// lay fills the table, once the parameters are known.
func (c *code) lay() {
	for b := range c.table {
		r := uint64(b) << (c.bits - 8)
		for range 8 {
			r = c.step(r)
		}
		c.table[b] = r
	}
}

// A register is a code being made of bits as they come.
type register struct {
	code *code
	r    uint64
	held uint64 // bits that do not yet make a byte
	have int
}

// push takes the n lowest bits of v, the highest of them first; n is at most 56.
func (r *register) push(v uint64, n int) {
	r.held, r.have = r.held<<n|v, r.have+n
	for ; r.have >= 8; r.have -= 8 {
		in := byte(r.held >> (r.have - 8))
		out := byte(r.r >> (r.code.bits - 8))
		r.r = r.r<<8&r.code.ones ^ r.code.table[out^in]
	}
	r.held &= 0xFF >> (8 - r.have)
}

// rest takes the bits that do not make a byte, and gives the register.
func (r *register) rest() uint64 {
	for ; r.have > 0; r.have-- {
		bit := r.held >> (r.have - 1) & 1
		r.r = r.code.step(r.r ^ bit<<(r.code.bits-1))
	}
	return r.r
}

// value turns the register at the end into the code as recorded.
func (c *code) value(r uint64) uint64 {
	if c.out {
		r = bits.Reverse64(r) >> (64 - c.bits)
	}
	return r ^ c.final
}

// unvalue is the inverse of value.
func (c *code) unvalue(v uint64) uint64 {
	v ^= c.final
	if c.out {
		v = bits.Reverse64(v) >> (64 - c.bits)
	}
	return v
}
