package plan

import (
	"math/bits"

	"coldstart/memory"
)

// Compute does a step that only makes a value of values: every op from Move to Remainder but Put. It serves folding at
// binding time and the machine alike, so that there is one meaning of each.
func (t Adder) Compute(s *Step, a, b, c memory.Word) memory.Word {
	switch s.Op {
	case Move:
		return a
	case Not:
		return ^a & s.M
	case And:
		return a & b
	case Or:
		return a | b
	case Xor:
		return a ^ b
	case Plus:
		return (a + b) & s.M
	case Minus:
		return (a - b) & s.M
	case Equal:
		return truth(a == b)
	case Unequal:
		return truth(a != b)
	case Below:
		return truth(a < b)
	case AtMost:
		return truth(a <= b)
	case Join:
		return a<<s.N | b
	case Bits:
		return a >> s.N & s.M
	case SignExtend:
		return memory.Word(signed(a, s.N)) & s.M
	}
	return t.computeRare(s, a, b, c)
}

// computeRare holds the ops that are seldom met, so that Compute stays small.
func (t Adder) computeRare(s *Step, a, b, c memory.Word) memory.Word {
	n := s.N
	switch s.Op {
	case Left:
		return a << b & memory.Mask(int(n))
	case Right:
		return a >> b
	case Draw:
		return drawRight(a, n, b)
	case RotateLeft:
		return rotate(a, n, b)
	case RotateRight:
		return rotate(a, n, memory.Word(n)-b%memory.Word(n))
	case Leading:
		return leadingZeros(a, n)
	case Trailing:
		return trailingZeros(a, n)
	case Ones:
		return memory.Word(bits.OnesCount64(uint64(a)))
	case Parity:
		return memory.Word(bits.OnesCount64(uint64(a)) & 1)
	case Add:
		sum, _, _ := t.Add(a, b, c, n)
		return sum
	case Subtract:
		return t.Subtract(a, b, n)
	case Carry:
		_, carry, _ := t.Add(a, b, c, n)
		return carry
	case Overflow:
		_, _, over := t.Add(a, b, c, n)
		return over
	case Less:
		return truth(t.Value(a, n) < t.Value(b, n))
	case AddDecimal:
		sum, _ := addDecimal(a, b, c, n)
		return sum
	case CarryDecimal:
		_, carry := addDecimal(a, b, c, n)
		return carry
	case Multiply:
		return a * b & s.M
	case Divide:
		if b == 0 {
			return s.M
		}
		return a / b
	case Remainder:
		if b == 0 {
			return a
		}
		return a % b
	}
	panic("plan: " + s.Op.Picture() + " is not a step that makes a value")
}

// truth is a condition as a one-bit word.
func truth(b bool) memory.Word {
	if b {
		return 1
	}
	return 0
}
