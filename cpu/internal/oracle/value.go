package oracle

import (
	"math/big"

	"coldstart/cpu/order"
	"coldstart/memory"
)

// value works out an expression.
func (f *frame) value(e *order.Expr) (memory.Word, end) {
	h := f.half
	switch e.Op {
	case "const":
		return e.Value, none
	case "field":
		return f.fields[e.Index], none
	case "local":
		return f.locals[e.Index], none
	case "here":
		return f.here, none
	case "register", "group":
		return h.Registers[f.register(e).Number], none
	case "cond":
		c, end := f.value(e.Args[0])
		if end != none {
			return 0, end
		}
		return f.value(e.Args[2-c])
	}
	var args [3]memory.Word
	for i, a := range e.Args {
		v, end := f.value(a)
		if end != none {
			return 0, end
		}
		args[i] = v
	}
	switch e.Op {
	case "store":
		return f.load(memory.Addr(args[0]), e.Width)
	case "channel":
		return f.ask("receive", int(args[0]), 0, 0, e.Width)
	case "sign":
		return f.ask("sign", int(args[0]), int(args[1]), 0, 1)
	case "after":
		return f.after(memory.Addr(args[0]))
	}
	return h.compute(e, args), none
}

// compute works out a value of values with big whole numbers, so that no width of the host can hide a slip.
func (h *Half) compute(e *order.Expr, v [3]memory.Word) memory.Word {
	a, b := big.NewInt(0).SetUint64(uint64(v[0])), big.NewInt(0).SetUint64(uint64(v[1]))
	n := e.Args[0].Width
	switch e.Op {
	case "not":
		return low(a.Sub(power(e.Width), a.Add(a, big.NewInt(1))), e.Width)
	case "and":
		return low(a.And(a, b), e.Width)
	case "or":
		return low(a.Or(a, b), e.Width)
	case "xor":
		return low(a.Xor(a, b), e.Width)
	case "+":
		return low(a.Add(a, b), e.Width)
	case "-":
		return low(a.Sub(a, b), e.Width)
	case "=", "/=", "<", "<=", ">", ">=":
		return compare(e.Op, a.Cmp(b))
	case "join":
		return low(a.Or(a.Lsh(a, uint(e.Args[1].Width)), b), e.Width)
	case "bits":
		return low(a.Rsh(a, uint(e.Lo)), e.Width)
	case "cut", "extend":
		return low(a, e.Width)
	case "sign-extend":
		return low(twos(a, n), e.Width)
	}
	if w, ok := shift(e.Op, a, v[1], n); ok {
		return w
	}
	if w, ok := count(e.Op, a, n); ok {
		return w
	}
	if w, ok := product(e, a, b); ok {
		return w
	}
	if e.Op == "add-decimal" || e.Op == "carry-decimal" {
		return decimal(e.Op, v, n)
	}
	return h.adder(e, v)
}

// compare is a comparison as one bit.
func compare(op string, c int) memory.Word {
	holds := map[string]bool{"=": c == 0, "/=": c != 0, "<": c < 0, "<=": c <= 0, ">": c > 0, ">=": c >= 0}
	if holds[op] {
		return 1
	}
	return 0
}

// shift moves a of n bits by k places.
func shift(op string, a *big.Int, k memory.Word, n int) (memory.Word, bool) {
	far := uint(min(k, 100))
	turn := uint(k % memory.Word(n))
	switch op {
	case "left":
		return low(a.Lsh(a, far), n), true
	case "right":
		return low(a.Rsh(a, far), n), true
	case "draw":
		return low(a.Rsh(twos(a, n), far), n), true
	case "rotate-right":
		turn = uint(n) - turn
		fallthrough
	case "rotate-left":
		high := big.NewInt(0).Lsh(a, turn)
		return low(high.Or(high, a.Rsh(a, uint(n)-turn)), n), true
	}
	return 0, false
}

// count counts bits of a of n bits one by one.
func count(op string, a *big.Int, n int) (memory.Word, bool) {
	ones, leading, trailing := 0, n, n
	for i := range n {
		if a.Bit(i) == 1 {
			ones++
			leading = n - 1 - i
			trailing = min(trailing, i)
		}
	}
	switch op {
	case "ones":
		return memory.Word(ones), true
	case "parity":
		return memory.Word(ones % 2), true
	case "leading":
		return memory.Word(leading), true
	case "trailing":
		return memory.Word(trailing), true
	}
	return 0, false
}

// low is the lowest n bits of a, which may be negative.
func low(a *big.Int, n int) memory.Word {
	m := big.NewInt(0).Sub(power(n), big.NewInt(1))
	return memory.Word(m.And(m, a).Uint64())
}

// power is 2 to the n.
func power(n int) *big.Int { return big.NewInt(0).Lsh(big.NewInt(1), uint(n)) }

// twos reads a of n bits as a twos complement number.
func twos(a *big.Int, n int) *big.Int {
	if a.Bit(n-1) == 1 {
		return big.NewInt(0).Sub(a, power(n))
	}
	return a
}
