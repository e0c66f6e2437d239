package order

import (
	"math/bits"
	"slices"
	"strconv"
	"strings"

	"coldstart/cpu/order/syntax"
)

// call reads a function of values.
func (s *scope) call(e *syntax.Call, want int) *Expr {
	op, known := function(e.Name.Text)
	if !known {
		s.unknown("function", e.Name, functions())
		return amiss()
	}
	if op.Width == widthStated {
		return s.resize(e, op)
	}
	if n := len(e.Args); n < op.Least || n > op.Most {
		takes := count(op.Most, "value")
		if op.Most > op.Least {
			takes = strconv.Itoa(op.Least) + " or " + takes
		}
		s.errorf(e.Name.At, "%s takes %s between commas, not %d", op.Call, takes, n)
		return amiss()
	}
	return s.apply(e, op, want)
}

// apply reads the arguments of a function and gives it its width.
func (s *scope) apply(e *syntax.Call, op Op, want int) *Expr {
	call := &Expr{Op: op.Name, Width: 1}
	if op.Width == widthPlace {
		return s.after(e, call)
	}
	if op.Width == widthSum {
		return s.product(e, call)
	}
	if op.Width == widthFirst {
		call.Args = []*Expr{s.expr(e.Args[0], want), s.loose(e.Args[1])}
		call.Width = call.Args[0].Width
		return call
	}
	if op.Most == 1 {
		call.Args = []*Expr{s.settled(e.Args[0])}
		if op.Width == widthCounted {
			call.Width = bits.Len(uint(call.Args[0].Width))
		}
		return call
	}
	if op.Width == widthOne {
		want = 0
	}
	x, y := s.pair(e.Args[0], e.Args[1], want)
	s.alike(e.Args[1].Where(), x, y)
	call.Args = []*Expr{x, y}
	if len(e.Args) == 3 {
		carry := s.expr(e.Args[2], 1)
		if carry.Width > 1 {
			s.errorf(e.Args[2].Where(), "%s has %s, but a carry has one", carry, count(carry.Width, "bit"))
		}
		call.Args = append(call.Args, carry)
	}
	if op.Width == widthAlike {
		call.Width = x.Width
	}
	if strings.HasSuffix(op.Name, "-decimal") && x.Width%4 != 0 {
		s.errorf(e.Args[0].Where(), "%s has %s, but decimal digits have four each: bring it to a multiple of four", x, count(x.Width, "bit"))
	}
	return call
}

// after reads the place whose order is passed over.
func (s *scope) after(e *syntax.Call, call *Expr) *Expr {
	bits := s.code.PlaceBits()
	x := s.expr(e.Args[0], bits)
	if x.Width != 0 && x.Width != bits {
		s.errorf(e.Args[0].Where(), "%s has %s, but the place of an order has %d: %s", x, count(x.Width, "bit"), bits, advice(x, bits))
	}
	call.Args, call.Width = []*Expr{x}, bits
	return call
}

// product reads two values to multiply.
func (s *scope) product(e *syntax.Call, call *Expr) *Expr {
	x, y := s.settled(e.Args[0]), s.settled(e.Args[1])
	call.Args, call.Width = []*Expr{x, y}, x.Width+y.Width
	if x.Width == 0 || y.Width == 0 {
		return amiss()
	}
	if call.Width > 64 {
		s.errorf(e.Name.At, "%s has %d bits, more than 64: multiply parts of them", call, call.Width)
		return amiss()
	}
	return call
}

// resize reads extend(x, n), sign(x, n) and cut(x, n), where n is a decimal width.
func (s *scope) resize(e *syntax.Call, op Op) *Expr {
	var n *syntax.Literal
	if len(e.Args) == 2 {
		n, _ = e.Args[1].(*syntax.Literal)
	}
	if n == nil {
		s.errorf(e.Name.At, "%s takes a value and a width, as in %s(x, 18)", op.Call, op.Call)
		return amiss()
	}
	width := s.decimal(n.Number, "a width", 1, 64)
	if width < 0 {
		return amiss()
	}
	// A number as typed under extend has the width stated there: that is how a number is given one.
	want := 0
	if op.Name == "extend" {
		want = width
	}
	x := s.expr(e.Args[0], want)
	switch {
	case x.Width == 0:
		return amiss()
	case op.Name == "cut" && x.Width < width:
		s.errorf(e.Name.At, "%s has %s and cannot be cut to %d: write extend or sign", x, count(x.Width, "bit"), width)
		return amiss()
	case op.Name != "cut" && x.Width > width:
		s.errorf(e.Name.At, "%s has %s already, more than %d: write cut", x, count(x.Width, "bit"), width)
		return amiss()
	}
	return &Expr{Op: op.Name, Width: width, Args: []*Expr{x}}
}

