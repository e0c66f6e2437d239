package cpu_test

import "math/bits"

// shift is the shifts and rotates.
func (r *rival) shift(w uint32) {
	n := w >> 3 & 31
	r.cycles += 1 + int64(n)
	op := w >> 10 & 7
	if op >= 5 {
		r.shiftLong(op, n)
		return
	}
	reg := &r.reg[w>>8&3]
	switch op {
	case 0:
		*reg = *reg << n & ones18
	case 1:
		*reg >>= n
	case 2:
		*reg = uint32(int32(signed(*reg, 18))>>n) & ones18
	case 3:
		n %= 18
		*reg = (*reg<<n | *reg>>(18-n)) & ones18
	case 4:
		n %= 18
		*reg = (*reg>>n | *reg<<(18-n)) & ones18
	}
	r.test(*reg)
}

// shiftLong is the shifts of A and B together.
func (r *rival) shiftLong(op, n uint32) {
	long := uint64(r.reg[regA])<<18 | uint64(r.reg[regB])
	switch op {
	case 5:
		long <<= n
	case 6:
		long >>= n
	case 7:
		long = long<<n | long>>(36-n)
	}
	r.reg[regA], r.reg[regB] = uint32(long>>18)&ones18, uint32(long)&ones18
}

// between is the orders between registers.
func (r *rival) between(w uint32) {
	r.cycles++
	a, b := &r.reg[w>>7&3], &r.reg[w>>5&3]
	switch w >> 9 & 15 {
	case 0:
		*a = *b
	case 1:
		*a, *b = *b, *a
		return
	case 2:
		*a ^= ones18
	case 3:
		*a = -*a & ones18
	case 4:
		*a = 0
	case 5, 6:
		r.cycles++
		r.findOne(a, b, w>>9&1 == 0)
		return
	case 7:
		r.cycles++
		*b = uint32(bits.OnesCount32(*a))
		return
	case 9:
		*a = r.add(*a, *b, 0)
	case 10:
		*a = r.add(*a, *b^ones18, 1)
	case 11:
		r.compare(*a, *b)
		return
	case 12:
		*a = r.reg[regX3]
	case 13:
		r.reg[regX3] = *a
		return
	}
	r.test(*a)
}

// findOne finds the leftmost one of a, and may clear it.
func (r *rival) findOne(a, b *uint32, clear bool) {
	v := *a
	r.zero = v == 0
	if v == 0 {
		return
	}
	n := uint32(bits.Len32(v) - 1)
	if clear {
		*a = v &^ (1 << n)
	}
	*b = n
}
