package plan

import (
	"coldstart/cpu/order"
	"coldstart/memory"
)

// valueOps names the steps for expressions whose arguments are simply read and whose result is made of them.
var valueOps = map[string]Op{
	"not": Not, "and": And, "or": Or, "xor": Xor, "+": Plus, "-": Minus,
	"=": Equal, "/=": Unequal, "<": Below, "<=": AtMost, ">": Below, ">=": AtMost,
	"join": Join, "bits": Bits, "cut": Bits, "extend": Move, "sign-extend": SignExtend,
	"left": Left, "right": Right, "draw": Draw, "rotate-left": RotateLeft, "rotate-right": RotateRight,
	"leading": Leading, "trailing": Trailing, "ones": Ones, "parity": Parity,
	"add": Add, "subtract": Subtract, "carry": Carry, "overflow": Overflow, "less": Less,
	"add-decimal": AddDecimal, "carry-decimal": CarryDecimal, "multiply": Multiply, "divide": Divide, "remainder": Remainder,
}

// value builds an expression. The operand may be a register or local itself: it holds only until that is set.
func (u *builder) value(e *order.Expr) operand {
	switch e.Op {
	case "const":
		return known(e.Value)
	case "field":
		return known(u.values[e.Index])
	case "here":
		return u.here
	case "local":
		return u.locals[e.Index]
	case "register", "group":
		return u.register(u.target(e))
	case "cond":
		return u.either(e)
	case "store":
		if e.Width < u.word {
			return u.outside(LoadPart, e)
		}
		return u.outside(Load, e)
	case "after":
		return u.outside(After, e)
	case "channel":
		return u.outside(Receive, e)
	case "sign":
		return u.outside(Sign, e)
	}
	return u.computed(e)
}

// computed builds a value made of values; where all are known, so is it, and no step is needed.
func (u *builder) computed(e *order.Expr) operand {
	op, ok := valueOps[e.Op]
	if !ok {
		panic("plan: no step for " + e.Op)
	}
	var args [3]operand
	all := true
	for i, a := range e.Args {
		args[i] = u.value(a)
		all = all && args[i].known
	}
	for i := len(e.Args); i < len(args); i++ {
		args[i] = known(0)
	}
	if e.Op == ">" || e.Op == ">=" {
		args[0], args[1] = args[1], args[0]
	}
	s := Step{Op: op, N: width(op, e), M: memory.Mask(e.Width)}
	if all && !(u.doubt && op.Adds()) {
		return known(u.adder.Compute(&s, args[0].value, args[1].value, args[2].value))
	}
	if op == Move { // extend: the value is there already
		return args[0]
	}
	u.fill(&s, args)
	s.D = u.fresh()
	u.emit(s)
	return operand{place: s.D}
}

// fill gives a step the places it reads.
func (u *builder) fill(s *Step, args [3]operand) {
	a, b, c := s.Op.Reads()
	if a {
		s.A = u.place(args[0])
	}
	if b {
		s.B = u.place(args[1])
	}
	if c {
		s.C = u.place(args[2])
	}
}

// width is the count N of a step: how far to move, or how wide its first argument is.
func width(op Op, e *order.Expr) uint8 {
	switch op {
	case Join:
		return uint8(e.Args[1].Width)
	case Bits:
		return uint8(e.Lo) // 0 for cut
	}
	return uint8(e.Args[0].Width)
}

// outside builds a value that comes from store or a channel.
func (u *builder) outside(op Op, e *order.Expr) operand {
	s := Step{Op: op, N: uint8(e.Width), M: memory.Mask(e.Width)}
	var args [3]operand
	for i, a := range e.Args {
		args[i] = u.value(a)
	}
	u.fill(&s, args)
	s.D = u.fresh()
	u.emit(s)
	return operand{place: s.D}
}

// either builds a conditional value; the side not taken is not read.
func (u *builder) either(e *order.Expr) operand {
	cond := u.value(e.Args[0])
	if cond.known {
		if cond.value == 1 {
			return u.value(e.Args[1])
		}
		return u.value(e.Args[2])
	}
	d := u.fresh()
	over := u.emit(Step{Op: JumpZero, A: u.place(cond), C: u.skipsTo(e.Args[1], e.Args[2])})
	u.settle(u.value(e.Args[1]), d)
	out := u.emit(Step{Op: Jump})
	u.land(over)
	u.settle(u.value(e.Args[2]), d)
	u.land(out)
	return operand{place: d}
}

// computing tells of each op whether Compute does it.
var computing = func() (is [ops]bool) {
	for _, op := range valueOps {
		is[op] = true
	}
	return is
}()

// Computes tells whether the step does nothing but make D of A, B and C, as Compute says.
func (o Op) Computes() bool { return computing[o] }
