package order

import (
	"go/token"
	"math/bits"

	"coldstart/cpu/order/syntax"
	"coldstart/memory"
)

// amiss stands for a value that was complained of. It has no width, and nothing with no width is complained of again.
func amiss() *Expr { return &Expr{Op: "const", Name: "?"} }

// expr reads a value. Want is the width wanted where it stands, 0 where nothing is: numbers as typed take it on, all else
// has a width of its own, which the caller holds against want.
func (s *scope) expr(e syntax.Expr, want int) *Expr {
	switch e := s.meant(e).(type) {
	case *syntax.Ident:
		return s.ident(e.Name)
	case *syntax.Literal:
		return s.literal(e.Number, want)
	case *syntax.Unary:
		x := s.expr(e.X, want)
		return &Expr{Op: e.Op, Width: x.Width, Args: []*Expr{x}}
	case *syntax.Binary:
		return s.binary(e, want)
	case *syntax.Cond:
		cond := s.condition(e.If)
		x, y := s.pair(e.Then, e.Else, want)
		s.alike(e.Else.Where(), x, y)
		return &Expr{Op: "cond", Width: x.Width, Args: []*Expr{cond, x, y}}
	case *syntax.Pick:
		return s.pick(e, s.settled(e.X))
	case *syntax.Call:
		return s.call(e, want)
	case *syntax.Index:
		switch e.Name.Text {
		case "wrong-parity":
			s.errorf(e.Name.At, "wrong-parity says how a word is written: write wrong-parity[...] left of <-, and read store[...]")
			return amiss()
		case "command":
			s.errorf(e.Name.At, "a command can be given, not taken: write command[...] left of <-")
			return amiss()
		}
		return s.index(e)
	}
	return amiss()
}

// settled reads a value where nothing states a width.
func (s *scope) settled(e syntax.Expr) *Expr { return s.expr(e, 0) }

// loose reads a value whose width does not matter, such as a number of places: one typed as a number has just the bits it
// takes.
func (s *scope) loose(e syntax.Expr) *Expr {
	if n, ok := e.(*syntax.Literal); ok {
		if v, ok := s.number(n.Number); ok {
			return &Expr{Op: "const", Width: max(1, bits.Len64(v)), Value: memory.Word(v), Name: n.Text}
		}
		return amiss()
	}
	return s.settled(e)
}

// condition reads a value that must be one bit wide.
func (s *scope) condition(e syntax.Expr) *Expr {
	x := s.expr(e, 1)
	if x.Width > 1 {
		s.errorf(e.Where(), "%s has %s, but a condition has one: compare it, as in %s /= 0", x, count(x.Width, "bit"), x.inner())
	}
	return x
}

// ident resolves a name: lets first, then fields, then registers.
func (s *scope) ident(n syntax.Name) *Expr {
	if n.Text == "here" {
		return &Expr{Op: "here", Width: s.code.PlaceBits()}
	}
	for i := len(s.locals) - 1; i >= 0; i-- {
		if l := s.locals[i]; l.name == n.Text {
			return &Expr{Op: "local", Width: l.width, Index: l.index, Name: n.Text}
		}
	}
	if s.order != nil {
		if f := s.order.field(n.Text); f != nil {
			return s.field(f)
		}
	}
	if r := s.code.Register(n.Text); r != nil {
		return &Expr{Op: "register", Width: r.Width, Index: r.Number, Name: n.Text}
	}
	if !s.unused || len(n.Text) > 1 { // in a mode without orders any letter may be a field
		s.unknown("let, field or register", n, s.visible())
	}
	return amiss()
}

// field is a field's value, or the register it picks where its letter has a group.
func (s *scope) field(f *Field) *Expr {
	for _, r := range f.Group {
		if r != nil {
			return &Expr{Op: "group", Width: r.Width, Index: f.Number, Name: f.Name}
		}
	}
	return &Expr{Op: "field", Width: f.Width, Index: f.Number, Name: f.Name}
}

// visible are the names there are at this place, for a hint.
func (s *scope) visible() []string {
	names := namesOf(s.locals, func(l local) string { return l.name })
	if s.order != nil {
		names = append(names, namesOf(s.order.Fields, func(f *Field) string { return f.Name })...)
	}
	return append(append(names, s.registerNames()...), "here")
}

