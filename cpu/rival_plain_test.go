package cpu_test

import (
	"math/bits"

	"coldstart/memory"
)

// A plainRival is the rival of a machine whose orders no fused step knows: testdata/plain.machine as one switch.
type plainRival struct {
	store      []uint32
	a, b, c, m uint16
	x, p       uint16
	minus      bool
	zero       bool
	odd, carry uint16
	cycles     int64
	stopped    bool
}

// newPlainRival takes over what a store holds.
func newPlainRival(s *memory.Store) *plainRival {
	r := &plainRival{store: make([]uint32, 1<<12)}
	for a := range r.store {
		_, w, _ := s.Peek(memory.Addr(a))
		r.store[a] = uint32(w)
	}
	return r
}

// run takes orders until n are done or one is not known; it gives the number taken.
func (r *plainRival) run(n int64) int64 {
	for taken := range n {
		if r.stopped {
			return taken
		}
		w := r.store[r.p&0xFFF]
		if w&doubt != 0 {
			r.stopped = true
			return taken
		}
		r.p = (r.p + 1) & 0xFFF
		r.cycles++
		at := (w + uint32(r.x)) & 0xFFF
		switch w >> 12 {
		case 1:
			s := r.store[at]
			if s&doubt != 0 {
				r.stopped = true
				return taken
			}
			r.a = bits.RotateLeft16(r.a^uint16(s), 3) + r.b
		case 2:
			r.b ^= r.a<<8 | r.a>>8
			r.minus, r.zero, r.odd = r.b>>15 == 1, r.b == 0, uint16(bits.OnesCount16(r.b)&1)
		case 3:
			s := r.store[at]
			if s&doubt != 0 {
				r.stopped = true
				return taken
			}
			r.store[at] = uint32(uint16(s)&^r.m | r.a&r.m)
		case 4:
			r.c += uint16(bits.LeadingZeros16(r.a) + bits.TrailingZeros16(r.b))
			r.m ^= r.c
		case 5:
			s := r.store[at]
			if s&doubt != 0 {
				r.stopped = true
				return taken
			}
			r.tens(uint16(s) & 0x7777)
		case 6:
			if r.odd == 1 {
				r.b += r.m
			} else {
				r.b -= r.m
			}
			r.c += uint16(bits.OnesCount16(r.b))
			r.cycles++
		case 7:
			p := uint32(r.a) * uint32(r.b)
			r.a, r.b = uint16(p>>16), uint16(p)|1
			r.cycles += 2
		case 8:
			r.x = (r.x + 1) & 0xFFF
			if r.x&0x3FF == 0x3FF {
				r.x = 0
			}
			r.p = uint16(w & 0xFFF)
		default:
			r.stopped = true
			return taken
		}
	}
	return n
}

// tens adds digit by digit.
func (r *plainRival) tens(s uint16) {
	c, sum, carry := r.c&0x7777, uint16(0), r.carry
	for lo := 0; lo < 16; lo += 4 {
		d := c>>lo&15 + s>>lo&15 + carry
		carry = 0
		if d > 9 {
			d, carry = d-10, 1
		}
		sum |= d << lo
	}
	r.c, r.carry = sum, carry
}
