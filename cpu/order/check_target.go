package order

import "coldstart/cpu/order/syntax"

// target reads what stands left of <-.
func (s *scope) target(e syntax.Expr) *Expr {
	switch e := s.meant(e).(type) {
	case *syntax.Ident:
		x := s.ident(e.Name)
		if keys := s.keys(x); keys != nil {
			s.errorf(e.At, "%s cannot be set: %s are keys, which hands set", x, keys.Name)
			return amiss()
		}
		if x.Op == "field" || x.Op == "here" {
			s.errorf(e.At, "%s cannot be set: it is part of the order, or its place", x)
			return amiss()
		}
		return x
	case *syntax.Index:
		if e.Name.Text == "sign" {
			s.errorf(e.Name.At, "the sign of a channel cannot be set: give it a command")
			return amiss()
		}
		return s.index(e)
	}
	return s.part(e)
}

// keys gives the set of keys that a value is or may be; nil where it is none.
func (s *scope) keys(x *Expr) *Register {
	var may []*Register
	switch x.Op {
	case "register":
		may = s.code.Registers[x.Index : x.Index+1]
	case "group":
		may = s.order.Fields[x.Index].Group
	}
	for _, r := range may {
		if r != nil && r.Keys {
			return r
		}
	}
	return nil
}

// part reads a target that is joined or has its bits picked: only what stays in place while other bits of it are set.
func (s *scope) part(e syntax.Expr) *Expr {
	switch e := s.meant(e).(type) {
	case *syntax.Ident:
		if x := s.target(e); x.Op == "register" || x.Op == "local" || x.Width == 0 {
			return x
		}
	case *syntax.Binary: // the parser lets nothing but joins stand here
		return s.join(e.At, s.part(e.X), s.part(e.Y))
	case *syntax.Pick:
		if of, ok := s.meant(e.X).(*syntax.Ident); ok {
			return s.pick(e, s.part(of))
		}
	}
	s.errorf(e.Where(), "only registers and lets, and bits of them, can be set in part or in a join")
	return amiss()
}