// literal is a number as typed, in the width wanted of it.
func (s *scope) literal(n syntax.Number, want int) *Expr {
	v, ok := s.number(n)
	if !ok {
		return amiss()
	}
	if want == 0 {
		s.errorf(n.At, "nothing here states how many bits %s has: write `extend(%s, n)` with a width for n", n.Text, n.Text)
		return amiss()
	}
	if memory.Word(v) > memory.Mask(want) {
		s.errorf(n.At, "%s takes %s, but only %d are wanted here", n.Text, count(bits.Len64(v), "bit"), want)
		return amiss()
	}
	return &Expr{Op: "const", Width: want, Value: memory.Word(v), Name: n.Text}
}

// binary reads two values and what stands between them.
func (s *scope) binary(e *syntax.Binary, want int) *Expr {
	if e.Op == ":" {
		return s.join(e.At, s.settled(e.X), s.settled(e.Y))
	}
	op := operation(e.Op)
	if op.Width == widthOne {
		want = 0 // the width of what is compared does not follow from that of the answer
	}
	x, y := s.pair(e.X, e.Y, want)
	s.alike(e.At, x, y)
	width := x.Width
	if op.Width == widthOne {
		width = 1
	}
	return &Expr{Op: e.Op, Width: width, Args: []*Expr{x, y}}
}

// join puts y at the right of x.
func (s *scope) join(at token.Position, x, y *Expr) *Expr {
	joined := &Expr{Op: "join", Width: x.Width + y.Width, Args: []*Expr{x, y}}
	if x.Width == 0 || y.Width == 0 {
		return amiss()
	}
	if joined.Width > 64 {
		s.errorf(at, "%s has %d bits, more than 64: do it in two parts", joined, joined.Width)
		return amiss()
	}
	return joined
}

// pair reads two values that should be alike; a number typed for one takes the width of the other.
func (s *scope) pair(e, f syntax.Expr, want int) (x, y *Expr) {
	if s.open(e) && !s.open(f) {
		y = s.expr(f, want)
		return s.expr(e, y.or(want)), y
	}
	x = s.expr(e, want)
	return x, s.expr(f, x.or(want))
}

// or is the width, or another where the value has none. A number beside a value that was complained of gets the widest, so
// that it is not complained of too.
func (e *Expr) or(want int) int {
	switch {
	case e.Width > 0:
		return e.Width
	case want > 0:
		return want
	}
	return 64
}

// open says whether a value has no width of its own, being built of numbers as typed.
func (s *scope) open(e syntax.Expr) bool {
	switch e := s.meant(e).(type) {
	case *syntax.Literal:
		return true
	case *syntax.Unary:
		return s.open(e.X)
	case *syntax.Binary:
		switch e.Op {
		case "and", "or", "xor", "+", "-":
			return s.open(e.X) && s.open(e.Y)
		}
	case *syntax.Cond:
		return s.open(e.Then) && s.open(e.Else)
	case *syntax.Call:
		op, _ := function(e.Name.Text)
		switch {
		case len(e.Args) == 0:
		case op.Width == widthFirst:
			return s.open(e.Args[0])
		case op.Width == widthAlike && len(e.Args) > 1:
			return s.open(e.Args[0]) && s.open(e.Args[1])
		}
	}
	return false
}

// alike complains of two values that should have one width and have not.
func (s *scope) alike(at token.Position, x, y *Expr) {
	if x.Width == 0 || y.Width == 0 || x.Width == y.Width {
		return
	}
	narrow, wide := x, y
	if wide.Width < narrow.Width {
		narrow, wide = wide, narrow
	}
	s.errorf(at, "%s has %s but %s has %s: write `extend(%s, %d)`, `sign(%s, %d)` or `cut(%s, %d)`",
		x, count(x.Width, "bit"), y, count(y.Width, "bit"),
		narrow, wide.Width, narrow, wide.Width, wide, narrow.Width)
}

// pick reads bits of a value.
func (s *scope) pick(e *syntax.Pick, x *Expr) *Expr {
	if x.Width == 0 {
		return amiss()
	}
	hi, lo, ok := s.down(e.Bits, x.Width)
	if !ok {
		return amiss()
	}
	name := e.Bits.First
	if e.Bits.Last != "" {
		name += "-" + e.Bits.Last
	}
	return &Expr{Op: "bits", Width: hi - lo + 1, Hi: hi, Lo: lo, Name: name, Args: []*Expr{x}}
}