// index reads a word of store, what a channel gives or takes, a command, or a channel's sign.
func (s *scope) index(e *syntax.Index) *Expr {
	op, width := s.indexed(e.Name)
	if width == 0 {
		return amiss()
	}
	if op.Name == "store" && len(e.Args) == 2 {
		return s.piece(e)
	}
	if op.Name == "wrong-parity" {
		return s.wrong(e)
	}
	if len(e.Args) != op.Least {
		s.errorf(e.Name.At, "%s takes %s between its brackets, not %d", op.Name, count(op.Least, "value"), len(e.Args))
		return amiss()
	}
	indexed := &Expr{Op: op.Name, Width: width}
	if op.Name == "store" {
		indexed.Args = []*Expr{s.address(e.Args[0])}
		return indexed
	}
	for _, arg := range e.Args {
		indexed.Args = append(indexed.Args, s.loose(arg))
	}
	s.channelCode(e, indexed.Args[0])
	return indexed
}

// address reads a value that is an address.
func (s *scope) address(e syntax.Expr) *Expr {
	bits := s.code.Geometry.AddrBits
	a := s.expr(e, bits)
	if a.Width != 0 && a.Width != bits {
		s.errorf(e.Where(), "%s has %s, but an address has %d: %s", a, count(a.Width, "bit"), bits, advice(a, bits))
	}
	return a
}

// piece reads store[a, n]: n bits, a few units of a word, from unit a on.
func (s *scope) piece(e *syntax.Index) *Expr {
	g := s.code.Geometry
	if g.Unit == 0 {
		s.errorf(e.Name.At, "store[a, n] takes a few units of a word, and the file has no unit line, such as `unit 8 bits, low end first`")
		return amiss()
	}
	n, ok := e.Args[1].(*syntax.Literal)
	if !ok {
		s.errorf(e.Args[1].Where(), "how many bits store[a, n] takes must be typed as a number, such as %d", g.Unit)
		return amiss()
	}
	width := s.decimal(n.Number, "how many bits are taken", 1, g.Width)
	if width > 0 && width%g.Unit != 0 {
		s.errorf(n.At, "%d bits are no whole units: a unit has %d", width, g.Unit)
	}
	if width < 1 || width%g.Unit != 0 {
		return amiss()
	}
	return &Expr{Op: "store", Width: width, Name: n.Text, Args: []*Expr{s.address(e.Args[0])}}
}

// wrong reads wrong-parity[a] and wrong-parity[a, column]: the word at address a, written with all its parity wrong or with
// one column of it.
func (s *scope) wrong(e *syntax.Index) *Expr {
	columns := s.code.ParityColumns
	if len(columns) == 0 {
		s.errorf(e.Name.At, "wrong-parity needs a store with parity, and no store line of this file has a parity or check-bit line below it")
		return amiss()
	}
	if len(e.Args) > 2 {
		s.errorf(e.Name.At, "wrong-parity takes an address between its brackets, and the name of a parity column after a comma where only that one is made wrong")
		return amiss()
	}
	x := &Expr{Op: "wrong-parity", Width: s.code.Geometry.Width, Args: []*Expr{s.address(e.Args[0])}}
	if len(e.Args) == 1 {
		return x
	}
	name, ok := e.Args[1].(*syntax.Ident)
	if !ok {
		s.errorf(e.Args[1].Where(), "which parity is made wrong must be typed as the name of its column, such as %s", columns[0])
		return amiss()
	}
	if x.Index = slices.Index(columns, name.Text) + 1; x.Index == 0 {
		s.unknown("parity", name.Name, columns)
	}
	x.Name = name.Text
	return x
}

// indexed finds what a name before brackets means, and its width. A channel passes words as wide as the widest channel's:
// which one it is may be known only when the order acts.
func (s *scope) indexed(n syntax.Name) (Op, int) {
	widest := 0
	for _, ch := range s.code.Channels {
		widest = max(widest, ch.Width)
	}
	widths := map[string]int{"store": s.code.Geometry.Width, "wrong-parity": s.code.Geometry.Width, "channel": widest, "command": widest, "sign": 1}
	width := widths[n.Text]
	if width == 0 || n.Text == "sign" && widest == 0 {
		s.errorf(n.At, "%s needs a channel, and the file has no channel line, such as `channel TC1: code 1, 18 bits`", n.Text)
		return Op{}, 0
	}
	return operation(n.Text), width
}

// channelCode complains of a code typed as a number that no channel has.
func (s *scope) channelCode(e *syntax.Index, code *Expr) {
	if code.Op != "const" || code.Width == 0 {
		return
	}
	for _, ch := range s.code.Channels {
		if ch.Code == int(code.Value) {
			return
		}
	}
	s.errorf(e.Args[0].Where(), "no channel has code %s", code)
}

// advice says how to bring a value to a width.
func advice(x *Expr, width int) string {
	n := strconv.Itoa(width)
	if x.Width > width {
		return "write `cut(" + x.String() + ", " + n + ")`"
	}
	return "write `extend(" + x.String() + ", " + n + ")` or `sign(" + x.String() + ", " + n + ")`"
}
