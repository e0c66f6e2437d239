package oracle

import (
	"math/big"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// adder works out what goes through the adder, from the meaning of the numbers rather than from their bits.
func (h *Half) adder(e *order.Expr, v [3]memory.Word) memory.Word {
	n := e.Args[0].Width
	a, b, in := v[0], v[1], v[2]
	switch e.Op {
	case "add":
		sum, _, _ := h.sum(a, b, in, n)
		return sum
	case "carry":
		_, carry, _ := h.sum(a, b, in, n)
		return carry
	case "overflow":
		_, _, over := h.sum(a, b, in, n)
		return over
	case "subtract":
		return h.difference(a, b, n)
	case "less":
		return compare("<", h.number(a, n).Cmp(h.number(b, n)))
	}
	panic("oracle: no meaning for " + e.Op)
}

// number reads a word as a signed number in the machine's complement.
func (h *Half) number(w memory.Word, n int) *big.Int {
	a := big.NewInt(0).SetUint64(uint64(w))
	if a.Bit(n-1) == 0 {
		return a
	}
	switch h.Code.Complement {
	case "ones":
		return a.Sub(a, big.NewInt(0).Sub(power(n), big.NewInt(1)))
	case "sign-magnitude":
		return a.Neg(a.SetBit(a, n-1, 0))
	}
	return twos(a, n)
}

// sum adds digit by digit, as a row of full adders does; sign-magnitude adds as people do.
func (h *Half) sum(a, b, in memory.Word, n int) (sum, carry, over memory.Word) {
	if h.Code.Complement == "sign-magnitude" {
		return h.magnitudes(a, b, in, n)
	}
	row := func(a, b, in memory.Word) (memory.Word, memory.Word) {
		var s memory.Word
		for i := range n {
			x, y := a>>i&1, b>>i&1
			s |= (x ^ y ^ in) << i
			in = x&y | x&in | y&in
		}
		return s, in
	}
	sum, carry = row(a, b, in)
	if h.Code.Complement == "ones" {
		sum, _ = row(sum, 0, carry)
	}
	if a>>(n-1) == b>>(n-1) && sum>>(n-1) != a>>(n-1) {
		over = 1
	}
	return sum, carry, over
}

// magnitudes adds sign-magnitude words. A zero that comes of unlike signs keeps the sign of a.
func (h *Half) magnitudes(a, b, in memory.Word, n int) (sum, carry, over memory.Word) {
	x, y := h.number(a, n), h.number(b, n)
	sign := a >> (n - 1)
	one := big.NewInt(int64(in))
	if sign == 1 {
		one.Neg(one)
	}
	if a>>(n-1) != b>>(n-1) && y.Sign() == 0 {
		one.SetInt64(0) // a carry in can take no more from the other than it has
	}
	total := x.Add(x, y.Add(y, one))
	if total.Sign() != 0 {
		sign = memory.Word((1 - total.Sign()) / 2)
	}
	mag := total.Abs(total)
	if mag.Bit(n-1) == 1 {
		carry, over = 1, 1
	}
	return low(mag, n-1) | sign<<(n-1), carry, over
}

// difference subtracts.
func (h *Half) difference(a, b memory.Word, n int) memory.Word {
	switch h.Code.Complement {
	case "ones":
		d, _, _ := h.sum(a, b^memory.Mask(n), 0, n)
		return d
	case "sign-magnitude":
		d, _, _ := h.sum(a, b^1<<(n-1), 0, n)
		return d
	}
	x, y := h.number(a, n), h.number(b, n)
	return low(x.Sub(x, y), n)
}
