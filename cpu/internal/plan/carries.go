package plan

import "coldstart/memory"

// Carries are the carries into bits of an adder that are held at a value. The zero Carries holds none.
type Carries struct{ zero, one memory.Word }

// Hold holds the carry into a bit, counted from the right, at 0 or 1.
func (c *Carries) Hold(bit, value int) {
	if value == 1 {
		c.one |= 1 << bit
	} else {
		c.zero |= 1 << bit
	}
}

// Adds tells whether the op goes through the adder: add, subtract, and the carry and the overflow of these. The counting up
// of addresses, the comparer and the decimal adder are other parts.
func (o Op) Adds() bool { return o == Add || o == Subtract || o == Carry || o == Overflow }

// Compute is what Adder.Compute gives, with these carries held, for an op that Adds.
func (c Carries) Compute(t Adder, s *Step, a, b, in memory.Word) memory.Word {
	if s.Op == Subtract {
		return c.subtract(t, a, b, s.N)
	}
	sum, carry, overflow := c.add(t, a, b, in, s.N)
	switch s.Op {
	case Carry:
		return carry
	case Overflow:
		return overflow
	}
	return sum
}

// subtract gives a less b, both of n bits, each complement by the way that Adder.Subtract goes.
func (c Carries) subtract(t Adder, a, b memory.Word, n uint8) memory.Word {
	var d memory.Word
	switch t {
	case OnesComplement:
		d, _, _ = c.add(t, a, ^b&memory.Mask(int(n)), 0, n)
	case SignMagnitude:
		d, _, _ = c.add(t, a, b^1<<(n-1), 0, n)
	default:
		d, _ = c.ripple(a, ^b&memory.Mask(int(n)), 1, n)
	}
	return d
}

// add gives the sum, the carry out and the overflow, as Adder.Add does.
func (c Carries) add(t Adder, a, b, in memory.Word, n uint8) (sum, carry, overflow memory.Word) {
	if t == SignMagnitude {
		return c.addMagnitudes(a, b, in, n)
	}
	sum, carry = c.ripple(a, b, in, n)
	if t == OnesComplement {
		// The carry that comes in again at the right runs through the same gates: where one is held, it has had its say.
		sum, _ = Carries{zero: c.zero | c.one}.ripple(sum, 0, carry, n)
	}
	top := memory.Word(1) << (n - 1)
	return sum, carry, ((a ^ sum) & (b ^ sum) & top) >> (n - 1)
}

// addMagnitudes adds sign-magnitude words: like signs add, unlike signs take the smaller from the larger.
func (c Carries) addMagnitudes(a, b, in memory.Word, n uint8) (sum, carry, overflow memory.Word) {
	top := memory.Word(1) << (n - 1)
	x, y := a&^top, b&^top
	if (a^b)&top == 0 {
		m, out := c.ripple(x, y, in, n-1)
		return m | a&top, out, out
	}
	y -= min(in, y)
	sign := a & top
	if x < y {
		x, y, sign = y, x, b&top
	}
	m, _ := c.ripple(x, ^y&memory.Mask(int(n)-1), 1, n-1)
	return m | sign, 0, 0
}

// ripple adds modulo 2^n bit by bit and gives the carry out.
func (c Carries) ripple(a, b, in memory.Word, n uint8) (sum, carry memory.Word) {
	carry = in
	for i := range n {
		carry = carry&^(c.zero>>i&1) | c.one>>i&1
		x, y := a>>i&1, b>>i&1
		sum |= (x ^ y ^ carry) << i
		carry = x&y | x&carry | y&carry
	}
	return sum, carry
}
